"""What one sum says about one part: inputs and their origin, result and its range, what it speaks for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.findings.topics import Topic


@dataclass(frozen=True)
class Input:
    """One input of a sum, by its name in the case file."""

    name: str
    words: str
    value: Value


@dataclass(frozen=True)
class Missing:
    """An input that is not there, by its name in the case file."""

    name: str
    words: str


@dataclass(frozen=True)
class HeldAgainst:
    """The limit that a result is held against."""

    words: str
    value: Value


@dataclass(frozen=True)
class Quantity:
    """One computed quantity with its range."""

    words: str
    spread: Spread
    dimension: str
    unit: str = ""
    held: bool = True  # held against the sum's limit, where that is of its dimension
    widened_by: str = ""  # the input whose range widens this one most
    widened_share: float = 0.0  # and its share of the variance


@dataclass(frozen=True)
class Sum:
    """One sum about one part. Without `results` it could not be computed and `missing` says what it lacks."""

    id: str
    title: str
    at: Address
    inputs: tuple[Input, ...] = ()
    missing: tuple[Missing, ...] = ()
    results: tuple[Quantity, ...] = ()
    held_against: HeldAgainst | None = None
    chances: Mapping[str, float] = field(default_factory=dict)  # answer of the finding -> chance
    speaks: str = "neither"  # for, against, neither
    sentence: str = ""
    method: str = ""
    source: str = ""
    valid: bool = True
    validity: str = ""
    topic: Topic = Topic.REFUSED

    @property
    def computed(self) -> bool:
        """True when all that it needs was there."""
        return bool(self.results)

    @property
    def assumed(self) -> tuple[Input, ...]:
        """Inputs that nobody measured or stated for this vehicle."""
        return tuple(given for given in self.inputs if given.value.is_assumed)

    @property
    def answer(self) -> str:
        """The likeliest answer of the finding, or nothing."""
        return max(self.chances, key=lambda key: self.chances[key]) if self.chances else ""
