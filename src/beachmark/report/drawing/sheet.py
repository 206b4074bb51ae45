"""The whole drawing: side view above, plan view below, one scale along the vehicle, gearbox left, axle right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from beachmark.driveline.positions import Address, in_words
from beachmark.driveline.train import Train, with_slopes_from_points
from beachmark.report.drawing import strips
from beachmark.report.drawing.footer import footer, stretch_words
from beachmark.report.drawing.frame import Frame, View, frame_for, sheet_for
from beachmark.report.drawing.marks import Mark, band_for, draw_band, flags, placed
from beachmark.report.drawing.svg import (
    CENTRE_LINE,
    FAINT,
    FONT,
    PAPER,
    SOFT,
    arrow_head,
    group,
    line,
    number,
    shortened,
    tag,
    text_width,
    words,
)
from beachmark.report.drawing.svg import (
    title as name_of,
)
from beachmark.report.drawing.views import Link, Scene, draw_view

_NO_MARKS: Mapping[Address, Sequence[Mark]] = {}


def driveline_svg(
    train: Train,
    *,
    marks: Mapping[Address, Sequence[Mark]] = _NO_MARKS,
    link: Link | None = None,
    title: str = "",
    width: int = 1120,
    plan: bool = True,
) -> str:
    """One driveline in side view and plan view as a self-contained SVG text; without `plan` the side view alone.

    Lengths along the vehicle are to scale; heights and widths are stretched by one factor for each view and
    tubes by one factor for both, which the drawing states. Solid is measured or stated, dashed assumed or
    unknown, an empty box with "?" missing. `width` is in pixels: below 640 the sheet is laid out for a phone.
    With `link`, every part becomes a link of class `part`. Marks for the whole vehicle, or for parts that
    this train does not have, are listed above the views.
    """
    train = with_slopes_from_points(train)
    frame = frame_for(train, sheet_for(width))
    scene = Scene.of(train, frame, marks, link)
    y, drawn = _heading(frame, title, _elsewhere(scene))
    for part in (_side, _plan) if plan else (_side,):
        text, y = part(scene, y)
        drawn += text
    text, y = footer(scene, y + 8.0)
    label = f"{title or 'Driveline'}. Side view{' and plan view' if plan else ''}, gearbox left, axle right."
    return _document(drawn + text, frame.sheet.width, y, label, linked=link is not None)


def _document(body: str, width: float, height: float, label: str, *, linked: bool) -> str:
    paper = tag("rect", width=width, height=height, fill=PAPER)
    return tag(
        "svg", name_of(label) + paper + body, xmlns="http://www.w3.org/2000/svg", class_="driveline",
        viewBox=f"0 0 {number(width)} {number(height)}", width=width, height=height,
        role="group" if linked else "img", aria_label=label, font_family=FONT,
    )  # fmt: skip


def _elsewhere(scene: Scene) -> list[str]:
    """Marks that have no spot on this drawing: nothing that was recorded is left out."""
    found = [flag for flag in flags(scene.marks) if not placed(flag, scene.train)]
    return [f"{in_words(flag.address)}, {flag.in_full}" for flag in found]


def _heading(frame: Frame, title: str, notes: list[str]) -> tuple[float, str]:
    sheet, y, drawn = frame.sheet, frame.sheet.pad, []
    if title.strip():
        y += 14
        room = int((sheet.width - 2 * sheet.pad) / (sheet.large * 0.56))
        drawn.append(words(sheet.pad, y, shortened(title, room), size=sheet.large, weight="700"))
        y += 8
    for note in notes:
        y += 18
        room = int((sheet.width - 2 * sheet.pad) / (sheet.small * 0.56))
        drawn.append(words(sheet.pad, y, shortened(f"Also recorded: {note}", room), size=sheet.small, fill=SOFT))
    return y + 10, "".join(drawn)


def _view_title(frame: Frame, text: str, y: float, stretched: str) -> str:
    """The view's name, which way the front of the vehicle is, and how much the view is stretched."""
    sheet = frame.sheet
    name = words(sheet.pad, y + 15, text, size=sheet.normal, weight="700")
    at = sheet.pad + text_width(text, sheet.normal, "700") + 14
    arrow = line(at, y + 10.5, at + 22, y + 10.5, stroke=SOFT, width=1.2) + arrow_head(
        at - 2, y + 10.5, -1, 0, fill=SOFT
    )
    front = words(at + 28, y + 15, "front", size=sheet.small, fill=SOFT)
    told = words(sheet.width - sheet.pad, y + 15, stretched, size=sheet.small, fill=SOFT, anchor="end")
    return name + arrow + front + (told if stretched else "")


def _heights(view: View, y: float) -> tuple[float, ...]:
    return tuple(y + at for at in view.y)


def _side(scene: Scene, y: float) -> tuple[str, float]:
    frame, view = scene.frame, scene.frame.side
    heading = _view_title(frame, "Side view", y, stretch_words(view, "heights", frame))
    y += 26
    above, below = frame.room(view)
    base = y + strips.callouts_height(scene.train, frame) + above + 12
    callouts, _ = strips.callouts(scene.train, frame, _heights(view, base), y)
    bodies = draw_view(scene, view, base)
    floor = base + below + 10
    band = band_for(scene.marks, scene.train, frame)
    marks = draw_band(band, frame, base, floor)
    floor += band.height
    low = tuple(at + 1.3 * frame.half for at in _heights(view, base))
    ruled = strips.lengths(scene.train, frame, low, floor + 30)
    labels, tall = strips.side_labels(scene.train, frame, floor + 40)
    ground = _ground(frame, floor + 4)
    y = floor + 40 + tall + 18
    yokes = _yokes_caption(frame, y) + strips.phases(scene.train, frame, y + (14 if frame.sheet.narrow else 0))
    y += 28 if frame.sheet.narrow else 18
    return heading + ground + ruled + callouts + bodies + marks + labels + yokes, y + 12


def _ground(frame: Frame, y: float) -> str:
    """The ground, with the hatching of technical drawings; its distance is not to scale."""
    left, right = frame.sheet.pad, frame.sheet.width - frame.sheet.pad
    ticks = [line(x, y, x - 6, y + 6, stroke=FAINT, width=0.8) for x in range(int(left) + 8, int(right), 14)]
    return group((line(left, y, right, y, stroke=SOFT, width=1.2), *ticks), class_="ground")


def _yokes_caption(frame: Frame, y: float) -> str:
    sheet = frame.sheet
    if sheet.narrow:
        return words(sheet.pad, y - 2, "Yokes seen from the rear", size=sheet.small, fill=SOFT)
    return words(sheet.pad, y - 3, "Yokes seen", size=sheet.small, fill=SOFT) + words(
        sheet.pad, y + 11, "from the rear", size=sheet.small, fill=SOFT
    )


def _plan(scene: Scene, y: float) -> tuple[str, float]:
    frame, view = scene.frame, scene.frame.plan
    rule = line(frame.sheet.pad, y, frame.sheet.width - frame.sheet.pad, y, stroke=FAINT, width=0.8)
    heading = _view_title(frame, "Plan view", y + 8, stretch_words(view, "offsets", frame))
    y += 34
    above, below = frame.room(view)
    base = y + max(above, 1.25 * frame.half + 27 - view.top) + (16 if not frame.sheet.narrow else 4)
    discs = strips.plan_discs(frame, base)
    left, right = frame.sheet.pad, frame.sheet.width - frame.sheet.pad
    middle = line(left, base, right, base, stroke=FAINT, width=0.9, dash=CENTRE_LINE)
    low = base + below + (14 if not frame.sheet.narrow else 6)
    labels, tall = strips.plan_labels(scene.train, frame, low)
    sides = _sides(frame, y, low)
    return rule + heading + middle + draw_view(scene, view, base) + discs + sides + labels, low + tall + 4


def _sides(frame: Frame, top: float, low: float) -> str:
    """Which side of the vehicle is which."""
    sheet = frame.sheet
    if sheet.narrow:
        return ""
    at = sheet.left + 28
    return words(at, top + 12, "right-hand side of the vehicle", size=sheet.small, fill=SOFT) + words(
        at, low - 4, "left-hand side", size=sheet.small, fill=SOFT
    )
