"""The whole train of a case as the replay takes it: engine to road, whatever the case states and what is usual.

What the case does not say is taken from the usual ranges of its class of vehicle and noted as assumed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from beachmark.basis.values import Value
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.replay.line import Line, inertia_at_output, line_of
from beachmark.findings.replay.numbers import ROWS, Numbers, Reals, ReplayPart
from beachmark.findings.results import Input
from beachmark.knowledge.events import SURFACES
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.replay import (
    Converter,
    Coupling,
    Engine,
    FrictionClutch,
    Layout,
    OuterTorque,
    Station,
    Tyre,
)
from beachmark.mechanics.replay import Vehicle as Mass

GRAVITY = 9.80665  # 3rd CGPM 1901
# Friction pairs sit in series with a spring that keeps stick and slip exact; stiff enough not to be felt in the shafts.
_BRAKE_STIFFNESS, _BRAKE_TIME_S = 4e5, 5e-3  # N m/rad at the wheels of one axle
_VEHICLE_BRAKE_PER_KG, _VEHICLE_BRAKE_TIME_S = 150.0, 1.2e-2  # N/m for each kg
_RETARDER_STIFFNESS, _RETARDER_TIME_S = 2e4, 5e-3
_ONE_AXLE_KG = 13_500.0  # above what one driven axle usually carries on the road (common practice, no source)
_ENGINE_KNOTS, _CONVERTER_KNOTS = 5, 5


@dataclass(frozen=True)
class Plant:
    """What turns in the vehicle, whichever event it meets: rows of `ROWS` values, the nominal ones first."""

    layout: Layout
    values: Mapping[str, Reals]
    parts: tuple[ReplayPart, ...]
    inputs: tuple[Input, ...]
    has: frozenset[str]  # clutch, converter, retarder, power_take_off, second_axle: what events may need
    numbers: Mapping[str, Reals]  # what events scale with: peak torque, speeds, clutch, brakes, weights, ratios
    gears: tuple[float, ...]  # known forward ratios besides the ends
    stated_grip: Reals | None
    grounds: Mapping[str, Reals]  # friction by surface, where the case does not state its own
    notes: tuple[str, ...]


def plant_of(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> Plant:
    """Build the train of a vehicle. Raises ValueError where a number cannot be computed with."""
    numbers = Numbers(knowledge, vehicle.kind)
    has = _has(vehicle)
    axles = _axles(numbers, vehicle)
    line = line_of(numbers, train, behind="output", before="differential" if len(axles) == 2 else "pinion")
    scale = _scales(numbers, vehicle, axles, converter="converter" in has)
    values: dict[str, Reals] = dict(line.values)
    values |= _engine(numbers, scale)
    values |= _gearbox(numbers, vehicle, train, retarder="retarder" in has)
    values |= _clutch(numbers, vehicle)
    values |= _converter(numbers, scale) if "converter" in has else {}
    for axle in axles:
        values |= axle.values
    values |= _between(numbers) if len(axles) == 2 else {}
    values |= {"vehicle.mass_kg": scale["mass"]}
    values |= {"vehicle.brake_stiffness_n_m": _VEHICLE_BRAKE_PER_KG * scale["mass"]}
    values["vehicle.brake_damping_n_s_m"] = _VEHICLE_BRAKE_TIME_S * values["vehicle.brake_stiffness_n_m"]
    grip = vehicle.tyre.grip
    stated_grip = None if grip is None else numbers.of("vehicle.tyre.grip", "tyre grip", grip, "tyre_grip")
    grounds = (
        {} if grip is not None else {name: numbers.usual(f"grip_{name}", f"tyre grip, {name}") for name in SURFACES}
    )
    return Plant(
        layout=_layout(line, has, len(axles)),
        values=values,
        parts=line.parts,
        inputs=tuple(numbers.asking.inputs.values()),
        has=has,
        numbers=scale,
        gears=tuple(gear.ratio.si for gear in vehicle.gearbox.gears if gear.ratio is not None),
        stated_grip=stated_grip,
        grounds=grounds,
        notes=_notes(vehicle, line, len(axles)),
    )


def _has(vehicle: Vehicle) -> frozenset[str]:
    box = vehicle.gearbox
    found = {"converter" if box.converter else "clutch"}
    if box.retarder_torque is not None:
        found.add("retarder")
    if box.power_take_off:
        found.add("power_take_off")
    if vehicle.axle.second_load is not None:
        found.add("second_axle")
    return frozenset(found)


def _notes(vehicle: Vehicle, line: Line, axles: int) -> tuple[str, ...]:
    found = [
        "left and right wheels of an axle are taken together; their differential stays open",
        "gears are taken without loss: some percent either way",
        "weight that pull or grade shifts onto the driven wheels is left out: where tyres cap it, a pull can load more",
    ]
    if not vehicle.kind:
        found.append("the class of vehicle is not stated: what is not known comes from the ranges of all of them")
    mass, load = vehicle.duty.mass, vehicle.axle.load
    if mass is not None and load is not None and mass.si < load.si:
        found.append("the mass stated is below what the driven wheels carry: the latter is taken for both")
    if load is not None and load.si > _ONE_AXLE_KG and axles == 1:
        found.append("one driven axle seldom carries so much weight: a second driven axle has fields of its own")
    if axles == 2:
        found.append("the differential between the two axles is open; the shaft between them is a usual one")
    if not any(part.known for part in line.parts):
        found.append("no part's strength is known of this vehicle: the loads stand, what breaks is assumed")
    return tuple(found)


# ---- layout ---------------------------------------------------------------------------------------------------


def _layout(line: Line, has: frozenset[str], axles: int) -> Layout:
    converter, ends = "converter" in has, ["", " 2"][:axles]
    stations = ["engine", *(["turbine"] if converter else []), "input", "output"]
    after = ["differential", "through", "pinion", "pinion 2"] if axles == 2 else ["pinion"]
    after += [f"{name}{end}" for end in ends for name in ("crown", "wheel")]
    couplings = [
        Coupling(name="gearbox", driving="input", driven=("output",), geared=True, lash=True),
        *line.couplings,
    ]
    if axles == 2:
        couplings += [
            Coupling(name="differential between the axles", driving="differential", driven=("pinion", "through")),
            Coupling(name="shaft between the axles", driving="through", driven=("pinion 2",), jointed=True),
        ]
    for end in ends:
        couplings += [
            Coupling(name=f"pinion gear{end}", driving=f"pinion{end}", driven=(f"crown{end}",), geared=True, lash=True),
            Coupling(name=f"half shafts{end}", driving=f"crown{end}", driven=(f"wheel{end}",)),
        ]
    clutches = [FrictionClutch(name="clutch", driving="turbine" if converter else "engine", driven="input")]
    clutches += [FrictionClutch(name="retarder", driving="output")] if "retarder" in has else []
    clutches += [FrictionClutch(name=f"brake{end}", driving=f"wheel{end}") for end in ends]
    machine = Converter(name="converter", pump="engine", turbine="turbine", knots=_CONVERTER_KNOTS)
    taken = OuterTorque(name="power take-off", station="input")
    middle = [Station(name=name, dragged=name.startswith("pinion")) for name in after]
    return Layout(
        stations=(*(Station(name=name) for name in stations), *line.stations, *middle),
        couplings=tuple(couplings),
        clutches=tuple(clutches),
        converters=(machine,) if converter else (),
        tyres=tuple(Tyre(name=f"tyre{end}", wheel=f"wheel{end}") for end in ends),
        engines=(Engine(name="diesel", station="engine", knots=_ENGINE_KNOTS),),
        outer_torques=(taken,) if "power_take_off" in has else (),
        vehicle=Mass(braked=True, obstacle=True),
    )


# ---- engine, clutch or converter, gearbox ---------------------------------------------------------------------


def _scales(numbers: Numbers, vehicle: Vehicle, axles: list[_Axle], *, converter: bool) -> dict[str, Reals]:
    """What events are measured by."""
    engine, box, of = vehicle.engine, vehicle.gearbox, numbers.of
    peak = of("vehicle.engine.peak_torque", "greatest engine torque", engine.peak_torque, "engine_peak_torque")
    idle = of("vehicle.engine.idle_speed", "idle speed", engine.idle_speed, "idle_speed")
    governed = of("vehicle.engine.governed_speed", "governed engine speed", engine.governed_speed, "governed_speed")
    first = of("vehicle.gearbox.first_gear", "lowest gear ratio", box.first_gear, "first_gear")
    top = of("vehicle.gearbox.top_gear", "ratio of the highest gear", box.top_gear, "top_gear")
    mass = of("vehicle.duty.mass", "mass of the whole vehicle", vehicle.duty.mass, "vehicle_mass")
    driven = np.asarray(sum(axle.weight_n for axle in axles))
    share = numbers.usual("vehicle_brake_share", "brake force of the other axles over their weight")
    _refuse_contradictions(idle, governed, first, top)
    found = {
        "peak": peak,
        "idle": idle,
        "governed": np.maximum(governed, 1.2 * idle),
        "first": first,
        "top": np.minimum(top, first),
        "reverse": of("vehicle.gearbox.reverse_gear", "ratio of reverse", box.reverse_gear, "reverse_gear"),
        "clutch": _clutch_torque(numbers, vehicle, peak, converter=converter),
        "mass": np.maximum(mass, driven / GRAVITY),
        "driven_n": driven,
        "retarder": np.zeros(ROWS),
        "peak_in": peak * _gain(numbers) if converter else peak,  # greatest steady torque at the gearbox input
    }
    found["vehicle_brake_n"] = share * (found["mass"] * GRAVITY - driven)
    if box.retarder_torque is not None:
        words = "greatest torque of the retarder"
        found["retarder"] = of("vehicle.gearbox.retarder_torque", words, box.retarder_torque, "retarder_torque")
    return found


def _refuse_contradictions(idle: Reals, governed: Reals, first: Reals, top: Reals) -> None:
    """Refuse nominal values that contradict each other; draws at the ends of their ranges may touch."""
    if governed[0] <= idle[0]:
        raise ValueError("the governed engine speed must be above idle speed.")
    if top[0] > first[0]:
        raise ValueError("the ratio of the highest gear must not be above that of the lowest.")


def _clutch_torque(numbers: Numbers, vehicle: Vehicle, peak: Reals, *, converter: bool) -> Reals:
    """Torque at which the clutch slips; behind a converter, that of the clutch of the gear."""
    stated, name = vehicle.gearbox.clutch_torque, "vehicle.gearbox.clutch_torque"
    if stated is not None:
        return numbers.of(name, "greatest torque of the clutch", stated, "")
    share = numbers.usual("clutch_capacity_share", "greatest torque of the clutch over that of the engine")
    return np.asarray(peak * share * (_gain(numbers) if converter else 1.0))


def _gain(numbers: Numbers) -> Reals:
    return numbers.usual("converter_torque_ratio", "torque ratio of the converter at stall")


def _engine(numbers: Numbers, scale: Mapping[str, Reals]) -> dict[str, Reals]:
    """Full-load curve of five points, idle and speed governors, drag."""
    idle, governed, peak = scale["idle"], scale["governed"], scale["peak"]
    at_idle = numbers.usual("idle_torque_share", "full-load torque at idle over the greatest")
    at_end = numbers.usual("governed_torque_share", "full-load torque at governed speed over the greatest")
    drag = numbers.usual("engine_drag_share", "drag of the engine over its greatest torque")
    span = governed - idle
    speeds = (0.5 * idle, idle, idle + 0.3 * span, idle + 0.7 * span, governed)
    torques = (0.0 * peak, at_idle * peak, peak, peak, at_end * peak)
    found = {f"diesel.speed_rad_s_{n}": speed for n, speed in enumerate(speeds)}
    found |= {f"diesel.full_load_nm_{n}": torque for n, torque in enumerate(torques)}
    return found | {
        "diesel.governed_rad_s": governed,
        "diesel.governor_band_rad_s": 0.08 * governed,
        "diesel.idle_rad_s": idle,
        "diesel.idle_gain_nm_s_rad": 0.3 * peak / (0.2 * idle),
        "diesel.idle_greatest_nm": 0.3 * peak,
        "diesel.drag_nm": 0.5 * drag * peak,
        "diesel.drag_nm_s_rad": 0.5 * drag * peak / governed,
    }


def _gearbox(numbers: Numbers, vehicle: Vehicle, train: Train, *, retarder: bool) -> dict[str, Reals]:
    engine, box, of, usual = vehicle.engine, vehicle.gearbox, numbers.of, numbers.usual
    inertia = of("vehicle.engine.inertia", "inertia of the engine", engine.inertia, "engine_inertia")
    output = of("vehicle.gearbox.inertia", "inertia at the gearbox output", box.inertia, "gearbox_output_inertia")
    output = output + inertia_at_output(numbers, train)
    found: dict[str, Reals] = {}
    if retarder:
        output = output + usual("retarder_inertia", "inertia of the retarder")
        found["retarder.stiffness_nm_rad"] = np.full(ROWS, _RETARDER_STIFFNESS)
        found["retarder.damping_nm_s_rad"] = np.full(ROWS, _RETARDER_STIFFNESS * _RETARDER_TIME_S)
    lash = usual("gearbox_lash", "play of the gearbox at its output")
    return found | {
        "engine.inertia_kg_m2": inertia,
        "input.inertia_kg_m2": usual("gearbox_input_inertia", "inertia at the gearbox input"),
        "output.inertia_kg_m2": output,
        "gearbox.stiffness_nm_rad": usual("gearbox_stiffness", "twist stiffness of the gearbox at its output"),
        "gearbox.spring_time_s": usual("spring_time", "damping over stiffness of steel parts"),
        "gearbox.half_gap_rad": 0.5 * lash,
    }


def _clutch(numbers: Numbers, vehicle: Vehicle) -> dict[str, Reals]:
    stated, name = vehicle.gearbox.clutch_stiffness, "vehicle.gearbox.clutch_stiffness"
    stiffness = numbers.of(name, "twist stiffness of the clutch damper", stated, "clutch_stiffness")
    time = numbers.usual("clutch_spring_time", "damping over stiffness of the clutch damper")
    return {"clutch.stiffness_nm_rad": stiffness, "clutch.damping_nm_s_rad": stiffness * time}


def _converter(numbers: Numbers, scale: Mapping[str, Reals]) -> dict[str, Reals]:
    """Five points of a torque converter that holds the engine at its stall speed."""
    gain = _gain(numbers)
    stall = numbers.usual("converter_stall_share", "stall speed of the converter over governed speed")
    at_stall = scale["peak"] / (stall * scale["governed"]) ** 2
    ratios = (0.0, 0.45, 0.8, 0.92, 1.15)
    capacities = (1.0, 0.95, 0.75, 0.45, -0.3)
    above = gain - 1.0
    shares = (1.0, 0.48, 0.06, 0.0, 0.0)
    found = {f"converter.speed_ratio_{n}": np.full(ROWS, ratio) for n, ratio in enumerate(ratios)}
    found |= {f"converter.capacity_nm_s2_rad2_{n}": share * at_stall for n, share in enumerate(capacities)}
    found |= {f"converter.torque_ratio_{n}": 1.0 + share * above for n, share in enumerate(shares)}
    return found | {"turbine.inertia_kg_m2": numbers.usual("gearbox_input_inertia", "inertia at the gearbox input")}


# ---- axles ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Axle:
    """One driven axle: its values by name, and the weight on its wheels."""

    values: dict[str, Reals]
    weight_n: Reals


def _axles(numbers: Numbers, vehicle: Vehicle) -> list[_Axle]:
    axle, tyre = vehicle.axle, vehicle.tyre
    found = [_axle(numbers, vehicle, "", ("load", axle.load), axle.ratio, tyre.rolling_radius)]
    if axle.second_load is not None:
        ratio, radius = axle.second_ratio or axle.ratio, tyre.second_rolling_radius or tyre.rolling_radius
        found.append(_axle(numbers, vehicle, " 2", ("second_load", axle.second_load), ratio, radius))
    return found


def _axle(
    numbers: Numbers,
    vehicle: Vehicle,
    end: str,
    load: tuple[str, Value | None],
    ratio: Value | None,
    radius: Value | None,
) -> _Axle:
    axle, of, usual = vehicle.axle, numbers.of, numbers.usual
    which = "second_" if end else ""
    weight = GRAVITY * of(f"vehicle.axle.{load[0]}", f"mass on the driven wheels{end}", load[1], "driven_load")
    rolling = of(f"vehicle.tyre.{which}rolling_radius", f"tyre rolling radius{end}", radius, "rolling_radius")
    wheels = of("vehicle.axle.wheel_inertia", "inertia of the driven wheels", axle.wheel_inertia, "wheel_inertia")
    stiff, stiff_name = axle.half_shaft_stiffness, "vehicle.axle.half_shaft_stiffness"
    stiff_words = "twist stiffness of the half shafts"
    damping = usual("spring_time", "damping over stiffness of steel parts")
    pinion = of("vehicle.axle.pinion_inertia", "inertia of the pinion", axle.pinion_inertia, "pinion_inertia")
    share = 0.5 if axle.second_load is not None else 1.0  # what is stated of all driven wheels together
    if axle.wheel_inertia is not None:
        wheels = share * wheels
    gear = of(f"vehicle.axle.{which}ratio", f"axle ratio{end}", ratio, "axle_ratio")
    lash = of("vehicle.axle.lash", "play of the axle at the pinion", axle.lash, "axle_lash")
    values = {
        f"pinion{end}.inertia_kg_m2": pinion,
        f"pinion{end}.drag_nm_s_rad": usual("pinion_drag", "drag of the pinion"),
        f"crown{end}.inertia_kg_m2": usual("crown_inertia", "inertia of crown wheel and differential"),
        f"wheel{end}.inertia_kg_m2": wheels,
        f"pinion gear{end}.ratio": gear,
        # a spring and its play stand behind the gear: what is known at the pinion is taken to the crown wheel
        f"pinion gear{end}.stiffness_nm_rad": gear**2
        * usual("mesh_stiffness", "twist stiffness of the axle at its pinion"),
        f"pinion gear{end}.spring_time_s": damping,
        f"pinion gear{end}.half_gap_rad": 0.5 / gear * lash,
        f"half shafts{end}.stiffness_nm_rad": of(stiff_name, stiff_words, stiff, "half_shaft_stiffness"),
        f"half shafts{end}.spring_time_s": damping,
        f"brake{end}.stiffness_nm_rad": np.full(ROWS, _BRAKE_STIFFNESS),
        f"brake{end}.damping_nm_s_rad": np.full(ROWS, _BRAKE_STIFFNESS * _BRAKE_TIME_S),
        f"brake{end}.greatest_nm": share * _brake_torque(numbers, axle.brake_torque, weight * rolling / share),
        f"tyre{end}.load_n": weight,
        f"tyre{end}.radius_m": rolling,
        f"tyre{end}.stiffness_per_m": usual("tyre_stiffness", "tyre stiffness along the road over its load"),
        f"tyre{end}.damping_s_m": usual("tyre_damping", "damping of the tyre's contact over its load"),
        f"tyre{end}.rolling_per_m": usual("tyre_rolling", "renewal of the contact by rolling"),
        f"tyre{end}.slide_share": usual("tyre_slide_share", "friction in fast slip over the greatest"),
        f"tyre{end}.slide_speed_m_s": usual("tyre_slide_speed", "slip speed at which friction has fallen half way"),
    }
    return _Axle(values, weight)


def _brake_torque(numbers: Numbers, stated: Value | None, weight_times_radius: Reals) -> Reals:
    """Greatest brake torque of all driven wheels, N m."""
    if stated is not None:
        return numbers.of("vehicle.axle.brake_torque", "brake torque of the driven wheels", stated, "")
    return weight_times_radius * numbers.usual("brake_torque_share", "brake torque over weight times radius")


def _between(numbers: Numbers) -> dict[str, Reals]:
    """The differential between two driven axles and the shaft behind it."""
    inertia = numbers.usual("differential_inertia", "inertia of the differential between the axles")
    angle = numbers.usual("inter_axle_angle", "angles of the shaft between the axles")
    damping = numbers.usual("spring_time", "damping over stiffness of steel parts")
    stiffness = numbers.usual(
        "inter_axle_stiffness", "twist stiffness of the through shaft, and of the shaft between the axles"
    )
    return {
        "differential.inertia_kg_m2": inertia,
        "through.inertia_kg_m2": inertia + numbers.usual("joint_inertia", "inertia of a joint"),
        "differential between the axles.stiffness_nm_rad": stiffness,
        "differential between the axles.spring_time_s": damping,
        "shaft between the axles.stiffness_nm_rad": stiffness,
        "shaft between the axles.spring_time_s": damping,
        "shaft between the axles.angle_rad": angle,
        "shaft between the axles.yoke_rad": np.zeros(ROWS),
    }
