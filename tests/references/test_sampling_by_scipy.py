"""Draws, quantiles and shares of variance against SciPy: its distributions, and its own method for the indices."""

import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from beachmark.mechanics import chain, whirl
from beachmark.mechanics.sampling import UncertainInput, sample_inputs, sampled_output, variance_shares

INPUTS = {
    "skewed": UncertainInput(2.0, 2.5, 6.0),
    "even": UncertainInput(-1.0, 0.0, 3.0, "uniform"),
    "at an end": UncertainInput(0.0, 0.0, 1.0),
}


def _distribution(one: UncertainInput) -> Any:
    width = one.high - one.low
    if one.shape == "uniform":
        return stats.uniform(loc=one.low, scale=width)
    return stats.triang(c=(one.nominal - one.low) / width, loc=one.low, scale=width)


@pytest.mark.parametrize("seed", [0, 5])
@pytest.mark.parametrize("name", INPUTS)
def test_draws_follow_their_distribution(name: str, seed: int) -> None:
    drawn = sample_inputs(inputs=INPUTS, count=4096, seed=seed)[name]
    # Quasi-random draws follow the distribution far more closely than chance does (about 0.02 at 4096).
    assert stats.kstest(drawn, _distribution(INPUTS[name]).cdf).statistic < 0.003
    assert drawn.min() >= INPUTS[name].low
    assert drawn.max() <= INPUTS[name].high


def test_draws_of_several_inputs_are_independent() -> None:
    inputs = {f"x{place}": UncertainInput(0.0, 0.5, 1.0, "uniform") for place in range(12)}
    drawn = sample_inputs(inputs=inputs, count=4096)
    correlation = np.corrcoef(np.array(list(drawn.values()))) - np.eye(12)
    assert np.abs(correlation).max() < 0.04
    assert stats.qmc.discrepancy(np.array(list(drawn.values())[:6]).T) < 0.5 * stats.qmc.discrepancy(
        np.random.default_rng(1).random((4096, 6))
    )


def test_quantiles_are_those_of_a_large_sample_of_chance() -> None:
    """Product of the three inputs, 4 million draws by SciPy's distributions: its 5 % point is good to 0.1 %."""
    random = np.random.default_rng(11)
    chance = [_distribution(one).rvs(4_000_000, random_state=random) for one in INPUTS.values()]
    expected = np.quantile(chance[0] * (2 + chance[1]) * (1 + chance[2]), [0.05, 0.5, 0.95])
    found = sampled_output(
        function=lambda **x: x["skewed"] * (2 + x["even"]) * (1 + x["at an end"]), inputs=INPUTS, count=8192
    )
    assert [found.quantile_5, found.median, found.quantile_95] == pytest.approx(expected.tolist(), rel=0.005)


def _excitation(front_rad: np.ndarray, rear_rad: np.ndarray, phase_rad: np.ndarray, speed_rad_s: np.ndarray) -> Any:
    equivalent = chain.equivalent_angle(
        angles_rad=np.stack((front_rad, rear_rad), axis=-1),
        drive_yoke_angles_rad=chain.drive_yoke_angles(
            phases_rad=phase_rad[:, np.newaxis], bend_plane_rad=np.zeros((phase_rad.size, 2))
        ),
    )
    return chain.torsional_acceleration(equivalent_angle_rad=equivalent, speed_rad_s=speed_rad_s)


def _critical(outer_m: np.ndarray, wall_m: np.ndarray, length_m: np.ndarray) -> Any:
    return whirl.pinned_tube_critical_speed(outer_m=outer_m, inner_m=outer_m - 2 * wall_m, length_m=length_m)


QUESTIONS: dict[str, tuple[Any, dict[str, UncertainInput]]] = {
    "excitation": (
        _excitation,
        {
            "front_rad": UncertainInput(0.06, 0.07, 0.08), "rear_rad": UncertainInput(0.04, 0.05, 0.06, "uniform"),
            "phase_rad": UncertainInput(-0.3, 0.0, 0.3), "speed_rad_s": UncertainInput(140.0, 150.0, 160.0),
        },
    ),
    "whirl": (
        _critical,
        {
            "outer_m": UncertainInput(0.09, 0.1, 0.12), "wall_m": UncertainInput(0.003, 0.004, 0.005),
            "length_m": UncertainInput(1.45, 1.5, 1.6),
        },
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", QUESTIONS)
def test_shares_are_the_first_order_indices_of_scipy(name: str) -> None:
    """SciPy asks the function anew with single inputs swapped (Saltelli 2010); ours reads one sample."""
    function, inputs = QUESTIONS[name]
    indices = stats.sobol_indices(
        func=lambda x: np.atleast_2d(function(**dict(zip(inputs, x, strict=True)))),
        n=2**14,
        dists=[_distribution(one) for one in inputs.values()],
        rng=np.random.default_rng(3),
    )
    expected = dict(zip(inputs, np.ravel(indices.first_order).tolist(), strict=True))
    found = sampled_output(function=function, inputs=inputs, count=4096)
    assert found.shares == pytest.approx(expected, abs=0.015)
    drawn = sample_inputs(inputs=inputs, count=4096, seed=11)
    assert variance_shares(drawn=drawn, output=function(**drawn)) == pytest.approx(expected, abs=0.015)
    assert found.greatest == max(expected, key=lambda one: expected[one])
    assert math.isfinite(found.nominal)
