"""Torsional trains: modes, Holzer, reduction and order crossings against each other and against linear algebra."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import eigh  # type: ignore[import-untyped]

from beachmark.mechanics.torsional import (
    TorsionalTrain,
    chain_train,
    holzer_residual,
    natural_frequencies,
    reduced_train,
)
from beachmark.mechanics.torsional_orders import order_crossings, resonant_gears

INERTIA, STIFFNESS = st.floats(0.05, 20.0), st.floats(1e4, 1e6)


@st.composite
def trees(draw: st.DrawFn) -> TorsionalTrain:
    """A train of two to seven stations, joined into any tree, its springs in any order and sense."""
    count = draw(st.integers(2, 7))
    joined = [(draw(st.integers(0, n - 1)), n) for n in range(1, count)]
    joined = [pair[::-1] if draw(st.booleans()) else pair for pair in draw(st.permutations(joined))]
    return TorsionalTrain(
        inertias_kg_m2=tuple(draw(st.lists(INERTIA, min_size=count, max_size=count))),
        stiffnesses_nm_rad=tuple(draw(st.lists(STIFFNESS, min_size=count - 1, max_size=count - 1))),
        joined=tuple((int(a), int(b)) for a, b in joined),
    )


def _stiffness_matrix(train: TorsionalTrain) -> np.ndarray:
    matrix = np.zeros((len(train.inertias_kg_m2),) * 2)
    for (a, b), k in zip(train.joined, train.stiffnesses_nm_rad, strict=True):
        matrix[a, a] += k
        matrix[b, b] += k
        matrix[a, b] -= k
        matrix[b, a] -= k
    return matrix


@given(trees())
@settings(max_examples=100, deadline=None)
def test_modes_solve_the_eigenproblem_of_the_assembled_matrices(train: TorsionalTrain) -> None:
    stiffness, inertia = _stiffness_matrix(train), np.diag(train.inertias_kg_m2)
    modes = natural_frequencies(train=train)
    squares = eigh(stiffness, inertia, eigvals_only=True)
    assert modes.frequencies_rad_s**2 == pytest.approx(squares, rel=1e-9, abs=1e-9 * squares[-1])
    left = stiffness @ modes.shapes - inertia @ modes.shapes * modes.frequencies_rad_s**2
    assert np.abs(left).max() < 1e-9 * np.abs(stiffness).max()
    assert np.abs(modes.shapes).max(axis=0) == pytest.approx(1.0)


@given(trees())
@settings(max_examples=100, deadline=None)
def test_the_train_turns_as_one_and_every_other_mode_keeps_its_momentum(train: TorsionalTrain) -> None:
    modes = natural_frequencies(train=train)
    assert modes.frequencies_rad_s[0] == 0.0
    assert modes.shapes[:, 0] == pytest.approx(1.0, rel=1e-9)
    momenta = np.array(train.inertias_kg_m2) @ modes.shapes[:, 1:]
    assert np.abs(momenta).max(initial=0.0) < 1e-9 * sum(train.inertias_kg_m2)
    assert np.all(np.diff(modes.frequencies_rad_s) >= 0)


@given(trees(), st.just(0.0) | st.floats(1e-6, 1.5))
@settings(max_examples=150, deadline=None)
def test_holzer_residual_is_the_polynomial_with_the_natural_frequencies_as_roots(
    train: TorsionalTrain, share: float
) -> None:
    """T(w) = (sum J) w^2 product of (1 - w^2 / w_n^2): Holzer's recursion knows nothing of the eigenproblem."""
    frequencies = natural_frequencies(train=train).frequencies_rad_s[1:]
    trial = share * frequencies[-1]
    total = sum(train.inertias_kg_m2) * trial**2
    expected = total * math.prod(1 - (trial / frequencies) ** 2)
    scale = total * math.prod(1 + (trial / frequencies) ** 2)
    assert float(holzer_residual(train=train, frequencies_rad_s=trial)) == pytest.approx(expected, abs=1e-9 * scale)


@given(trees())
@settings(max_examples=50, deadline=None)
def test_holzer_of_an_array_is_holzer_of_each(train: TorsionalTrain) -> None:
    trials = np.array([[10.0, 100.0], [500.0, 900.0]])
    together = holzer_residual(train=train, frequencies_rad_s=trials)
    alone = [[float(holzer_residual(train=train, frequencies_rad_s=w)) for w in row] for row in trials.tolist()]
    assert together.tolist() == alone


@given(trees(), st.floats(1.01, 10.0), st.data())
@settings(max_examples=60, deadline=None)
def test_a_stiffer_spring_or_a_lighter_station_lowers_no_frequency(
    train: TorsionalTrain, factor: float, data: st.DataObject
) -> None:
    """Rayleigh's theorem."""
    before = natural_frequencies(train=train).frequencies_rad_s
    springs, inertias = list(train.stiffnesses_nm_rad), list(train.inertias_kg_m2)
    springs[data.draw(st.integers(0, len(springs) - 1))] *= factor
    inertias[data.draw(st.integers(0, len(inertias) - 1))] /= factor
    after = natural_frequencies(train=TorsionalTrain(tuple(inertias), tuple(springs), train.joined)).frequencies_rad_s
    assert np.all(after >= before * (1 - 1e-9))


@given(trees(), st.floats(0.1, 12.0))
@settings(max_examples=50, deadline=None)
def test_the_reference_shaft_does_not_change_the_frequencies(train: TorsionalTrain, factor: float) -> None:
    rng = np.random.default_rng(len(train.joined))
    at_station, at_spring = rng.uniform(0.2, 12, len(train.inertias_kg_m2)), rng.uniform(0.2, 12, len(train.joined))
    real: dict[str, Any] = {
        "inertias_kg_m2": train.inertias_kg_m2,
        "stiffnesses_nm_rad": train.stiffnesses_nm_rad,
        "joined": train.joined,
    }
    one = reduced_train(**real, station_ratios=at_station, spring_ratios=at_spring)
    other = reduced_train(**real, station_ratios=at_station * factor, spring_ratios=at_spring * factor)
    expected = natural_frequencies(train=one).frequencies_rad_s
    assert natural_frequencies(train=other).frequencies_rad_s == pytest.approx(expected, rel=1e-9)


def test_a_spring_between_a_light_and_an_endless_inertia_is_a_pendulum_on_a_wall() -> None:
    train = chain_train(inertias_kg_m2=[2.0, 1e12], stiffnesses_nm_rad=[5e4])
    assert natural_frequencies(train=train).frequencies_rad_s[1] == pytest.approx(math.sqrt(5e4 / 2), rel=1e-9)


def test_a_frequency_four_decades_below_the_greatest_keeps_nine_digits() -> None:
    """Two heavy ends on a soft chain with a light, stiff middle; the low mode by the reduced two-disc formula."""
    train = chain_train(inertias_kg_m2=[5e3, 1e-3, 1e-3, 4e3], stiffnesses_nm_rad=[2e3, 1e9, 2e3])
    low = natural_frequencies(train=train).frequencies_rad_s[1]
    stiffness = 1 / (1 / 2e3 + 1 / 1e9 + 1 / 2e3)
    # The light middle takes part with 1e-3 of 5e3 kg m^2: relative 1e-6 of the answer.
    assert low == pytest.approx(math.sqrt(stiffness * (1 / 5e3 + 1 / 4e3)), rel=1e-6)
    below, above = holzer_residual(train=train, frequencies_rad_s=[low * (1 - 1e-9), low * (1 + 1e-9)])
    assert below * above < 0


def test_what_is_no_tree_is_refused() -> None:
    ring = ((0, 1), (1, 2), (2, 0))
    with pytest.raises(ValueError, match="each must have 2, one fewer than inertias_kg_m2"):
        TorsionalTrain((1.0, 1.0, 1.0), (1.0, 1.0, 1.0), ring)
    for joined in (((0, 1), (0, 1)), ((0, 1), (2, 2)), ((0, 1), (1, 7)), ((2, 1), (1, 7)), ((0, 1), (1, -1))):
        with pytest.raises(ValueError, match="it must join all stations from 0 to 2 into one tree"):
            TorsionalTrain((1.0, 1.0, 1.0), (1.0, 1.0), joined)
    with pytest.raises(ValueError, match="it must hold pairs of station numbers"):
        reduced_train(
            inertias_kg_m2=[1.0, 1.0],
            stiffnesses_nm_rad=[1.0],
            station_ratios=[1.0, 1.0],
            spring_ratios=[1.0],
            joined=[(0, 0.5)],  # type: ignore[list-item]
        )


@given(st.floats(1.0, 3000.0), st.floats(0.5, 9.0), st.floats(0.0, 200.0), st.floats(0.0, 200.0))
def test_an_order_crosses_just_where_its_frequency_is_the_natural_one(
    frequency: float, order: float, one: float, other: float
) -> None:
    least, greatest = sorted((one, other))
    found = order_crossings(
        frequencies_rad_s=frequency, order=order, least_speed_rad_s=least, greatest_speed_rad_s=greatest
    )
    assert float(found.speeds_rad_s) * order == pytest.approx(frequency)
    assert bool(found.within) == (least <= frequency / order <= greatest)


def test_joint_order_resonance_in_rpm_by_hand() -> None:
    """50 Hz and twice a turn: n = 60 f / 2 = 1500 1/min."""
    found = order_crossings(
        frequencies_rad_s=2 * math.pi * 50, order=2.0, least_speed_rad_s=0.0, greatest_speed_rad_s=400.0
    )
    assert float(found.speeds_rad_s) * 30 / math.pi == pytest.approx(1500)


def _in_gear(ratio: float) -> TorsionalTrain:
    """An invented tipper: engine, gearbox output, centre, pinion, wheels; reduced to the propeller shaft."""
    return reduced_train(
        inertias_kg_m2=[3.9, 0.36, 0.3, 0.15, 122.0],
        stiffnesses_nm_rad=[28e3, 240e3, 220e3, 200e3],
        station_ratios=[ratio, 1.0, 1.0, 1.0, 1 / 4.3],
        spring_ratios=[ratio, 1.0, 1.0, 1 / 4.3],
    )


def test_speed_ranges_that_do_not_fit_are_refused() -> None:
    train = _in_gear(1.0)
    with pytest.raises(ValueError, match=r"least_speed_rad_s is 9.*; it must not be above"):
        resonant_gears(trains=[train], order=2.0, least_speed_rad_s=9.0, greatest_speed_rad_s=1.0)
    with pytest.raises(ValueError, match=r"order has shape \(3,\); it must be one number or one for each of 1"):
        resonant_gears(trains=[train], order=[1.0, 2.0, 3.0], least_speed_rad_s=1.0, greatest_speed_rad_s=9.0)
    with pytest.raises(ValueError, match="trains is empty"):
        resonant_gears(trains=[], order=2.0, least_speed_rad_s=1.0, greatest_speed_rad_s=9.0)
