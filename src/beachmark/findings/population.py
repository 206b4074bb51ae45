"""Sister vehicles: is a difference between two groups more than chance?"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, lgamma


@dataclass(frozen=True)
class FleetGroup:
    """So many failed of so many alike vehicles; `exposed` marks the group under suspicion."""

    name: str
    failed: int
    of: int
    exposed: bool = False


def exact_probability(*, failed_a: int, of_a: int, failed_b: int, of_b: int) -> float:
    """Two-sided exact probability of a difference at least as rare, if both groups were alike.

    Sum of the hypergeometric probabilities that do not exceed that of the observed table.
    Source: Fisher, Statistical Methods for Research Workers, section 21.02 (from memory).

    >>> round(exact_probability(failed_a=6, of_a=9, failed_b=1, of_b=14), 4)
    0.0049
    """
    if not (0 <= failed_a <= of_a and 0 <= failed_b <= of_b):
        raise ValueError("a group cannot have more failed vehicles than vehicles")
    failed = failed_a + failed_b
    ways = _log_ways(of_a + of_b, failed)

    def chance(in_a: int) -> float:
        return exp(_log_ways(of_a, in_a) + _log_ways(of_b, failed - in_a) - ways)

    observed = chance(failed_a)
    possible = range(max(0, failed - of_b), min(of_a, failed) + 1)
    # a hair of room for ties that rounding pulled apart
    return min(1.0, sum(p for p in map(chance, possible) if p <= observed * (1 + 1e-7)))


def _log_ways(of: int, chosen: int) -> float:
    """Natural log of the number of ways to choose; whole numbers of this size would take minutes."""
    return lgamma(of + 1) - lgamma(chosen + 1) - lgamma(of - chosen + 1)
