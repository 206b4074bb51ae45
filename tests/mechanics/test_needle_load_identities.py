"""What must always hold of the loads of needles, dents and greasing."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import needle_load

FORCES = st.floats(1.0, 5e5)
PLAYS = st.floats(0.0, 3e-4)
COUNTS = st.integers(8, 60)
CAP = {"needle_count": 38, "needle_length_m": 0.02}


@given(FORCES, PLAYS, COUNTS, st.booleans())
def test_needles_carry_exactly_the_force_and_alike_on_both_sides(
    force: float, play: float, count: int, between: bool
) -> None:
    found = needle_load.needle_loads(
        force_n=force, needle_count=count, needle_length_m=0.02, clearance_m=play, between_needles=between
    )
    angles = needle_load.needle_angles_rad(needle_count=count, between_needles=between)
    assert found.loads_n @ np.cos(angles) == pytest.approx(force, rel=1e-9)
    assert found.loads_n @ np.sin(angles) == pytest.approx(0.0, abs=force * 1e-9)
    assert found.heaviest_n == found.loads_n.max()
    # Nothing outside the zone, something everywhere inside it.
    inside = np.abs(angles) < found.zone_rad - 1e-9
    assert np.all(found.loads_n[inside] > 0)
    assert np.all(found.loads_n[np.abs(angles) > found.zone_rad + 1e-9] == 0)


@given(FORCES, PLAYS, st.floats(1e-6, 1e-4))
def test_more_play_means_fewer_needles_and_a_heavier_one(force: float, play: float, more: float) -> None:
    tight = needle_load.needle_loads(force_n=force, clearance_m=play, **CAP)
    loose = needle_load.needle_loads(force_n=force, clearance_m=play + more, **CAP)
    assert loose.heaviest_n >= tight.heaviest_n * (1 - 1e-9)
    assert loose.zone_rad < tight.zone_rad
    assert loose.heaviest_n <= force * (1 + 1e-9)  # at the worst one needle carries all


def test_no_force_loads_no_needle() -> None:
    for play in (0.0, 4e-5):
        found = needle_load.needle_loads(force_n=0.0, clearance_m=play, **CAP)
        assert not found.loads_n.any()
        assert found.heaviest_n == 0.0


def test_arrays_give_what_the_single_calls_give() -> None:
    forces, plays = np.array([[1e4], [6e4], [9e4]]), np.array([0.0, 3e-5])
    table = needle_load.needle_loads(force_n=forces, clearance_m=plays, **CAP)
    assert table.loads_n.shape == (3, 2, 38)
    for row in range(3):
        for column in range(2):
            alone = needle_load.needle_loads(force_n=float(forces[row, 0]), clearance_m=float(plays[column]), **CAP)
            assert table.loads_n[row, column] == pytest.approx(alone.loads_n, rel=1e-12)
            assert table.heaviest_n[row, column] == pytest.approx(alone.heaviest_n, rel=1e-12)
            assert isinstance(alone.heaviest_n, float)


@given(st.floats(1e-9, 9e-6), st.floats(1.01, 3.0))
def test_a_deeper_dent_never_speaks_of_a_smaller_load(depth: float, factor: float) -> None:
    part = {"needle_diameter_m": 0.003, "static_rating_n": 9e4}
    small = needle_load.load_band_from_dent(depth_m=depth, **part)
    large = needle_load.load_band_from_dent(depth_m=depth * factor, **part)
    for band in (small, large):
        assert 0 < band.low_n < band.nominal_n < band.high_n
    assert large.low_n > small.low_n
    assert large.nominal_n / small.nominal_n == pytest.approx(factor ** (1 / 3))
    assert large.high_n > small.high_n


def test_a_dent_deeper_than_the_case_can_take_is_refused() -> None:
    with pytest.raises(ValueError, match=r"depth_m_over_needle_diameter_m is 0\.02; it must be at most 0\.01"):
        needle_load.load_band_from_dent(depth_m=6e-5, needle_diameter_m=0.003, static_rating_n=9e4)


@pytest.mark.parametrize("depth", [1e-5 * 3.0, 3e-5])
def test_the_deepest_dent_that_the_law_bears_is_taken_however_it_rounds(depth: float) -> None:
    assert needle_load.load_band_from_dent(depth_m=depth, needle_diameter_m=0.003, static_rating_n=9e4).low_n > 0


def test_fully_plastic_contact_of_constant_hardness_gives_the_second_power() -> None:
    """A rigid roller sinks into a body of hardness H until chord x H carries the line load."""
    radius, hardness = 0.0015, 7e9
    depths = np.array([1e-7, 2e-7, 4e-7])
    chords = 2 * np.sqrt(2 * radius * depths - depths**2)
    exponents = np.diff(np.log(depths)) / np.diff(np.log(hardness * chords))
    assert exponents == pytest.approx(2.0, abs=1e-3)


@pytest.mark.parametrize("count", [2, 38.5, 501])
def test_a_number_of_needles_that_cannot_be_is_refused(count: float) -> None:
    with pytest.raises(ValueError, match=r"needle_count is .*; it must be (a|one) whole number from 3 to 500"):
        needle_load.needle_angles_rad(needle_count=count)  # type: ignore[arg-type]


def test_bands_join_at_the_full_overlap_and_the_worst_greasing_rule_counts() -> None:
    joint = {"needle_count": 38, "needle_diameter_m": 0.003, "pitch_diameter_m": 0.0366}
    half = needle_load.overlap_share(joint_angle_rad=math.radians(5), **joint)
    assert needle_load.overlap_share(joint_angle_rad=math.radians(10), **joint) == pytest.approx(2 * half)
    assert needle_load.overlap_share(joint_angle_rad=math.radians(5), inner_race=True, **joint) > half
    used = needle_load.greasing_use(
        run_m=np.array([1e7, 5e7]), interval_m=4e7, run_h=np.array([900.0, 900.0]), interval_h=1e3
    )
    assert np.asarray(used.worst).tolist() == [0.9, 1.25]
    assert np.asarray(used.rule).tolist() == ["hours", "distance"]
    assert needle_load.greasing_use(run_h=10.0, interval_h=100.0) == needle_load.GreasingUse(0.1, "hours")


def test_a_rule_half_given_is_no_rule() -> None:
    with pytest.raises(ValueError, match="one rule must be given with its run and its interval"):
        needle_load.greasing_use(run_m=1e7, interval_h=100.0)


def test_a_set_of_the_nominal_share_is_c0_and_the_ends_are_its_square_roots() -> None:
    """0.7 of 1e-4 D in the race is C0; the ends by hand: 0.7 / 2 and 0.7 / 0.25 under the square root."""
    band = needle_load.load_band_from_dent(depth_m=0.7e-4 * 0.003, needle_diameter_m=0.003, static_rating_n=92.1e3)
    assert band.nominal_n == pytest.approx(92.1e3, rel=1e-9)
    assert band.low_n == pytest.approx(92.1e3 * math.sqrt(0.35), rel=1e-9)
    assert band.high_n == pytest.approx(92.1e3 * math.sqrt(2.8), rel=1e-9)
