"""The case: what is installed, what happened, what was seen."""

from __future__ import annotations

from dataclasses import dataclass, field

from beachmark.driveline.catalogue import Catalogue, with_sizes
from beachmark.driveline.parts import Joint, Shaft
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train, with_slopes_from_points
from beachmark.driveline.vehicle import Vehicle
from beachmark.evidence.records import Observation, up_to_stage
from beachmark.findings.population import FleetGroup

UNKNOWN_TRAIN = Train(shafts=(Shaft(),), joints=(Joint(), Joint()))


@dataclass(frozen=True)
class Account:
    """What was told, in the words of those who told it."""

    driver_words: str = ""
    mechanic_words: str = ""
    story: str = ""
    happened: str = ""
    asked_by: str = ""
    question: str = ""


@dataclass(frozen=True)
class Photo:
    """One picture: which file, what it shows, where, when, by whom."""

    id: str
    shows: str = ""
    at: Address | None = None
    file: str = ""
    sha256: str = ""
    taken: str = ""
    by: str = ""


@dataclass(frozen=True)
class Work:
    """One entry of the work history."""

    what: str
    when: str = ""
    odometer: str = ""
    by: str = ""


@dataclass(frozen=True)
class Case:
    """One case. `layout_known` is False while nobody said how many shafts there are."""

    title: str
    reference: str = ""
    vehicle: Vehicle = Vehicle()
    train: Train = UNKNOWN_TRAIN
    layout_known: bool = False
    account: Account = Account()
    observations: tuple[Observation, ...] = ()
    photos: tuple[Photo, ...] = ()
    history: tuple[Work, ...] = ()
    fleet: tuple[FleetGroup, ...] = ()
    catalogue: Catalogue = field(default_factory=Catalogue)

    def installed(self) -> Train:
        """The driveline with catalogue sizes and what follows from points in space filled in."""
        return with_slopes_from_points(with_sizes(self.train, self.catalogue))

    def seen_by(self, *stages: str) -> tuple[Observation, ...]:
        """The observations that had come in by these stages."""
        return up_to_stage(self.observations, stages)
