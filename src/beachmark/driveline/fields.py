"""How a part's field is described, once: dimension, limits and the words for it.

The case file's reader, its JSON Schema, the forms and the list of what is missing all come from here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import Field, dataclass, field, fields
from typing import Any

from beachmark.basis.values import Value


@dataclass(frozen=True)
class About:
    """What one field means and which numbers it may hold (SI)."""

    dimension: str
    words: str
    least: float | None = None
    most: float | None = None


def quantity(dimension: str, words: str, *, least: float | None = 0.0, most: float | None = None) -> Any:
    """A dataclass field for an optional `Value`. With `least=0` the value must be above zero."""
    return field(default=None, metadata={"about": About(dimension, words, least, most)})


def choice(*allowed: str) -> Any:
    """A dataclass field for one of these words, or nothing."""
    return field(default="", metadata={"choices": allowed})


def choices(of: Field[Any]) -> tuple[str, ...]:
    """The words that a field may hold; empty for fields that may hold anything."""
    return tuple(of.metadata.get("choices", ()))


def about(of: Field[Any]) -> About | None:
    """The description of a quantity field, or None for other fields."""
    return of.metadata.get("about")


def known_values(part: Any, prefix: str = "") -> Iterator[tuple[str, Value, About]]:
    """Every quantity of a part that is known: name as in the case file, value, description."""
    for of in fields(part):
        described, value = about(of), getattr(part, of.name)
        if described and isinstance(value, Value):
            yield f"{prefix}{of.name}", value, described
