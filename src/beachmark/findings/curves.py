"""What charts show beyond the sums, as plain numbers: uneven turning, whirl and twist over speed, ride height."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from beachmark.basis.values import Spread, Value
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import Bends, joint_bends
from beachmark.findings.asking import Asking
from beachmark.findings.phase import shaft_phases
from beachmark.findings.ranges import spread
from beachmark.findings.results import Sum
from beachmark.findings.speed import shaft_speed_at
from beachmark.findings.strength import peak_torque
from beachmark.findings.twist import NominalTwist, nominal_twist
from beachmark.findings.twist_swing import Shake, shaft_swing, swinging
from beachmark.findings.whirl_line import gear_speeds, moves, nominal_line
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain
from beachmark.mechanics.beam import BeamLine, WhirlModes, critical_speeds, speed_diagram, whirl_modes
from beachmark.mechanics.hooke import arm_force_n
from beachmark.mechanics.torsional import natural_frequencies
from beachmark.mechanics.torsional_orders import order_crossings
from beachmark.mechanics.trunnion import arm_root_bending_pa

Reals = npt.NDArray[np.float64]
Curves = TypeVar("Curves")
_TURN_POINTS = 361  # one a degree
_STEP = 1e-5  # rad to both sides for the slope of the motion: its error is far below a millionth
_SPEED_POINTS = 41
_SWING_POINTS = 121  # evenly over the speeds
_PEAK = np.linspace(-6.0, 6.0, 49)  # and about each peak: half its height lies some two of these units off, its damping
_MODES = 4  # of the speed diagram; more when the lowest that bends a shaft lies higher
BEYOND = 1.15  # the speed diagram ends so far beyond the greater of fastest and lowest critical speed


@dataclass(frozen=True)
class RideCurves:
    """Angles of all joints and the excitation over the height of the axle; 0 is ride height, bump is positive."""

    heights_m: Reals  # (n,)
    joint_angles_rad: Reals  # (n, joints)
    excitation_rad_s2: Reals | None  # (n,)
    worst_height_m: float
    worst_words: str


@dataclass(frozen=True)
class RatioCurves:
    """Speed of every shaft, the pinion last, over that of the gearbox output, for one turn of the output."""

    turn_rad: Reals  # (n,)
    ratios: Reals  # (n, shafts + 1)
    assumptions: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Name of each column."""
        return (*(f"shaft {number}" for number in range(1, self.ratios.shape[1])), "pinion")


@dataclass(frozen=True)
class Crossing:
    """A speed at which an excitation of so many cycles a turn meets a forward whirl."""

    order: int
    speed_rad_s: float
    mode: int  # column of the whirl that is met
    words: str  # what moves in it
    bends: bool  # False: it bounces in the rubber of a centre bearing


@dataclass(frozen=True)
class WhirlCurves:
    """Whirl of the nominal line over shaft speed, where orders 1 and 2 meet it, and the speeds that are reached."""

    speeds_rad_s: Reals  # (n,)
    forward_rad_s: Reals  # (n, modes)
    backward_rad_s: Reals  # (n, modes)
    words: tuple[str, ...]  # what moves in each mode
    crossings: tuple[Crossing, ...]  # of the speeds and modes shown: order 1, then 2, each lowest first
    reached: tuple[tuple[str, Spread], ...]  # gears, top road speed, downhill, at the event

    def lowest(self, order: int) -> Crossing | None:
        """Where an order first meets a whirl that bends the line."""
        return next((one for one in self.crossings if one.order == order and one.bends), None)

    @property
    def fastest(self) -> tuple[str, Spread] | None:
        """The greatest speed that is known to be reached."""
        return max(self.reached, key=lambda one: one[1].nominal) if self.reached else None


@dataclass(frozen=True)
class TwistCrossing:
    """A speed of the shafts at which an order meets a natural frequency of the train in twist."""

    speed_rad_s: float
    mode: int  # 1 is the lowest that twists
    frequency_rad_s: float
    words: str  # what swings against what


@dataclass(frozen=True)
class SwingCurve:
    """Greatest torque amplitude in any shaft over speed, forced by one order, and where that meets a frequency."""

    words: str  # whose order
    torques_nm: Reals  # (n,)
    crossings: tuple[TwistCrossing, ...]


@dataclass(frozen=True)
class TwistCurves:
    """Swing of the shafts in the highest gear from idle to governed speed, at nominal inputs."""

    gear: float
    speeds_rad_s: Reals  # (n,) of the shafts
    swings: tuple[SwingCurve, ...]  # joints, then firing, as far as they are known


def ratio_curves(knowledge: Knowledge, train: Train) -> RatioCurves | None:
    """How unevenly every shaft turns while the gearbox output turns steadily, by the exact motion of the chain.

    None unless all angles and the phase of every shaft are known: a phase that nobody measured may be the fault.
    """
    return _or_none(lambda: _ratio_curves(Asking(knowledge), Asking(knowledge), train))


def _ratio_curves(asking: Asking, asked_phases: Asking, train: Train) -> RatioCurves | None:
    bends, phases = joint_bends(asking, train), shaft_phases(asked_phases, train)
    if bends is None or len(asked_phases.inputs) < len(train.shafts):
        return None
    directions = _directions(bends)
    turn = np.linspace(0.0, 2 * math.pi, _TURN_POINTS)
    ratios = [
        _slope(directions[: last + 1], phases.rows[0, : last - 1], turn) for last in range(1, len(train.shafts) + 2)
    ]
    return RatioCurves(turn, np.stack(ratios, axis=1), bends.assumptions)


def _slope(directions: Reals, phases: Reals, turn: Reals) -> Reals:
    """Speed of the last shaft over that of the first: the slope of one angle over the other."""
    after, before = (
        chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=turn + step)
        for step in (_STEP, -_STEP)
    )
    return np.asarray((after - before) / (2 * _STEP), dtype=np.float64)


def _directions(bends: Bends) -> Reals:
    """Nominal directions of all shafts: as measured, or any line in space that has these angles and bend planes."""
    if bends.directions is not None:
        return np.asarray(bends.directions[0], dtype=np.float64)
    return directions_of(angles_rad=bends.angles[0], bend_planes_rad=bends.planes[0])


def directions_of(*, angles_rad: Reals, bend_planes_rad: Reals) -> Reals:
    """Directions, the first along x, that have these joint angles and bend planes: the inverse of `bend_planes`.

    Units: rad; one row of (x, y, z) a shaft. Source: derived (a frame carried along without twist).
    """
    along, first = np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])
    rows = [along]
    for angle, plane in zip(angles_rad, bend_planes_rad, strict=True):
        sideways = math.cos(plane) * first + math.sin(plane) * np.cross(along, first)
        across = np.cross(along, sideways)  # the joint turns the frame about this axis
        turned = math.cos(angle) * along + math.sin(angle) * sideways
        bent = math.cos(angle) * sideways - math.sin(angle) * along
        first = float(first @ sideways) * bent + float(first @ across) * across
        along = turned
        rows.append(along)
    return np.stack(rows)


def whirl_curves(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> WhirlCurves | None:
    """The speed diagram of the whole line at nominal values; None when tubes or lengths are not known."""
    return _or_none(lambda: _whirl_curves(knowledge, vehicle, train))


def _whirl_curves(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> WhirlCurves | None:
    line = nominal_line(knowledge, train)
    if line is None:
        return None
    reached = _reached(Asking(knowledge), vehicle)
    found = _diagram(line, max((speed.nominal for _, speed in reached), default=0.0))
    return replace(found, reached=reached) if found else None


@lru_cache(maxsize=32)
def _diagram(line: BeamLine, fastest_rad_s: float) -> WhirlCurves | None:
    """The diagram without the speeds that are reached; None when no whirl bends the line."""
    count = 2 * len(line.shafts) + 2
    met = {order: critical_speeds(line=line, order=order, count=count) for order in (1, 2)}
    crossings = [one for order, found in met.items() for one in _crossings(line, order, found.spins_rad_s, found.modes)]
    lowest = next((one.speed_rad_s for one in crossings if one.order == 1 and one.bends), None)
    if lowest is None:
        return None
    last = BEYOND * max(lowest, fastest_rad_s)
    modes = whirl_modes(line=line, spin_rad_s=last, count=count)
    told = [moves(line, modes, mode) for mode in range(len(modes.speeds_rad_s))]
    shown = max(_MODES, 1 + next(mode for mode, (_, bends) in enumerate(told) if bends))
    diagram = speed_diagram(line=line, spins_rad_s=np.linspace(0.0, last, _SPEED_POINTS), count=shown)
    return WhirlCurves(
        diagram.spins_rad_s,
        diagram.forward_rad_s,
        diagram.backward_rad_s,
        tuple(words for words, _ in told[:shown]),
        tuple(one for one in crossings if one.speed_rad_s <= last and one.mode < shown),
        reached=(),
    )


def _crossings(line: BeamLine, order: int, speeds: Reals, modes: WhirlModes) -> list[Crossing]:
    return [Crossing(order, float(speed), mode, *moves(line, modes, mode)) for mode, speed in enumerate(speeds)]


def _reached(asking: Asking, vehicle: Vehicle) -> tuple[tuple[str, Spread], ...]:
    duty = vehicle.duty
    road = [
        (words, shaft_speed_at(asking.part(), vehicle, speed, name, words))
        for name, words, speed in (
            ("top_speed", "top road speed", duty.top_speed),
            ("overspeed", "overspeed downhill", duty.overspeed),
            ("event_speed", "at the event", duty.event_speed),
        )
    ]
    return (*gear_speeds(asking, vehicle), *((words, speed) for words, speed in road if speed is not None))


def twist_curves(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> TwistCurves | None:
    """Torque swing of the shafts over their speed; None when train, speeds, or all that shakes it are not known."""
    return _or_none(lambda: _twist_curves(nominal_twist(knowledge, vehicle, train)))


def _twist_curves(twist: NominalTwist | None) -> TwistCurves | None:
    if twist is None or twist.least_speed >= twist.greatest_speed:
        return None
    low, high = twist.least_speed, twist.greatest_speed
    met = [_met_in_twist(twist, shake) for shake in twist.shakes]
    peaks = [one.speed_rad_s * (1.0 + twist.damping * _PEAK) for found in met for one in found]
    speeds = np.unique(np.concatenate([np.linspace(low, high, _SWING_POINTS), *peaks]))
    speeds = speeds[(speeds >= low) & (speeds <= high)]
    swings = [
        SwingCurve(
            shake.words,
            np.array([shaft_swing(twist.line, shake, twist.damping, shake.order * float(w)) for w in speeds]),
            found,
        )
        for shake, found in zip(twist.shakes, met, strict=True)
    ]
    return TwistCurves(twist.gear, speeds, tuple(swings))


def _met_in_twist(twist: NominalTwist, shake: Shake) -> tuple[TwistCrossing, ...]:
    modes = natural_frequencies(train=twist.line)
    crossed = order_crossings(
        frequencies_rad_s=modes.frequencies_rad_s,
        order=shake.order,
        least_speed_rad_s=twist.least_speed,
        greatest_speed_rad_s=twist.greatest_speed,
    )
    return tuple(
        TwistCrossing(
            float(crossed.speeds_rad_s[mode]),
            mode,
            float(modes.frequencies_rad_s[mode]),
            swinging(modes.shapes[:, mode]),
        )
        for mode in np.flatnonzero(crossed.within).tolist()
    )


def hard_use_peak(knowledge: Knowledge, vehicle: Vehicle) -> Value | None:
    """Peak torque of ordinary hard use, N m, that the strength sums take; None when no path of torque is known."""
    return _or_none(lambda: peak_torque(Asking(knowledge), vehicle))


def arm_root_torque(result: Sum) -> Spread | None:
    """Torque at which the arm root of a computed `finding.trunnion_static` yields once; None when it lacks an input.

    Stress rises in proportion to torque, so that it is the strength over the stress of one newton metre.
    """
    given = {one.name.rpartition(".")[2]: one.value for one in result.inputs if ".cross." in one.name}
    names = ("arm_radius", "trunnion_diameter", "root_distance", "yield_stress")
    if any(name not in given for name in names):
        return None
    radius, diameter, arm, strength = (given[name] for name in names)
    return spread(
        lambda radius, diameter, arm, strength, bore: (
            strength
            / arm_root_bending_pa(
                force_n=arm_force_n(torque_nm=1.0, arm_radius_m=radius), arm_m=arm, diameter_m=diameter, bore_m=bore
            )
        ),
        radius=radius,
        diameter=diameter,
        arm=arm,
        strength=strength,
        bore=given.get("grease_bore", Value.exact(0.0, "length")),
    )


def _or_none(make: Callable[[], Curves | None]) -> Curves | None:
    """What is made, or nothing where a number lies outside the range of the method: the sums say which one."""
    try:
        return make()
    except (ValueError, ArithmeticError):
        return None
