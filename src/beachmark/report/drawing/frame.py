"""Where everything lies: one scale along the vehicle for both views, heights and widths stretched if needed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from beachmark.basis.values import Value
from beachmark.driveline.parts import End, Shaft
from beachmark.driveline.train import Train

DEFAULT_LENGTH_M = 1.2  # a shaft of unknown length, when no other length is known
DEFAULT_DIAMETER_M = 0.1  # a tube of unknown diameter
STEEPEST_RAD = math.radians(25.0)  # a steeper part is drawn at this angle; its label keeps the true one
_STRETCHES = (1.0, 2.0, 3.0, 4.0)
_SHRINKS = (0.75, 0.5, 0.33, 0.25, 0.2, 0.1, 0.05)


@dataclass(frozen=True)
class Sheet:
    """Sizes of the paper in pixels: a wide sheet for page and print, a narrow one for a phone."""

    width: float
    narrow: bool
    left: float  # from the edge to the first joint
    right: float  # from the last joint to the edge
    pad: float
    small: float  # font sizes
    normal: float
    large: float
    tube: float  # wanted diameter of the thickest tube as drawn
    tallest: float  # most height that the slopes may take

    @property
    def run(self) -> float:
        """From the first joint to the last."""
        return self.width - self.left - self.right


def sheet_for(width: int) -> Sheet:
    """The sheet for a width in pixels; below 640 it is laid out for a phone."""
    width = max(width, 240)
    if width < 640:
        return Sheet(width, True, 60, 68, 10, 12, 12.5, 15, 15, 90)
    return Sheet(width, False, 150, 176, 22, 12, 13.5, 18, 25, 170)


@dataclass(frozen=True)
class View:
    """One view: the joints' heights on the screen (down is more) and how each piece slants there."""

    name: str  # "side" or "plan"
    stretch: float
    y: tuple[float, ...]
    slants: tuple[float, ...]  # degrees, clockwise on the screen: gearbox, shafts, axle
    clamped: bool

    @property
    def top(self) -> float:
        """The highest joint."""
        return min(self.y)

    @property
    def bottom(self) -> float:
        """The lowest joint."""
        return max(self.y)


@dataclass(frozen=True)
class Frame:
    """The drawing's geometry."""

    sheet: Sheet
    scale: float  # pixels for a metre along the vehicle
    x: tuple[float, ...]
    side: View
    plan: View
    swell: float  # how many times their true diameter the tubes are drawn
    radii: tuple[float, ...]  # of the tubes, pixels
    half: float  # half height of a joint
    slips: tuple[bool, ...]  # whether a slip member is recorded on each shaft

    @property
    def reach(self) -> float:
        """From the middle of a joint to the weld of its yoke."""
        return 2.1 * self.half

    @property
    def body(self) -> float:
        """Half height of the flanges that gearbox and axle are drawn to: never more than their room allows."""
        return max(self.sheet.tube * 0.4, min(max(self.radii), self.sheet.left * 0.2))

    def room(self, view: View) -> tuple[float, float]:
        """How far the parts of a view reach above and below its first joint."""
        supports = 2.7 if len(self.radii) > 1 else 1.4
        low = supports if view.name == "plan" else 1.4
        tops = [-y + supports * self.half for y in view.y]
        bottoms = [y + low * self.half for y in view.y]
        for y, slant, margin in (
            (view.y[0], -view.slants[0], self.sheet.left),
            (view.y[-1], view.slants[-1], self.sheet.right),
        ):
            tip = y + margin * 0.8 * math.sin(math.radians(slant))
            tall = (3.3 if view.name == "plan" else 2.1) * self.body
            tops.append(-tip + tall)
            bottoms.append(tip + tall)
        return max(tops), max(bottoms)

    def length(self, number: int, view: View) -> float:
        """Length of shaft `number` as drawn in a view."""
        k = number - 1
        return math.hypot(self.x[k + 1] - self.x[k], view.y[k + 1] - view.y[k])

    def on_shaft(self, number: int, along: float, view: View) -> tuple[float, float]:
        """The point `along` pixels behind the front joint of a shaft."""
        slant = math.radians(view.slants[number])
        return (
            self.x[number - 1] + along * math.cos(slant),
            view.y[number - 1] + along * math.sin(slant),
        )


def frame_for(train: Train, sheet: Sheet) -> Frame:
    """Lay the train out on a sheet."""
    lengths = drawn_lengths(train.shafts)
    slopes = [_clamped(piece.slope) for piece in train.pieces]
    plans = [_clamped(piece.plan) for piece in train.pieces]
    runs = [_run(length, s, p) for length, s, p in zip(lengths, slopes[1:], plans[1:], strict=False)]
    scale = sheet.run / sum(runs)
    x = tuple(sheet.left + scale * at for at in accumulate(runs, initial=0.0))
    diameters = [_known(shaft.tube.outer_diameter, DEFAULT_DIAMETER_M) for shaft in train.shafts]
    swell = _swell(max(diameters) * scale, sheet.tube)
    room = min(b - a for a, b in pairwise(x))
    thickest = max(diameters) * scale * swell / 2
    half = max(3.0, min(thickest * 1.25, room * 0.13))
    return Frame(
        sheet=sheet,
        scale=scale,
        x=x,
        side=_view("side", slopes, runs, scale, sheet, _wild(train.pieces, "slope")),
        plan=_view("plan", plans, runs, scale, sheet, _wild(train.pieces, "plan")),
        swell=swell,
        radii=tuple(min(max(d * scale * swell / 2, 1.5), half) for d in diameters),
        half=half,
        slips=tuple(shaft.slip is not None or bool(shaft.slip_size) for shaft in train.shafts),
    )


def drawn_lengths(shafts: Sequence[Shaft]) -> list[float]:
    """Lengths in metres as drawn: a missing one takes the mean of those that are known."""
    known = [shaft.length.si for shaft in shafts if shaft.length is not None and shaft.length.si > 0]
    default = sum(known) / len(known) if known else DEFAULT_LENGTH_M
    return [_known(shaft.length, default) for shaft in shafts]


def _known(value: Value | None, default: float) -> float:
    return value.si if value is not None and value.si > 0 else default


def _clamped(value: Value | None) -> float:
    return 0.0 if value is None else max(-STEEPEST_RAD, min(STEEPEST_RAD, value.si))


def _wild(pieces: Sequence[End | Shaft], which: str) -> bool:
    values = (getattr(piece, which) for piece in pieces)
    return any(value is not None and abs(value.si) > STEEPEST_RAD for value in values)


def _run(length: float, slope: float, plan: float) -> float:
    """How far a shaft reaches along the vehicle, metres."""
    return length / math.sqrt(1.0 + math.tan(slope) ** 2 + math.tan(plan) ** 2)


def _swell(drawn: float, least: float) -> float:
    """Thin tubes are drawn thicker and very thick ones thinner, all by the same round factor."""
    if drawn > 2.0 * least:
        return max(0.05, math.floor(40.0 * least / drawn) / 20.0)
    return 1.0 if drawn >= least * 0.85 else math.ceil(2.0 * least / drawn) / 2.0


def _view(name: str, angles: Sequence[float], runs: Sequence[float], scale: float, sheet: Sheet, clamped: bool) -> View:
    rises = [run * scale * math.tan(a) for run, a in zip(runs, angles[1:-1], strict=True)]
    heights = list(accumulate(rises, initial=0.0))
    stretch = _stretch(max(heights) - min(heights), sheet.tallest)
    y = tuple(-stretch * height for height in heights)
    slants = tuple(-math.degrees(math.atan(stretch * math.tan(a))) for a in angles)
    return View(name, stretch, y, slants, clamped)


def _stretch(extent: float, tallest: float) -> float:
    """Flat drivelines are stretched until the slopes can be seen, tall ones shrunk until they fit."""
    if extent < 1.0:
        return 1.0
    if extent > tallest:
        return next((s for s in _SHRINKS if extent * s <= tallest), _SHRINKS[-1])
    return next((s for s in _STRETCHES if extent * s >= tallest * 0.2), _STRETCHES[-1])
