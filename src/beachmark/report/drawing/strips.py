"""The rows of labels around the views: joints with their angles, lengths, slopes, yokes seen from the rear."""

from __future__ import annotations

import math
from dataclasses import dataclass

from beachmark.basis.values import Value
from beachmark.driveline.parts import End, Shaft
from beachmark.driveline.phase import stated_phase, teeth_words
from beachmark.driveline.train import Train
from beachmark.report.drawing.angles import (
    Bend,
    bends,
    degrees,
    millimetres,
    phase_words,
    plan_words,
    slope_words,
)
from beachmark.report.drawing.frame import Frame, Sheet
from beachmark.report.drawing.lanes import in_lanes, kept_inside
from beachmark.report.drawing.svg import (
    ASSUMED,
    INK,
    PAPER,
    SOFT,
    arrow_head,
    disc,
    group,
    line,
    missing_box,
    path,
    tag,
    text_width,
    trace,
    words,
)

_STEP = 17.5  # from one base line of a block to the next


@dataclass(frozen=True)
class Piece:
    """One run of text in a label; `missing` puts the empty box after it, `arrow` (-1, 0, 1) a slope before it."""

    text: str
    size: float
    weight: str = "500"
    fill: str = INK
    missing: bool = False
    arrow: int | None = None
    assumed: bool = False

    @property
    def width(self) -> float:
        """Room that it takes."""
        extra = (self.size * 1.12 + 5 if self.missing else 0.0) + (18 if self.arrow is not None else 0.0)
        return text_width(self.shown, self.size, self.weight) + extra

    @property
    def shown(self) -> str:
        """The text with the word that says it is assumed."""
        return f"{self.text}, assumed" if self.assumed else self.text

    def drawn(self, x: float, y: float) -> str:
        """The run with its left side at x and its base line at y."""
        parts = []
        if self.arrow is not None:
            parts.append(_slope_arrow(x, y - self.size * 0.34, self.arrow))
            x += 18
        slant = "italic" if self.assumed else ""
        parts.append(words(x, y, self.shown, size=self.size, weight=self.weight, fill=self.fill, slant=slant))
        if self.missing:
            parts.append(missing_box(x + text_width(self.shown, self.size, self.weight) + 4, y, self.size))
        return "".join(parts)


def _slope_arrow(x: float, y: float, sense: int) -> str:
    """A short arrow towards the front of the vehicle, rising for nose up (1) and falling for nose down (-1)."""
    tip_y, tail_y = y - 4.0 * sense, y + 4.0 * sense
    length = math.hypot(12.0, tip_y - tail_y)
    dx, dy = -12.0 / length, (tip_y - tail_y) / length
    shaft = line(x + 13, tail_y, x + 1 - dx * 4, tip_y - dy * 4, stroke=INK, width=1.4)
    return shaft + arrow_head(x + 1, tip_y, dx, dy, size=7)


def block(centre: float, y: float, lines: list[Piece], sheet: Sheet) -> str:
    """Lines of text centred on a place, pushed inside the sheet; `y` is the first base line."""
    return "".join(
        piece.drawn(kept_inside(centre, piece.width, 4.0, sheet.width - 4.0)[0], y + i * _STEP)
        for i, piece in enumerate(lines)
    )


def _block_width(lines: list[Piece]) -> float:
    return max(piece.width for piece in lines)


def block_row(blocks: list[tuple[float, list[Piece]]], y: float, sheet: Sheet) -> tuple[str, float]:
    """Blocks of text under their places, in as many lanes as they need; the drawing and its height."""
    gap = 8.0 if sheet.narrow else 14.0
    spans = [kept_inside(x, _block_width(lines), 4.0, sheet.width - 4.0) for x, lines in blocks]
    lanes = in_lanes(spans, gap=gap)
    tops, top = [], 0.0
    for lane in range(max(lanes) + 1):
        tops.append(top)
        top += max(len(lines) for (_, lines), at in zip(blocks, lanes, strict=True) if at == lane) * _STEP + 5.0
    drawn = [
        block(x, y + sheet.normal + tops[lane], lines, sheet) for (x, lines), lane in zip(blocks, lanes, strict=True)
    ]
    return "".join(drawn), top


def slope_piece(value: Value | None, sheet: Sheet) -> Piece:
    """A slope with its arrow and its words, or the empty box."""
    if value is None:
        return Piece("slope", sheet.normal, fill=SOFT, missing=True)
    told = slope_words(value.si)
    arrow = None if told == "level" else (-1 if value.si > 0 else 1)
    return Piece(told, sheet.normal, "600", arrow=arrow, assumed=value.is_assumed)


def plan_piece(value: Value | None, sheet: Sheet) -> Piece:
    """A plan angle in words, or the empty box."""
    if value is None:
        return Piece("angle", sheet.normal, fill=SOFT, missing=True)
    return Piece(plan_words(value.si), sheet.normal, "600", assumed=value.is_assumed)


def side_labels(train: Train, frame: Frame, y: float) -> tuple[str, float]:
    """Names, slopes and tubes under the side view."""
    blocks = []
    for k, (x, name, piece) in enumerate(_places(train, frame)):
        lines = [_name(name, frame.sheet), slope_piece(piece.slope, frame.sheet)]
        if isinstance(piece, Shaft) and not frame.sheet.narrow:
            lines += _sizes(piece, frame.sheet) + _unrecorded(train, frame, k)
        blocks.append((x, lines))
    return block_row(blocks, y, frame.sheet)


def plan_labels(train: Train, frame: Frame, y: float) -> tuple[str, float]:
    """Names and plan angles under the plan view."""
    blocks = []
    for x, name, piece in _places(train, frame):
        blocks.append((x, [_name(name, frame.sheet), plan_piece(piece.plan, frame.sheet)]))
    return block_row(blocks, y, frame.sheet)


def _name(name: str, sheet: Sheet) -> Piece:
    return Piece(name, sheet.small, "600", SOFT)


def _places(train: Train, frame: Frame) -> list[tuple[float, str, End | Shaft]]:
    names = ["Gearbox", *(f"Shaft {k}" for k in range(1, len(train.shafts) + 1)), "Axle"]
    middles = [(a + b) / 2 for a, b in zip(frame.x, frame.x[1:], strict=False)]
    ends = (frame.sheet.left * 0.5, frame.sheet.width - frame.sheet.right * 0.5)
    return list(zip((ends[0], *middles, ends[1]), names, train.pieces, strict=True))


def _sizes(shaft: Shaft, sheet: Sheet) -> list[Piece]:
    tube, small = shaft.tube, sheet.small
    lines = []
    if tube.outer_diameter is None:
        lines.append(Piece("tube Ø", small, fill=SOFT, missing=True))
    else:
        wall = f" × {millimetres(tube.wall.si)}" if tube.wall else ""
        bare = millimetres(tube.outer_diameter.si)
        told = f"tube Ø {bare.removesuffix(' mm') if wall else bare}{wall}"
        lines.append(Piece(told, small, fill=SOFT, assumed=tube.outer_diameter.is_assumed))
    if shaft.slip is not None or shaft.slip_size:
        engaged = shaft.slip.engaged_length if shaft.slip else None
        told = f"slip engaged {millimetres(engaged.si)}" if engaged else "slip engaged"
        assumed = engaged is not None and engaged.is_assumed
        lines.append(Piece(told, small, fill=SOFT, missing=engaged is None, assumed=assumed))
    return lines


def _unrecorded(train: Train, frame: Frame, k: int) -> list[Piece]:
    """What a driveline must have somewhere but nobody recorded: centre bearings, at least one slip."""
    found = []
    if k < len(train.shafts) and not train.shaft(k).support:
        found.append("centre bearing")
    if k == len(train.shafts) and not any(frame.slips):
        found.append("slip")
    return [Piece(name, frame.sheet.small, fill=SOFT, missing=True) for name in found]


def lengths(train: Train, frame: Frame, joint_y: tuple[float, ...], y: float) -> str:
    """Dimension lines from joint to joint, with their helper lines up to the joints."""
    helpers = [line(x, top, x, y + 5, stroke=SOFT, width=0.7) for x, top in zip(frame.x, joint_y, strict=True)]
    spans = zip(frame.x, frame.x[1:], train.shafts, strict=False)
    return group((*helpers, *(_dimension(a, b, y, shaft, frame.sheet) for a, b, shaft in spans)), class_="lengths")


def _dimension(a: float, b: float, y: float, shaft: Shaft, sheet: Sheet) -> str:
    value = shaft.length
    dash = "" if value is not None and not value.is_assumed else ASSUMED
    shaft_line = line(a + 3, y, b - 3, y, stroke=INK, width=1.0, dash=dash)
    head = min(9.0, (b - a) * 0.3)
    heads = arrow_head(a, y, -1, 0, size=head) + arrow_head(b, y, 1, 0, size=head)
    piece = _length_piece(value, sheet, b - a)
    left = kept_inside((a + b) / 2, piece.width, 4.0, sheet.width - 4.0)[0]
    fits = piece.width + 24 < b - a
    base = y + sheet.normal * 0.35 if fits else y - 7
    paper = tag("rect", x=left - 4, y=base - 12, width=piece.width + 8, height=15.5, fill=PAPER)
    return shaft_line + paper + heads + piece.drawn(left, base)


def _length_piece(value: Value | None, sheet: Sheet, room: float) -> Piece:
    if value is None:
        return Piece("length" if room > 100 else "", sheet.normal, fill=SOFT, missing=True)
    return Piece(millimetres(value.si), sheet.normal, "600", assumed=value.is_assumed)


def callouts(train: Train, frame: Frame, joint_y: tuple[float, ...], y: float) -> tuple[str, float]:
    """Numbered discs over the joints with the working angles; `y` is the top of the row."""
    found = bends(train)
    spans = [_callout_span(bend, x, frame) for bend, x in zip(found, frame.x, strict=True)]
    lanes = in_lanes(spans, gap=10.0)
    deepest, tall = max(lanes), _callout_height(frame.sheet)
    drawn, leaders = [], []
    for k, (bend, x, lane) in enumerate(zip(found, frame.x, lanes, strict=True)):
        row_y = y + (deepest - lane) * tall
        end = joint_y[k] - 1.25 * frame.half
        leaders.append(line(x, row_y + 22, x, end, stroke=SOFT, width=0.8))
        drawn.append(_callout(k + 1, bend, x, row_y, frame.sheet))
    return group((*leaders, *drawn), class_="callouts"), (deepest + 1) * tall


def callouts_height(train: Train, frame: Frame) -> float:
    """Room that the callouts need."""
    spans = [_callout_span(bend, x, frame) for bend, x in zip(bends(train), frame.x, strict=True)]
    return (max(in_lanes(spans, gap=10.0)) + 1) * _callout_height(frame.sheet)


def _callout_height(sheet: Sheet) -> float:
    return 46.0 if sheet.narrow else 48.0


def _callout_span(bend: Bend, x: float, frame: Frame) -> tuple[float, float]:
    lines = _callout_lines(bend, frame.sheet)
    if frame.sheet.narrow:
        return kept_inside(x, max(24.0, _block_width(lines)), 4.0, frame.sheet.width - 4.0)
    return x - 12, x + 18 + _block_width(lines)


def _callout(number: int, bend: Bend, x: float, y: float, sheet: Sheet) -> str:
    lines = _callout_lines(bend, sheet)
    if sheet.narrow:
        left, right = kept_inside(x, lines[0].width, 4.0, sheet.width - 4.0)
        paper = tag("rect", x=left - 2, y=y + 1, width=right - left + 4, height=17, fill=PAPER)
        return paper + joint_disc(number, x, y + 32) + block(x, y + 14, lines[:1], sheet)
    texts = lines[0].drawn(x + 18, y + 17) + "".join(
        piece.drawn(x + 18, y + 34 + i * 15) for i, piece in enumerate(lines[1:])
    )
    return joint_disc(number, x, y + 11) + texts


def plan_discs(frame: Frame, base: float) -> str:
    """The joints' numbers over the plan view, lifted where they would touch."""
    lanes = in_lanes([(x - 10, x + 10) for x in frame.x], gap=2.0)
    return "".join(
        joint_disc(k + 1, x, base + at - 1.25 * frame.half - 15 - 21 * lane, 9.5)
        for k, (x, at, lane) in enumerate(zip(frame.x, frame.plan.y, lanes, strict=True))
    )


def joint_disc(number: int, x: float, y: float, radius: float = 11.0) -> str:
    """A joint's number in a disc."""
    inner = words(x, y + 4.7, str(number), size=13.5, weight="700", fill=PAPER, anchor="middle")
    return disc(x, y, radius, stroke=PAPER, width=1.5, fill=INK) + inner


def _callout_lines(bend: Bend, sheet: Sheet) -> list[Piece]:
    if bend.combined is None:
        return _partial_lines(bend, sheet)
    first = Piece(degrees(bend.combined), sheet.large, "700", assumed=bend.assumed and not sheet.narrow)
    parts = [f"{name} {degrees(angle)}" for name, angle in _views_known(bend)]
    if bend.disagrees and bend.from_slopes is not None:
        parts = [f"slopes give {degrees(bend.from_slopes)}"]
    return [first, Piece(" · ".join(parts), sheet.small, fill=SOFT)] if parts and not sheet.narrow else [first]


def _views_known(bend: Bend) -> list[tuple[str, float]]:
    both = (("side", bend.side), ("plan", bend.plan))
    return [(name, angle) for name, angle in both if angle is not None]


def _partial_lines(bend: Bend, sheet: Sheet) -> list[Piece]:
    """The working angle is not known in space; what one view alone gives is shown as that and no more."""
    known = _views_known(bend)
    if not known:
        return [Piece("angle", sheet.large - 2, "600", missing=True)]
    name, angle = known[0]
    size = sheet.small + 0.5 if sheet.narrow else sheet.large - 2
    first = Piece(f"{name} {degrees(angle)}", size, "600")
    other = "plan" if name == "side" else "side"
    return [first] if sheet.narrow else [first, Piece(f"{other} angle", sheet.small, fill=SOFT, missing=True)]


def phases(train: Train, frame: Frame, y: float) -> str:
    """For every shaft the ears of its front and rear yoke as bars, seen from the rear."""
    size, drawn = (7.5 if frame.sheet.narrow else 9.5), []
    for k, shaft in enumerate(train.shafts):
        room = frame.x[k + 1] - frame.x[k]
        inset = min(size + 5, room * 0.25)
        if room < 20:
            continue  # too short to be seen; the table has it
        drawn.append(_phase_pair(shaft, frame.x[k] + inset, frame.x[k + 1] - inset, y, size, frame.sheet))
    return group(drawn, class_="phases")


def _phase_pair(shaft: Shaft, a: float, b: float, y: float, size: float, sheet: Sheet) -> str:
    size = max(2.0, min(size, (b - a) * 0.3))
    between = line(a + size, y, b - size, y, stroke=SOFT, width=0.8, dash="2 3")
    phase = stated_phase(shaft)
    rear = (
        missing_box(b - size * 0.72, y + size * 0.5, size * 1.3)
        if phase is None
        else _bar(b, y, size, phase.si, assumed=phase.is_assumed)
    )
    piece = _phase_piece(shaft, phase, sheet, b - a - 2 * size - 8)
    if piece.width + 8 > b - a - 2 * size:
        return between + _bar(a, y, size, 0.0) + rear
    left = (a + b - piece.width) / 2
    paper = tag("rect", x=left - 3, y=y - 8, width=piece.width + 6, height=16, fill=PAPER)
    return between + _bar(a, y, size, 0.0) + rear + paper + piece.drawn(left, y + sheet.small * 0.35)


def _phase_piece(shaft: Shaft, phase: Value | None, sheet: Sheet, room: float) -> Piece:
    """The words between the two bars; the teeth alone where there is no room for the angle too."""
    told = phase_words(shaft)
    if phase is None:
        return Piece(told or "yokes", sheet.small, "600" if told else "500", fill=INK if told else SOFT, missing=True)
    piece = Piece(told, sheet.small, "600", assumed=phase.is_assumed)
    teeth = teeth_words(shaft)
    return piece if piece.width <= room or not teeth else Piece(teeth, sheet.small, "600", assumed=phase.is_assumed)


def _bar(x: float, y: float, size: float, angle: float, *, assumed: bool = False) -> str:
    """A yoke seen from the rear: a bar through its two ears; positive turns from the right towards up."""
    dx, dy = math.sin(angle) * size * 0.72, math.cos(angle) * size * 0.72
    ring = disc(x, y, size, stroke=SOFT, width=1.0, dash="3 2" if assumed else "")
    bar = trace(("M", x + dx, y + dy), ("L", x - dx, y - dy))
    return ring + path(bar, width=max(1.5, size * 0.34))
