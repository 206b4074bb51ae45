"""The report as a PDF. All text goes to the typesetter as data; none of it is ever read as markup."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from functools import cache
from importlib import resources
from typing import Any

from beachmark.basis.errors import BeachmarkError
from beachmark.report.document import ReportContent
from beachmark.report.figures import CAPTIONS
from beachmark.report.look import FIGURES_OF
from beachmark.report.words import together

LONGEST_RUN = 28  # letters without a gap; longer ones may break anywhere
BREAK = "\u200b"
# Latin to Cyrillic, Vietnamese, punctuation, currency, a few arrows and signs: the fonts that are at hand have them
_COVERED = ((0x20, 0x7E), (0xA0, 0x24F), (0x2B0, 0x2DD), (0x370, 0x52F), (0x1E00, 0x1EF9), (0x2010, 0x2027),
            (0x2030, 0x205E), (0x20A0, 0x20BF), (0x2190, 0x2193), (0x2070, 0x2089))  # fmt: skip
_SPACES = dict.fromkeys((0x2009, 0x200A, 0x202F), "\u00a0")  # thin spaces that the font lacks
_LONG_RUN = re.compile(rf"\S{{{LONGEST_RUN + 1},}}")
_ALSO = frozenset("\n\t\u200b−≤≥≈≠∞√×÷°µ™№ℓΩﬁﬂ")


def report_pdf(content: ReportContent, *, drawing_svg: str, figures: Mapping[str, str]) -> bytes:
    """Set the report on A4. `figures` are SVG texts by the keys of `figures.CAPTIONS`.

    The same content gives the same bytes. Characters that no font at hand can show are printed by their name in
    square brackets. Raises `BeachmarkError` when the typesetter refuses or warns.
    """
    import typst  # late: loading it takes time that no other command should pay

    data = _data(content)
    data["drawing"] = dict(zip(("width", "height"), _size(drawing_svg), strict=True), svg=drawing_svg)
    data["figures"] = _figures(figures)
    try:
        pdf, warnings = typst.compile_with_warnings(
            _template(),
            font_paths=_fonts(),
            ignore_system_fonts=True,
            format="pdf",
            sys_inputs={"report": json.dumps(data, ensure_ascii=False)},
        )
    except typst.TypstError as error:
        raise BeachmarkError(f"The report could not be set: {error.message}") from error
    if warnings:
        told = "; ".join(warning.message for warning in warnings)
        raise BeachmarkError(f"The report was set with warnings: {told}")
    return bytes(pdf)


def _data(content: ReportContent) -> dict[str, Any]:
    """The content as the plain data that the template reads."""
    data: dict[str, Any] = printable(asdict(content))
    data["told"]["empty"] = content.told.empty
    data["topic-figures"] = {topic.value: keys for topic, keys in FIGURES_OF.items()}
    for group in data["computed"]:
        group["cards"] = _merged(group["cards"])
        group["from"] = spans([given["ref"] for given in group["inputs"]])
    return data


def _merged(cards: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Cards that differ in their place alone become one row with all places."""
    rows: dict[str, dict[str, Any]] = {}
    for card in cards:
        alike = json.dumps([card[key] for key in ("results", "limit", "speaks", "sentence", "valid")])
        row = rows.setdefault(alike, {**card, "refs": [], "places": []})
        row["refs"].append(card["ref"])
        row["places"].append(card["place"])
    return [{**row, "refs": spans(row["refs"]), "places": together(row["places"])} for row in rows.values()]


def spans(labels: Sequence[str]) -> str:
    """Labels of one kind with runs drawn together: `I1–I4, I7`."""
    numbers = sorted({int(label[1:]) for label in labels})
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    letter = labels[0][0] if labels else ""
    return ", ".join(f"{letter}{run[0]}" + (f"–{letter}{run[-1]}" if len(run) > 1 else "") for run in runs)


def _figures(figures: Mapping[str, str]) -> list[dict[str, Any]]:
    """Figures in reading order; the drawing is figure 1."""
    present = [key for key in CAPTIONS if key in figures]
    return [
        {
            "key": key,
            "svg": figures[key],
            "width": _size(figures[key])[0],
            "caption": CAPTIONS[key],
            "number": number,
        }
        for number, key in enumerate(present, start=2)
    ]


def _size(svg: str) -> tuple[float, float]:
    """Width and height that an SVG states, in pixels."""
    opening = svg[: svg.find(">", svg.find("<svg")) + 1]
    width, height = (re.search(rf'\s{name}="([0-9.]+)"', opening) for name in ("width", "height"))
    if width is None or height is None:
        raise BeachmarkError("A picture for the report does not state its width and height in pixels.")
    return float(width[1]), float(height[1])


@cache
def _template() -> bytes:
    """The look and the pieces, then the sections: one source, because the typesetter is given no files."""
    folder = resources.files("beachmark.report")
    return b"\n".join((folder / name).read_bytes() for name in ("pieces.typ", "template.typ"))


@cache
def _fonts() -> Any:
    """Our own letters and those that the typesetter brings, for scripts that ours lack."""
    import typst

    folder = str(resources.files("beachmark.report") / "fonts")
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[folder])


def printable(data: Any) -> Any:
    """The same data with every text made fit to print."""
    if isinstance(data, str):
        return printable_text(data)
    if isinstance(data, dict):
        return {key: printable(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [printable(value) for value in data]
    return data


def printable_text(text: str) -> str:
    """Text in characters that the fonts have; long unbroken runs may break.

    A sign without a glyph becomes its name, `[grinning face]`; a letter of a script without a font its number.
    """
    text = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n").translate(_SPACES))
    return _breakable("".join(letter if _covered(letter) else _named(letter) for letter in text))


def _covered(letter: str) -> bool:
    code = ord(letter)
    return letter in _ALSO or any(low <= code <= high for low, high in _COVERED)


def _named(letter: str) -> str:
    if unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Mn") and letter != "\u200d":
        return "" if letter in "\ufe0e\ufe0f" else f"[U+{ord(letter):04X}]"
    if letter == "\u200d":
        return ""
    name = unicodedata.name(letter, "")
    return f"[{name.lower()}]" if name and unicodedata.category(letter)[0] == "S" else f"[U+{ord(letter):04X}]"


def _breakable(text: str) -> str:
    return _LONG_RUN.sub(lambda run: BREAK.join(_chunks(run[0])), text)


def _chunks(run: str) -> list[str]:
    return [run[i : i + LONGEST_RUN] for i in range(0, len(run), LONGEST_RUN)]
