"""Between which limits the torque must have been, from several parts that each bear witness to it.

Each part of the train says "at least" (it yielded, twisted, broke, was dented), "at most" (it survived, it did
not yield) or "about" (a reading with a band). Only witnesses to the SAME event and the same sense of torque
belong together. A part that broke in fatigue is no witness to "at least": fatigue needs far less than its
strength. A part counts as survivor only if it was examined.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from beachmark.mechanics.band import Band

Kind = Literal["at least", "at most", "about"]


@dataclass(frozen=True)
class Witness:
    """A part, what it says of its own torque, and its torque over that of the reference shaft."""

    name: str
    kind: Kind
    torque_nm: Band
    torque_ratio: Band = Band.exactly(1.0)

    def __post_init__(self) -> None:
        if self.kind not in ("at least", "at most", "about"):
            raise ValueError(f"kind of {self.name} is {self.kind!r}; it must be one of at least, at most, about.")
        self.torque_nm.require_positive(f"torque_nm of {self.name}")
        self.torque_ratio.require_positive(f"torque_ratio of {self.name}")


@dataclass(frozen=True)
class Bracket:
    """Torque of the reference shaft [N m] that all witnesses allow, and who sets it.

    Without a witness on a side it is open: 0 or infinity, and nobody sets it. If two witnesses contradict each
    other no torque fits all: low then exceeds high. Strained pairs agree only because their bands are wide.
    """

    low_nm: float
    high_nm: float
    low_by: str | None
    high_by: str | None
    contradictions: tuple[tuple[str, str], ...]
    strained: tuple[tuple[str, str], ...]

    @property
    def agrees(self) -> bool:
        """Whether some torque fits all witnesses."""
        return not self.contradictions


def torque_at_reference_nm(*, witness: Witness) -> Band:
    """The torque that a witness names, brought to the reference shaft.

    Formula: T / ratio; low over the greatest ratio, high over the least.
    Units: N m; ratio (torque at the part over torque at the reference shaft) dimensionless; result N m.
    Range: torque and ratio > 0. Losses, and an unequal share between branches, belong into the band of the ratio.
    Raises: ValueError from Witness if a band reaches 0.
    Source: gear relation, derived.

    >>> half_shaft = Witness("left half shaft", "at least", Band(9e3, 10e3, 11e3), Band(1.8, 2.0, 2.2))
    >>> torque_at_reference_nm(witness=half_shaft).nominal
    5000.0
    """
    torque, ratio = witness.torque_nm, witness.torque_ratio
    return Band(torque.low / ratio.high, torque.nominal / ratio.nominal, torque.high / ratio.low)


def bracket(*, witnesses: Sequence[Witness]) -> Bracket:
    """The torque of the reference shaft that all witnesses allow, who sets each side, and who contradicts whom.

    Formula: low = greatest low end of "at least" and "about"; high = least high end of "at most" and "about".
    Two contradict if the low end of one exceeds the high end of the other; they are strained if their nominal
    values do.
    Units: N m (at the reference shaft).
    Range: at least one witness, each with a name of its own; one event, one sense of torque.
    Raises: ValueError if there is no witness or a name comes twice.
    Source: intersection of intervals (Helly's theorem on a line: it is empty only if two of them part), derived.

    >>> found = bracket(witnesses=[
    ...     Witness("tube", "at least", Band(18e3, 20e3, 22e3)),
    ...     Witness("half shaft", "at most", Band(50e3, 55e3, 60e3), Band.exactly(2.0)),
    ... ])
    >>> found.low_nm, found.low_by, found.high_nm, found.high_by, found.agrees
    (18000.0, 'tube', 30000.0, 'half shaft', True)
    """
    _check(witnesses)
    wide = {w.name: _interval(w, lambda band: (band.low, band.high)) for w in witnesses}
    # "About" keeps its band here: two readings that differ within their bands are no strain.
    narrow = {
        w.name: wide[w.name] if w.kind == "about" else _interval(w, lambda band: (band.nominal, band.nominal))
        for w in witnesses
    }
    apart = _apart(wide)
    low_by = max(wide, key=lambda name: wide[name][0])
    high_by = min(wide, key=lambda name: wide[name][1])
    low, high = wide[low_by][0], wide[high_by][1]
    return Bracket(
        low_nm=low,
        high_nm=high,
        low_by=low_by if low > 0 else None,
        high_by=high_by if math.isfinite(high) else None,
        contradictions=apart,
        strained=tuple(pair for pair in _apart(narrow) if pair not in apart),
    )


def _check(witnesses: Sequence[Witness]) -> None:
    """Refuse an empty list and a name that comes twice."""
    if not witnesses:
        raise ValueError("witnesses is empty; it must hold at least one witness.")
    names = [witness.name for witness in witnesses]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise ValueError(f"witnesses has {', '.join(twice)} twice; each must have a name of its own.")


def _interval(witness: Witness, ends: Callable[[Band], tuple[float, float]]) -> tuple[float, float]:
    """Torques of the reference shaft that one witness allows."""
    low, high = ends(torque_at_reference_nm(witness=witness))
    if witness.kind == "at least":
        return low, math.inf
    return (0.0, high) if witness.kind == "at most" else (low, high)


def _apart(intervals: dict[str, tuple[float, float]]) -> tuple[tuple[str, str], ...]:
    """Pairs of intervals without a common point, in the order of the witnesses."""
    return tuple(
        (first, second)
        for first, second in combinations(intervals, 2)
        if max(intervals[first][0], intervals[second][0]) > min(intervals[first][1], intervals[second][1])
    )
