"""How long parts lived, seen over many of them: Weibull life from failures and survivors, repairs of a fleet.

Ages are in any one unit (hours, km, cycles); what comes out is in the same. A part that is still whole, or was
taken out whole, is a survivor: it says that its life is longer than its age.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray

_HALVINGS = 100  # each halves the bracket of a root; 100 end at the last binary digit
_MOST_RANKS = 500  # the exact ranks of many more parts would cost seconds


@dataclass(frozen=True)
class WeibullLife:
    """Two-parameter Weibull life: the age (scale) by which 63.2 % have failed, and the shape (1: chance alone)."""

    scale: float
    shape: float

    @property
    def mean(self) -> float:
        """Mean life, in the unit of the scale."""
        return self.scale * math.gamma(1 + 1 / self.shape)

    @property
    def standard_deviation(self) -> float:
        """Standard deviation of life, in the unit of the scale."""
        return self.scale * math.sqrt(math.gamma(1 + 2 / self.shape) - math.gamma(1 + 1 / self.shape) ** 2)


@dataclass(frozen=True)
class MeanRepairs:
    """Ages at which anything was repaired, and the mean number of repairs of one vehicle up to each of them."""

    ages: FloatArray
    repairs: FloatArray


def weibull_by_likelihood(*, failures: ArrayLike, survivors: ArrayLike = ()) -> WeibullLife:
    """Weibull life under which the ages of failed and surviving parts are the most likely.

    Formula: shape b from sum t^b ln t / sum t^b - 1 / b = mean of ln t over the failures, sums over all parts;
    scale (sum t^b / failures)^(1/b).
    Units: ages in any one common unit; shape dimensionless.
    Range: ages > 0; not all failures at the greatest age; each part fails for good, by one mode of failure.
    Raises: ValueError if an age is not finite or not greater than 0, or no failure lies below the greatest age.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3 (read).

    >>> life = weibull_by_likelihood(failures=[54, 187, 216, 240, 244, 335, 361, 373, 375, 386], survivors=[500] * 10)
    >>> round(life.scale, 2), round(life.shape, 4)
    (606.53, 1.7208)
    """
    failed, ages = _failed_and_all(failures, survivors)
    greatest = float(ages.max())
    # Over the greatest age no power can overflow; the scale is multiplied back at the end.
    logs, mean_log = np.log(ages / greatest), float(np.mean(np.log(failed / greatest)))
    if mean_log >= 0:
        raise ValueError(f"failures has no age below {greatest:g}; at least one must lie below the greatest age.")

    def rest(shape: float) -> float:
        weights = np.exp(shape * logs)
        return float(weights @ logs / weights.sum()) - 1 / shape - mean_log

    high = 1.0
    while rest(high) < 0:
        high *= 2
    low = 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if rest(middle) < 0 else (low, middle)
    scale = greatest * float(np.sum(np.exp(high * logs)) / failed.size) ** (1 / high)
    return WeibullLife(scale=scale, shape=high)


def weibull_log_likelihood(*, life: WeibullLife, failures: ArrayLike, survivors: ArrayLike = ()) -> float:
    """Logarithm of how likely the ages of failed and surviving parts are under a Weibull life.

    Formula: sum over failures of ln(b / h (t / h)^(b-1)) - sum over all of (t / h)^b.
    Units: ages in the unit of the life's scale h; result dimensionless, but for that unit inside the logarithm.
    Range: ages > 0. Only differences between lives for the same ages in the same unit mean anything.
    Raises: ValueError if an age is not finite or not greater than 0, or there is no failure.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3 (read).

    >>> life = WeibullLife(scale=1.0, shape=1.0)
    >>> weibull_log_likelihood(life=life, failures=[2.0], survivors=[3.0])
    -5.0
    """
    failed, ages = _failed_and_all(failures, survivors)
    density = np.log(life.shape / life.scale) + (life.shape - 1) * np.log(failed / life.scale)
    return float(density.sum() - np.sum((ages / life.scale) ** life.shape))


def median_ranks(*, count: int) -> FloatArray:
    """Share of all parts that has failed, as likely less as more, when the first, second ... of a few of them fails.

    Formula: the share p at which i or more of n failures are as likely as fewer (binomial, solved exactly).
    Units: count of parts; result dimensionless, rising.
    Range: 1 to 500 parts, all of them failed.
    Raises: ValueError if the count is not a whole number in that range.
    Source: Nelson, Applied Life Data Analysis (1982) (from memory); definition of the median rank.

    >>> median_ranks(count=2).round(4).tolist()
    [0.2929, 0.7071]
    """
    _domain.between(1, _MOST_RANKS, f"a whole number from 1 to {_MOST_RANKS}", count=count)
    if count % 1:
        raise ValueError(f"count is {count:g}; it must be a whole number from 1 to {_MOST_RANKS}.")
    total = int(count)
    failed = np.arange(total + 1)
    factorials = np.concatenate(([0.0], np.cumsum(np.log(failed[1:]))))
    ways = factorials[-1] - factorials - factorials[::-1]
    at_least = failed >= np.arange(1, total + 1)[:, None]
    low, high = np.zeros(total), np.ones(total)
    for _ in range(_HALVINGS // 2):
        share = ((low + high) / 2)[:, None]
        chance = np.where(at_least, np.exp(ways + failed * np.log(share) + (total - failed) * np.log1p(-share)), 0.0)
        enough = chance.sum(axis=1) >= 0.5
        low, high = np.where(enough, low, share[:, 0]), np.where(enough, share[:, 0], high)
    return (low + high) / 2


def weibull_by_ranks(*, failures: ArrayLike) -> WeibullLife:
    """Weibull life as the straight line through the failures on Weibull paper.

    Formula: least squares of ln(-ln(1 - rank)) on ln t; the slope is the shape.
    Units: ages in any one common unit; shape dimensionless.
    Range: at least two different ages > 0; every part has failed (with survivors: weibull_by_likelihood).
    Raises: ValueError if an age is not finite or not greater than 0, or there are not two different ones.
    Source: Nelson, Applied Life Data Analysis (1982) (from memory); median ranks, regression on the ranks.

    >>> life = weibull_by_ranks(failures=[16, 34, 53, 75, 93, 120])
    >>> round(life.scale, 1), round(life.shape, 3)
    (76.3, 1.43)
    """
    ages, _ = _failed_and_all(failures, ())
    if float(np.ptp(ages)) == 0:
        raise ValueError(f"failures has one age only ({ages[0]:g}); at least two must differ.")
    x = np.log(np.sort(ages))
    y = np.log(-np.log1p(-median_ranks(count=ages.size)))
    shape = float(np.sum((x - x.mean()) * y) / np.sum((x - x.mean()) ** 2))
    return WeibullLife(scale=math.exp(float(x.mean()) - float(y.mean()) / shape), shape=shape)


def mean_repairs(*, events: Sequence[ArrayLike], ends: ArrayLike) -> MeanRepairs:
    """Mean number of repairs of one vehicle over its age, from vehicles watched for different times.

    Formula: at each age with repairs the mean rises by repairs / vehicles still watched; at a tie the repair
    comes before the end of the watch.
    Units: ages in any one common unit; repairs are a count.
    Range: one list of ages (it may be empty) and one end for each vehicle; 0 < age <= end.
    Raises: ValueError if an age is not finite or not greater than 0, or lies beyond the end of its vehicle.
    Source: Nelson, Confidence limits for recurrence data, Technometrics 37 (1995) (from memory).

    >>> found = mean_repairs(events=[[5.0, 10.0], []], ends=[12.0, 8.0])
    >>> found.ages.tolist(), found.repairs.tolist()
    ([5.0, 10.0], [0.5, 1.5])
    """
    last, each = _domain.as_list(ends), [_domain.as_list(one) for one in events]
    _domain.same_length(ends=last)
    if len(each) != last.size:
        raise ValueError(f"events has {len(each)} lists; it must hold one for each of the {last.size} ends.")
    for one, end in zip(each, last, strict=True):
        _domain.positive(events=one, ends=end)
        if one.size and one.max() > end:
            raise ValueError(f"events holds {one.max():g}; it must not lie beyond the end of its vehicle ({end:g}).")
    ages, repairs = np.unique(np.concatenate(each), return_counts=True)
    watched = np.sum(last >= ages[:, None], axis=1)
    return MeanRepairs(ages=ages, repairs=np.cumsum(repairs / watched))


def _failed_and_all(failures: ArrayLike, survivors: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return the ages of the failed parts and of all parts, refused by name if any is no age."""
    failed, whole = _domain.as_list(failures), _domain.as_list(survivors)
    _domain.same_length(failures=failed)
    _domain.positive(failures=failed, survivors=whole)
    if whole.ndim != 1:
        raise ValueError(f"survivors has shape {whole.shape}; it must be one list.")
    return failed, np.concatenate([failed, whole])
