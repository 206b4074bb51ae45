"""Rainflow counts and summed damage against printed values."""

from collections import Counter

import pytest

from beachmark.mechanics.duty import damage_of_cycles
from beachmark.mechanics.fatigue import basquin_line, strength_at
from beachmark.mechanics.rainflow import rainflow_cycles

HISTORY = [-2.0, 1.0, -3.0, 5.0, -1.0, 3.0, -4.0, 4.0, -2.0]


def test_rainflow_counts__astm_e1049_85_sec_5_4_4_worked_example() -> None:
    """The standard's history: range 3 half, 4 one and a half, 6 half, 8 one, 9 half.

    Source: ASTM E1049-85, sec. 5.4.4, worked example (its figure and table of counts).
    Known: read (in the test of an open library that reproduces the standard's table).
    """
    cycles = rainflow_cycles(series=HISTORY)
    summed: Counter[float] = Counter()
    for size, count in zip(cycles.ranges.tolist(), cycles.counts.tolist(), strict=True):
        summed[size] += count
    assert summed == {3.0: 0.5, 4.0: 1.5, 6.0: 0.5, 8.0: 1.0, 9.0: 0.5}  # exact


def test_rainflow_ranges_and_means__astm_e1049_85_sec_5_4_4_worked_example() -> None:
    """The same history with means: the two halves of range 8 have different means, 1 and 0.

    Source: ASTM E1049-85, sec. 5.4.4, worked example.
    Known: read (in the test of an open library that reproduces the standard's example).
    """
    cycles = rainflow_cycles(series=HISTORY)
    found = sorted(zip(cycles.ranges.tolist(), cycles.means.tolist(), cycles.counts.tolist(), strict=True))
    assert found == [
        (3.0, -0.5, 0.5),
        (4.0, -1.0, 0.5),
        (4.0, 1.0, 1.0),
        (6.0, 1.0, 0.5),
        (8.0, 0.0, 0.5),
        (8.0, 1.0, 0.5),
        (9.0, 0.5, 0.5),
    ]


def test_damage_of_cycles__open_reliability_library_palmgren_miner_example() -> None:
    """Blocks of 40, 15 and 5 minutes of each hour at lives of 50 000, 6500 and 1000: 7400.38.

    Source: Palmgren-Miner example of an open reliability library (run beforehand, elsewhere).
    Known: read.
    """
    line = basquin_line(ultimate_pa=900e6, endurance_pa=300e6, strength_fraction=0.85)
    lives = [50_000.0, 6500.0, 1000.0]
    ranges = [2 * strength_at(line=line, cycles=life) * (1 - 1e-15) for life in lives]
    damage = damage_of_cycles(
        line=line, ranges_pa=ranges, means_pa=[0.0] * 3, cycles=[40 / 60, 15 / 60, 5 / 60], ultimate_pa=900e6
    )
    assert 1 / damage == pytest.approx(7400.38, abs=0.005)  # two decimals
