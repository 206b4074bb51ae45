"""What shakes the train in twist, and how far its shafts then swing."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from beachmark.basis.draws import COUNT
from beachmark.basis.values import Spread, Value
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import Reals, joint_bends
from beachmark.findings.asking import Asking
from beachmark.findings.phase import shaft_phases, unmeasured_phases
from beachmark.mechanics import chain
from beachmark.mechanics.orders import firing_order
from beachmark.mechanics.torsional import TorsionalTrain, natural_frequencies, reduced_train
from beachmark.mechanics.torsional_response import TorsionalDamping, forced_response, joint_order_response
from beachmark.mechanics.tube import polar_moment_m4, torsional_stiffness_nm_rad

JOINT_ORDER = 2.0  # a joint at an angle swings twice a turn
JOINTS, FIRING = "the joints' second order", "the engine's firing order"
_AT_FULL_TORQUE = (
    "the swing from firing is that at full engine torque at every speed, its share of that torque as of six cylinders"
)


def reduced(si: Mapping[str, float], shafts: int, gear: float) -> TorsionalTrain:
    """The train at propeller-shaft speed: engine, gearbox output, every joint, pinion, wheels, vehicle."""
    tubes = [_Tube(si[f"outer{i}"], si[f"outer{i}"] - 2 * si[f"wall{i}"], si[f"length{i}"]) for i in range(shafts)]
    joints = [si["joint"]] * (shafts + 1)
    for i, tube in enumerate(tubes):  # half of a tube turns with each of its joints
        half = tube.inertia(si["density"]) / 2
        joints[i] += half
        joints[i + 1] += half
    joints[0] += si["output"]
    joints[-1] += si["pinion"]
    wheel = 1.0 / si["axle"]
    return reduced_train(
        inertias_kg_m2=[si["engine"], *joints, si["wheels"], si["mass"] * si["radius"] ** 2],
        stiffnesses_nm_rad=[si["clutch"], *(tube.stiffness(si["shear"]) for tube in tubes), si["half"], si["tyres"]],
        station_ratios=[gear, *[1.0] * (shafts + 1), wheel, wheel],
        spring_ratios=[gear, *[1.0] * shafts, wheel, wheel],
    )


@dataclass(frozen=True)
class _Tube:
    """Outside and inside diameter and length, m."""

    outer: float
    inner: float
    length: float

    def stiffness(self, shear_modulus: float) -> float:
        """Twist stiffness, N m/rad."""
        return float(
            torsional_stiffness_nm_rad(
                outer_m=self.outer, inner_m=self.inner, length_m=self.length, shear_modulus_pa=shear_modulus
            )
        )

    def inertia(self, density: float) -> float:
        """Moment of inertia about the axis, kg m2: density times the polar moment of area times the length."""
        return density * float(polar_moment_m4(outer_m=self.outer, inner_m=self.inner)) * self.length


def swinging(shape: Reals) -> str:
    """What swings against what in one shape of the train: its greatest angles of opposite sign, the rear one first.

    Angles are counted at the speed of the shafts, so that no part looks still or lively by its ratio alone.
    """
    between = [f"joint {number}" for number in range(2, len(shape) - 3)]
    names = ["engine", "gearbox output", *between, "pinion", "wheels", "vehicle"]
    front, rear = sorted((int(np.argmax(shape)), int(np.argmin(shape))))
    return f"{names[rear]} against {names[front]}"


@dataclass(frozen=True)
class JointShake:
    """The joints' second order: angle and angle of the driving yoke of every joint, rad."""

    angles: Reals
    yokes: Reals
    order: float = JOINT_ORDER  # periods in a turn of the shafts
    words: str = JOINTS

    def torques(self, line: TorsionalTrain, damping: TorsionalDamping, frequency: float) -> Reals:
        """Amplitudes in all springs, N m, at a frequency, rad/s."""
        shafts = len(self.angles) - 1
        response = joint_order_response(
            train=line,
            damping=damping,
            joint_springs=[*range(1, shafts + 1), shafts],  # the last joint is at the rear of the last shaft
            angles_rad=self.angles,
            drive_yoke_angles_rad=self.yokes,
            speeds_rad_s=frequency / self.order,
        )
        return np.abs(response.spring_torques_nm)


@dataclass(frozen=True)
class FiringShake:
    """The engine's firing order: its torque, N m, and its periods in a turn, both counted at the shafts."""

    torque: float
    order: float
    words: str = FIRING

    def torques(self, line: TorsionalTrain, damping: TorsionalDamping, frequency: float) -> Reals:
        """Amplitudes in all springs, N m, at a frequency, rad/s."""
        loads = [self.torque, *[0.0] * len(line.joined)]  # the engine is the first station
        response = forced_response(train=line, damping=damping, excitation_nm=loads, frequencies_rad_s=frequency)
        return np.abs(response.spring_torques_nm)


Shake = JointShake | FiringShake


@dataclass(frozen=True)
class Shaker:
    """What shakes the train, for inputs and a gear, and the inputs that it has beside those of the train."""

    short: str
    at: Callable[[Mapping[str, float], float], Shake]
    given: Mapping[str, Value | Spread]
    validity: tuple[str, ...]
    steady: float = math.inf  # N m at the engine; a swing above it opens the lash


def _joint_shaker(asking: Asking, train: Train) -> Shaker | None:
    """Needs the angles of all joints."""
    part = asking.part()
    bends, phases = joint_bends(part, train), shaft_phases(part, train)
    if bends is None:
        return None
    asking.inputs |= part.inputs
    angles = bends.angles
    yokes = chain.drive_yoke_angles(phases_rad=phases.rows, bend_plane_rad=bends.planes)
    row = Spread(0.0, 0.0, float(COUNT), np.arange(1, COUNT + 1, dtype=float))  # which draw of the angles

    def at(si: Mapping[str, float], _gear: float) -> Shake:
        return JointShake(angles[int(si["row"])], yokes[int(si["row"])])

    return Shaker("the joints", at, {"row": row}, tuple(unmeasured_phases(train)))


def _firing_shaker(asking: Asking, vehicle: Vehicle) -> Shaker | None:
    """Needs the torque of the engine and its cylinders."""
    engine = vehicle.engine
    if not engine.cylinders or engine.peak_torque is None:
        return None
    order = firing_order(cylinders=engine.cylinders)
    peak = asking.need("vehicle.engine.peak_torque", "greatest engine torque", engine.peak_torque)
    share = asking.need("firing_share", "swing of the firing order over the engine's torque", None, "firing_share")
    if peak is None or share is None:
        return None

    def at(si: Mapping[str, float], gear: float) -> Shake:
        return FiringShake(si["share"] * si["peak"] * gear, order * gear)

    return Shaker("firing", at, {"peak": peak, "share": share}, (_AT_FULL_TORQUE,), peak.si)


def shakers(asking: Asking, vehicle: Vehicle, train: Train) -> tuple[Value | None, list[Shaker]]:
    """Damping, and what shakes the train as far as it is known."""
    joints = _joint_shaker(asking, train)
    damping = asking.need("twist_damping", "damping of the train in twist", None, "twist_damping")
    return damping, [one for one in (joints, _firing_shaker(asking, vehicle)) if one is not None]


def middle(value: Value | Spread) -> float:
    """The nominal value."""
    return value.si if isinstance(value, Value) else value.nominal


@dataclass(frozen=True)
class InGear:
    """The reduced train in one gear and its frequencies that twist it, rad/s."""

    gear: float
    line: TorsionalTrain
    frequencies: Reals


def in_gear(si: Mapping[str, float], shafts: int, gear: float) -> InGear:
    """The train in a gear, from its inputs by their short names."""
    line = reduced(si, shafts, gear)
    return InGear(gear, line, natural_frequencies(train=line).frequencies_rad_s[1:])


def greatest_swing(train: InGear, shake: Shake, damping: float, limits: tuple[float, float]) -> float:
    """Greatest torque amplitude in the shafts over a gear's speeds: at a resonance, or at an end of the speeds."""
    low, high = (shake.order * limit / train.gear for limit in limits)
    inside = [float(mode) for mode in train.frequencies if low <= mode <= high]
    return max(shaft_swing(train.line, shake, damping, frequency) for frequency in (*inside, low, high))


def shaft_swing(line: TorsionalTrain, shake: Shake, damping: float, frequency: float) -> float:
    """Greatest torque amplitude in any shaft, N m, at a frequency, rad/s; damping as a share of the critical one."""
    torques = shake.torques(line, TorsionalDamping(spring_time_s=2.0 * damping / frequency), frequency)
    return float(np.max(torques[1:-2]))  # before them the clutch, behind them half shafts and tyres
