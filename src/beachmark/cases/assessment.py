"""One case worked out: what is installed, what was computed, what is concluded."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Generic, TypeVar

from beachmark.cases.case import Case
from beachmark.diagnosis.opinion import Opinion, diagnose
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.evidence.records import Observation
from beachmark.findings.population import FleetGroup
from beachmark.findings.replay.reading import Reading
from beachmark.findings.replay.record import Record
from beachmark.findings.results import Sum
from beachmark.findings.sums import all_sums
from beachmark.findings.topics import Topic
from beachmark.knowledge.model import Knowledge

T = TypeVar("T")


@dataclass(frozen=True)
class Assessment:
    """A case with its sums and its opinion; `observations` are those that were weighed.

    `replay` is what a replay of its events tells, where one is given.
    """

    case: Case
    train: Train
    observations: tuple[Observation, ...]
    sums: tuple[Sum, ...]
    opinion: Opinion
    replay: Reading | None = None


def compute(case: Case, knowledge: Knowledge, *, record: Record | None = None) -> tuple[Sum, ...]:
    """Every sum of a case, computed or with what it lacks, and those of its replay where there is one."""
    reading = _reading(case, knowledge, case.observations, record)
    return _with_replay(_plain_sums(case, knowledge), reading)


def assess(
    case: Case, knowledge: Knowledge, *, stages: tuple[str, ...] = (), record: Record | None = None
) -> Assessment:
    """Work a case out, with its replay where there is one.

    With `stages`, only what had come in by then is weighed, and read against the replay; the other sums stay.
    """
    observations = case.seen_by(*stages) if stages else case.observations
    reading = _reading(case, knowledge, observations, record)
    sums = _with_replay(_plain_sums(case, knowledge), reading)
    train = case.installed()
    opinion = diagnose(knowledge, train.layout, observations, sums)
    return Assessment(case, train, observations, sums, opinion, reading)


def _with_replay(sums: tuple[Sum, ...], reading: Reading | None) -> tuple[Sum, ...]:
    """The sums with those of a replay, in the order of the questions."""
    if reading is None:
        return sums
    topics = list(Topic)
    return tuple(sorted((*sums, *reading.sums), key=lambda one: topics.index(one.topic)))


def _plain_sums(case: Case, knowledge: Knowledge) -> tuple[Sum, ...]:
    return _sums(_Same(knowledge), case.vehicle, case.installed(), tuple(case.fleet))


def _reading(
    case: Case, knowledge: Knowledge, observations: tuple[Observation, ...], record: Record | None
) -> Reading | None:
    if record is None:
        return None
    return _read(_Same(knowledge), case.vehicle, case.installed(), observations, _Same(record))


class _Same(Generic[T]):
    """A large thing as the key of a memory: the same when it is the same object."""

    def __init__(self, thing: T) -> None:
        self.thing = thing

    def __hash__(self) -> int:
        return id(self.thing)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.thing is self.thing


@lru_cache(maxsize=64)
def _sums(of: _Same[Knowledge], vehicle: Vehicle, train: Train, fleet: tuple[FleetGroup, ...]) -> tuple[Sum, ...]:
    """What was seen changes no sum: recording an observation must not compute them anew."""
    return all_sums(of.thing, vehicle, train, fleet)


@lru_cache(maxsize=4)  # each holds a record of some MB
def _read(
    of: _Same[Knowledge],
    vehicle: Vehicle,
    train: Train,
    observations: tuple[Observation, ...],
    record: _Same[Record],
) -> Reading:
    """What was seen changes what a replay tells, and nothing else of the case does while its driveline stays."""
    from beachmark.findings.replay.reader import read_replay  # late: only a case with a replay needs the mechanics

    return read_replay(of.thing, vehicle, train, observations, record.thing)
