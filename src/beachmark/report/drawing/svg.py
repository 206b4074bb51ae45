"""The few SVG pieces that the drawings are made of: escaped, self-contained, no style sheet needed.

Only presentation attributes are used, so that the same text works inside a page and in a printed report.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

INK = "#1d2733"  # lines and main text
SOFT = "#4a5562"  # secondary text and dimension lines, 7:1 on white
FAINT = "#98a3af"  # helper lines that carry no meaning alone
ACCENT = "#b4530a"  # the part chosen on the page; always with a shape and a word as well
PAPER = "#ffffff"
TINT = "#eef1f4"  # castings, so that they stand back behind the shafts
FONT = "Barlow, sans-serif"
ASSUMED = "5 3.5"  # dashes of what is assumed or missing
CENTRE_LINE = "16 4 3 4"

# advance widths of the drawing's font in em, rounded up; anything else counts as 0.57
_WIDTHS = {
    0.26: "'|` lj,Ii.",
    0.34: '()";!{}1:·',
    0.42: "frt[]*-/\\z°×",
    0.66: "UHNA#BDKOCGRÅÄÖÜ–",
    0.84: "MmwW%@—",
}
_WIDTH_OF = {letter: width for width, letters in _WIDTHS.items() for letter in letters}
_BOLDER = {"400": 1.0, "500": 1.0, "600": 1.03, "700": 1.06}


def number(value: float) -> str:
    """A coordinate with at most two decimals."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def clean(text: str) -> str:
    """Text without the characters that XML 1.0 (5th edition, section 2.2) does not allow, one line."""
    return "".join(" " if c in "\t\n\r" else c for c in text if _allowed(ord(c))).replace("\u202f", "\u00a0")


def _allowed(code: int) -> bool:
    return code in (9, 10, 13) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000


def trace(*steps: tuple[str | float, ...]) -> str:
    """A path from its commands with their coordinates: `trace(("M", 0, 0), ("L", 5, 5), ("Z",))`."""
    return " ".join(at if isinstance(at, str) else number(at) for step in steps for at in step)


def tag(name: str, body: str = "", **attributes: str | float | None) -> str:
    """One element. `class_` becomes `class`, `stroke_width` becomes `stroke-width`; None is left out."""
    parts = [name]
    for key, value in attributes.items():
        if value is None or value == "":
            continue
        text = escape(clean(value), {'"': "&quot;"}) if isinstance(value, str) else number(value)
        parts.append(f'{key.rstrip("_").replace("_", "-")}="{text}"')
    opening = " ".join(parts)
    return f"<{opening}>{body}</{name}>" if body else f"<{opening}/>"


def group(body: str | Iterable[str], **attributes: str | float | None) -> str:
    """Elements held together."""
    return tag("g", body if isinstance(body, str) else "".join(body), **attributes)


def title(text: str) -> str:
    """The accessible name of the element that holds it."""
    return tag("title", escape(clean(text)))


def line(x1: float, y1: float, x2: float, y2: float, *, stroke: str = INK, width: float = 1.0, dash: str = "") -> str:
    """A straight line."""
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=width, stroke_dasharray=dash)


def path(
    d: str, *, stroke: str = INK, width: float = 1.0, dash: str = "", fill: str = "none", join: str = "round"
) -> str:
    """A path with its stroke."""
    return tag(
        "path",
        d=d,
        fill=fill,
        stroke=stroke,
        stroke_width=width,
        stroke_dasharray=dash,
        stroke_linejoin=join,
    )


def box(
    x: float,
    y: float,
    width: float,
    height: float,
    *,
    stroke: str = INK,
    line_width: float = 1.0,
    dash: str = "",
    fill: str = PAPER,
    corner: float = 0.0,
) -> str:
    """A rectangle."""
    return tag(
        "rect",
        x=x,
        y=y,
        width=max(width, 0.0),
        height=max(height, 0.0),
        rx=corner or None,
        fill=fill,
        stroke=stroke,
        stroke_width=line_width,
        stroke_dasharray=dash,
    )


def disc(
    x: float,
    y: float,
    radius: float,
    *,
    stroke: str = INK,
    width: float = 1.0,
    dash: str = "",
    fill: str = PAPER,
) -> str:
    """A circle."""
    return tag("circle", cx=x, cy=y, r=radius, fill=fill, stroke=stroke, stroke_width=width, stroke_dasharray=dash)


def words(
    x: float,
    y: float,
    text: str,
    *,
    size: float = 13.0,
    weight: str = "500",
    fill: str = INK,
    anchor: str = "start",
    slant: str = "",
) -> str:
    """One line of text; `y` is the base line."""
    return tag(
        "text",
        escape(clean(text)),
        x=x,
        y=y,
        font_size=size,
        font_weight=weight,
        font_style=slant,
        fill=fill,
        text_anchor=None if anchor == "start" else anchor,
    )


def text_width(text: str, size: float = 13.0, weight: str = "500") -> float:
    """About how wide a line of text is, in pixels; a little more than true, so that labels keep apart."""
    return size * _BOLDER.get(weight, 1.06) * sum(_WIDTH_OF.get(letter, 0.57) for letter in clean(text))


def shortened(text: str, most: int) -> str:
    """The text, cut with an ellipsis when it is longer than `most` characters."""
    text = " ".join(clean(text).split())
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def missing_box(x: float, y: float, size: float = 13.0) -> str:
    """An empty box with a question mark: nobody has this value. `x` is its left side, `y` the base line."""
    side = size * 1.12
    frame = box(x, y - size * 0.9, side, side, line_width=1.2, corner=1.5)
    mark = words(x + side / 2, y, "?", size=size, weight="700", anchor="middle")
    return group((frame, mark), class_="missing")


def arrow_head(x: float, y: float, dx: float, dy: float, *, size: float = 6.0, fill: str = INK) -> str:
    """A slim arrow head with its tip at (x, y), pointing along the unit vector (dx, dy)."""
    back_x, back_y, side = x - dx * size, y - dy * size, size * 0.28
    points = (
        (x, y),
        (back_x - dy * side, back_y + dx * side),
        (back_x + dy * side, back_y - dx * side),
    )
    return tag("polygon", points=" ".join(f"{number(a)},{number(b)}" for a, b in points), fill=fill)
