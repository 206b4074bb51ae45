"""Under the views: the scale bar, what is stretched, and what the lines and signs mean."""

from __future__ import annotations

import math

from beachmark.report.drawing.frame import Frame, View
from beachmark.report.drawing.marks import flags, shape
from beachmark.report.drawing.svg import (
    ASSUMED,
    FAINT,
    INK,
    PAPER,
    SOFT,
    box,
    group,
    line,
    missing_box,
    text_width,
    words,
)
from beachmark.report.drawing.views import Scene

_SIGNS = {
    "first": "first failure",
    "start": "where it starts",
    "consequence": "consequence",
    "seen": "recorded here",
    "chosen": "chosen",
}


def footer(scene: Scene, y: float) -> tuple[str, float]:
    """The rows under the views and the height where they end."""
    frame, sheet = scene.frame, scene.frame.sheet
    rule = line(sheet.pad, y, sheet.width - sheet.pad, y, stroke=FAINT, width=0.8)
    known = any(shaft.length is not None for shaft in scene.train.shafts)
    bar, bar_end = _scale_bar(frame, y + 22) if known else ("", sheet.pad - 40)
    top = y + 62 if sheet.narrow and known else y + 26
    left = sheet.pad if sheet.narrow else bar_end + 40
    notes = _wrapped(scale_notes(scene), sheet.width - sheet.pad - left, sheet.small)
    told = [words(left, top + 16 * i, note, size=sheet.small, fill=SOFT) for i, note in enumerate(notes)]
    key, end = _key(scene, sheet.pad, max(top + 16 * len(notes) - 8, y + 50 if known else y + 30))
    return rule + bar + "".join(told) + key, end


def scale_notes(scene: Scene) -> list[str]:
    """What is to scale and what is not, in words."""
    frame, shafts = scene.frame, scene.train.shafts
    notes = [_length_note([shaft.length is not None for shaft in shafts])]
    if frame.swell != 1.0 and any(shaft.tube.outer_diameter for shaft in shafts):
        notes.append(f"Tube diameters {frame.swell:g} times true size.")
    notes.append("Gearbox, axle, yokes and height above ground not to scale.")
    if frame.side.clamped or frame.plan.clamped:
        notes.append("Angles above 25° are drawn as 25°.")
    return notes


def _length_note(known: list[bool]) -> str:
    if all(known):
        return "Lengths along the vehicle to scale."
    return "Known lengths to scale, missing ones only placeholders." if any(known) else "No length known: not to scale."


def stretch_words(view: View, what: str, frame: Frame) -> str:
    """How much a view is stretched across the vehicle's length; empty when it is not."""
    if view.stretch == 1.0:
        return ""
    return f"{what} × {view.stretch:g}" if frame.sheet.narrow else f"{what} drawn {view.stretch:g} times true size"


def _wrapped(sentences: list[str], room: float, size: float) -> list[str]:
    """Sentences set one after the other in lines no wider than `room`."""
    lines = [""]
    for word in " ".join(sentences).split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, size) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _scale_bar(frame: Frame, y: float) -> tuple[str, float]:
    """A bar of alternating fields with ticks in metres."""
    step = _round_step(frame)
    left, field = frame.sheet.pad, step * frame.scale
    drawn = [box(left + i * field, y, field, 6, line_width=1.0, fill=INK if i % 2 == 0 else PAPER) for i in range(4)]
    for i in (0, 2, 4):
        text = f"{i * step:g}" + (" m" if i == 4 else "")
        anchor = "start" if i == 0 else "middle"
        drawn.append(line(left + i * field, y - 4, left + i * field, y + 6, width=1.0))
        drawn.append(words(left + i * field, y + 20, text, size=frame.sheet.small, anchor=anchor))
    return group(drawn, class_="scale"), left + 4 * field


def _round_step(frame: Frame) -> float:
    """A round number of metres so that four fields take about a fifth of the sheet."""
    wanted = frame.sheet.width * (0.32 if frame.sheet.narrow else 0.2) / 4 / frame.scale
    power = 10.0 ** math.floor(math.log10(wanted))
    return next((m * power for m in (5.0, 2.5, 2.0) if m * power <= wanted), power)


def _key(scene: Scene, x: float, y: float) -> tuple[str, float]:
    """The key in as many rows as the sheet needs."""
    sheet, drawn, left, row = scene.frame.sheet, [], x, y + 12
    for sample, text in _entries(scene):
        width = 40 + text_width(text, sheet.small) + 18
        if left + width > sheet.width - sheet.pad + 18 and left > x:
            left, row = x, row + 20
        drawn.append(group(_sample(sample, left, row) + words(left + 40, row + 4, text, size=sheet.small, fill=SOFT)))
        left += width
    return group(drawn, class_="key"), row + 20


def _entries(scene: Scene) -> list[tuple[str, str]]:
    present = {flag.kind for flag in flags(scene.marks)}
    return [
        ("solid", "measured or stated"),
        ("dashed", "assumed or not known"),
        ("missing", "missing"),
        *((kind, text) for kind, text in _SIGNS.items() if kind in present),
    ]


def _sample(kind: str, x: float, y: float) -> str:
    if kind in ("solid", "dashed"):
        return line(x, y, x + 32, y, width=1.8, dash="" if kind == "solid" else ASSUMED)
    if kind == "missing":
        return missing_box(x + 17, y + 4.5, 13)
    return shape(kind, x + 24, y)
