"""Damage over a duty against the single-value formulas, by hand and by what must always hold."""

import math
from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.mechanics import fatigue
from beachmark.mechanics.duty import (
    BelowEndurance,
    damage_of_cycles,
    damage_of_history,
    distance_to_crack_start_m,
    equivalent_torque,
    lives_at,
    reversed_amplitudes_pa,
)

LINE = fatigue.basquin_line(ultimate_pa=900e6, endurance_pa=300e6, strength_fraction=0.85)
SLOPE = -1 / LINE.exponent
RULES: tuple[BelowEndurance, ...] = get_args(BelowEndurance)
AMPLITUDES = st.lists(st.floats(0.0, 765e6), min_size=1, max_size=20)


@given(AMPLITUDES)
def test_harmless_lives_are_those_of_the_stress_life_line(amplitudes: list[float]) -> None:
    found = lives_at(line=LINE, amplitudes_pa=amplitudes, below_endurance="harmless")
    alone = [fatigue.cycles_at(line=LINE, amplitude_pa=amplitude) for amplitude in amplitudes]
    assert found == pytest.approx(np.array(alone), rel=1e-9)


def test_lives_below_the_endurance_by_hand() -> None:
    """At half the endurance: 1e6 x 2^(2k - 1) along half the slope, 1e6 x 2^k along the same line."""
    assert math.pow(765e6 / 300e6, SLOPE) == pytest.approx(1e3)  # the slope itself: 1e3 to 1e6 cycles
    half = float(lives_at(line=LINE, amplitudes_pa=150e6, below_endurance="half_slope"))
    same = float(lives_at(line=LINE, amplitudes_pa=150e6, below_endurance="same_line"))
    assert half == pytest.approx(1e6 * 2 ** (2 * SLOPE - 1), rel=1e-12)
    assert same == pytest.approx(1e6 * 2**SLOPE, rel=1e-12)
    for rule in RULES:
        assert float(lives_at(line=LINE, amplitudes_pa=0.0, below_endurance=rule)) == math.inf


@pytest.mark.parametrize("rule", RULES)
def test_lives_fall_with_stress_and_the_rules_stand_in_order(rule: BelowEndurance) -> None:
    amplitudes = np.linspace(1e6, 765e6, 500)
    lives = lives_at(line=LINE, amplitudes_pa=amplitudes, below_endurance=rule)
    assert np.all(lives[1:] <= lives[:-1])
    assert np.all(lives <= lives_at(line=LINE, amplitudes_pa=amplitudes, below_endurance="harmless"))
    assert np.all(lives >= lives_at(line=LINE, amplitudes_pa=amplitudes, below_endurance="same_line"))


def test_half_slope_meets_the_line_at_the_endurance() -> None:
    found = lives_at(line=LINE, amplitudes_pa=[300e6 * (1 - 1e-9), 300e6 * (1 + 1e-9)])
    assert found == pytest.approx(1e6, rel=1e-6)


@given(st.floats(0.0, 800e6), st.floats(0.0, 890e6))
def test_reversed_amplitudes_are_those_of_the_single_value_formula(size: float, mean: float) -> None:
    found = reversed_amplitudes_pa(ranges_pa=[size, size], means_pa=[mean, -mean], ultimate_pa=900e6)
    assert float(found[0]) == pytest.approx(
        fatigue.goodman_amplitude_pa(amplitude_pa=size / 2, mean_pa=mean, ultimate_pa=900e6)
    )
    assert float(found[1]) == size / 2  # a compressive mean is not credited


def test_damage_of_cycles_by_hand() -> None:
    """Range 600 MPa on mean 100 MPa of 900: amplitude 337.5 MPa, its life from the line; 500 of them."""
    life = fatigue.cycles_at(line=LINE, amplitude_pa=337.5e6)
    found = damage_of_cycles(line=LINE, ranges_pa=[600e6], means_pa=[100e6], cycles=[500.0], ultimate_pa=900e6)
    assert found == pytest.approx(500 / life)


HISTORIES = st.lists(st.integers(-250, 250).map(lambda mpa: mpa * 1e6), min_size=2, max_size=60)


@given(HISTORIES, st.sampled_from(RULES))
@settings(max_examples=60, deadline=None)
def test_a_history_repeated_harms_at_least_as_much_again(series: list[float], rule: BelowEndurance) -> None:
    def damage(stresses: list[float]) -> float:
        return damage_of_history(line=LINE, stresses_pa=stresses, ultimate_pa=900e6, below_endurance=rule)

    assert damage(series * 2) >= 2 * damage(series) * (1 - 1e-9)
    assert damage([stress * 1.1 for stress in series]) >= damage(series)


def test_a_sine_harms_as_its_cycles_do() -> None:
    """1000 reversals between -400 and 400 MPa: 500 cycles of 400 MPa."""
    series = np.tile([-400e6, 400e6], 500)[:1000]
    found = damage_of_history(line=LINE, stresses_pa=[*series, -400e6], ultimate_pa=900e6)
    assert found == pytest.approx(500 / fatigue.cycles_at(line=LINE, amplitude_pa=400e6))


def test_a_history_that_stands_still_takes_nothing() -> None:
    assert damage_of_history(line=LINE, stresses_pa=[5e6, 5e6], ultimate_pa=900e6) == 0.0


@given(
    st.lists(st.tuples(st.floats(10.0, 9e3), st.just(0.0) | st.floats(1e-3, 1e4)), min_size=1, max_size=12),
    st.floats(2.0, 12.0),
)
@settings(deadline=None)
def test_equivalent_torque_harms_as_the_spectrum_does(blocks: list[tuple[float, float]], exponent: float) -> None:
    """N = c T^-k: sum n_i T_i^k = n T^k, with any c."""
    torques, cycles = np.array(blocks).T
    found = float(equivalent_torque(torques_nm=torques, cycles=cycles, exponent=exponent, reference_cycles=2e3))
    assert 2e3 * found**exponent == pytest.approx(float(np.sum(cycles * torques**exponent)), rel=1e-9)


def test_equivalent_torque_of_rows_is_that_of_each_and_a_steady_torque_is_its_own() -> None:
    torques = np.array([[3e3, 4e3], [5e3, 5e3]])
    both = np.asarray(equivalent_torque(torques_nm=torques, cycles=[10.0, 30.0], exponent=6.0, reference_cycles=40.0))
    for row, found in zip(torques, both, strict=True):
        alone = equivalent_torque(torques_nm=row, cycles=[10.0, 30.0], exponent=6.0, reference_cycles=40.0)
        assert float(found) == float(alone)
    assert float(both[1]) == pytest.approx(5e3)
    assert float(equivalent_torque(torques_nm=[0.0], cycles=[1.0], exponent=300.0, reference_cycles=1.0)) < 1e-300


def test_distance_to_crack_start_by_hand() -> None:
    """2e-5 of life per start, two starts a kilometre: 25 000 km."""
    found = distance_to_crack_start_m(damage_per_start=[2e-5, 0.0], starts_per_m=2e-3)
    assert found.tolist() == pytest.approx([25_000e3, math.inf])


def test_what_the_line_does_not_hold_is_refused() -> None:
    with pytest.raises(ValueError, match=r"amplitudes_pa is 8e\+08; it must be from 0 to 7.65e\+08, the strength"):
        lives_at(line=LINE, amplitudes_pa=[1e6, 800e6])
    with pytest.raises(ValueError, match="below_endurance is 'kind'; it must be one of harmless"):
        lives_at(line=LINE, amplitudes_pa=1e6, below_endurance="kind")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"means_pa is 9e\+08; it must be smaller than ultimate_pa"):
        reversed_amplitudes_pa(ranges_pa=1e6, means_pa=[0.0, 900e6], ultimate_pa=900e6)
    with pytest.raises(ValueError, match=r"means_pa has shape \(1,\); it must be one list, not empty, as long as"):
        damage_of_cycles(line=LINE, ranges_pa=[1e6, 2e6], means_pa=[0.0], cycles=[1.0, 1.0], ultimate_pa=900e6)
