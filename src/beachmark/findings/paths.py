"""Every path by which torque comes into the driveline, in drive and on overrun, and which of them governs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.ranges import spread
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.torque import GRAVITY, AxleOf, axle_grip, engine_torque, second_axle, second_axle_grip
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.torque_limits import (
    axle_slip_mismatch,
    brake_lock_torque,
    coast_grip_torque,
    curve_slip_mismatch,
    grade_demand_torque,
    retarder_shaft_torque,
    wind_up_torque,
)
from beachmark.mechanics.torque_path import engine_path_torque
from beachmark.mechanics.tube import torsional_stiffness_nm_rad

ID = "sum.torque_paths"
TITLE = "Every path of torque, and which governs"
SURFACES = ("dry", "wet", "loose", "snow")  # typical ids grip_dry, ...
_METHOD = (
    "engine by gear, tyres by surface, slope, retarder and a sudden stop of the wheels, each as torque in the shaft "
    "behind the gearbox; what winds up between two axles is torque in the shaft between them; the least of what drives "
    "and what holds governs"
)
_SOURCE = (
    "Gillespie, Fundamentals of Vehicle Dynamics, chapter 2 (from memory); balance of torque, slip and energy, derived"
)
_VALIDITY = (
    "steady pull, but for the sudden stop, which is an upper bound with the clutch held; two driven axles are taken as "
    "locked together, an open differential between them passes less"
)


@dataclass(frozen=True)
class Path:
    """One path: `sense` is drive, overrun, reverse or between the axles; `caps` tells a limit from a demand."""

    words: str
    torque: Spread
    sense: str
    caps: bool = True


def path_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """All paths that are known; nothing before the axle's load, ratio and tyres are."""
    if vehicle.axle.load is None or vehicle.axle.ratio is None or vehicle.tyre.rolling_radius is None:
        return []
    asking = Asking(knowledge)
    axle = _axle(asking, vehicle)
    if axle is None:
        return []
    engine = _engine_paths(asking, vehicle)
    paths = [
        *engine[:1],
        *_grip_paths(asking, vehicle, axle),
        *_second_axle_paths(asking, vehicle, axle),
        *_grade_path(asking, vehicle, axle),
        *_overrun_paths(asking, vehicle, axle),
        *_curve_path(asking, vehicle, axle),
        *_stopped_wheels(asking, vehicle, train, axle),
        *engine[1:],
    ]
    return [
        Sum(
            id=ID,
            title=TITLE,
            at=Address("train"),
            inputs=tuple(asking.inputs.values()),
            results=tuple(Quantity(path.words, path.torque, "torque") for path in paths),
            sentence=_sentence(paths),
            method=_METHOD,
            source=_SOURCE,
            validity=_VALIDITY,
        )
    ]


def _axle(asking: Asking, vehicle: Vehicle) -> AxleOf | None:
    """The inputs of the driven axle that every tyre path needs."""
    load = asking.need("vehicle.axle.load", "mass on the driven wheels", vehicle.axle.load)
    radius = asking.need("vehicle.tyre.rolling_radius", "tyre rolling radius", vehicle.tyre.rolling_radius)
    ratio = asking.need("vehicle.axle.ratio", "axle ratio", vehicle.axle.ratio)
    stated = vehicle.axle.efficiency
    efficiency = asking.need("vehicle.axle.efficiency", "efficiency of the axle", stated, "axle_efficiency")
    if load is None or radius is None or ratio is None or efficiency is None:
        return None
    return AxleOf(load, radius, ratio, efficiency)


def _slips(asking: Asking, vehicle: Vehicle, axle: AxleOf, grip: Value) -> Spread:
    """Shaft torque at which the tyres slip in drive: of both axles where a second one is stated."""
    first = axle_grip(grip, axle.load, axle.radius, axle.ratio, axle.efficiency)
    second = second_axle_grip(asking, vehicle, axle, grip)
    return first if second is None else spread(lambda first, second: first + second, first=first, second=second)


def _engine_paths(asking: Asking, vehicle: Vehicle) -> list[Path]:
    paths = []
    part = asking.part()
    lowest = engine_torque(part, vehicle)
    if lowest is None:
        return []
    asking.inputs |= part.inputs
    paths.append(Path("engine, lowest gear", lowest, "drive"))
    reverse = asking.take("vehicle.gearbox.reverse_gear", "ratio of reverse", vehicle.gearbox.reverse_gear)
    torque = asking.inputs["vehicle.engine.peak_torque"].value
    efficiency = asking.inputs["vehicle.gearbox.efficiency"].value
    gears: list[tuple[str, Value | None]] = []
    for i, gear in enumerate(vehicle.gearbox.gears):
        taken = asking.take(f"vehicle.gearbox.gears[{i}].ratio", "gear ratio", gear.ratio)
        gears.append((f"engine, gear of {taken.si:.2f}" if taken else "", taken))
    paths += [Path(words, _geared(torque, ratio, efficiency), "drive") for words, ratio in gears if ratio is not None]
    if reverse is not None:  # it twists the shafts as an overrun does
        paths.append(Path("engine, reverse", _geared(torque, reverse, efficiency), "reverse"))
    return paths


def _geared(torque: Value, ratio: Value, efficiency: Value) -> Spread:
    return spread(
        lambda torque, gear, efficiency: engine_path_torque(engine_torque_nm=torque, ratio=gear, efficiency=efficiency),
        torque=torque,
        gear=ratio,
        efficiency=efficiency,
    )


def _grip_paths(asking: Asking, vehicle: Vehicle, axle: AxleOf) -> list[Path]:
    stated = asking.take("vehicle.tyre.grip", "tyre grip", vehicle.tyre.grip)
    if stated is not None:
        return [Path("tyres slip, grip as stated", _slips(asking, vehicle, axle, stated), "drive")]
    paths = []
    for surface in SURFACES:
        grip = asking.need(f"grip_{surface}", f"tyre grip, {surface}", None, f"grip_{surface}")
        if grip is not None:
            paths.append(Path(f"tyres slip, {surface}", _slips(asking, vehicle, axle, grip), "drive"))
    return paths


def _second_axle_paths(asking: Asking, vehicle: Vehicle, axle: AxleOf) -> list[Path]:
    """Slip of a second driven axle alone, and the torque that circulates when both are locked together."""
    second = second_axle(asking, vehicle, axle)
    grip = asking.need("vehicle.tyre.grip", "tyre grip", vehicle.tyre.grip, "tyre_grip")
    if second is None or grip is None:
        return []
    slips = axle_grip(grip, second.load, second.radius, second.ratio, second.efficiency)
    paths = [Path("tyres of the second axle alone slip", slips, "between")]
    stiff = vehicle.tyre.slip_stiffness
    stiffness = asking.need("vehicle.tyre.slip_stiffness", "slip stiffness of an axle", stiff, "tyre_slip_stiffness")
    if stiffness is None:
        return paths
    wound = spread(
        lambda radius, second_radius, ratio, second_ratio, stiffness, grip, load, second_load: wind_up_torque(
            slip_mismatch=axle_slip_mismatch(
                front_radius_m=radius,
                rear_radius_m=second_radius,
                front_axle_ratio=ratio,
                rear_axle_ratio=second_ratio,
            ),
            first_slip_stiffness_n=stiffness,
            second_slip_stiffness_n=stiffness,
            grip=grip,
            first_load_n=load * GRAVITY,
            second_load_n=second_load * GRAVITY,
            tyre_radius_m=radius,
            axle_ratio=ratio,
        ),
        radius=axle.radius,
        second_radius=second.radius,
        ratio=axle.ratio,
        second_ratio=second.ratio,
        stiffness=stiffness,
        grip=grip,
        load=axle.load,
        second_load=second.load,
    )
    return [*paths, Path("wound up in the shaft between two locked axles, straight road", wound, "between", caps=False)]


def _curve_path(asking: Asking, vehicle: Vehicle, axle: AxleOf) -> list[Path]:
    """Torque that winds up in the half shafts when the differential is locked in the tightest curve."""
    track = asking.take("vehicle.axle.track", "track of the axle", vehicle.axle.track)
    radius = asking.take("vehicle.duty.curve_radius", "tightest curve, locked", vehicle.duty.curve_radius)
    if track is None or radius is None:
        return []
    grip = asking.need("vehicle.tyre.grip", "tyre grip", vehicle.tyre.grip, "tyre_grip")
    stiff = vehicle.tyre.slip_stiffness
    stiffness = asking.need("vehicle.tyre.slip_stiffness", "slip stiffness of an axle", stiff, "tyre_slip_stiffness")
    if grip is None or stiffness is None:
        return []
    wound = spread(
        lambda track, curve, stiffness, grip, load, tyre: wind_up_torque(
            slip_mismatch=curve_slip_mismatch(track_m=track, curve_radius_m=curve),
            first_slip_stiffness_n=stiffness / 2,
            second_slip_stiffness_n=stiffness / 2,
            grip=grip,
            first_load_n=load * GRAVITY / 2,
            second_load_n=load * GRAVITY / 2,
            tyre_radius_m=tyre,
            axle_ratio=1.0,
        ),
        track=track,
        curve=radius,
        stiffness=stiffness,
        grip=grip,
        load=axle.load,
        tyre=axle.radius,
    )
    return [Path("wound up in a half shaft, differential locked in the tightest curve", wound, "between", caps=False)]


def _grade_path(asking: Asking, vehicle: Vehicle, axle: AxleOf) -> list[Path]:
    duty = vehicle.duty
    grade = asking.take("vehicle.duty.grade", "steepest slope that it climbs", duty.grade)
    mass = asking.take("vehicle.duty.mass", "mass of the whole vehicle", duty.mass) if grade is not None else None
    rolling = asking.need("rolling_resistance", "rolling resistance", None, "rolling_resistance") if mass else None
    if grade is None or mass is None or rolling is None:
        return []
    found = spread(
        lambda mass, grade, rolling, radius, ratio, efficiency: grade_demand_torque(
            mass_kg=mass,
            grade_rad=grade,
            rolling_resistance=rolling,
            tyre_radius_m=radius,
            axle_ratio=ratio,
            axle_efficiency=efficiency,
        ),
        mass=mass,
        grade=grade,
        rolling=rolling,
        **axle.gears,
    )
    return [Path("asked for by the steepest slope", found, "drive", caps=False)]


def _overrun_paths(asking: Asking, vehicle: Vehicle, axle: AxleOf) -> list[Path]:
    name, stated = "vehicle.gearbox.retarder_torque", vehicle.gearbox.retarder_torque
    retarder = asking.take(name, "retarder on the gearbox output", stated)
    grip = asking.need("vehicle.tyre.grip", "tyre grip", vehicle.tyre.grip, "tyre_grip")
    if retarder is None or grip is None:
        return []
    braked = spread(lambda t: retarder_shaft_torque(retarder_torque_nm=t, ratio=1.0, efficiency=1.0), t=retarder)
    skids = spread(
        lambda grip, load, radius, ratio, efficiency: coast_grip_torque(
            grip=grip,
            axle_load_n=load * GRAVITY,
            tyre_radius_m=radius,
            axle_ratio=ratio,
            axle_efficiency=efficiency,
        ),
        grip=grip,
        load=axle.load,
        **axle.gears,
    )
    return [Path("retarder, on overrun", braked, "overrun"), Path("tyres slip, on overrun", skids, "overrun")]


def _stopped_wheels(asking: Asking, vehicle: Vehicle, train: Train, axle: AxleOf) -> list[Path]:
    """Upper bound of the torque when the wheels are stopped suddenly with the engine coupled; needs the brakes."""
    brakes = asking.take("vehicle.axle.brake_torque", "brake torque of the driven wheels", vehicle.axle.brake_torque)
    road = vehicle.duty.event_speed or vehicle.duty.top_speed
    tubes = _tubes(asking.part(), train)
    if brakes is None or road is None or tubes is None:
        return []
    tubes = _tubes(asking, train) or tubes
    grip = asking.need("vehicle.tyre.grip", "tyre grip", vehicle.tyre.grip, "tyre_grip")
    inertia = asking.need("vehicle.engine.inertia", "inertia of the engine", vehicle.engine.inertia, "engine_inertia")
    shear = asking.need("steel_shear_modulus", "shear modulus", None, "steel_shear_modulus")
    name = "event_speed" if vehicle.duty.event_speed else "top_speed"
    speed = asking.take(f"vehicle.duty.{name}", "road speed when the wheels stop", road)
    top = asking.take("vehicle.gearbox.top_gear", "top gear ratio", vehicle.gearbox.top_gear)
    if grip is None or inertia is None or shear is None or speed is None or top is None:
        return []
    found = spread(
        lambda speed, radius, ratio, inertia, top, shear, brakes, grip, load, efficiency, **sizes: brake_lock_torque(
            shaft_speed_rad_s=speed / radius * ratio,
            stiffness_nm_rad=shear / _softness(sizes, len(train.shafts)),
            inertia_kg_m2=inertia * top**2,
            held_wheel_torque_nm=brakes + grip * load * GRAVITY * radius,
            axle_ratio=ratio,
            axle_efficiency=efficiency,
        ),
        speed=speed,
        radius=axle.radius,
        ratio=axle.ratio,
        inertia=inertia,
        top=top,
        shear=shear,
        brakes=brakes,
        grip=grip,
        load=axle.load,
        efficiency=axle.efficiency,
        **tubes,
    )
    # the engine runs on against the stopped wheels: it twists the shafts as in drive
    return [Path("wheels stopped suddenly, clutch held, at most", found, "drive", caps=False)]


def _tubes(asking: Asking, train: Train) -> dict[str, Value] | None:
    """Outside diameter, wall and length of every tube, or None."""
    asked = {}
    for i, shaft in enumerate(train.shafts):
        name = f"driveline.shafts[{i}]"
        asked[f"outer{i}"] = asking.take(
            f"{name}.tube.outer_diameter", "tube outside diameter", shaft.tube.outer_diameter
        )
        asked[f"wall{i}"] = asking.take(f"{name}.tube.wall", "tube wall", shaft.tube.wall)
        asked[f"length{i}"] = asking.take(f"{name}.length", "length between joint centres", shaft.length)
    found = {key: value for key, value in asked.items() if value is not None}
    return found if len(found) == len(asked) else None


def _softness(sizes: Mapping[str, Any], shafts: int) -> Any:
    """Twist of all tubes in a row for a torque and a shear modulus of one."""
    return sum(
        1.0
        / torsional_stiffness_nm_rad(
            outer_m=sizes[f"outer{i}"],
            inner_m=sizes[f"outer{i}"] - 2 * sizes[f"wall{i}"],
            length_m=sizes[f"length{i}"],
            shear_modulus_pa=1.0,
        )
        for i in range(shafts)
    )


def _sentence(paths: Sequence[Path]) -> str:
    told = [_governs(paths, "drive", "In drive"), _governs(paths, "overrun", "On overrun")]
    text = " ".join(part for part in told if part)
    where = "A plain driveline passes the same torque at every part from the gearbox to the axle."
    return f"{text} {where}" if text else where


def _governs(paths: Sequence[Path], sense: str, words: str) -> str:
    """Which path caps the torque: the greatest of what pushes against the greatest grip that holds."""
    caps = [path for path in paths if path.caps and path.sense == sense]
    push = [path for path in caps if not path.words.startswith("tyres")]
    hold = [path for path in caps if path.words.startswith("tyres")]
    if not push or not hold:
        return ""
    strongest, firmest = (max(group, key=lambda path: path.torque.nominal) for group in (push, hold))
    least = min((strongest, firmest), key=lambda path: path.torque.nominal)
    return f"{words} it is capped by: {least.words} ({least.torque.nominal / 1e3:.1f} kN m)."
