"""Joint angles and excitation over the travel of the suspension, with the worst position named."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypedDict

import numpy as np
import numpy.typing as npt

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Suspension, Vehicle
from beachmark.findings.angles import LEVEL, pieces
from beachmark.findings.asking import Asking
from beachmark.findings.axle_path import PathOf, axle_path
from beachmark.findings.curves import RideCurves
from beachmark.findings.phase import shaft_phases, unmeasured_phases
from beachmark.findings.ranges import spreads_by_draws
from beachmark.findings.results import HeldAgainst, Quantity, Sum
from beachmark.findings.speed import top_shaft_speed
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain
from beachmark.mechanics.travel import (
    AxlePath,
    TravelSweep,
    directions_over_travel,
    travel_sweep,
)

ID = "sum.ride_height"
TITLE = "Angles over the travel of the suspension"
_METHOD = (
    "gearbox and centre bearings stay with the frame, the axle moves on its arms or as it was measured; joint angles "
    "in space and the equivalent angle of the chain at each height, excitation at the top shaft speed"
)
_SOURCE = "plane geometry of arms, checked against a numerical closure; angles and phasors as in the sums above"
_VALIDITY = "no roll, no wind-up of springs under torque, no rubber give; the axle moves straight up and down in plan"
_DRAWS = 128
_UNIT_SPEED = 1.0
_ROOM = {"room_in": "travel left before the slip closes", "room_out": "travel left before the slip comes out"}

Reals = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Sweep:
    """A driveline swept over its travel: the inputs by name, and the sweep at any values of them."""

    values: dict[str, Value | Spread]
    at: Callable[[Mapping[str, float]], Swept]
    has_speed: bool

    def nominal(self) -> Swept:
        """The sweep with every input at its nominal value."""
        return self.at({name: one.si if isinstance(one, Value) else one.nominal for name, one in self.values.items()})


@dataclass(frozen=True)
class Swept:
    """One sweep with its heights: those of the axle above its place at ride height."""

    heights_m: Reals
    found: TravelSweep
    lengths_m: Reals  # of the last shaft between its joints

    @property
    def worst_m(self) -> float:
        """Height of the greatest equivalent angle."""
        return float(self.heights_m[int(np.argmax(self.found.equivalent_angle_rad))])

    def level(self, values: Reals) -> float:
        """What stands at ride height."""
        return float(np.interp(0.0, self.heights_m, values))

    def numbers(self) -> tuple[float, ...]:
        """Greatest excitation, excitation at ride height, greatest angles, least angle, travel of the slip."""
        found, angles = self.found, self.found.joint_angles_rad
        shaken = np.asarray(found.torsional_acceleration_rad_s2)
        return (
            float(np.max(shaken)),
            self.level(shaken),
            float(np.max(found.equivalent_angle_rad)),
            float(np.max(angles)),
            float(np.min(angles)),
            found.slip_travel_m,
            self.level(self.lengths_m) - float(np.min(self.lengths_m)),
            float(np.max(self.lengths_m)) - self.level(self.lengths_m),
        )


def ride_height_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """The worst height of the travel; nothing when nothing of the suspension is known."""
    if vehicle.suspension == Suspension():
        return []
    asking, at = Asking(knowledge), Address("train")
    sweep = ride_sweep(asking, vehicle, train)
    if sweep is None:
        return [asking.lacking(ID, TITLE, at)]
    swept, limit = sweep.nominal(), knowledge.limits["torsional_excitation"]
    results = _results(sweep, swept)
    room = _room(asking, train, results)
    verdict = _verdict(results[0].spread, limit.value) if sweep.has_speed else ""
    told = _sentence(swept, knowledge.limits["least_joint_angle"].si, unmeasured_phases(train), verdict)
    notes = [_VALIDITY, *unmeasured_phases(train), *_contradiction(vehicle.suspension, train)]
    return [
        Sum(
            id=ID,
            title=TITLE,
            at=at,
            inputs=tuple(asking.inputs.values()),
            results=tuple(results),
            held_against=HeldAgainst(limit.words, limit.value) if sweep.has_speed else None,
            sentence=told + room,
            method=_METHOD,
            source=_SOURCE,
            validity="; ".join(notes),
        )
    ]


def ride_sweep(asking: Asking, vehicle: Vehicle, train: Train) -> Sweep | None:
    """The driveline over its travel, or None with what is missing noted."""
    values = _line_values(asking, train)
    found = axle_path(asking, vehicle.suspension)
    part = asking.part()
    speed = top_shaft_speed(part, vehicle)
    if speed is not None:
        asking.inputs |= part.inputs
    if values is None or found is None:
        return None
    path_values, path_of = found
    nose = asking.need("pinion_nose", "pinion joint ahead of the axle's centre", None, "pinion_nose")
    phases = _phase_values(asking, train)
    everything: dict[str, Value | Spread] = {**values, **path_values, **phases}
    everything |= {"nose": nose} if nose else {}
    everything["speed"] = speed or Spread(_UNIT_SPEED, _UNIT_SPEED, _UNIT_SPEED)
    shafts = len(train.shafts)
    return Sweep(everything, lambda si: _swept(si, shafts, path_of), speed is not None)


def _phase_values(asking: Asking, train: Train) -> dict[str, Spread]:
    """Phase of each shaft's rear yoke with its draws; not known is in line."""
    rows = shaft_phases(asking, train).rows
    found = {}
    for k, column in enumerate(rows.T):
        low, high = float(column.min()), float(column.max())
        found[f"phase{k}"] = Spread(float(column[0]), low, high, column[1:] if low < high else None)
    return found


def _contradiction(suspension: Suspension, train: Train) -> list[str]:
    """A pinion slope at ride height that differs from the one of the driveline by more than both errors."""
    stated = train.axle_end.slope
    for one in suspension.measured:
        slope, height = one.pinion_slope, one.height
        if stated is None or slope is None or height is None or height.si != 0.0:
            continue
        if slope.low > stated.high or slope.high < stated.low:
            return ["the pinion slope at ride height is not the one stated for the axle: only its change is used here"]
    return []


def _line_values(asking: Asking, train: Train) -> dict[str, Value] | None:
    """Slopes, plan angles and lengths under short names: from them follow the joints as points."""
    found: dict[str, Value | None] = {}
    for i, (name, words, piece) in enumerate(pieces(train)):
        found[f"slope{i}"] = asking.need(f"{name}.slope", f"slope of the {words} in side view", piece.slope)
        found[f"plan{i}"] = asking.take(f"{name}.plan", f"plan of the {words}", piece.plan) or LEVEL
    for i, shaft in enumerate(train.shafts):
        found[f"length{i}"] = asking.need(f"driveline.shafts[{i}].length", "length between joint centres", shaft.length)
    known = {name: value for name, value in found.items() if value is not None}
    return known if len(known) == len(found) else None


def _swept(si: Mapping[str, float], shafts: int, path_of: PathOf) -> Swept:
    slopes, plans = ([si[f"{view}{i}"] for i in range(shafts + 2)] for view in ("slope", "plan"))
    directions = chain.direction(slope_rad=np.array(slopes), plan_rad=np.array(plans))
    lengths = np.array([si[f"length{i}"] for i in range(shafts)])
    joints = np.concatenate([np.zeros((1, 3)), np.cumsum(lengths[:, None] * directions[1:-1], axis=0)])
    heights, path = path_of(si)
    line: _Line = {
        "path": path,
        "input_direction": directions[0],
        "frame_joints_m": joints[:-1],
        "rear_joint_m": joints[-1],
        "path_point_m": joints[-1] + si["nose"] * directions[-1],
        "pinion_direction": directions[-1],
    }
    found = travel_sweep(
        **line,
        phases_rad=np.array([si[f"phase{k}"] for k in range(shafts)]),
        speed_rad_s=si["speed"],
    )
    return Swept(heights, found, directions_over_travel(**line)[1])


class _Line(TypedDict):
    """A driveline at ride height and the path of its axle, as the travel's functions take them."""

    path: AxlePath
    input_direction: Reals
    frame_joints_m: Reals
    rear_joint_m: Reals
    path_point_m: Reals
    pinion_direction: Reals


def _room(asking: Asking, train: Train, results: list[Quantity]) -> str:
    """Whether the slip of the last shaft has the room that the travel asks of it; nothing where no room is stated."""
    last = len(train.shafts) - 1
    slip, name = train.shafts[last].slip, f"driveline.shafts[{last}].slip"
    if slip is None:
        return ""
    closes, opens = results[-2].spread, results[-1].spread
    told = []
    for key, stated, asked, bad in (
        ("room_in", slip.room_in, closes, "The slip closes within the travel: it would push along the shafts."),
        ("room_out", slip.room_out, opens, "The slip comes out within the travel: stop and measure before it runs."),
    ):
        room = asking.take(f"{name}.{key}", _ROOM[key], stated)
        if room is not None and asked.high > room.low:
            told.append(bad if asked.low > room.high else f"{bad[:-1]}, if the ranges fall badly.")
    return "".join(f" {text}" for text in told)


def _results(sweep: Sweep, swept: Swept) -> list[Quantity]:
    spreads = spreads_by_draws(lambda **si: sweep.at(si).numbers(), count=_DRAWS, **sweep.values)
    shaken, level, equivalent, steep, least, slip, closes, opens = spreads
    worst, angles = height_words(swept.worst_m), swept.found.joint_angles_rad
    results = []
    if sweep.has_speed:
        results.append(Quantity(f"greatest torsional excitation, rad/s², {worst}", shaken, "number"))
        results.append(Quantity("at ride height, rad/s²", level, "number"))
    return [
        *results,
        Quantity(f"greatest equivalent angle, {worst}", equivalent, "angle"),
        Quantity(f"greatest working angle, {_joint_at(swept, int(np.argmax(angles)))}", steep, "angle"),
        Quantity(f"least working angle, {_joint_at(swept, int(np.argmin(angles)))}", least, "angle"),
        Quantity("travel that the slip of the last shaft takes up", slip, "length"),
        Quantity("of it from ride height toward closing", closes, "length"),
        Quantity("of it from ride height toward coming out", opens, "length"),
    ]


def _joint_at(swept: Swept, place: int) -> str:
    row, joint = divmod(place, swept.found.joint_angles_rad.shape[1])
    return f"joint {joint + 1}, {height_words(float(swept.heights_m[row]))}"


def height_words(height_m: float) -> str:
    """A height of the axle in words."""
    if abs(height_m) < 5e-4:
        return "at ride height"
    return f"with the axle {abs(height_m) * 1e3:.0f} mm {'up' if height_m > 0 else 'down'}"


def _verdict(worst: Spread, limit: Value) -> str:
    """Where the worst of the travel stands to the limit and the band in which practice disputes it."""
    if worst.high <= limit.low:
        return " There it stays within the stricter limit."
    if worst.low > limit.high:
        return " There it lies above the wider limit: a vehicle that runs at that height for long is shaken."
    return " There it reaches into the limits that practice disputes: a vehicle that runs at that height may be shaken."


def _sentence(swept: Swept, least: float, taken: list[str], verdict: str) -> str:
    found = swept.found
    level = swept.level(found.equivalent_angle_rad)
    times = (float(np.max(found.equivalent_angle_rad)) / level) ** 2 if level > 0 else math.inf
    where = height_words(swept.worst_m)
    if where == "at ride height":
        text = "The excitation is worst at ride height itself; the travel makes it no worse."
    elif times < 10:
        text = f"The excitation is worst {where}: {times:.1f} times that at ride height."
    else:
        text = f"The excitation is worst {where}, while at ride height it nearly cancels."
    text += verdict
    at_rest = [swept.level(column) for column in found.joint_angles_rad.T]
    straight = [str(i + 1) for i, angle in enumerate(at_rest) if angle < least]
    if straight:
        text += f" At ride height joint {' and '.join(straight)} runs under the least angle that keeps needles rolling."
    return f"{text} Not to be relied on yet: {taken[0]}." if taken else text


def ride_curves(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> RideCurves | None:
    """Angles and excitation over the travel at nominal values, for the chart; None when the travel is not known."""
    if vehicle.suspension == Suspension():
        return None
    try:
        sweep = ride_sweep(Asking(knowledge), vehicle, train)
        swept = sweep.nominal() if sweep else None
    except (ValueError, ArithmeticError):  # the sums say which number lies outside the range of the method
        return None
    if sweep is None or swept is None:
        return None
    shaken = np.asarray(swept.found.torsional_acceleration_rad_s2)
    return RideCurves(
        heights_m=swept.heights_m,
        joint_angles_rad=swept.found.joint_angles_rad,
        excitation_rad_s2=shaken if sweep.has_speed else None,
        worst_height_m=swept.worst_m,
        worst_words=f"excitation is worst {height_words(swept.worst_m)}",
    )
