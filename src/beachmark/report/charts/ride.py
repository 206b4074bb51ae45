"""Joint angles, and the excitation that they leave, from droop to bump."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from beachmark.basis.units import UNITS, tidy
from beachmark.findings.curves import Reals, RideCurves
from beachmark.knowledge.model import Knowledge, Limit
from beachmark.report.charts.plane import Axis, Flag, Name, Plane
from beachmark.report.look import ACCENT, NUMBERS, WIDTH, Spec, chart, layer
from beachmark.report.words import Units

_LABELS = 90
_ANGLES, _EXCITATION = 170, 130  # heights in pixels
_SPACE = 18  # between the two
_DEGREE = UNITS["angle"]["deg"]
_DASHES = ((1, 0), (6, 3), (2, 2), (9, 3, 2, 3), (1, 3), (12, 4), (4, 1))  # of joints 1 to 7
_BAND = "#f6e8dc"  # the accent, pale: still grey in print
_SAME = 1e-3  # m; nearer to ride height is ride height


def ride_figure(curves: RideCurves | None, knowledge: Knowledge, units: Units) -> Spec:
    """Angle of each joint over ride height, the excitation below it; empty when the travel is not known."""
    if curves is None or len(curves.heights_m) < 2 or not curves.joint_angles_rad.size:
        return {}
    curves = _rising(curves)
    shake = curves.excitation_rad_s2
    panels = [_angles(curves, knowledge, units, _heights(curves, units, titled=shake is None))]
    if shake is not None:
        limit = knowledge.limits["torsional_excitation"]
        panels.append(_shaken(curves, shake, limit, _heights(curves, units, titled=True)))
    body = panels[0] if len(panels) == 1 else {"vconcat": panels, "spacing": _SPACE}
    return chart(body, _told(curves, knowledge, units))


def _rising(curves: RideCurves) -> RideCurves:
    """The same with the heights from droop to bump."""
    order, shake = np.argsort(curves.heights_m), curves.excitation_rad_s2
    return RideCurves(
        curves.heights_m[order],
        curves.joint_angles_rad[order],
        None if shake is None else shake[order],
        curves.worst_height_m,
        curves.worst_words,
    )


def _heights(curves: RideCurves, units: Units, *, titled: bool) -> Axis:
    """The common scale; its numbers are in the reader's unit, its values in metres."""
    unit = units.unit("length")
    low, high = float(curves.heights_m[0]), float(curves.heights_m[-1])
    look = {"values": _round_heights(low, high, UNITS["length"][unit]), "labels": titled, "labelExpr": _in_unit(unit)}
    title = f"axle above its place at ride height, {unit}: droop to the left, bump to the right"
    return Axis(title if titled else None, low, high, WIDTH - _LABELS - 45, look)


def _round_heights(low: float, high: float, unit: float) -> list[float]:
    """Round heights in metres, about eight of them, zero among them."""
    least = (high - low) / unit / 8
    power = 10.0 ** np.floor(np.log10(least))
    step = next(power * digit for digit in (1, 2, 5, 10) if power * digit >= least * (1 - 1e-9))
    return [
        float(n * step * unit) for n in range(int(np.ceil(low / unit / step)), int(np.floor(high / unit / step)) + 1)
    ]


def _in_unit(unit: str) -> str:
    return f"replace(format(datum.value / {UNITS['length'][unit]!r}, '~r'), '-', '\u2212')"


def _angles(curves: RideCurves, knowledge: Knowledge, units: Units, heights: Axis) -> Spec:
    limits = {"least": knowledge.limits["least_joint_angle"], "large": knowledge.limits["large_joint_angle"]}
    rules = [(f"{word} {tidy(limit.si / _DEGREE)}°", limit.si / _DEGREE) for word, limit in limits.items()]
    degrees = curves.joint_angles_rad / _DEGREE
    top = 1.12 * max(float(degrees.max()), *(at for _, at in rules))
    plane = Plane(heights, Axis("joint angle, deg", 0.0, top, _ANGLES, {"tickCount": 5}))
    layers, names = _limits(plane, rules), []
    layers += plane.flags(_marks(curves, heights, units), leftward=_late(curves))
    for joint in range(degrees.shape[1]):
        name, dash = f"joint {joint + 1}", _DASHES[joint % len(_DASHES)]
        layers.append(plane.curve(_points(curves, degrees[:, joint], name), dash=dash))
        names.append(Name(name, float(degrees[-1, joint]), dash))
    return plane.spec([*layers, *plane.names(names)])


def _shaken(curves: RideCurves, shake: Reals, limit: Limit, heights: Axis) -> Spec:
    low, high = limit.value.low, limit.value.high
    axis = {"tickCount": 4, "labelExpr": NUMBERS}
    plane = Plane(heights, Axis("rad/s², zero to peak", 0.0, 1.12 * max(float(shake.max()), high), _EXCITATION, axis))
    ends = {"x": heights.low, "x2": heights.high, "y": low, "y2": high}
    band = {"type": "rect", "fill": _BAND, "opacity": 1}
    layers = [layer([ends], band, **plane.encoded(x2={"field": "x2"}, y2={"field": "y2"}))]
    layers += _limits(plane, [(f"limit {tidy(limit.si)} ({tidy(low)} to {tidy(high)})", limit.si)])
    layers += plane.flags(_marks(curves, heights, None), leftward=_late(curves))
    layers.append(plane.curve(_points(curves, shake, "excitation"), width=2.4))
    return plane.spec([*layers, *plane.names([Name("excitation", float(shake[-1]))])])


def _points(curves: RideCurves, values: Reals, line: str) -> list[Spec]:
    return [{"x": float(x), "y": float(y), "line": line} for x, y in zip(curves.heights_m, values, strict=True)]


def _late(curves: RideCurves) -> bool:
    """True when the worst place stands in the right half: its words then run to the left."""
    return curves.worst_height_m > float(curves.heights_m[0] + curves.heights_m[-1]) / 2


def _limits(plane: Plane, limits: Sequence[tuple[str, float]]) -> list[Spec]:
    rows = [{"x": plane.x.low, "y": at, "text": text} for text, at in limits]
    line = {"type": "rule", "color": ACCENT, "strokeWidth": 1, "strokeDash": [2, 2]}
    return [layer(rows, line, y=plane.y.encoding("y")), *plane.words(rows, align="left", dx=4, dy=-7, color=ACCENT)]


def _marks(curves: RideCurves, heights: Axis, units: Units | None) -> list[Flag]:
    """Upright lines at ride height and at the worst height; with units they say which is which."""
    worst, level = curves.worst_height_m, heights.low <= 0.0 <= heights.high
    at_ride = abs(worst) < _SAME
    flags = [Flag("ride height" if units else "", 0.0)] if level and not at_ride else []
    told = f"worst{'' if at_ride else ','} {_height(worst, units)}" if units else ""
    return [*flags, Flag(told, worst, width=2.0, weight=600)]


def _told(curves: RideCurves, knowledge: Knowledge, units: Units) -> str:
    least, most = float(curves.joint_angles_rad.min()), float(curves.joint_angles_rad.max())
    large = knowledge.limits["large_joint_angle"].si
    told = (
        f"From {_height(curves.heights_m[0], units)} to {_height(curves.heights_m[-1], units)} the joint angles lie "
        f"between {tidy(least / _DEGREE, 2)}° and {tidy(most / _DEGREE, 2)}°, large from {tidy(large / _DEGREE)}°"
    )
    shake = curves.excitation_rad_s2
    if shake is not None:
        limit = knowledge.limits["torsional_excitation"].si
        told += f"; the excitation reaches {tidy(float(shake.max()), 3)} rad/s² against a limit of {tidy(limit)}"
    return f"{told}; {curves.worst_words.strip().rstrip('.')}."


def _height(height_m: float, units: Units) -> str:
    if abs(height_m) < _SAME:
        return "at ride height"
    return f"{units.one(abs(float(height_m)), 'length')} {'up' if height_m > 0 else 'down'}"
