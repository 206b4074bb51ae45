"""One observation: answers at a place, with who looked, how, when, how sure, and on which photo."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from beachmark.driveline.positions import Address

NOT_LOOKED = "not_looked"
CANNOT_TELL = "cannot_tell"
SILENT = frozenset({NOT_LOOKED, CANNOT_TELL})  # allowed for every observation; they change nothing


class Sure(StrEnum):
    """How sure the person is who answered."""

    CERTAIN = "certain"
    FAIRLY = "fairly"
    UNSURE = "unsure"


class How(StrEnum):
    """How it was looked at."""

    TOLD = "told"
    PHOTO = "photo"
    EYE = "eye"
    HAND = "hand"
    TOOLS = "tools"
    LABORATORY = "laboratory"


@dataclass(frozen=True)
class Observation:
    """Answers to one question of the vocabulary at one place. `at=None`: nobody said where."""

    see: str
    answers: tuple[str, ...]
    at: Address | None = None
    by: str = ""
    how: How | None = None
    when: str = ""
    sure: Sure = Sure.FAIRLY
    photos: tuple[str, ...] = ()
    note: str = ""
    stage: str = ""  # call, photos, bench: when in the course of the case it came in

    @property
    def speaks(self) -> bool:
        """False when it was not looked at or could not be told."""
        return any(answer not in SILENT for answer in self.answers)


def up_to_stage(observations: Iterable[Observation], stages: Iterable[str]) -> tuple[Observation, ...]:
    """The observations that had come in by the given stages, in their order."""
    wanted = set(stages)
    return tuple(seen for seen in observations if seen.stage in wanted)
