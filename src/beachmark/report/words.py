"""Numbers and places in words, in the reader's units, and the references that tie reasoning to evidence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from beachmark.basis.errors import refuse
from beachmark.basis.units import UNITS, show, tidy
from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address, in_words

_METRIC = {"angle": "°", "rotation": "rpm"}
_US = {
    "length": "in",
    "distance": "mi",
    "angle": "°",
    "torque": "lbf ft",
    "force": "lbf",
    "mass": "lb",
    "speed": "mph",
    "rotation": "rpm",
    "stress": "psi",
}
SYSTEMS: Mapping[str, Mapping[str, str]] = {"metric": _METRIC, "us": _US}
RESULT_DIGITS = 3  # no sum of this kind is better known
INPUT_DIGITS = 4
_LEAST = 1e-6  # smaller results are rounding, or too small to matter
_PERCENT = re.compile(r"(?<=\d)\s?%")
_NUMBERED = re.compile(r"\A([a-z ]+) (\d+)\Z")
_PART = re.compile(r"\Adriveline\.(joint|shaft)s\[(\d+)\]")


@dataclass(frozen=True)
class Units:
    """The reader's system of units and the other one, which results are given in as well."""

    system: str

    def __post_init__(self) -> None:
        if self.system not in SYSTEMS:
            raise refuse("report", "units", f"{self.system!r} is not a system of units", ", ".join(SYSTEMS))

    @property
    def other(self) -> Units:
        """The other system."""
        return Units(next(name for name in SYSTEMS if name != self.system))

    def unit(self, dimension: str) -> str:
        """The unit in which this system shows a dimension."""
        return SYSTEMS[self.system].get(dimension, next(iter(UNITS[dimension])))

    def one(self, si: float, dimension: str, digits: int = RESULT_DIGITS) -> str:
        """One number with its unit, held together by hard spaces: `25 600 N m`, `4.5°`."""
        unit = self.unit(dimension)
        if 0 < abs(si / UNITS[dimension][unit]) < _LEAST:
            return f"below {_LEAST:.6f} {unit}".strip().replace(" °", "°")
        return show(si, dimension, unit, digits).replace(" °", "°").replace(" ", "\u00a0")

    def band(self, low: float, high: float, dimension: str, digits: int = RESULT_DIGITS) -> str:
        """A range with its unit, nothing when both ends read alike."""
        unit = self.unit(dimension)
        ends = [tidy(end / UNITS[dimension][unit], digits) for end in (low, high)]
        return f"{ends[0]} to {ends[1]} {unit}".strip().replace(" °", "°") if ends[0] != ends[1] else ""

    def spread(self, spread: Spread, dimension: str) -> tuple[str, str]:
        """A result and its range."""
        return self.one(spread.nominal, dimension), self.band(spread.low, spread.high, dimension)

    def in_other(self, si: float, dimension: str) -> str:
        """The number in the other system, nothing where both use the same unit."""
        same = self.unit(dimension) == self.other.unit(dimension)
        return "" if same else self.other.one(si, dimension)

    def value(self, value: Value) -> str:
        """An input with its range."""
        told = self.one(value.si, value.dimension, INPUT_DIGITS)
        band = self.band(value.low, value.high, value.dimension, INPUT_DIGITS)
        return f"{told} ({band})" if band else told


def plain(text: str) -> str:
    """A sentence of our own without the percent sign, which stands in the annex only."""
    return _PERCENT.sub(" percent", text)


def place_words(address: Address | None) -> str:
    """A place in words; nothing for what belongs to the whole case."""
    if address is None:
        return "place not said"
    return "" if address.unit == "case" else in_words(address)


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def ended(text: str) -> str:
    """The text with a full stop unless it ends a sentence already."""
    text = text.strip()
    return text if not text or text[-1] in ".?!”" else f"{text}."


def listed(parts: Iterable[str]) -> str:
    """`a; b; c`."""
    return "; ".join(part for part in parts if part)


def together(places: Sequence[str]) -> str:
    """Places in short: `joints 1, 2, 3` for three joints, else one after the other."""
    found = [_NUMBERED.match(place) for place in places]
    kinds = {match[1] for match in found if match}
    if len(places) > 1 and all(found) and len(kinds) == 1:
        return f"{kinds.pop()}s {', '.join(match[2] for match in found if match)}"
    return "; ".join(place for place in places if place)


def part_of(name: str) -> str:
    """The part that a field of the case file belongs to: `driveline.joints[0].angle` is of joint 1."""
    match = _PART.match(name)
    return f"{match[1]} {int(match[2]) + 1}" if match else ""


class References:
    """Where the report prints each piece of evidence."""

    def __init__(self) -> None:
        self._labels: dict[str, list[str]] = {}
        self._counts: dict[str, int] = {}

    def add(self, letter: str, key: str) -> str:
        """Give the next label of a kind to a piece of evidence."""
        self._counts[letter] = self._counts.get(letter, 0) + 1
        label = f"{letter}{self._counts[letter]}"
        self._labels.setdefault(key, []).append(label)
        return label

    def of(self, keys: Iterable[str]) -> tuple[str, ...]:
        """The labels of some evidence, each once."""
        return tuple(dict.fromkeys(label for key in keys for label in self._labels.get(key, ())))

    def label(self, key: str) -> str:
        """All labels of one key as one text."""
        return ", ".join(self._labels.get(key, ()))
