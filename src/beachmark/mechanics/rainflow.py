"""Which cycles a history of load holds, counted by rainflow.

Counting closes every loop that lies inside a larger one and leaves the rest as half cycles. The loops that
are closed by their neighbours alone do not depend on each other, so they are taken out all at once, pass
after pass; what is nested too deeply for that is finished point by point.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray

IntArray = NDArray[np.intp]

_FEW_POINTS = 64  # below this a pass over arrays costs more than going point by point
_WORTH_A_PASS = 64  # a pass over arrays pays when at least one point in so many starts a loop that it closes


@dataclass(frozen=True)
class CountedCycles:
    """Cycles in the order in which they begin; ranges and means in the unit of the history.

    The counts are 1 for a full cycle and 0.5 for a half one. The indices say where in the history a cycle
    has its two turning points.
    """

    ranges: FloatArray
    means: FloatArray
    counts: FloatArray
    first_index: IntArray
    second_index: IntArray


def turning_points(*, series: ArrayLike) -> IntArray:
    """Places of the peaks and valleys of a history, with its first and last point.

    Formula: the sign of the step changes; of a flat top or bottom the last point is taken.
    Units: none (places in the list, from 0).
    Range: one list of finite numbers, not empty. A history without any step has no turning points.
    Raises: ValueError if a value is not finite, or the list is empty or not one list.
    Source: ASTM E1049-85, sec. 2 and 5.4.4 (definition of a reversal; from memory).

    >>> turning_points(series=[0.0, 1.0, 2.0, 2.0, -1.0, 0.0]).tolist()
    [0, 3, 4, 5]
    """
    return _turning_points(_history(series))


def rainflow_cycles(*, series: ArrayLike) -> CountedCycles:
    """Cycles of a history, counted by rainflow; what never closes counts as half cycles.

    Formula: a range between two larger neighbours is a full cycle and is taken out with its two points;
    when none is left, each remaining range is half a cycle. Of equal ranges the earlier one is the smaller.
    Units: any one unit (Pa, N m, rad); ranges and means in the same; counts 1 or 0.5.
    Range: one list of finite numbers, not empty; sampled closely enough to hold its peaks.
    Raises: ValueError if a value is not finite, or the list is empty or not one list.
    Source: ASTM E1049-85, sec. 5.4.4 (rule from memory; its worked example is in the literature tests).

    >>> cycles = rainflow_cycles(series=[-2.0, 1.0, -3.0, 5.0, -1.0, 3.0, -4.0, 4.0, -2.0])
    >>> cycles.ranges.tolist()
    [3.0, 4.0, 8.0, 9.0, 4.0, 8.0, 6.0]
    >>> cycles.counts.tolist()
    [0.5, 0.5, 0.5, 0.5, 1.0, 0.5, 0.5]
    """
    values = _history(series)
    points = _turning_points(values)
    heights = values[points]
    mate = np.full(points.size, -1, dtype=np.intp)
    left = _close_at_once(heights, mate)
    left = _close_one_by_one(heights, left, mate)
    counts = np.ones(points.size)
    counts[left] = 0.5
    mate[left[:-1]] = left[1:]
    begin = np.flatnonzero(mate >= 0)
    end = mate[begin]
    return CountedCycles(
        ranges=np.abs(heights[begin] - heights[end]),
        means=(heights[begin] + heights[end]) / 2,
        counts=counts[begin],
        first_index=points[begin],
        second_index=points[end],
    )


def _turning_points(values: FloatArray) -> IntArray:
    """Return the places of the turning points of a history that has been checked."""
    steps = np.diff(values)
    moving = np.flatnonzero(steps != 0)
    if not moving.size:
        return np.empty(0, dtype=np.intp)
    rising = np.signbit(steps[moving] if moving.size < steps.size else steps)
    turning = moving[np.flatnonzero(rising[1:] != rising[:-1]) + 1]
    return np.concatenate(([0], turning, [values.size - 1]))


def _close_at_once(heights: FloatArray, mate: IntArray) -> IntArray:
    """Note the loops that close against their neighbours, pass after pass; return the points left."""
    left = np.arange(heights.size)
    while left.size > _FEW_POINTS:
        ranges = np.abs(np.diff(heights))
        inner = ranges[1:-1]
        # Two neighbouring ranges cannot both pass, so no point is taken out twice.
        closes = (inner < ranges[:-2]) & (inner <= ranges[2:])
        first = np.flatnonzero(closes) + 1
        if first.size * _WORTH_A_PASS < left.size:
            break
        mate[left[first]] = left[first + 1]
        gone = np.zeros(left.size, dtype=np.bool_)
        gone[1:-2] = closes
        gone[2:-1] |= closes
        kept = np.flatnonzero(~gone)
        left, heights = left[kept], heights[kept]
    return left


def _close_one_by_one(heights: FloatArray, left: IntArray, mate: IntArray) -> IntArray:
    """Note the loops among the points left with a stack; return the points of the ranges that never close."""
    height = heights[left].tolist()
    waiting: list[int] = []
    closed: list[int] = []
    # Two negative ranges below the stack: nothing is smaller than they are, so the first points never close.
    ranges = [-1.0, -1.0]
    before = last = -1.0
    for point in range(left.size):
        new = abs(height[point] - height[waiting[-1]]) if waiting else -1.0
        while last < before and last <= new:
            closed += waiting[-2:]
            del waiting[-2:], ranges[-2:]
            before, last = ranges[-2:]
            new = abs(height[point] - height[waiting[-1]])
        waiting.append(point)
        ranges.append(new)
        before, last = last, new
    mate[left[closed[::2]]] = left[closed[1::2]]
    return left[waiting]


def _history(series: ArrayLike) -> FloatArray:
    """Return the history as one list of finite numbers."""
    values = _domain.as_list(series)
    _domain.same_length(series=values)
    if not np.isfinite(values).all():  # the quick test first: a history may be long
        _domain.finite(series=values)
    return values
