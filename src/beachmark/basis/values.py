"""A physical input: SI number with its range, how it is known and where it comes from.

A value that is missing is simply not there (`None`); no number ever stands for "not measured".
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from beachmark.basis.draws import FloatArray


class Known(StrEnum):
    """How a value is known, best first."""

    MEASURED = "measured"
    PLATE = "from a plate"
    STATED = "stated"
    TABLE = "from a table"
    COMPUTED = "computed"
    ASSUMED = "assumed"


@dataclass(frozen=True)
class Value:
    """An SI number in [low, high] with its origin. `low <= si <= high` and all are finite."""

    si: float
    low: float
    high: float
    dimension: str
    known: Known = Known.STATED
    source: str = ""
    typed: str = ""
    sample: FloatArray | None = field(default=None, compare=False, repr=False)  # its draws, inside one sum

    def __post_init__(self) -> None:
        if not all(math.isfinite(x) for x in (self.si, self.low, self.high)):
            raise ValueError(f"a value must be finite, not {self.si}")
        if not self.low <= self.si <= self.high:
            raise ValueError(f"{self.si} does not lie between {self.low} and {self.high}")

    @classmethod
    def exact(cls, si: float, dimension: str, known: Known = Known.STATED, source: str = "", typed: str = "") -> Value:
        """A value without a stated range."""
        return cls(si, si, si, dimension, known, source, typed)

    @property
    def spread(self) -> Spread:
        """The same as a result: nominal, range and draws."""
        return Spread(self.si, self.low, self.high, self.sample)

    @property
    def is_assumed(self) -> bool:
        """True when nobody measured or stated it for this vehicle."""
        return self.known is Known.ASSUMED


@dataclass(frozen=True)
class Spread:
    """Nominal result with the range that its inputs allow, and its draws where it was made from draws."""

    nominal: float
    low: float
    high: float
    sample: FloatArray | None = field(default=None, compare=False, repr=False)

    def chance_above(self, limit: float) -> float:
        """Share of the draws above `limit`; without draws, of a triangle: 0 below the range, 1 above it."""
        if self.sample is not None and self.low < self.high:
            return float(np.mean(self.sample > limit))
        return 1.0 - _triangle_below(limit, self.low, self.nominal, self.high)


def _triangle_below(x: float, low: float, mode: float, high: float) -> float:
    if high <= low:
        return 1.0 if x >= mode else 0.0
    if x <= low:
        return 0.0
    if x >= high:
        return 1.0
    if x < mode:
        return (x - low) ** 2 / ((high - low) * (mode - low))
    if mode >= high:
        return (x - low) ** 2 / ((high - low) * (high - low))
    return 1.0 - (high - x) ** 2 / ((high - low) * (high - mode))


def spread(function: Callable[..., float], **values: Value) -> Spread:
    """Nominal and range of `function(**si)` over the corner values of its uncertain inputs.

    Interval arithmetic by corners: exact for functions that rise or fall with each input, which all
    the formulas used this way do. With more than eight uncertain inputs the corners are taken one
    input at a time and their deviations added, which is wider, never narrower, for sums and products
    of small deviations.
    """
    nominal = function(**{name: value.si for name, value in values.items()})
    uncertain = [name for name, value in values.items() if value.low < value.high]
    if len(uncertain) > 8:
        return _one_at_a_time(function, values, uncertain, nominal)
    results = [nominal]
    for corner in itertools.product((False, True), repeat=len(uncertain)):
        chosen = {name: value.si for name, value in values.items()}
        for name, at_high in zip(uncertain, corner, strict=True):
            chosen[name] = values[name].high if at_high else values[name].low
        results.append(function(**chosen))
    return Spread(nominal, float(np.min(results)), float(np.max(results)))


def _one_at_a_time(
    function: Callable[..., float], values: Mapping[str, Value], uncertain: list[str], nominal: float
) -> Spread:
    below = above = 0.0
    for name in uncertain:
        chosen = {key: value.si for key, value in values.items()}
        ends = [function(**(chosen | {name: end})) for end in (values[name].low, values[name].high)]
        below += nominal - min(nominal, *ends)
        above += max(nominal, *ends) - nominal
    return Spread(nominal, nominal - below, nominal + above)
