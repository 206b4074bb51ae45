"""Lives of many parts against SciPy: another likelihood, another optimiser, another way to the ranks."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from beachmark.mechanics import life_data

RNG = np.random.default_rng(1951)


@pytest.mark.parametrize("shape", [0.7, 1.5, 4.0])
@pytest.mark.parametrize("watched_to", [0.6, 2.0])
def test_weibull_by_likelihood_is_the_fit_of_scipy(shape: float, watched_to: float) -> None:
    """Source: scipy.stats.weibull_min.fit on CensoredData, which maximises the likelihood by Nelder and Mead."""
    lives = 3000 * RNG.weibull(shape, 80)
    failed, whole = (
        lives[lives < 3000 * watched_to],
        np.full(int(np.sum(lives >= 3000 * watched_to)), 3000 * watched_to),
    )
    data = stats.CensoredData(uncensored=failed, right=whole)
    theirs_shape, _, theirs_scale = stats.weibull_min.fit(data, floc=0)
    found = life_data.weibull_by_likelihood(failures=failed, survivors=whole)
    # SciPy stops at a relative 1e-4 of the parameters.
    assert (found.shape, found.scale) == pytest.approx((theirs_shape, theirs_scale), rel=5e-4)
    law = stats.weibull_min(found.shape, scale=found.scale)
    assert (found.mean, found.standard_deviation) == pytest.approx((law.mean(), law.std()), rel=1e-9)
    likelihood = life_data.weibull_log_likelihood(life=found, failures=failed, survivors=whole)
    assert likelihood == pytest.approx(law.logpdf(failed).sum() + law.logsf(whole).sum(), rel=1e-10)


@pytest.mark.parametrize("count", [1, 2, 7, 60, 500])
def test_median_ranks_are_medians_of_the_beta_distribution(count: int) -> None:
    """Source: scipy.stats.beta; the share failed at the i-th failure of n is beta distributed with i and n + 1 - i."""
    place = np.arange(1, count + 1)
    expected = stats.beta.ppf(0.5, place, count + 1 - place)
    assert life_data.median_ranks(count=count) == pytest.approx(expected, rel=1e-9)


def test_weibull_by_ranks_is_the_line_of_scipy() -> None:
    """Source: scipy.stats.linregress of ln(-ln(1 - rank)) on ln t."""
    ages = np.sort(500 * RNG.weibull(1.8, 40))
    place = np.arange(1, 41)
    ranks = stats.beta.ppf(0.5, place, 41 - place)
    line = stats.linregress(np.log(ages), np.log(-np.log(1 - ranks)))
    found = life_data.weibull_by_ranks(failures=RNG.permutation(ages))
    assert found.shape == pytest.approx(line.slope, rel=1e-9)
    assert found.scale == pytest.approx(np.exp(-line.intercept / line.slope), rel=1e-9)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.lists(st.integers(1, 40), min_size=1, max_size=6), min_size=1, max_size=8))
def test_mean_repairs_is_what_walking_through_the_days_finds(vehicles: list[list[int]]) -> None:
    """Another method: day by day, the repairs of that day over the vehicles that are still watched that day."""
    ends, events = [max(one) for one in vehicles], [sorted(one)[:-1] for one in vehicles]
    mean, by_day = 0.0, {}
    for day in range(1, 41):
        today = sum(one.count(day) for one in events)
        if today:
            mean += today / sum(end >= day for end in ends)
            by_day[float(day)] = mean
    found = life_data.mean_repairs(events=events, ends=ends)
    assert found.ages.tolist() == list(by_day)
    assert found.repairs.tolist() == pytest.approx(list(by_day.values()))
