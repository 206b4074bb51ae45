"""Values, their spread through a formula, and the chance that a spread lies above a limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from beachmark.basis.values import Spread, Value, spread


def ranged(low: float, si: float, high: float) -> Value:
    return Value(si, low, high, "number")


def test_a_value_must_lie_in_its_range_and_be_finite() -> None:
    with pytest.raises(ValueError, match="does not lie between"):
        ranged(1.0, 3.0, 2.0)
    with pytest.raises(ValueError, match="finite"):
        ranged(1.0, float("nan"), 2.0)


def test_spread_of_a_quotient_takes_the_worst_corners() -> None:
    found = spread(lambda a, b: a / b, a=ranged(9, 10, 11), b=ranged(4, 5, 6))
    assert (found.nominal, found.low, found.high) == pytest.approx((2.0, 9 / 6, 11 / 4))


def test_many_inputs_are_added_and_never_narrower_than_what_was_sampled() -> None:
    values = {f"x{i}": ranged(0.95, 1.0, 1.05) for i in range(10)}
    found = spread(lambda **x: float(np.prod(list(x.values()))), **values)
    rng = np.random.default_rng(1)
    sampled = rng.uniform(0.95, 1.05, (2000, 10)).prod(axis=1)
    assert found.low <= sampled.min()
    assert sampled.max() <= found.high


@given(
    st.tuples(*[st.floats(-100, 100) for _ in range(3)]).map(sorted),
    st.floats(-120, 120),
)
def test_chance_above_agrees_with_scipys_triangular_distribution(ends: list[float], limit: float) -> None:
    """Reference: scipy.stats.triang, a general-purpose library."""
    low, mode, high = ends
    if high - low < 1e-6:
        return
    reference = stats.triang.sf(limit, c=(mode - low) / (high - low), loc=low, scale=high - low)
    assert Spread(mode, low, high).chance_above(limit) == pytest.approx(reference, abs=1e-6)


def test_a_sharp_value_is_above_or_not() -> None:
    assert Spread(2.0, 2.0, 2.0).chance_above(1.9) == 1.0
    assert Spread(2.0, 2.0, 2.0).chance_above(2.1) == 0.0
