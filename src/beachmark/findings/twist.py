"""The whole train in torsion: natural frequencies gear by gear, what meets them, and how far the train then swings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from beachmark.basis.draws import COUNT
from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import Reals, joint_bends
from beachmark.findings.asking import Asking
from beachmark.findings.phase import shaft_phases, unmeasured_phases
from beachmark.findings.ranges import spreads_by_draws
from beachmark.findings.results import Quantity, Sum
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain
from beachmark.mechanics.orders import firing_order
from beachmark.mechanics.torsional import TorsionalTrain, natural_frequencies, reduced_train
from beachmark.mechanics.torsional_orders import order_crossings
from beachmark.mechanics.torsional_response import TorsionalDamping, joint_order_response
from beachmark.mechanics.tube import polar_moment_m4, torsional_stiffness_nm_rad

ID = "sum.twist"
TITLE = "Natural frequencies of the train in twist"
JOINT_ORDER = 2.0  # a joint at an angle swings twice a turn
_DRAWS, _MEETING_DRAWS = 128, 20
_LEAST_CHANCE, _EVEN, _SURE = 0.1, 0.5, 0.9
_TOLD = 4  # meetings in the sentence
_JOINTS = "the joints' second order"
_METHOD = (
    "lumped train from engine to vehicle, reduced to the propeller shafts; joint second order and the engine's firing "
    "order against each natural frequency over the speeds that the gear reaches"
)
_SOURCE = (
    "Thomson, Theory of Vibration with Applications, ch. 6 and 12 (from memory); agrees with an open torsional library "
    "on two trains within 1e-9"
)
_VALIDITY = (
    "linear: no lash, no slipping clutch, wheels that grip; inertias and stiffnesses that nobody measured are typical "
    "ones with wide ranges, so read the gear and the kind of swing before the figure"
)


@dataclass(frozen=True)
class Meeting:
    """An order that meets a natural frequency within the speeds of a gear."""

    gear: float
    order: str  # whose order it is
    mode: int  # 1 is the lowest that twists
    shaft_speed: float  # rad/s, nominal
    chance: float  # share of the draws in which it lies within the gear's speeds


def twist_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Natural frequencies in the highest gear with their ranges, and in every gear what meets them."""
    asking, at = Asking(knowledge), Address("train")
    values = _train_values(asking, vehicle, train)
    gears = _gears(asking, vehicle)
    if values is None or not gears:
        return [asking.lacking(ID, TITLE, at)]
    limits = _speed_limits(asking, vehicle)
    firing = vehicle.engine.cylinders
    met = _meetings(values, len(train.shafts), gears, limits, firing) if limits else []
    swing = _swing(asking, train, values, gears, limits) if limits else []
    return [
        Sum(
            id=ID,
            title=TITLE,
            at=at,
            inputs=tuple(asking.inputs.values()),
            results=(*_frequencies(values, len(train.shafts), gears[-1]), *swing),
            sentence=_sentence(met, checked=limits is not None, firing=bool(firing)),
            method=_METHOD,
            source=_SOURCE,
            validity="; ".join([_VALIDITY, *(unmeasured_phases(train) if swing else [])]),
        )
    ]


def _frequencies(values: Mapping[str, Value], shafts: int, gear: float) -> list[Quantity]:
    """The two lowest natural frequencies in one gear, Hz."""

    def at(**si: float) -> list[float]:
        return [float(x) / (2 * math.pi) for x in _natural(si, shafts, gear)[1:3]]

    found = spreads_by_draws(at, count=_DRAWS, **values)
    return [
        Quantity(f"natural frequency {mode} in the gear of {gear:.2f}", one, "frequency")
        for mode, one in enumerate(found, start=1)
    ]


def _natural(si: Mapping[str, float], shafts: int, gear: float) -> Reals:
    return natural_frequencies(train=reduced(si, shafts, gear)).frequencies_rad_s


def _train_values(asking: Asking, vehicle: Vehicle, train: Train) -> dict[str, Value] | None:
    """Every inertia and stiffness by a short name, or None with what is missing noted."""
    engine, gearbox, axle, tyre = vehicle.engine, vehicle.gearbox, vehicle.axle, vehicle.tyre
    need = asking.need
    asked: dict[str, Value | None] = {
        "engine": need("vehicle.engine.inertia", "inertia of the engine", engine.inertia, "engine_inertia"),
        "clutch": need(
            "vehicle.gearbox.clutch_stiffness", "clutch damper", gearbox.clutch_stiffness, "clutch_stiffness"
        ),
        "output": need(
            "vehicle.gearbox.inertia", "inertia at the gearbox output", gearbox.inertia, "gearbox_output_inertia"
        ),
        "joint": need("joint_inertia", "inertia of a joint", None, "joint_inertia"),
        "shear": need("steel_shear_modulus", "shear modulus", None, "steel_shear_modulus"),
        "density": need("steel_density", "density", None, "steel_density"),
        "pinion": need("vehicle.axle.pinion_inertia", "inertia of the pinion", axle.pinion_inertia, "pinion_inertia"),
        "half": need(
            "vehicle.axle.half_shaft_stiffness", "half shafts", axle.half_shaft_stiffness, "half_shaft_stiffness"
        ),
        "wheels": need("vehicle.axle.wheel_inertia", "inertia of the wheels", axle.wheel_inertia, "wheel_inertia"),
        "tyres": need("vehicle.tyre.twist_stiffness", "tyres in twist", tyre.twist_stiffness, "tyre_twist_stiffness"),
        "mass": need("vehicle.duty.mass", "mass of the vehicle", vehicle.duty.mass, "vehicle_mass"),
        "radius": need("vehicle.tyre.rolling_radius", "tyre rolling radius", tyre.rolling_radius),
        "axle": need("vehicle.axle.ratio", "axle ratio", axle.ratio),
    }
    for i, shaft in enumerate(train.shafts):
        name = f"driveline.shafts[{i}]"
        asked[f"length{i}"] = need(f"{name}.length", "length between joint centres", shaft.length)
        asked[f"outer{i}"] = need(f"{name}.tube.outer_diameter", "tube outside diameter", shaft.tube.outer_diameter)
        asked[f"wall{i}"] = need(f"{name}.tube.wall", "tube wall", shaft.tube.wall)
    found = {name: value for name, value in asked.items() if value is not None}
    return found if len(found) == len(asked) else None


def _gears(asking: Asking, vehicle: Vehicle) -> list[float]:
    """All known forward ratios, the lowest gear first."""
    box = vehicle.gearbox
    named = [
        ("vehicle.gearbox.first_gear", box.first_gear),
        *((f"vehicle.gearbox.gears[{i}].ratio", gear.ratio) for i, gear in enumerate(box.gears)),
        ("vehicle.gearbox.top_gear", box.top_gear),
    ]
    asked = [asking.take(name, "gear ratio", value) for name, value in named]
    known = sorted({value.si for value in asked if value is not None}, reverse=True)
    if not known:
        asking.need("vehicle.gearbox.top_gear", "ratio of the highest gear", None)
    return known


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


def _speed_limits(asking: Asking, vehicle: Vehicle) -> tuple[float, float] | None:
    """Idle and governed engine speed, rad/s."""
    engine = vehicle.engine
    governed = asking.take("vehicle.engine.governed_speed", "governed engine speed", engine.governed_speed)
    idle = asking.need("vehicle.engine.idle_speed", "idle speed", engine.idle_speed, "idle_speed")
    return (idle.si, governed.si) if governed is not None and idle is not None else None


def _meetings(
    values: Mapping[str, Value], shafts: int, gears: list[float], limits: tuple[float, float], cylinders: int | None
) -> list[Meeting]:
    """Where the joints' second order or the firing order meets a natural frequency in so many of the draws."""
    idle, governed = limits
    found = []
    for gear in gears:
        orders = {_JOINTS: JOINT_ORDER}
        if cylinders:
            orders["the engine's firing order"] = firing_order(cylinders=cylinders) * gear
        rows = _drawn_frequencies(values, shafts, gear)
        for words, order in orders.items():
            crossed = order_crossings(
                frequencies_rad_s=rows,
                order=order,
                least_speed_rad_s=idle / gear,
                greatest_speed_rad_s=governed / gear,
            )
            chances = crossed.within[1:].mean(axis=0) if len(rows) > 1 else crossed.within[0].astype(float)
            found += [
                Meeting(gear, words, mode, float(crossed.speeds_rad_s[0, mode]), float(chances[mode]))
                for mode in np.flatnonzero(chances >= _LEAST_CHANCE).tolist()
            ]
    return sorted(found, key=lambda one: -one.chance)


def _drawn_frequencies(values: Mapping[str, Value], shafts: int, gear: float) -> Reals:
    """Natural frequencies, rad/s, a row a draw, the nominal ones first."""
    columns = {
        name: np.concatenate([[value.si], np.full(_MEETING_DRAWS, value.si) if value.sample is None else value.sample])
        for name, value in values.items()
    }
    uncertain = any(value.sample is not None for value in values.values())
    rows = range(1 + _MEETING_DRAWS if uncertain else 1)
    return np.array(
        [_natural({name: float(column[i]) for name, column in columns.items()}, shafts, gear) for i in rows]
    )


def _swing(
    asking: Asking, train: Train, values: Mapping[str, Value], gears: list[float], limits: tuple[float, float]
) -> list[Quantity]:
    """Greatest torque swing that the joints force on the shafts, in the gear where it is greatest; needs angles."""
    part = asking.part()
    bends, phases = joint_bends(part, train), shaft_phases(part, train)
    damping = asking.need("twist_damping", "damping of the train in twist", None, "twist_damping")
    if bends is None or damping is None:
        return []
    asking.inputs |= part.inputs
    idle, governed = limits
    angles, planes = bends.angles, bends.planes
    yokes = chain.drive_yoke_angles(phases_rad=phases.rows, bend_plane_rad=planes)
    nominal = {name: value.si for name, value in values.items()}
    joints = _Joints(angles[0], yokes[0])
    worst = max(gears, key=lambda gear: _greatest_swing(nominal, joints, damping.si, gear, idle, governed))

    def swing(**si: float) -> list[float]:
        row = int(si["row"])
        drawn = _Joints(angles[row], yokes[row])
        return [_greatest_swing(si, drawn, si["damping"], worst, idle, governed)]

    row = Spread(0.0, 0.0, float(COUNT), np.arange(1, COUNT + 1, dtype=float))  # which draw of the angles
    [found] = spreads_by_draws(swing, count=_DRAWS, **values, damping=damping, row=row)
    return [Quantity(f"greatest torque swing from the joints, gear of {worst:.2f}, zero to peak", found, "torque")]


@dataclass(frozen=True)
class _Joints:
    """Angle and driving-yoke angle of every joint."""

    angles: Reals
    yokes: Reals


def _greatest_swing(
    si: Mapping[str, float], joints: _Joints, damping: float, gear: float, idle: float, governed: float
) -> float:
    """Greatest torque amplitude in the shafts over a gear's speeds: at a resonance, or at an end of the speeds."""
    shafts = len(joints.angles) - 1
    line = reduced(si, shafts, gear)
    low, high = idle / gear, governed / gear
    modes = natural_frequencies(train=line).frequencies_rad_s[1:]
    inside = [float(mode) for mode in modes if low <= mode / JOINT_ORDER <= high]
    found = []
    for frequency in (*inside, JOINT_ORDER * low, JOINT_ORDER * high):
        response = joint_order_response(
            train=line,
            damping=TorsionalDamping(spring_time_s=2.0 * damping / frequency),
            joint_springs=[*range(1, shafts + 1), shafts],  # the last joint is at the rear of the last shaft
            angles_rad=joints.angles,
            drive_yoke_angles_rad=joints.yokes,
            speeds_rad_s=frequency / JOINT_ORDER,
        )
        found.append(float(np.max(np.abs(response.spring_torques_nm[..., 1 : shafts + 1]))))
    return max(found)


def _sentence(met: list[Meeting], *, checked: bool, firing: bool) -> str:
    if not checked:
        return "Whether an order meets a frequency was not checked: no governed engine speed is known."
    rest = "" if firing else " The engine's firing order was not checked: its cylinders are not known."
    if not met:
        return f"No order that was checked meets a natural frequency within the speeds of the gears.{rest}"
    told = [_told(one) for one in met[:_TOLD]]
    more = f"; {len(met) - _TOLD} more" if len(met) > _TOLD else ""
    text = "; ".join(told) + more
    return f"{text[0].upper()}{text[1:]}.{rest}"


def _told(one: Meeting) -> str:
    verb = "meets" if one.chance >= _SURE else "probably meets" if one.chance >= _EVEN else "may meet"
    rpm = one.shaft_speed * 30 / math.pi
    return f"in the gear of {one.gear:.2f} {one.order} {verb} frequency {one.mode}, near {rpm:.0f} rpm of the shafts"
