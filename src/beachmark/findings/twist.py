"""The whole train in torsion: natural frequencies gear by gear, what meets them, and how far the train then swings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from beachmark.basis.values import Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import Reals
from beachmark.findings.asking import Asking
from beachmark.findings.ranges import spreads_by_draws
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.twist_swing import (
    FIRING,
    JOINT_ORDER,
    JOINTS,
    InGear,
    Shake,
    Shaker,
    greatest_swing,
    in_gear,
    middle,
    reduced,
    shakers,
    swinging,
)
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.orders import firing_order
from beachmark.mechanics.torsional import TorsionalTrain, natural_frequencies
from beachmark.mechanics.torsional_orders import order_crossings

ID = "sum.twist"
TITLE = "Natural frequencies of the train in twist"
_DRAWS, _MEETING_DRAWS = 128, 20
_LEAST_CHANCE, _EVEN, _SURE = 0.1, 0.5, 0.9
_TOLD = 4  # meetings in the sentence
_SHAPES = 3  # frequencies that are told with what swings
_METHOD = (
    "lumped train from engine to vehicle, reduced to the propeller shafts; joint second order and the engine's firing "
    "order against each natural frequency over the speeds that the gear reaches; what swings against what: the two "
    "greatest angles of opposite sign, counted at shaft speed, at nominal inputs"
)
_SOURCE = (
    "Thomson, Theory of Vibration with Applications, ch. 6 and 12 (from memory); agrees with an open torsional library "
    "on two trains within 1e-9"
)
_VALIDITY = (
    "linear: no lash, no slipping clutch, wheels that grip; inertias and stiffnesses that nobody measured are typical "
    "ones with wide ranges, so read the gear and the kind of swing before the figure"
)
_LASH = "the swing from firing exceeds the steady torque in its gear: lash opens, and the figure no longer holds"


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
    swings = _swings(asking, vehicle, train, values, gears, limits) if limits else _Swings()
    return [
        Sum(
            id=ID,
            title=TITLE,
            at=at,
            inputs=tuple(asking.inputs.values()),
            results=(*_frequencies(values, len(train.shafts), gears[-1]), *swings.results),
            sentence=_sentence(met, checked=limits is not None, firing=bool(firing)),
            method=_METHOD,
            source=_SOURCE,
            validity="; ".join([_VALIDITY, *swings.validity]),
        )
    ]


def _frequencies(values: Mapping[str, Value], shafts: int, gear: float) -> list[Quantity]:
    """The lowest natural frequencies in one gear, Hz, each with what swings in it."""

    def at(**si: float) -> list[float]:
        return [float(x) / (2 * math.pi) for x in _natural(si, shafts, gear)[1 : 1 + _SHAPES]]

    found = spreads_by_draws(at, count=_DRAWS, **values)
    shapes = natural_frequencies(train=reduced(_nominal(values), shafts, gear)).shapes.T
    return [
        Quantity(f"natural frequency {mode} in the gear of {gear:.2f}, {swinging(shapes[mode])}", one, "frequency")
        for mode, one in enumerate(found, start=1)
    ]


def _nominal(values: Mapping[str, Value]) -> dict[str, float]:
    return {name: value.si for name, value in values.items()}


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
        orders = {JOINTS: JOINT_ORDER}
        if cylinders:
            orders[FIRING] = firing_order(cylinders=cylinders) * gear
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


@dataclass(frozen=True)
class _Swings:
    """Results, and what limits them, in words."""

    results: Sequence[Quantity] = ()
    validity: Sequence[str] = ()


def _swings(
    asking: Asking,
    vehicle: Vehicle,
    train: Train,
    values: Mapping[str, Value],
    gears: list[float],
    limits: tuple[float, float],
) -> _Swings:
    """Greatest torque swing that each shaker forces on the shafts, in the gear where it is greatest."""
    damping, shaken_by = shakers(asking, vehicle, train)
    if damping is None or not shaken_by:
        return _Swings()
    shafts = len(train.shafts)

    def greatest(si: Mapping[str, float], shaker: Shaker, train_in: InGear) -> float:
        return greatest_swing(train_in, shaker.at(si, train_in.gear), si["damping"], limits)

    given = {name: value for one in shaken_by for name, value in one.given.items()}
    nominal = {**_nominal(values), "damping": damping.si, **{name: middle(value) for name, value in given.items()}}
    trains = [in_gear(nominal, shafts, gear) for gear in gears]
    worst = [max(trains, key=lambda one: greatest(nominal, shaker, one)).gear for shaker in shaken_by]

    def swing(**si: float) -> list[float]:
        drawn = {gear: in_gear(si, shafts, gear) for gear in dict.fromkeys(worst)}
        return [greatest(si, shaker, drawn[gear]) for shaker, gear in zip(shaken_by, worst, strict=True)]

    found = spreads_by_draws(swing, count=_DRAWS, **values, damping=damping, **given)
    results, validity = [], []
    for one, gear, spread in zip(shaken_by, worst, found, strict=True):
        results.append(
            Quantity(f"greatest torque swing from {one.short}, gear of {gear:.2f}, zero to peak", spread, "torque")
        )
        validity += [*one.validity, *([_LASH] if spread.nominal > one.steady * gear else [])]
    return _Swings(results, validity)


@dataclass(frozen=True)
class NominalTwist:
    """The train in its highest gear at nominal inputs, the speeds of its shafts, rad/s, and what shakes it."""

    gear: float
    line: TorsionalTrain
    damping: float
    least_speed: float
    greatest_speed: float
    shakes: tuple[Shake, ...]


def nominal_twist(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> NominalTwist | None:
    """What a chart of the swing needs; None when train, speeds, or all that shakes it are not known."""
    asking = Asking(knowledge)
    values, gears = _train_values(asking, vehicle, train), _gears(asking, vehicle)
    limits = _speed_limits(asking, vehicle)
    damping, shaken_by = shakers(asking, vehicle, train)
    if values is None or not gears or limits is None or damping is None or not shaken_by:
        return None
    gear = gears[-1]
    given = {name: middle(value) for one in shaken_by for name, value in one.given.items()}
    line = reduced(_nominal(values), len(train.shafts), gear)
    shakes = tuple(one.at(given, gear) for one in shaken_by)
    return NominalTwist(gear, line, damping.si, limits[0] / gear, limits[1] / gear, shakes)


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
