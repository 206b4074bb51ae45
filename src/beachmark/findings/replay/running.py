"""Runs the events of a case on its own train, and has the typical and the worst draw judged by another solver."""

from __future__ import annotations

import hashlib
import math
import platform
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.metadata import PackageNotFoundError, version

import numpy as np
import numpy.typing as npt

from beachmark.basis.errors import refuse
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.replay.driving import Driven, driven, vehicle_order
from beachmark.findings.replay.numbers import Reals, ReplayPart, row
from beachmark.findings.replay.record import EventRecord, History, InputRecord, PartRecord, Record
from beachmark.findings.replay.stepping import carried, groups, shortening
from beachmark.findings.replay.vehicle import Plant, plant_of
from beachmark.findings.results import Input
from beachmark.knowledge.events import EventKind
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.replay import Draws, Outcome, Run, judge, trace

MOST_DRAWS, LEAST_DRAWS = 20_000, 8
_LOOKS = 400  # points of a history
_ROUNDING = 1e-6
_DRAW_STEPS = 4_000_000  # draws times steps between two looks at `watch`: a fraction of a second
_MODEL = 1  # counts up when the equations or the reading of a record change what a replay says


@dataclass(frozen=True)
class Order:
    """What to run: events by id (none: all that the vehicle can meet), draws of each, and the seed of chance."""

    events: tuple[str, ...] = ()
    draws: int = 1000
    seed: int = 1


@dataclass(frozen=True)
class Progress:
    """How far a run is."""

    share: float
    words: str


class StoppedError(Exception):
    """The one who watched said stop."""


Watch = Callable[[Progress], bool]
Marks = npt.NDArray[np.bool_]


def always(_: Progress) -> bool:
    """Never stops a run."""
    return True


def events_for(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> tuple[EventKind, ...]:
    """The events that a vehicle can meet, by what it has. Raises InputError where a number cannot be computed with."""
    return tuple(_fitting(knowledge, _plant(knowledge, vehicle, train)).values())


def replay_case(
    knowledge: Knowledge,
    vehicle: Vehicle,
    train: Train,
    *,
    order: Order,
    cache_folder: str | None,
    threads: int,
    watch: Watch = always,
) -> Record:
    """Replay events on a vehicle. Raises InputError for what cannot be run, StoppedError when `watch` says stop."""
    check_order(order)
    _tell(watch, 0.0, "preparing the equations of this driveline")
    plant = _plant(knowledge, vehicle, train)
    events = _chosen(knowledge, plant, order)
    found = []
    for number, event in enumerate(events):
        told = _Told(watch, event.title, number, len(events))
        made = _driven(plant, event, order)
        found.append(_ran(plant, made, event, _How(cache_folder, threads), told))
    if not any(event.sound.any() for event in found):
        raise refuse("replay", "vehicle", "the computation went astray in every draw", "numbers of a real vehicle")
    taken = vehicle_order(order.draws, order.seed)
    return Record(
        seed=order.seed,
        draws=order.draws,
        digest=digest(knowledge, vehicle, train),
        versions=versions(),
        loads=plant.layout.loads,
        parts=tuple(_part(part, taken) for part in plant.parts),
        inputs=tuple(_input(one, taken) for one in plant.inputs),
        notes=plant.notes,
        of_events=len(_fitting(knowledge, plant)),
        events=tuple(found),
    )


def judge_record(
    knowledge: Knowledge,
    vehicle: Vehicle,
    train: Train,
    record: Record,
    *,
    cache_folder: str | None = None,
    watch: Watch = always,
) -> Record:
    """The same record with its typical and worst draws solved again by SciPy: how far their peaks are off.

    Raises ArithmeticError if the solver does not get through, StoppedError when `watch` says stop.
    """
    plant = _plant(knowledge, vehicle, train)
    found = []
    for number, event in enumerate(record.events):
        kind = knowledge.events[event.event]
        told = _Told(watch, f"the referee solves again: {kind.title}", number, len(record.events))
        told.at(0.0)
        made = _driven(plant, kind, Order((), record.draws, record.seed))
        found.append(replace(event, deviation=_deviations(made, event, cache_folder, told)))
    return replace(record, events=tuple(found))


def digest(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> str:
    """What a replay was made from, as one short text: another vehicle, driveline or knowledge gives another."""
    counted = (vehicle.kind, vehicle.engine, vehicle.gearbox, vehicle.axle, vehicle.tyre, vehicle.duty.mass, train)
    used = (counted, tuple(knowledge.events.values()), tuple(knowledge.classes.values()), _MODEL)
    typical = tuple(sorted(knowledge.typical.items()))
    return hashlib.sha256(repr((used, typical)).encode()).hexdigest()[:32]


def versions() -> dict[str, str]:
    """What computed it."""
    found = {"model": str(_MODEL), "Python": platform.python_version()}
    for name in ("beachmark", "numpy", "numba", "scipy"):
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            found[name] = "not there"
    return found


# ---- one event ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _How:
    """How the steps are taken: where compiled equations are kept, and with how many threads."""

    cache_folder: str | None
    threads: int


@dataclass(frozen=True)
class _Peaks:
    """What the draws of an event carried, (draws, loads), and the step of each."""

    greatest: Reals
    least: Reals
    sound: Marks
    steps_s: Reals

    @property
    def peak(self) -> Reals:
        """Greatest magnitude of each load."""
        return np.maximum(self.greatest, -self.least)


def _ran(plant: Plant, made: Driven, event: EventKind, how: _How, told: _Told) -> EventRecord:
    try:
        return _run(plant, made, event, how, told)
    except (ValueError, ArithmeticError) as refusal:
        raise refuse("replay", event.title, f"a number cannot be computed with: {refusal}", "") from refusal


def _run(plant: Plant, made: Driven, event: EventKind, how: _How, told: _Told) -> EventRecord:
    whole = _peaks(made, how, told)
    worst = _worst(plant, made, whole)
    steps_s = whole.steps_s[[0, worst]]
    return EventRecord(
        event=event.id,
        duration_s=made.duration_s,
        step_s=float(steps_s.min()),
        greatest=whole.greatest,
        least=whole.least,
        steady_nm=made.steady_nm,
        gear=made.gear,
        friction=made.friction,
        sound=whole.sound,
        first=_first_to_break(plant, made, whole, how),
        worst=worst,
        history=_history(made, worst, float(steps_s.min()), how),
        deviation=np.full(2, np.nan),
    )


def _peaks(made: Driven, how: _How, told: _Told) -> _Peaks:
    """Carry all draws through the event as if nothing broke; those with stiff parts take shorter steps."""
    count, loads = len(made.draws), len(made.draws.layout.loads)
    found = _Peaks(np.zeros((count, loads)), np.zeros((count, loads)), np.zeros(count, dtype=bool), np.zeros(count))
    done = 0
    told.at(0.0)
    factor = shortening(made.draws, made.duration_s, cache_folder=how.cache_folder, threads=how.threads)
    for numbers, step_s in groups(made.draws, made.duration_s, factor):
        run = Run(draws=made.draws.only(numbers), step_s=step_s, cache_folder=how.cache_folder, threads=how.threads)
        for share in carried(run, round(made.duration_s / step_s), _DRAW_STEPS // len(numbers)):
            told.at((done + share * len(numbers)) / count)
        one = run.outcome()
        found.greatest[numbers], found.least[numbers], found.sound[numbers] = one.greatest, one.least, one.sound
        found.steps_s[numbers] = step_s
        done += len(numbers)
    return found


def _history(made: Driven, worst: int, step_s: float, how: _How) -> History:
    """Loads over time of the typical and of the worst draw."""
    pair, every = made.draws.only([0, worst]), max(1, round(made.duration_s / _LOOKS / step_s))
    seen = trace(draws=pair, duration_s=made.duration_s, step_s=step_s, every=every, cache_folder=how.cache_folder)
    return History(seen.times_s, seen.values)


def _limits(plant: Plant, made: Driven) -> dict[str, Reals]:
    """Torque at which the first part of each load breaks, in every draw."""
    loads = dict.fromkeys(part.load for part in plant.parts)
    return {
        load: np.minimum.reduce([part.breaks_nm[made.order] for part in plant.parts if part.load == load])
        for load in loads
    }


def _first_to_break(plant: Plant, made: Driven, whole: _Peaks, how: _How) -> npt.NDArray[np.intp]:
    """Which part breaks first in each draw, -1 for none: what is over its limit runs again, up to the fracture."""
    names, limits = made.draws.layout.loads, _limits(plant, made)
    over = np.zeros(len(made.draws), dtype=bool)
    for load, limit in limits.items():
        over |= whole.peak[:, names.index(load)] >= limit
    found = np.full(len(made.draws), -1, dtype=np.intp)
    numbers = np.flatnonzero(over & whole.sound)
    if not len(numbers):
        return found
    some = made.draws.only(numbers)
    rows = some.rows.copy()
    for load, limit in limits.items():
        rows[:, some.names.index(f"{load}.capacity_nm")] = limit[numbers]
    steps = math.ceil(made.duration_s / float(whole.steps_s[numbers].min()) - _ROUNDING)
    step_s = made.duration_s / steps
    run = Run(draws=replace(some, rows=rows), step_s=step_s, cache_folder=how.cache_folder, threads=how.threads)
    run.advance(steps)
    found[numbers] = _weakest(plant, made, run.outcome(), numbers)
    return found


def _weakest(plant: Plant, made: Driven, broken: Outcome, numbers: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """Of the parts of the load that broke, the one that bears least."""
    found = np.full(len(numbers), -1, dtype=np.intp)
    for place, load in enumerate(broken.loads):
        here = np.flatnonzero(broken.broken == place)
        parts = [number for number, part in enumerate(plant.parts) if part.load == load]
        if len(here) and parts:
            bears = np.stack([plant.parts[number].breaks_nm[made.order][numbers[here]] for number in parts])
            found[here] = np.array(parts)[bears.argmin(axis=0)]
    return found


def _worst(plant: Plant, made: Driven, whole: _Peaks) -> int:
    """The draw with the greatest load over what a part bears."""
    names = made.draws.layout.loads
    used = [whole.peak[:, names.index(part.load)] / part.yields_nm[made.order] for part in plant.parts]
    return int(np.where(whole.sound, np.maximum.reduce(used), -1.0).argmax())


def _deviations(made: Driven, event: EventRecord, cache_folder: str | None, told: _Told) -> Reals:
    """Greatest deviation of a kept peak along the driveline, of the typical and of the worst draw.

    Clutch and brakes are left out: their greatest torque is a corner in time that falls between two steps.
    """
    pair = made.draws.only([0, event.worst])
    run = Run(draws=pair, step_s=event.step_s, cache_folder=cache_folder)
    run.advance(round(event.duration_s / event.step_s))

    def goes_on(done: int, of: int) -> bool:
        told.at(done / max(of, 1))
        return True

    rows = [0, event.worst]
    kept = replace(run.outcome(), greatest=event.greatest[rows], least=event.least[rows])
    verdict = judge(draws=pair, outcome=kept, watch=goes_on, cache_folder=cache_folder)
    line = [number for number, load in enumerate(verdict.loads) if load in _springs(pair)]
    return np.asarray(verdict.deviation[:, line].max(axis=1))


def _springs(draws: Draws) -> set[str]:
    return {part.name for part in draws.layout.couplings}


# ---- small things ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Told:
    """Tells of one event among several."""

    watch: Watch
    title: str
    number: int
    of: int

    def at(self, share: float) -> None:
        """Tell how far this event is. Raises StoppedError."""
        _tell(self.watch, (self.number + share) / self.of, self.title)


def _tell(watch: Watch, share: float, words: str) -> None:
    if not watch(Progress(share, words)):
        raise StoppedError


def check_order(order: Order) -> None:
    """Refuse counts that cannot be run. Raises InputError."""
    if not LEAST_DRAWS <= order.draws <= MOST_DRAWS:
        raise refuse("replay", "draws", f"{order.draws} is not possible", f"{LEAST_DRAWS} to {MOST_DRAWS}")
    if not 0 <= order.seed < 2**32:
        raise refuse("replay", "seed", f"{order.seed} is not possible", "0 to 4294967295")


def _plant(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> Plant:
    try:
        return plant_of(knowledge, vehicle, train)
    except (ValueError, ArithmeticError) as refusal:
        raise refuse("replay", "vehicle", f"a number cannot be computed with: {refusal}", "") from refusal


def _driven(plant: Plant, event: EventKind, order: Order) -> Driven:
    try:
        return driven(plant, event, count=order.draws, seed=order.seed)
    except (ValueError, ArithmeticError) as refusal:
        raise refuse("replay", event.title, f"a number cannot be computed with: {refusal}", "") from refusal


def _chosen(knowledge: Knowledge, plant: Plant, order: Order) -> tuple[EventKind, ...]:
    fit = _fitting(knowledge, plant)
    for id in order.events:
        if id not in fit:
            why = "needs what this vehicle has not" if id in knowledge.events else "is not an event"
            raise refuse("replay", "events", f"{id!r} {why}", ", ".join(fit))
    return tuple(fit[id] for id in dict.fromkeys(order.events or fit))


def _fitting(knowledge: Knowledge, plant: Plant) -> dict[str, EventKind]:
    return {id: event for id, event in knowledge.events.items() if plant.has.issuperset(event.needs)}


def _part(part: ReplayPart, taken: npt.NDArray[np.intp]) -> PartRecord:
    return PartRecord(
        id=part.id,
        kind=part.kind,
        at=str(part.at),
        words=part.words,
        load=part.load,
        yields_nm=part.yields_nm[taken],
        breaks_nm=part.breaks_nm[taken],
        known=part.known,
        because=part.because,
    )


def _input(one: Input, taken: npt.NDArray[np.intp]) -> InputRecord:
    value = one.value
    return InputRecord(
        name=one.name,
        words=one.words,
        si=value.si,
        low=value.low,
        high=value.high,
        dimension=value.dimension,
        known=value.known.value,
        source=value.source,
        assumed=value.is_assumed,
        draws=row(value)[taken] if value.low < value.high else np.zeros(0),
    )
