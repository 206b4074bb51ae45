"""Seeded quasi-random numbers: the same every time, and more even than chance.

A randomised Halton sequence: each column counts in its own prime base, and a fixed random permutation of every
digit takes away the patterns that large bases would draw. Source: A. B. Owen, A randomized Halton algorithm in R,
arXiv 1706.02808 (2017) (from memory).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

COUNT = 1024  # draws of every uncertain input
COLUMNS = 192  # more uncertain inputs than any one sum, or a replay, has
_SEED = 17
_SMALLEST = 2.0**-53


@cache
def uniform_column(column: int, count: int = COUNT) -> FloatArray:
    """Numbers between 0 and 1, both excluded, of one column. Raises ValueError beyond the last column."""
    if not 0 <= column < COLUMNS:
        raise ValueError(f"column is {column}; it must be from 0 to {COLUMNS - 1}.")
    base = _primes(COLUMNS)[column]
    random = np.random.default_rng([_SEED, column])
    left = np.arange(count)
    found, weight = np.zeros(count), 1.0
    while weight > _SMALLEST:  # digits of the index, then of the endless zeros behind it: each is permuted
        weight /= base
        found += random.permutation(base)[left % base] * weight
        left //= base
    found = np.clip(found, _SMALLEST, 1.0 - _SMALLEST)
    found.flags.writeable = False
    return found


def triangular(uniform: FloatArray, low: float, mode: float, high: float) -> FloatArray:
    """Draws of a triangular distribution, rad or whatever unit its three corners have."""
    if high <= low:
        return np.full_like(uniform, mode)
    at = (mode - low) / (high - low)
    rising = low + np.sqrt(uniform * (high - low) * (mode - low))
    falling = high - np.sqrt((1.0 - uniform) * (high - low) * (high - mode))
    return np.where(uniform < at, rising, falling)


@cache
def _primes(count: int) -> tuple[int, ...]:
    found: list[int] = []
    number = 2
    while len(found) < count:
        if all(number % prime for prime in found):
            found.append(number)
        number += 1
    return tuple(found)
