"""Torque swing of the shafts over their speed, by the joints and by the engine's firing, and where each resounds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from beachmark.basis.units import UNITS, tidy
from beachmark.findings.curves import SwingCurve, TwistCrossing, TwistCurves
from beachmark.findings.twist_swing import FIRING, JOINTS
from beachmark.report.charts.plane import LETTER, Axis, Flag, Name, Plane
from beachmark.report.drawing.svg import text_width
from beachmark.report.look import NUMBERS, WIDTH, Spec, chart
from beachmark.report.words import Units

_RPM, _HZ = UNITS["rotation"]["rpm"], UNITS["rotation"]["Hz"]
_LABELS, _NUMBERS, _HEIGHT = 70, 60, 190  # room for names, room for numbers, both across; height of the plot
_LEAST = 1e-3  # N m; smaller is rounding: straight joints force nothing
_UNEVEN = 20.0  # a swing that mostly stays so many times below the greatest would lie on the floor of an even scale
_FEW = 2e3  # so many times its lower end, a scale by powers has room for steps between them
_DECADES = 1e4  # the least that a scale by powers shows, below the greatest
_NAMES = {JOINTS: "joints", FIRING: "firing"}
_DASHES = {JOINTS: (1, 0), FIRING: (6, 3)}


@dataclass(frozen=True)
class PowerAxis(Axis):
    """A scale on which equal steps are equal ratios; both ends above 0."""

    def encoding(self, field: str) -> Spec:
        """The encoding of a field on this scale."""
        found = super().encoding(field)
        return {**found, "scale": {**found["scale"], "type": "log"}}

    def pixel(self, value: float) -> float:
        """How far a value stands from the lower end."""
        return math.log(value / self.low) / math.log(self.high / self.low) * self.pixels

    def at(self, pixel: float) -> float:
        """The value so many pixels from the lower end."""
        return self.low * math.exp(pixel / self.pixels * math.log(self.high / self.low))


def twist_figure(curves: TwistCurves | None, units: Units) -> Spec:
    """Torque swing over shaft speed; empty unless something is known to shake the train."""
    swings = [one for one in curves.swings if one.torques_nm.max() > _LEAST] if curves else []
    if curves is None or not swings:
        return {}
    shown = replace(curves, swings=tuple(swings))
    plane = _plane(shown, units)
    layers, names = plane.flags(_flags(shown)), []
    for swing in swings:
        dash = _DASHES[swing.words]
        places = zip(shown.speeds_rad_s / _RPM, swing.torques_nm / _unit(units), strict=True)
        points = [{"x": float(x), "y": float(y), "line": _NAMES[swing.words]} for x, y in places]
        layers.append(plane.curve(points, dash=dash))
        last = float(swing.torques_nm[-1]) / _unit(units)
        names.append(Name(_NAMES[swing.words], max(last, plane.y.low), dash))
    return chart(plane.spec([*layers, *plane.names(names)]), _told(shown, units))


def _unit(units: Units) -> float:
    return UNITS["torque"][units.unit("torque")]


def _plane(curves: TwistCurves, units: Units) -> Plane:
    first, last = (float(curves.speeds_rad_s[n]) / _RPM for n in (0, -1))
    look = {"labelExpr": NUMBERS, "grid": False, "tickCount": 8}
    speed = Axis("shaft speed, rpm", first, last, _width(first, last, _flags(curves)), look)
    torques = [one.torques_nm / _unit(units) for one in curves.swings]
    greatest, least = (pick(float(pick(one)) for one in torques) for pick in (max, min))
    title, small = f"{units.unit('torque')}, zero to peak", f"datum.value < 10 ? format(datum.value, '~r') : {NUMBERS}"
    if greatest < _UNEVEN * min(float(np.median(one)) for one in torques):
        even = {"labelExpr": small, "tickCount": 5}
        return Plane(speed, Axis(title, 0.0, 1.08 * greatest, _HEIGHT, even))
    low, high = max(least, greatest / _DECADES), 1.3 * greatest
    powers = {"labelExpr": small, "values": _steps(low, high)}
    return Plane(speed, PowerAxis(f"{title}, log scale", low, high, _HEIGHT, powers))


def _width(first: float, last: float, flags: Sequence[Flag]) -> float:
    """Width of the plot, less where the words of a flag far to the right would leave the page."""
    room = WIDTH - _NUMBERS
    shares = [((flag.x - first) / (last - first), text_width(flag.text, LETTER)) for flag in flags]
    return min([room - _LABELS, *((room - words) / share for share, words in shares if share > 0)])


def _steps(low: float, high: float) -> list[float]:
    """Powers of ten between two ends, with twice and five times each where they are few."""
    digits = (1, 2, 5) if high < _FEW * low else (1,)
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    return [step for n in powers for digit in digits if low <= (step := digit * 10.0**n) <= high]


def _flags(curves: TwistCurves) -> list[Flag]:
    return [
        Flag(f"{_NAMES[swing.words]} at {_met(one)}", one.speed_rad_s / _RPM, _DASHES[swing.words])
        for swing in curves.swings
        for one in swing.crossings
    ]


def _met(one: TwistCrossing) -> str:
    return f"frequency {one.mode}, {_rpm(one.speed_rad_s)}"


def _rpm(speed: float) -> str:
    return f"{tidy(speed / _RPM, 3)} rpm".replace("\u202f", "\u00a0").replace(" ", "\u00a0")


def _told(curves: TwistCurves, units: Units) -> str:
    ends = " to ".join(_rpm(float(curves.speeds_rad_s[n])) for n in (0, -1))
    told = [_greatest(swing, curves, units) for swing in curves.swings]
    return f"In the gear of {curves.gear:.2f}, from {ends} of the shafts: {'; '.join(told)}."


def _greatest(swing: SwingCurve, curves: TwistCurves, units: Units) -> str:
    """Where a swing is greatest, how great, and which frequencies its order meets."""
    at = int(swing.torques_nm.argmax())
    torque = units.one(float(swing.torques_nm[at]), "torque")
    told = f"{swing.words} swings them by up to {torque}, at {_rpm(float(curves.speeds_rad_s[at]))}"
    return f"{told}, and meets {_listed(swing.crossings) or 'no natural frequency'}"


def _listed(crossings: Sequence[TwistCrossing]) -> str:
    return " and ".join(
        f"{_met(one)} ({tidy(one.frequency_rad_s / _HZ, 3)} Hz, {one.words})".replace("\u202f", "\u00a0")
        for one in crossings
    )
