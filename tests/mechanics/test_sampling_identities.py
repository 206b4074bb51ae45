"""What must hold for a sample of inputs and the shares of variance, whatever the numbers."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.mechanics.sampling import UncertainInput, sample_inputs, sampled_output, variance_shares

UNIT = UncertainInput(0.0, 0.5, 1.0, "uniform")
WEIGHT = st.floats(0.1, 5.0)


@settings(max_examples=25, deadline=None)
@given(first=WEIGHT, second=WEIGHT, third=WEIGHT, seed=st.integers(0, 1000))
def test_shares_of_a_sum_are_those_of_the_variances(first: float, second: float, third: float, seed: int) -> None:
    """Variance of a triangle (a^2 + b^2 + c^2 - ab - ac - bc) / 18, of a uniform width^2 / 12."""
    inputs = {"a": UNIT, "b": UncertainInput(0.0, 1.0, 4.0), "c": UncertainInput(-1.0, 1.0, 1.0)}
    spread = {"a": first**2 / 12, "b": second**2 * (1 + 16 - 4) / 18, "c": third**2 * (1 + 1 + 1 + 1 + 1 - 1) / 18}
    drawn = sample_inputs(inputs=inputs, count=4096, seed=seed)
    output = first * drawn["a"] - second * drawn["b"] + third * drawn["c"]
    shares, whole = variance_shares(drawn=drawn, output=output), sum(spread.values())
    assert shares == pytest.approx({name: part / whole for name, part in spread.items()}, abs=0.02)
    assert sum(shares.values()) == pytest.approx(1.0, abs=0.03)


def test_a_product_about_zero_belongs_to_no_single_input() -> None:
    centred = UncertainInput(-1.0, 0.0, 1.0, "uniform")
    found = sampled_output(function=lambda a, b: a * b, inputs={"a": centred, "b": centred})
    assert sum(found.shares.values()) < 0.02


def test_the_same_seed_gives_the_same_and_another_seed_another_sample() -> None:
    inputs = {"a": UNIT, "b": UncertainInput(1.0, 2.0, 4.0)}
    one, again, other = (sample_inputs(inputs=inputs, count=256, seed=seed) for seed in (4, 4, 5))
    assert all((one[name] == again[name]).all() for name in inputs)
    assert all((one[name] != other[name]).mean() > 0.9 for name in inputs)


def test_shares_do_not_depend_on_units_or_on_the_order_of_the_draws() -> None:
    drawn = sample_inputs(inputs={"a": UNIT, "b": UNIT}, count=1024)
    result = np.exp(drawn["a"]) + 0.3 * drawn["b"]
    shares = variance_shares(drawn=drawn, output=result)
    scaled = variance_shares(drawn={"a": 1e3 * drawn["a"] - 7, "b": 1e-6 * drawn["b"]}, output=1e9 * result + 1e9)
    order = np.random.default_rng(0).permutation(1024)
    mixed = variance_shares(drawn={name: x[order] for name, x in drawn.items()}, output=result[order])
    assert scaled == pytest.approx(shares, abs=1e-6)
    assert mixed == pytest.approx(shares, abs=1e-12)


def test_an_input_without_doubt_and_a_result_that_does_not_vary() -> None:
    fixed = UncertainInput(2.0, 2.0, 2.0)
    found = sampled_output(function=lambda a, b: a * b, inputs={"a": UNIT, "b": fixed}, count=256)
    assert found.shares["b"] == 0.0
    assert found.greatest == "a"
    still = sampled_output(function=lambda a, b: 0 * a + b, inputs={"a": UNIT, "b": fixed}, count=256)
    assert still.greatest is None
    assert still.quantile_5 == still.quantile_95 == still.nominal == 2.0


def test_quantiles_of_one_uniform_input() -> None:
    found = sampled_output(function=lambda a: a, inputs={"a": UNIT}, count=1024)
    assert [found.quantile_5, found.median, found.quantile_95] == pytest.approx([0.05, 0.5, 0.95], abs=0.002)


@pytest.mark.parametrize("seed", [0, 1, 2, 3])
def test_a_larger_sample_is_closer_to_the_truth(seed: int) -> None:
    def error(count: int) -> float:
        found = sampled_output(
            function=lambda a, b: np.exp(a + b), inputs={"a": UNIT, "b": UNIT}, count=count, seed=seed
        )
        return abs(float(found.values.mean()) - (np.e - 1) ** 2)

    assert error(16384) < 0.2 * error(64) + 1e-4


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"count": 63}, "count is 63; it must be a whole number from 64"),
        ({"count": 100.5}, r"count is 100\.5; it must be a whole number"),
        ({"seed": -1}, "seed is -1; it must be"),
        ({"inputs": {}}, "inputs has 0 entries; it must have"),
        ({"inputs": {"a": UncertainInput(1.0, 0.5, 2.0)}}, r"nominal of a is 0\.5; it must be from its low \(1\)"),
        ({"inputs": {"a": UncertainInput(0.0, float("nan"), 2.0)}}, "nominal of a is nan"),
        ({"inputs": {"a": UncertainInput(0.0, 1.0, 2.0, "normal")}}, "shape of a is 'normal'; it must be one of"),  # type: ignore[arg-type]
        ({"function": lambda a: 1.0}, r"function gave the shape \(\); it must give one value"),
        ({"function": lambda a: a / 0.0}, "values_of_function is inf"),
    ],
)
def test_what_is_unsound_is_refused_with_a_sentence(changed: dict[str, Any], words: str) -> None:
    asked = {"function": lambda a: a, "inputs": {"a": UncertainInput(0.1, 0.5, 1.0)}, "count": 128} | changed
    with np.errstate(divide="ignore"), pytest.raises(ValueError, match=words):
        sampled_output(**asked)


def test_draws_and_result_that_do_not_belong_together_are_refused() -> None:
    with pytest.raises(ValueError, match=r"drawn a has shape \(65,\)"):
        variance_shares(drawn={"a": np.zeros(65)}, output=np.zeros(64))
    with pytest.raises(ValueError, match="values_in_output is 3; it must be 64 or more"):
        variance_shares(drawn={"a": np.zeros(3)}, output=np.zeros(3))
