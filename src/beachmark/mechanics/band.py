"""A value that is known as a range: least, most likely and greatest."""

import math
from dataclasses import dataclass

from beachmark.mechanics import _domain


@dataclass(frozen=True)
class Band:
    """Least, nominal and greatest value of one quantity; its unit stands in the name that carries it.

    >>> Band.spread(500e6, 0.1).high / 1e6
    550.0
    >>> Band(2.0, 1.0, 3.0)
    Traceback (most recent call last):
    ValueError: nominal is 1; it must be from low (2) to high (3).
    """

    low: float
    nominal: float
    high: float

    def __post_init__(self) -> None:
        _domain.finite(low=self.low, nominal=self.nominal, high=self.high)
        if not self.low <= self.nominal <= self.high:
            allowed = f"from low ({self.low:g}) to high ({self.high:g})"
            raise ValueError(f"nominal is {self.nominal:g}; it must be {allowed}.")

    @classmethod
    def exactly(cls, value: float) -> "Band":
        """A value that is taken as certain."""
        return cls(value, value, value)

    @classmethod
    def spread(cls, nominal: float, share: float) -> "Band":
        """A value with the same share of itself above and below (0 to below 1)."""
        _domain.between(0.0, math.nextafter(1.0, 0.0), "from 0 to below 1", share=share)
        half = abs(nominal) * share
        return cls(nominal - half, nominal, nominal + half)

    @property
    def corners(self) -> tuple[float, float, float]:
        """The three values in order."""
        return self.low, self.nominal, self.high

    def scaled(self, factor: float) -> "Band":
        """The band of a quantity that is this one times a factor of 0 or greater."""
        _domain.non_negative(factor=factor)
        return Band(self.low * factor, self.nominal * factor, self.high * factor)

    def holds(self, value: float) -> bool:
        """Whether a value lies in the band."""
        return self.low <= value <= self.high

    def require_positive(self, name: str) -> None:
        """Refuse a band that reaches zero or below, naming the argument that it came in as."""
        _domain.positive(**{f"{name} (low end)": self.low})

    def require_within(self, name: str, low: float, high: float) -> None:
        """Refuse a band that leaves a range, naming the argument that it came in as."""
        allowed = f"from {low:g} to {high:g}"
        _domain.between(low, high, allowed, **{f"{name} (low end)": self.low, f"{name} (high end)": self.high})
