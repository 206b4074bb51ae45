"""One case worked out: what is installed, what was computed, what is concluded."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from beachmark.cases.case import Case
from beachmark.diagnosis.opinion import Opinion, diagnose
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.evidence.records import Observation
from beachmark.findings.population import FleetGroup
from beachmark.findings.results import Sum
from beachmark.findings.sums import all_sums
from beachmark.knowledge.model import Knowledge


@dataclass(frozen=True)
class Assessment:
    """A case with its sums and its opinion; `observations` are those that were weighed."""

    case: Case
    train: Train
    observations: tuple[Observation, ...]
    sums: tuple[Sum, ...]
    opinion: Opinion


def compute(case: Case, knowledge: Knowledge) -> tuple[Sum, ...]:
    """Every sum of a case, computed or with what it lacks."""
    return _sums(_Same(knowledge), case.vehicle, case.installed(), tuple(case.fleet))


class _Same:
    """Knowledge as the key of a memory: the same when it is the same object."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge

    def __hash__(self) -> int:
        return id(self.knowledge)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.knowledge is self.knowledge


@lru_cache(maxsize=64)
def _sums(of: _Same, vehicle: Vehicle, train: Train, fleet: tuple[FleetGroup, ...]) -> tuple[Sum, ...]:
    """What was seen changes no sum: recording an observation must not compute them anew."""
    return all_sums(of.knowledge, vehicle, train, fleet)


def assess(case: Case, knowledge: Knowledge, *, stages: tuple[str, ...] = ()) -> Assessment:
    """Work a case out. With `stages`, only what had come in by then is weighed; the sums stay."""
    observations = case.seen_by(*stages) if stages else case.observations
    sums = compute(case, knowledge)
    train = case.installed()
    opinion = diagnose(knowledge, train.layout, observations, sums)
    return Assessment(case, train, observations, sums, opinion)
