"""What must always hold at a hole's mouth."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import hole_mouth
from beachmark.mechanics.fitting_corner import Sense, Yoke

STRESSES = st.floats(-1e9, 1e9)


@given(STRESSES, STRESSES)
def test_extremes_are_those_of_a_walk_around_the_mouth(first: float, second: float) -> None:
    around = np.linspace(0, np.pi, 181)  # holds both extremes: t = 0 and 90 deg
    walk = hole_mouth.stress_around_hole_pa(first_pa=first, second_pa=second, around_rad=around)
    found = hole_mouth.mouth_extremes(first_pa=first, second_pa=second)
    scale = abs(first) + abs(second) + 1
    assert found.greatest_pa == pytest.approx(walk.max(), abs=1e-9 * scale)
    assert found.least_pa == pytest.approx(walk.min(), abs=1e-9 * scale)
    swapped = hole_mouth.mouth_extremes(first_pa=second, second_pa=first)
    assert (swapped.greatest_pa, swapped.least_pa) == (found.greatest_pa, found.least_pa)


@given(STRESSES, STRESSES, st.floats(-7, 7))
def test_mean_around_the_mouth_is_the_sum_of_both_stresses(first: float, second: float, around: float) -> None:
    here, square = (
        hole_mouth.stress_around_hole_pa(first_pa=first, second_pa=second, around_rad=a)
        for a in (around, around + math.pi / 2)
    )
    assert (here + square) / 2 == pytest.approx(first + second, abs=1e-6 * (1 + abs(first) + abs(second)))


def test_arms_that_share_no_corner_and_shares_beyond_one_are_refused() -> None:
    joint = {"driving_yoke": Yoke.GEARBOX, "torque_sense": Sense.CLOCKWISE}
    with pytest.raises(ValueError, match=r"arms is .*; it must be one of G1, G2 and one of A1, A2"):
        hole_mouth.corner_stress_pa(nominal_pa=1e8, arms=("G1", "G2"), **joint)
    with pytest.raises(ValueError, match=r"transverse_share is 1\.5; it must be from -1 to 1"):
        hole_mouth.fitting_hole_stress(nominal_pa=1e8, transverse_share=1.5, arms=("G1", "A1"), **joint)
