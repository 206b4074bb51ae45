"""Torque over time in each joint and shaft during one event: a typical draw, and the worst of all draws."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from beachmark.basis.units import UNITS, tidy
from beachmark.findings.replay.reading import Band, EventReading, PartInEvent
from beachmark.findings.replay.record import PartRecord
from beachmark.report.charts.plane import Axis, Plane
from beachmark.report.charts.replay import PLAIN
from beachmark.report.look import ACCENT, FAINT, INK, SOFT, WIDTH, Spec, chart, layer
from beachmark.report.words import Units, capital

_AXIS = 50  # room for the numbers of the axis
_HEIGHT, _GAP = 92, 30  # of one panel, and between two: the words of a panel stand above it
_POINTS = 400  # of one curve; as many as the picture has pixels
_DASH = (5, 3)
_BAND = "#e9edf1"
HARD = "\u00a0"  # a space that no line breaks at
_KEY = -32  # above the first panel and its words
_FAR = 1.6  # times the greatest torque: what a part bears beyond that is told, not drawn
_ROOM = 1.08


@dataclass(frozen=True)
class _Panel:
    """One load of the driveline with the weakest part that it loads."""

    load: str
    weakest: PartInEvent
    bears: Band  # torque at which that part first yields, N m
    typical: npt.NDArray[np.float64]
    worst: npt.NDArray[np.float64]

    @property
    def greatest(self) -> float:
        """Greatest torque in either sense, N m."""
        return float(max(np.abs(self.typical).max(), np.abs(self.worst).max()))


def replay_history(event: EventReading, parts: Sequence[PartRecord], units: Units) -> Spec:
    """Torque over time of the typical and of the worst draw, one panel a load; empty where no load was followed."""
    panels = list(_panels(event, parts))
    if not panels:
        return {}
    unit = "kN m" if units.system == "metric" else "lbf ft"
    ends = _ends(panels, UNITS["torque"][unit])
    made = [
        _panel(panel, event.history.times_s, ends, unit, last=panel is panels[-1], first=panel is panels[0])
        for panel in panels
    ]
    return chart({"vconcat": made, "spacing": _GAP}, _told(event, panels, unit))


def _panels(event: EventReading, parts: Sequence[PartRecord]) -> Iterator[_Panel]:
    """The loads that parts of the driveline carry, from the gearbox rearward."""
    known = {part.part: part for part in event.parts}
    for row, load in enumerate(event.loads):
        borne = [(part.id, _band(part)) for part in parts if part.load == load and part.id in known]
        if borne:
            weakest, bears = min(borne, key=lambda one: one[1].middle)
            typical, worst = event.history.loads[0, row], event.history.loads[1, row]
            yield _Panel(load, known[weakest], bears, typical, worst)


def _band(part: PartRecord) -> Band:
    low, middle, high = np.quantile(part.yields_nm, (0.05, 0.5, 0.95))
    return Band(float(low), float(middle), float(high))


def _ends(panels: Sequence[_Panel], factor: float) -> tuple[float, float]:
    """Both ends of the torque axis, the same for all panels; what the parts bear is shown where it is near."""
    lowest = min(float(min(panel.typical.min(), panel.worst.min())) for panel in panels)
    highest = max(float(max(panel.typical.max(), panel.worst.max())) for panel in panels)
    greatest = max(panel.greatest for panel in panels)
    near = [panel.bears.high for panel in panels if panel.bears.high <= _FAR * greatest]
    if near and highest >= -lowest:
        highest = max(highest, *near)
    elif near:
        lowest = min(lowest, *(-one for one in near))
    room = (_ROOM - 1) * (highest - lowest)
    return (min(lowest, 0.0) - room) / factor, (max(highest, 0.0) + room) / factor


def _panel(
    panel: _Panel, times: npt.NDArray[np.float64], ends: tuple[float, float], unit: str, *, first: bool, last: bool
) -> Spec:
    look = {"tickCount": 6, "labels": last, "ticks": last, "grid": False, "domain": last, "labelExpr": PLAIN}
    x = Axis("time, s" if last else None, 0.0, float(times[-1]), WIDTH - _AXIS, look)
    title = {"tickCount": 4, "grid": True, "labelExpr": PLAIN, "minExtent": 34, "titlePadding": 6}
    y = Axis(unit, ends[0], ends[1], _HEIGHT, title)
    plane, factor = Plane(x, y), UNITS["torque"][unit]
    worst, typical = (_points(times, row / factor) for row in (panel.worst, panel.typical))
    layers = [
        *_capacity(plane, panel, factor),
        layer([{"y": 0.0}], {"type": "rule", "color": FAINT, "strokeWidth": 1}, y=y.encoding("y")),
        plane.curve(worst, dash=_DASH, width=1.2),
        plane.curve(typical, width=2.0),
        *_above(plane, panel),
        *(_key(plane) if first else ()),
    ]
    return plane.spec(layers)


def _points(times: npt.NDArray[np.float64], torques: npt.NDArray[np.float64]) -> list[Spec]:
    """The curve with as many points as can be seen; of every few the one farthest from zero: no peak is lost."""
    every = max(1, len(times) // _POINTS)
    starts = range(0, len(times), every)
    picked = [start + int(np.abs(torques[start : start + every]).argmax()) for start in starts]
    return [{"x": round(float(times[n]), 4), "y": round(float(torques[n]), 3)} for n in picked]


def _capacity(plane: Plane, panel: _Panel, factor: float) -> list[Spec]:
    """What the weakest part bears, in both senses where it lies in the picture."""
    held = panel.bears
    made = []
    for sign in (1.0, -1.0):
        row = {"x": plane.x.low, "x2": plane.x.high}
        row |= {key: sign * end / factor for key, end in (("y", held.low), ("y2", held.high), ("mid", held.middle))}
        if not plane.y.low <= row["mid"] <= plane.y.high:
            continue
        over = {"x": plane.x.encoding("x"), "x2": {"field": "x2"}}
        band = {"type": "rect", "fill": _BAND, "stroke": None, "opacity": 1, "clip": True}
        rule = {"type": "rule", "color": ACCENT, "strokeWidth": 1.4, "strokeDash": [6, 3]}
        made.append(layer([row], band, **over, y=plane.y.encoding("y"), y2={"field": "y2"}))
        made.append(layer([row], rule, **over, y=plane.y.encoding("mid")))
    return made


def _above(plane: Plane, panel: _Panel) -> list[Spec]:
    """Over each panel, at its left: which load it is, and what its weakest part bears."""
    part, name = panel.weakest, capital(panel.load)
    kind = part.words.partition(" of ")[0]
    held = f"{kind} first yields at {_torque(panel.bears, plane.y.title or '')}"
    far = "" if _in_sight(plane, panel) else ", beyond this picture"
    assumed = "" if part.known else " (assumed)"
    base = {"type": "text", "align": "left", "baseline": "bottom"}
    words: list[tuple[float, str, Spec]] = [
        (0.0, name, {"fontWeight": 700, "color": INK}),
        (58.0, f"{held}{assumed}{far}", {"color": ACCENT}),
    ]
    return [
        layer([{}], {**base, "text": text, **look}, x={"value": across}, y={"value": -5})
        for across, text, look in words
    ]


def _in_sight(plane: Plane, panel: _Panel) -> bool:
    """True where the first yield lies in the picture in one sense at least."""
    held = panel.bears.middle / UNITS["torque"][plane.y.title or ""]
    return held <= plane.y.high or -held >= plane.y.low


def _torque(held: Band, unit: str) -> str:
    return f"{tidy(held.middle / UNITS['torque'][unit], 3)} {unit}".replace(" ", HARD).replace("\u202f", HARD)


def _key(plane: Plane) -> list[Spec]:
    """Above the first panel: which line is which, and which way is up."""
    made = []
    for start, text, dash, width in ((0, "typical draw", (1, 0), 2.0), (120, "worst draw", _DASH, 1.2)):
        rule = {"type": "rule", "color": INK, "strokeWidth": width, "strokeDash": list(dash)}
        word = {"type": "text", "align": "left", "color": INK, "text": text}
        made.append(layer([{}], rule, x={"value": start}, x2={"value": start + 24}, y={"value": _KEY}))
        made.append(layer([{}], word, x={"value": start + 30}, y={"value": _KEY}))
    told = {"type": "text", "align": "right", "color": SOFT, "text": "up: pulling forward, down: overrun or reverse"}
    return [*made, layer([{}], told, x={"value": plane.x.pixels}, y={"value": _KEY})]


def _told(event: EventReading, panels: Sequence[_Panel], unit: str) -> str:
    """The greatest torque of each load in both draws and what its weakest part bears."""
    lines = []
    for panel in panels:
        typical, worst = (_peak(row, unit) for row in (panel.typical, panel.worst))
        assumed = "" if panel.weakest.known else " (assumed)"
        held = f"the {panel.weakest.words} first yields at {_torque(panel.bears, unit)}{assumed}"
        lines.append(f"{panel.load}: typical draw {typical}, worst draw {worst}; {held}")
    return (
        f"{event.title}, torque over {tidy(float(event.history.times_s[-1]), 2)} s. {'. '.join(map(capital, lines))}."
    )


def _peak(torques: npt.NDArray[np.float64], unit: str) -> str:
    at = int(np.abs(torques).argmax())
    sense = "pulling" if torques[at] >= 0 else "overrun or reverse"
    told = tidy(abs(float(torques[at])) / UNITS["torque"][unit], 3)
    return f"up to {told}{HARD}{unit.replace(' ', HARD)} ({sense})".replace("\u202f", HARD)
