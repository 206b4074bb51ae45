"""Trains and events for the tests: an invented heavy tipper, and layouts of other kinds. All numbers are invented."""

import itertools
import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics.replay.drive import Course, Event, Ramp, event_values
from beachmark.mechanics.replay.parameters import Draws, draws
from beachmark.mechanics.replay.train import (
    Converter,
    Coupling,
    Engine,
    FrictionClutch,
    Layout,
    OuterTorque,
    Part,
    Station,
    Tyre,
    Vehicle,
)

Values = dict[str, ArrayLike]
JOINT_DEG, SPRING_TIME_S = (4.0, 2.0, 6.0, 3.0), 1e-4


def shaft_layout(
    shafts: int = 2,
    *,
    retarder: bool = False,
    axles: int = 1,
    locked: bool = False,
    converter: bool = False,
    power_take_off: bool = False,
) -> Layout:
    """Engine to road: shafts, one or two driven axles, clutch (behind a converter if there is one), retarder on the
    gearbox output, power take-off on its input."""
    head = ["engine", *(["turbine"] if converter else []), "input"]
    stations = [*head, "output", *(f"shaft {n}" for n in range(1, shafts)), "pinion"]
    line = stations[len(head) :]
    couplings = [Coupling(name="gearbox", driving="input", driven=("output",), geared=True, lash=True)]
    if axles == 2:
        couplings += _two_axles(stations, line, locked)
    else:
        couplings += _shafts(line)
    for axle in ("", " 2")[:axles]:
        stations += [f"crown{axle}", f"wheel{axle}"]
        couplings += [
            Coupling(name=f"mesh{axle}", driving=f"pinion{axle}", driven=(f"crown{axle}",), geared=True, lash=True),
            Coupling(name=f"half shafts{axle}", driving=f"crown{axle}", driven=(f"wheel{axle}",)),
        ]
    start = FrictionClutch(name="clutch", driving="turbine" if converter else "engine", driven="input")
    slow = [FrictionClutch(name="retarder", driving="output")] if retarder else []
    brakes = [FrictionClutch(name=f"brake{axle}", driving=f"wheel{axle}") for axle in ("", " 2")[:axles]]
    return Layout(
        stations=tuple(Station(name=name, dragged=name.startswith("pinion")) for name in stations),
        couplings=tuple(couplings),
        clutches=(start, *slow, *brakes),
        converters=(Converter(name="converter", pump="engine", turbine="turbine", knots=4),) if converter else (),
        tyres=tuple(Tyre(name=f"tyre{axle}", wheel=f"wheel{axle}") for axle in ("", " 2")[:axles]),
        engines=(Engine(name="diesel", station="engine", knots=5),),
        outer_torques=(OuterTorque(name="power take-off", station="input"),) if power_take_off else (),
        vehicle=Vehicle(braked=True, obstacle=True),
    )


def _shafts(line: list[str]) -> list[Coupling]:
    """Jointed shafts along a line of stations."""
    pairs = itertools.pairwise(line)
    return [Coupling(name=f"joint {n}", driving=a, driven=(b,), jointed=True) for n, (a, b) in enumerate(pairs, 1)]


def _two_axles(stations: list[str], line: list[str], locked: bool) -> list[Coupling]:
    """Shafts to an inter-axle differential; one axle at once behind it, one behind another jointed shaft."""
    stations[-1:] = ["differential", "pinion", "through", "pinion 2"]
    shafts = _shafts([*line[:-1], "differential"])
    if locked:  # then the station of the differential drives both
        stations.remove("through")
        return [
            *shafts,
            Coupling(name="to the first", driving="differential", driven=("pinion",)),
            Coupling(name="inter-axle", driving="differential", driven=("pinion 2",), jointed=True),
        ]
    return [
        *shafts,
        Coupling(name="share", driving="differential", driven=("pinion", "through")),
        Coupling(name="inter-axle", driving="through", driven=("pinion 2",), jointed=True),
    ]


LAYOUTS = {
    "two shafts": shaft_layout(2),
    "one shaft": shaft_layout(1),
    "three shafts, retarder, power take-off": shaft_layout(3, retarder=True, power_take_off=True),
    "four shafts": shaft_layout(4),
    "two axles, open": shaft_layout(2, axles=2),
    "two axles, locked": shaft_layout(2, axles=2, locked=True),
    "converter": shaft_layout(2, converter=True),
}
INERTIAS = {
    "engine": 3.6, "turbine": 0.25, "input": 0.28, "output": 0.22, "shaft": 0.14, "pinion": 0.12, "crown": 2.4,
    "wheel": 120.0, "differential": 0.2, "through": 0.1,
}  # fmt: skip
STIFFNESSES = {
    "gearbox": 1.6e5, "joint": 2.4e5, "mesh": 1.5e5, "half shafts": 2e5, "share": 4e5, "to the first": 4e5,
    "inter-axle": 3e5,
}  # fmt: skip
PARTS: dict[str, Values] = {
    "tyre": {"load_n": 186e3, "radius_m": 0.5, "stiffness_per_m": 22.0, "damping_s_m": 0.25, "rolling_per_m": 2.0,
             "slide_share": 0.85, "slide_speed_m_s": 2.0, "friction": 0.8},
    "clutch": {"stiffness_nm_rad": 28e3, "damping_nm_s_rad": 30.0, "capacity_nm": 0.0},
    "brake": {"stiffness_nm_rad": 4e5, "damping_nm_s_rad": 2e3, "capacity_nm": 0.0},
    "vehicle": {"mass_kg": 26e3, "brake_stiffness_n_m": 4e6, "brake_damping_n_s_m": 5e4, "brake_n": 0.0},
    "diesel": {
        **{f"speed_rad_s_{n}": x for n, x in enumerate((40.0, 80.0, 100.0, 150.0, 200.0))},
        **{f"full_load_nm_{n}": x for n, x in enumerate((0.0, 1500.0, 2300.0, 2300.0, 1700.0))},
        "governed_rad_s": 200.0, "governor_band_rad_s": 15.0, "idle_rad_s": 60.0, "idle_gain_nm_s_rad": 60.0,
        "idle_greatest_nm": 700.0, "drag_nm": 90.0, "drag_nm_s_rad": 0.6, "throttle": 0.0,
    },
    "converter": {
        **{f"speed_ratio_{n}": x for n, x in enumerate((0.0, 0.5, 0.85, 1.1))},
        **{f"capacity_nm_s2_rad2_{n}": x for n, x in enumerate((0.045, 0.04, 0.025, -0.02))},
        **{f"torque_ratio_{n}": x for n, x in enumerate((2.0, 1.45, 1.0, 1.0))},
    },
    "retarder": {"stiffness_nm_rad": 2e4, "damping_nm_s_rad": 100.0, "capacity_nm": 0.0},
    "power take-off": {"torque_nm": 0.0},
}  # fmt: skip


def nominal(layout: Layout) -> Values:
    """Invented values of every part of a layout."""
    found: Values = {}
    for station in layout.stations:
        found[f"{station.name}.inertia_kg_m2"] = INERTIAS[station.name.split()[0]]
        if station.dragged:
            found[f"{station.name}.drag_nm_s_rad"] = 0.15
    joint = 0
    for part in layout.couplings:
        kind = next(kind for kind in STIFFNESSES if part.name.startswith(kind))
        found |= {f"{part.name}.stiffness_nm_rad": STIFFNESSES[kind], f"{part.name}.spring_time_s": SPRING_TIME_S}
        if part.geared:
            found[f"{part.name}.ratio"] = 12.3 if part.name == "gearbox" else 4.3
        if part.lash:
            found[f"{part.name}.half_gap_rad"] = 0.015 if part.name == "gearbox" else 0.035
        if part.jointed:
            found[f"{part.name}.angle_rad"] = math.radians(JOINT_DEG[joint % 4])
            found[f"{part.name}.yoke_rad"] = joint * math.pi / 2
            joint += 1
    others: list[Part] = [*layout.clutches, *layout.converters, *layout.tyres, *layout.engines, *layout.outer_torques]
    for name in (*(part.name for part in others), "vehicle"):
        found |= {f"{name}.{quantity}": value for quantity, value in PARTS[name.removesuffix(" 2")].items()}
    for tyre in layout.tyres:
        found[f"{tyre.name}.load_n"] = 186e3 / len(layout.tyres)
        found[f"{tyre.wheel}.inertia_kg_m2"] = 120.0 / len(layout.tyres)
    return found


def spread(values: Mapping[str, ArrayLike], *, count: int, seed: int) -> Values:
    """The same with scatter: 10 % on what is a mass, spring, load or gap; joint angles and start angle at random; each
    ramp between half and half again as long."""
    rng = np.random.default_rng(seed)
    found: dict[str, Any] = dict(values)
    for name, value in values.items():
        if name.rpartition(".")[2] in ("inertia_kg_m2", "stiffness_nm_rad", "mass_kg", "load_n", "half_gap_rad"):
            found[name] = np.asarray(value) * np.clip(rng.normal(1.0, 0.1, count), 0.7, 1.3)
        if name.endswith(".angle_rad") and not name.endswith("start_angle_rad"):
            found[name] = np.asarray(value) * rng.uniform(0.5, 1.5, count)
    found["input.start_angle_rad"] = rng.uniform(0.0, 100.0, count)
    for name in (name for name in values if name.endswith("_takes_s")):
        found[name] = np.asarray(values[name]) * rng.uniform(0.5, 1.5, count)
    return found


CLUTCH_NM, LOW, RADIUS_M, AXLE = 3500.0, 12.3, 0.5, 4.3


def _held_then(first: float, *then: tuple[float, float, float]) -> Course:
    """A value that goes over to others: each with the time when it sets out and the time that it takes."""
    before, ramps = first, []
    for value, at_s, takes_s in then:
        ramps.append(Ramp(start_s=at_s, takes_s=takes_s, change=value - before))
        before = value
    return Course(value=first, ramps=tuple(ramps))


def _rolling(layout: Layout, speed_m_s: float, gear: float, engine_rad_s: float | None = None) -> Values:
    """A vehicle that rolls in a gear; the engine turns with it unless its speed is given."""
    turned = speed_m_s / RADIUS_M * AXLE * gear
    engine = turned if engine_rad_s is None else engine_rad_s
    found: Values = {"vehicle.start_speed_m_s": speed_m_s, "engine.start_speed_rad_s": engine, "gearbox.ratio": gear}
    found |= {f"{tyre.wheel}.start_speed_rad_s": speed_m_s / RADIUS_M for tyre in layout.tyres}
    if layout.converters:
        found["turbine.start_speed_rad_s"] = turned if engine_rad_s is None else 0.95 * engine
    return found


def _brakes(layout: Layout, wheels: Course, others: Course) -> dict[str, Course]:
    """Brakes of the driven wheels, shared by the axles, and of the other axles."""
    share = 1 / len(layout.tyres)
    ramps = tuple(Ramp(start_s=r.start_s, takes_s=r.takes_s, change=np.asarray(r.change) * share) for r in wheels.ramps)
    each = Course(value=np.asarray(wheels.value) * share, ramps=ramps)
    return {f"brake{tyre.name.removeprefix('tyre')}.capacity": each for tyre in layout.tyres} | {
        "vehicle.brake": others
    }


def events(layout: Layout) -> dict[str, Event]:
    """Events that a layout can meet, by name. All numbers are invented."""
    found = {**_taken_up(layout), **_on_the_road(layout)}
    if any(clutch.name == "retarder" for clutch in layout.clutches):
        courses = {"clutch.capacity": Course(value=CLUTCH_NM), "retarder.capacity": _held_then(0.0, (2800.0, 0.1, 0.2))}
        found["retarder shock"] = Event(duration_s=1.0, courses=courses, values=_rolling(layout, 12.0, 1.3))
    if layout.outer_torques:
        courses = {
            "diesel.throttle": Course(value=0.4),
            "clutch.capacity": Course(value=CLUTCH_NM),
            "power take-off.torque": _held_then(-100.0, (-1800.0, 0.3, 0.03)),
        }
        found["power take-off shock"] = Event(duration_s=1.0, courses=courses, values=_rolling(layout, 3.0, 5.0))
    if layout.converters:
        brakes = _brakes(layout, _held_then(5e4, (0.0, 0.6, 0.1)), _held_then(8e4, (0.0, 0.6, 0.1)))
        courses = {"diesel.throttle": _held_then(0.1, (1.0, 0.02, 0.25)), "clutch.capacity": Course(value=CLUTCH_NM)}
        held = {**_rolling(layout, 0.0, LOW, 70.0), "turbine.start_speed_rad_s": 0.0}
        found["converter stall"] = Event(duration_s=1.5, courses={**courses, **brakes}, values=held)
    return found


def _taken_up(layout: Layout) -> dict[str, Event]:
    """Events in which the clutch closes."""
    full, drop = _held_then(0.0, (1.0, 0.0, 0.3)), _held_then(0.0, (CLUTCH_NM, 0.05, 0.01))
    closing = {"diesel.throttle": full, "clutch.capacity": _held_then(0.0, (CLUTCH_NM, 0.05, 0.4))}
    ice = {f"{tyre.name}.friction": _held_then(0.1, (0.8, 0.6, 0.05)) for tyre in layout.tyres}
    dropped = {"diesel.throttle": full, "clutch.capacity": drop}
    down = {"clutch.capacity": _held_then(0.0, (CLUTCH_NM, 0.05, 0.15))}
    reverse = {"diesel.throttle": Course(value=0.5), "clutch.capacity": _held_then(0.0, (CLUTCH_NM, 0.05, 0.06))}
    to_and_fro = {
        "diesel.throttle": _held_then(0.1, (0.9, 0.02, 0.2), (0.1, 0.6, 0.15)),
        "clutch.capacity": _held_then(0.0, (CLUTCH_NM, 0.05, 0.2), (0.0, 0.6, 0.12)),
    }
    low = _rolling(layout, 0.0, LOW, 63.0)
    hollow = {"vehicle.hole_n": 5e4, "vehicle.hole_length_m": 0.5, "repeat_s": 1.1, "gearbox.ratio": 9.0}
    return {
        "launch": Event(duration_s=1.0, courses=closing, values=low),
        "clutch dropped": Event(duration_s=1.0, courses=dropped, values=_rolling(layout, 0.0, LOW, 150.0)),
        "ice, then grip": Event(duration_s=1.0, courses={**closing, **ice}, values=low),
        "rolled back": Event(
            duration_s=1.0,
            courses=dropped,
            values={**_rolling(layout, -0.8, LOW, 120.0), "vehicle.grade_rad": 0.12},
        ),
        "over-speed downshift": Event(duration_s=1.0, courses=down, values=_rolling(layout, 5.4, 5.0, 110.0)),
        "reverse dropped": Event(duration_s=1.0, courses=reverse, values=_rolling(layout, 0.3, -LOW, 120.0)),
        "rocking": Event(duration_s=2.0, courses=to_and_fro, values={**_rolling(layout, 0.0, 9.0, 100.0), **hollow}),
    }


def _on_the_road(layout: Layout) -> dict[str, Event]:
    """Events in which the clutch stays closed."""
    shut, full = {"clutch.capacity": Course(value=CLUTCH_NM)}, _held_then(0.4, (0.9, 0.1, 0.3))
    brakes = _brakes(layout, _held_then(0.0, (6e4, 0.1, 0.12)), _held_then(0.0, (8e4, 0.1, 0.12)))
    kerb = {"vehicle.kerb_n": 8e4, "vehicle.kerb_place_m": 0.4, "vehicle.kerb_length_m": 0.2}
    hole = {"vehicle.hole_n": 4e4, "vehicle.hole_place_m": 1.1, "vehicle.hole_length_m": 0.4}
    pull = {**shut, "diesel.throttle": _held_then(0.1, (0.95, 0.05, 0.6))}
    return {
        "steady pull": Event(
            duration_s=1.0, courses=pull, values={**_rolling(layout, 1.2, 8.0), "vehicle.grade_rad": 0.05}
        ),
        "hard brake": Event(duration_s=1.0, courses={**shut, **brakes}, values=_rolling(layout, 6.0, 2.4)),
        "kerb, then hole": Event(
            duration_s=1.5,
            courses={**shut, "diesel.throttle": full},
            values={**_rolling(layout, 1.0, 9.0), **kerb, **hole},
        ),
    }


def drawn(layout: Layout, event: Event, *, count: int = 1, seed: int | None = None) -> Draws:
    """Draws of a layout in an event, with scatter if a seed is given."""
    values = {**nominal(layout), **event_values(event)}
    return draws(layout=layout, values=values if seed is None else spread(values, count=count, seed=seed), count=count)
