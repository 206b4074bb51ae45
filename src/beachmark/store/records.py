"""What the store hands out, and its errors."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from beachmark.basis.errors import BeachmarkError

Clock = Callable[[], datetime]

OPEN = "open"  # the state of a case that is being worked on


class StoreError(BeachmarkError):
    """The store cannot be used as it is: its folder, its file or its version."""


class ConflictError(BeachmarkError):
    """Somebody else changed the case in between; nothing was stored."""

    def __init__(self, number: int, *, base: int, current: RevisionLine):
        self.number, self.base, self.current = number, base, current.revision
        by = f" by {current.who}" if current.who else ""
        super().__init__(
            f"case {number} was changed in between: this change was made from revision {base}, but the case is now at "
            f"revision {current.revision}, stored{by} at {current.when}. Nothing was stored; look at revision "
            f"{current.revision} and make the change again."
        )


@dataclass(frozen=True)
class StoredCase:
    """One revision of one case. `created` and `changed` are UTC in ISO form; `changed` is when it was stored."""

    number: int
    revision: int
    title: str
    reference: str
    document: dict[str, Any]
    created: str
    changed: str
    state: str


@dataclass(frozen=True)
class CaseLine:
    """One case in the list, at its current revision."""

    number: int
    title: str
    reference: str
    revision: int
    created: str
    changed: str
    state: str


@dataclass(frozen=True)
class RevisionLine:
    """One line of a case's history: who stored it, when and why, and its link to the line before."""

    revision: int
    who: str
    when: str
    why: str
    hash: str
    previous_hash: str


@dataclass(frozen=True)
class KeptReplay:
    """The replay that is kept with a case. `made` is UTC in ISO form."""

    number: int
    made: str
    seed: int
    draws: int
    digest: str  # of what it was made from
    mark: str  # SHA-256 of the block
    block: bytes


def utc_now() -> datetime:
    """The time now, in UTC."""
    return datetime.now(UTC)


def stamp(moment: datetime) -> str:
    """A moment as UTC in ISO form, to the second: `2031-04-05T06:07:08Z`."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
