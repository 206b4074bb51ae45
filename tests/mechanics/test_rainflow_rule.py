"""Rainflow counting against the standard's rule written out step by step, and against what must always hold."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.mechanics.rainflow import CountedCycles, rainflow_cycles, turning_points

Cycle = tuple[float, float, float]


def _by_the_book(series: list[float]) -> list[Cycle]:
    """ASTM E1049-85, sec. 5.4.4, steps 1 to 6, with plain lists: (range, mean, count) as they are found."""
    heights = [height for height, _ in itertools.groupby(series)]
    reversals = [
        height
        for place, height in enumerate(heights)
        if place in (0, len(heights) - 1) or (height - heights[place - 1]) * (heights[place + 1] - height) < 0
    ]
    found: list[Cycle] = []
    read: list[float] = []

    def note(first: float, second: float, count: float) -> None:
        found.append((abs(first - second), (first + second) / 2, count))

    for height in reversals:  # step 1: read the next peak or valley
        read.append(height)
        while len(read) >= 3:  # step 2: with less than three points go to step 1
            x, y = abs(read[-1] - read[-2]), abs(read[-2] - read[-3])
            if x < y:  # step 3
                break
            if len(read) > 3:  # step 4: Y does not contain the starting point
                note(read[-3], read[-2], 1.0)
                del read[-3:-1]
            else:  # step 5: Y contains the starting point
                note(read[0], read[1], 0.5)
                del read[0]
    for first, second in itertools.pairwise(read):  # step 6
        note(first, second, 0.5)
    return found


def _cycles(counted: CountedCycles) -> list[Cycle]:
    return list(zip(counted.ranges.tolist(), counted.means.tolist(), counted.counts.tolist(), strict=True))


def _families() -> dict[str, np.ndarray]:
    rng = np.random.default_rng(20)
    n = 3000
    swing = np.where(np.arange(n) % 2 == 0, 1.0, -1.0)
    return {
        "noise": rng.normal(size=n),
        "walk": np.cumsum(rng.normal(size=n)),
        "many equal heights": rng.integers(-2, 3, n).astype(float),
        "few equal heights": rng.integers(-40, 41, n).astype(float),
        "growing": swing * np.arange(1, n + 1),
        "shrinking": swing * np.arange(n, 0, -1),
        "shrinking, then growing": swing * np.abs(np.arange(n) - n / 2 + 0.25),
        "growing, then shrinking": swing * (n - np.abs(np.arange(n) - n / 2 + 0.25)),
        "swelling": np.sin(np.arange(n) * 0.4) * (1.2 + np.sin(np.arange(n) * 0.01)),
        "square": np.repeat(swing[: n // 3], 3),
        "ramp": np.linspace(-1, 2, n),
    }


@pytest.mark.parametrize("family", _families())
def test_long_histories_are_counted_as_the_rule_does_step_by_step(family: str) -> None:
    series = _families()[family]
    found = _cycles(rainflow_cycles(series=series))
    assert sorted(found) == sorted(_by_the_book(series.tolist()))


@given(st.lists(st.integers(-4, 4).map(float), min_size=1, max_size=200))
@settings(max_examples=200, deadline=None)
def test_any_short_history_is_counted_as_the_rule_does_step_by_step(series: list[float]) -> None:
    assert sorted(_cycles(rainflow_cycles(series=series))) == sorted(_by_the_book(series))


HISTORIES = st.lists(st.integers(-1000, 1000).map(float), min_size=2, max_size=400)


@given(HISTORIES)
@settings(max_examples=100, deadline=None)
def test_the_whole_way_up_and_down_is_in_the_cycles(series: list[float]) -> None:
    cycles = rainflow_cycles(series=series)
    assert 2 * float(np.sum(cycles.counts * cycles.ranges)) == float(np.sum(np.abs(np.diff(series))))
    assert float(cycles.ranges.max(initial=0.0)) == max(series) - min(series)


@given(HISTORIES, st.integers(-50, 50), st.sampled_from([-2.0, -1.0, 0.5, 4.0]))
@settings(max_examples=100, deadline=None)
def test_shifting_and_stretching_the_history_moves_the_cycles_alike(
    series: list[float], shift: int, stretch: float
) -> None:
    plain = rainflow_cycles(series=series)
    moved = rainflow_cycles(series=np.array(series) * stretch + shift)
    assert moved.ranges.tolist() == (plain.ranges * abs(stretch)).tolist()
    assert moved.means.tolist() == (plain.means * stretch + shift).tolist()
    assert moved.counts.tolist() == plain.counts.tolist()


@given(HISTORIES)
@settings(max_examples=100, deadline=None)
def test_the_places_lead_to_the_turning_points_of_each_cycle(series: list[float]) -> None:
    heights, cycles = np.array(series), rainflow_cycles(series=series)
    first, second = heights[cycles.first_index], heights[cycles.second_index]
    assert np.abs(first - second).tolist() == cycles.ranges.tolist()
    assert ((first + second) / 2).tolist() == cycles.means.tolist()
    assert np.all(np.diff(cycles.first_index) > 0)
    assert np.all(cycles.second_index > cycles.first_index)


@given(HISTORIES, st.integers(2, 4))
@settings(max_examples=50, deadline=None)
def test_points_between_the_turning_points_change_nothing(series: list[float], times: int) -> None:
    finer = np.interp(np.arange(0, len(series) - 1 + 1e-9, 1 / times), np.arange(len(series)), series)
    assert _cycles(rainflow_cycles(series=finer)) == _cycles(rainflow_cycles(series=series))


def test_a_history_that_stands_still_has_no_cycles() -> None:
    for still in ([5.0], [5.0, 5.0, 5.0]):
        assert turning_points(series=still).size == 0
        assert rainflow_cycles(series=still).ranges.size == 0


def test_an_empty_history_and_a_table_are_refused() -> None:
    with pytest.raises(ValueError, match=r"series has shape \(0,\); it must be one list"):
        rainflow_cycles(series=[])
    with pytest.raises(ValueError, match=r"series has shape \(1, 2\)"):
        rainflow_cycles(series=[[1.0, 2.0]])
