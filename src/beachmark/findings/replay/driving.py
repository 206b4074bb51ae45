"""An event on a vehicle: what driver, road and brakes do in each draw, as parameters of the replay.

Every draw takes a vehicle of its own and a driver of its own. Draw 0 is the typical one: all numbers nominal.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numpy.typing import ArrayLike

from beachmark.basis.draws import COUNT, triangular
from beachmark.basis.values import Value
from beachmark.findings.replay.numbers import Reals
from beachmark.findings.replay.vehicle import Plant
from beachmark.knowledge.events import EventKind
from beachmark.mechanics.replay import Course, Draws, Event, Ramp, draws, event_values

_LEAST_LENGTH_M = 0.01
_LONGEST_START_TURNS = 12.0  # turns of the gearbox input from which its start angle is drawn
_SLIP_OF_OPEN_CONVERTER = 0.95  # turbine over engine speed while no gear is in
_LEAST_TAKES_S = 1e-3


@dataclass(frozen=True)
class Driven:
    """One event in all its draws."""

    draws: Draws
    duration_s: float
    order: npt.NDArray[np.intp]  # (draws,) which row of the vehicle each draw took
    gear: Reals
    friction: Reals
    steady_nm: Reals


def driven(plant: Plant, event: EventKind, *, count: int, seed: int) -> Driven:
    """Draw an event `count` times. Raises ValueError where a number cannot be computed with."""
    chance = np.random.default_rng([seed, zlib.crc32(event.id.encode())])
    order = vehicle_order(count, seed)
    drawing = _Drawing(chance, count)
    own = {name: values[order] for name, values in plant.values.items()}
    scale = {name: values[order] for name, values in plant.numbers.items()}
    gear = _gear(plant, event, drawing, scale)
    friction = _friction(plant, event, drawing, order)
    values: dict[str, ArrayLike] = {name: row for name, row in own.items() if not name.endswith(".greatest_nm")}
    values["gearbox.ratio"] = gear
    values |= _standing(plant, event, drawing, own, scale, gear)
    values |= _road(event, drawing, scale)
    courses = _courses(plant, event, drawing, own, scale, friction)
    if event.repeat is not None:
        values["repeat_s"] = drawing.of(event.repeat)
    values |= event_values(Event(duration_s=event.duration_s, courses=courses))
    return Driven(
        draws=draws(layout=plant.layout, values=values, count=count),
        duration_s=event.duration_s,
        order=order,
        gear=gear,
        friction=friction,
        steady_nm=np.minimum(scale["peak_in"] * np.abs(gear), _held_by_tyres(plant, own, friction)),
    )


def vehicle_order(count: int, seed: int) -> npt.NDArray[np.intp]:
    """Which row of the vehicle each draw takes: the nominal one first, then the draws in a random order, again if
    there are more draws than rows; the same in every event, so that events are compared on the same vehicles."""
    random = np.random.default_rng([seed, 0])
    rounds = -(-count // COUNT)
    rows = np.concatenate([random.permutation(COUNT) + 1 for _ in range(rounds)])
    return np.concatenate([[0], rows])[:count].astype(np.intp)


@dataclass
class _Drawing:
    """Draws numbers of an event; the first draw is the nominal number."""

    chance: np.random.Generator
    count: int

    def of(self, value: Value) -> Reals:
        """A number: triangular between its ends."""
        found = triangular(self.chance.random(self.count), value.low, value.si, value.high)
        found[0] = value.si
        return found

    def between(self, low: float, high: float) -> Reals:
        """Any number between two, all alike; their middle in the first draw."""
        found = self.chance.uniform(low, high, self.count)
        found[0] = 0.5 * (low + high)
        return found

    def pick(self, chances: Mapping[str, float]) -> npt.NDArray[np.str_]:
        """One of several by its chance; the likeliest in the first draw."""
        names = list(chances)
        shares = np.array([chances[name] for name in names])
        found = self.chance.choice(names, size=self.count, p=shares / shares.sum())
        found[0] = names[int(shares.argmax())]
        return np.asarray(found, dtype=np.str_)


def _gear(plant: Plant, event: EventKind, drawing: _Drawing, scale: Mapping[str, Reals]) -> Reals:
    """Ratio of the gear: on the logarithm between the lowest and the highest, the nearest known one."""
    if event.gear is None:
        return -scale["reverse"]
    first, top = scale["first"], scale["top"]
    wanted = first * (top / first) ** drawing.of(event.gear)
    if not plant.gears:
        return wanted
    known = np.stack([first, top, *(np.full(drawing.count, gear) for gear in plant.gears)])
    nearest = np.abs(np.log(known / wanted)).argmin(axis=0)
    return np.asarray(known[nearest, np.arange(drawing.count)])


def _friction(plant: Plant, event: EventKind, drawing: _Drawing, order: npt.NDArray[np.intp]) -> Reals:
    """Friction of the ground: of a surface drawn by its chance, unless the case states the grip."""
    on = drawing.pick(event.surfaces)
    if plant.stated_grip is not None:
        return plant.stated_grip[order]
    found = np.zeros(drawing.count)
    for surface in event.surfaces:
        found[on == surface] = plant.grounds[surface][order][on == surface]
    return found


def _held_by_tyres(plant: Plant, own: Mapping[str, Reals], friction: Reals) -> Reals:
    """Driveline torque at which the tyres slip: of two axles twice that of the one that holds less (open between)."""
    held = [
        friction * own[f"{tyre.name}.load_n"] * own[f"{tyre.name}.radius_m"] / own[f"pinion gear{end}.ratio"]
        for tyre in plant.layout.tyres
        for end in [tyre.name.removeprefix("tyre")]
    ]
    return np.asarray(len(held) * np.minimum.reduce(held))


def _standing(
    plant: Plant,
    event: EventKind,
    drawing: _Drawing,
    own: Mapping[str, Reals],
    scale: Mapping[str, Reals],
    gear: Reals,
) -> dict[str, ArrayLike]:
    """Speeds and angles at the start."""
    idle, span = scale["idle"], scale["governed"] - scale["idle"]
    per_road = gear * own["pinion gear.ratio"] / own["tyre.radius_m"]  # gearbox input for 1 m/s of road speed
    if event.input_share is not None:
        road = (idle + drawing.of(event.input_share) * span) / np.abs(per_road) * np.sign(gear)
    else:
        road = drawing.of(event.speed) if event.speed is not None else np.zeros(drawing.count)
    turned = road * per_road
    engine = turned if event.engine_share is None else idle + drawing.of(event.engine_share) * span
    found: dict[str, ArrayLike] = {"vehicle.start_speed_m_s": road, "engine.start_speed_rad_s": engine}
    for tyre in plant.layout.tyres:
        found[f"{tyre.wheel}.start_speed_rad_s"] = road / own[f"{tyre.name}.radius_m"]
    if "converter" in plant.has:
        closed = _starts_closed(event)
        found["turbine.start_speed_rad_s"] = turned if closed else _SLIP_OF_OPEN_CONVERTER * engine
        found["engine.start_speed_rad_s"] = np.maximum(engine, idle)
    found["input.start_angle_rad"] = drawing.between(0.0, 2 * np.pi * _LONGEST_START_TURNS)
    for lash in ("gearbox", *(f"pinion gear{tyre.name.removeprefix('tyre')}" for tyre in plant.layout.tyres)):
        found[f"{lash}.start_rad"] = drawing.between(-1.0, 1.0) * own[f"{lash}.half_gap_rad"]
    return found


def _starts_closed(event: EventKind) -> bool:
    return "clutch" not in event.courses or event.courses["clutch"].first.si > 0.0


def _road(event: EventKind, drawing: _Drawing, scale: Mapping[str, Reals]) -> dict[str, ArrayLike]:
    found: dict[str, ArrayLike] = {"vehicle.grade_rad": drawing.of(event.grade)}
    if event.obstacle is not None:
        name = f"vehicle.{event.obstacle.kind}"
        found[f"{name}_n"] = drawing.of(event.obstacle.force) * scale["driven_n"]
        found[f"{name}_place_m"] = drawing.of(event.obstacle.place)
        found[f"{name}_length_m"] = np.maximum(drawing.of(event.obstacle.length), _LEAST_LENGTH_M)
    return found


# ---- courses --------------------------------------------------------------------------------------------------


def _courses(
    plant: Plant,
    event: EventKind,
    drawing: _Drawing,
    own: Mapping[str, Reals],
    scale: Mapping[str, Reals],
    friction: Reals,
) -> dict[str, Course]:
    """Every course of the layout: what the event says, else at rest (clutch closed, grip whole, the others nothing)."""
    shares = {name: _course(event, name, drawing) for name in event.courses}
    one, none = Course(value=1.0), Course(value=0.0)
    found = {
        "diesel.throttle": shares.get("throttle", none),
        "clutch.capacity": _times(shares.get("clutch", one), scale["clutch"]),
        "vehicle.brake": _times(shares.get("vehicle_brake", none), scale["vehicle_brake_n"]),
    }
    for tyre in plant.layout.tyres:
        brake = f"brake{tyre.name.removeprefix('tyre')}"
        found[f"{tyre.name}.friction"] = _times(shares.get("grip", one), friction)
        found[f"{brake}.capacity"] = _times(shares.get("wheel_brake", none), own[f"{brake}.greatest_nm"])
    if "retarder" in plant.has:
        found["retarder.capacity"] = _times(shares.get("retarder", none), scale["retarder"])
    if "power_take_off" in plant.has:
        found["power take-off.torque"] = _times(shares.get("power_take_off", none), -scale["peak"])
    return found


def _course(event: EventKind, name: str, drawing: _Drawing) -> Course:
    given = event.courses[name]
    value = drawing.of(given.first)
    before, ramps = value, []
    for step in given.steps:
        to = drawing.of(step.to)
        takes = np.maximum(drawing.of(step.takes), _LEAST_TAKES_S)
        ramps.append(Ramp(start_s=drawing.of(step.at), takes_s=takes, change=to - before))
        before = to
    return Course(value=value, ramps=tuple(ramps))


def _times(course: Course, scale: Reals) -> Course:
    ramps = tuple(
        Ramp(start_s=ramp.start_s, takes_s=ramp.takes_s, change=np.asarray(ramp.change) * scale)
        for ramp in course.ramps
    )
    return Course(value=np.asarray(course.value) * scale, ramps=ramps)
