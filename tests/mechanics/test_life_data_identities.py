"""Laws that any set of ages must obey, and what is refused."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from beachmark.mechanics import life_data

AGES = st.lists(st.floats(1.0, 1e4), min_size=2, max_size=20)


@settings(max_examples=60, deadline=None)
@given(failures=AGES, survivors=st.lists(st.floats(1.0, 1e4), max_size=10), unit=st.floats(1e-3, 1e3))
def test_the_unit_of_the_ages_does_not_matter(failures: list[float], survivors: list[float], unit: float) -> None:
    assume(max(failures) > 1.01 * min(failures))
    one = life_data.weibull_by_likelihood(failures=failures, survivors=survivors)
    other = life_data.weibull_by_likelihood(failures=np.array(failures) * unit, survivors=np.array(survivors) * unit)
    assert other.shape == pytest.approx(one.shape, rel=1e-6)
    assert other.scale == pytest.approx(one.scale * unit, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(failures=AGES, survivors=st.lists(st.floats(1.0, 1e4), max_size=10), factor=st.sampled_from([0.97, 1.03]))
def test_no_other_life_is_more_likely(failures: list[float], survivors: list[float], factor: float) -> None:
    assume(max(failures) > 1.01 * min(failures))
    best = life_data.weibull_by_likelihood(failures=failures, survivors=survivors)
    ages = {"failures": failures, "survivors": survivors}
    top = life_data.weibull_log_likelihood(life=best, **ages)
    for scale, shape in ((factor, 1.0), (1.0, factor), (factor, factor)):
        other = life_data.WeibullLife(scale=best.scale * scale, shape=best.shape * shape)
        assert life_data.weibull_log_likelihood(life=other, **ages) < top


def test_a_survivor_lengthens_life_and_a_shape_of_one_is_total_age_over_failures() -> None:
    failures = [100.0, 400.0, 900.0]
    fewer = life_data.weibull_by_likelihood(failures=failures)
    more = life_data.weibull_by_likelihood(failures=failures, survivors=[900.0, 900.0])
    assert more.scale > fewer.scale
    by_chance = life_data.WeibullLife(scale=3200 / 3, shape=1.0)
    assert by_chance.mean == pytest.approx(by_chance.standard_deviation) == pytest.approx(3200 / 3)


@given(st.integers(1, 60))
def test_ranks_rise_and_are_symmetric(count: int) -> None:
    ranks = life_data.median_ranks(count=count)
    assert np.all(np.diff(ranks) > 0)
    assert ranks + ranks[::-1] == pytest.approx(1.0, abs=1e-12)


def test_ages_that_lie_on_a_weibull_line_give_that_line() -> None:
    ranks = life_data.median_ranks(count=9)
    found = life_data.weibull_by_ranks(failures=700 * (-np.log(1 - ranks)) ** (1 / 2.5))
    assert (found.scale, found.shape) == pytest.approx((700, 2.5), rel=1e-9)


def test_what_says_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match=r"failures has no age below 5; at least one must lie below the greatest age"):
        life_data.weibull_by_likelihood(failures=[5.0, 5.0], survivors=[2.0])
    with pytest.raises(ValueError, match=r"failures has shape \(0,\); it must be one list, not empty"):
        life_data.weibull_by_likelihood(failures=[], survivors=[2.0])
    with pytest.raises(ValueError, match=r"survivors has shape \(1, 1\); it must be one list"):
        life_data.weibull_by_likelihood(failures=[1.0, 2.0], survivors=[[2.0]])
    with pytest.raises(ValueError, match=r"failures has one age only \(7\); at least two must differ"):
        life_data.weibull_by_ranks(failures=[7.0, 7.0])
    with pytest.raises(ValueError, match=r"count is 2\.5; it must be a whole number from 1 to 500"):
        life_data.median_ranks(count=2.5)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"events holds 9; it must not lie beyond the end of its vehicle \(8\)"):
        life_data.mean_repairs(events=[[9.0]], ends=[8.0])
    with pytest.raises(ValueError, match=r"events has 1 lists; it must hold one for each of the 2 ends"):
        life_data.mean_repairs(events=[[1.0]], ends=[8.0, 9.0])
