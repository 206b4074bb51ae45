"""What the doubt about several inputs leaves open in a result, and which input is to blame for most of it.

A function that takes arrays is asked once, for a seeded quasi-random sample of all its inputs together.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from beachmark.basis import draws
from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray

QUANTILES = (0.05, 0.50, 0.95)
FEWEST, MOST = 64, 2**20
_WAVES = 16  # cosines along one input; more of them would follow the noise of the other inputs
_LARGEST_SEED = 2**32 - 1

Shape = Literal["triangular", "uniform"]
_SHAPES: tuple[Shape, ...] = ("triangular", "uniform")


@dataclass(frozen=True)
class UncertainInput:
    """An input between low and high; triangular with its peak at nominal, or anywhere alike (uniform)."""

    low: float
    nominal: float
    high: float
    shape: Shape = "triangular"


@dataclass(frozen=True)
class SampledOutput:
    """A result at the nominal inputs, its quantiles, and the share of its variance that each input explains alone.

    The shares add up to less than 1 where inputs act together; what is missing belongs to no single input.
    `greatest` names the input with the largest share; None if the result does not vary.
    """

    nominal: float
    quantile_5: float
    median: float
    quantile_95: float
    shares: Mapping[str, float]
    greatest: str | None
    values: FloatArray


def sample_inputs(*, inputs: Mapping[str, UncertainInput], count: int = 4096, seed: int = 0) -> dict[str, FloatArray]:
    """Draw all uncertain inputs together, the same for the same seed.

    Formula: randomised Halton points, turned by a random amount that the seed sets, through the inverse of each
    distribution.
    Units: each input in any one unit; the count is a number of draws.
    Range: at least one input and no more than there are columns of points; low <= nominal <= high; 64 to 2^20
    draws; inputs independent of each other.
    Raises: ValueError if an input is not finite or out of order, or the count or the seed is out of range.
    Source: A. B. Owen, A randomized Halton algorithm in R, arXiv 1706.02808 (2017) (from memory); the turn is
    the rotation of Cranley & Patterson, SIAM J. Numer. Anal. 13 (1976) (from memory).

    >>> drawn = sample_inputs(inputs={"wall_m": UncertainInput(0.003, 0.004, 0.005)}, count=1024)
    >>> round(float(drawn["wall_m"].mean()), 5), bool(drawn["wall_m"].max() < 0.005)
    (0.004, True)
    """
    _whole("count", count, FEWEST, MOST)
    _whole("seed", seed, 0, _LARGEST_SEED)
    if not 1 <= len(inputs) <= draws.COLUMNS:
        raise ValueError(f"inputs has {len(inputs)} entries; it must have from 1 to {draws.COLUMNS}.")
    return {name: _drawn(name, one, column, count, seed) for column, (name, one) in enumerate(inputs.items())}


def variance_shares(*, drawn: Mapping[str, ArrayLike], output: ArrayLike) -> dict[str, float]:
    """Share of the variance of a result that each input explains alone (first-order index), from one sample.

    Formula: with the sample in the order of one input, S is the variance of the first 16 terms of the cosine
    series of the result over the whole variance, less what chance puts into them: (SSM - 16 MSR) / SST.
    Units: the inputs and the result in any unit; shares dimensionless.
    Range: at least 64 draws, inputs drawn independently. Good to about 0.01 at 4096 draws, a little low where
    the result jumps; never below 0.
    Raises: ValueError if a value is not finite, or an input has not one value for each of the result.
    Source: cosine transform of given data: Plischke, How to compute variance-based sensitivity indicators with
    your spreadsheet software, Environ. Model. Softw. 35 (2012) (from memory); the part of chance as in the
    adjusted R squared of any regression.

    >>> drawn = sample_inputs(inputs={name: UncertainInput(0.0, 0.5, 1.0, "uniform") for name in ("a", "b")})
    >>> shares = variance_shares(drawn=drawn, output=2 * drawn["a"] + drawn["b"])
    >>> {name: round(share, 1) for name, share in shares.items()}
    {'a': 0.8, 'b': 0.2}
    """
    result = _domain.as_list(output)
    columns = {name: _domain.as_list(column) for name, column in drawn.items()}
    _domain.same_length(output=result, **{f"drawn {name}": column for name, column in columns.items()})
    _domain.finite(output=result, **{f"drawn {name}": column for name, column in columns.items()})
    _domain.between(FEWEST, math.inf, f"{FEWEST} or more", values_in_output=result.size)
    return {name: _share(column, result) for name, column in columns.items()}


def sampled_output(
    *,
    function: Callable[..., ArrayLike],
    inputs: Mapping[str, UncertainInput],
    count: int = 4096,
    seed: int = 0,
) -> SampledOutput:
    """Ask a function for a whole sample of its inputs; what comes out, and which input contributes most.

    Formula: quantiles 5, 50 and 95 % of the sample; shares as variance_shares.
    Units: any unit that the function takes and gives; inputs are passed to it by name, each as one array.
    Range: as sample_inputs; the function gives one finite value for each draw. Nothing is said about what the
    function itself leaves out.
    Raises: ValueError if an input, the count or the seed is out of range, or the function's answer is unsound.
    Source: sample_inputs and variance_shares.

    >>> found = sampled_output(function=lambda a, b: 3 * a + b, inputs={
    ...     "a": UncertainInput(-1.0, 0.0, 1.0, "uniform"), "b": UncertainInput(-1.0, 0.0, 1.0, "uniform")})
    >>> found.greatest, found.nominal, abs(round(found.median, 1))
    ('a', 0.0, 0.0)
    """
    drawn = sample_inputs(inputs=inputs, count=count, seed=seed)
    values = _domain.as_list(function(**drawn))
    if values.shape != (count,):
        raise ValueError(f"function gave the shape {values.shape}; it must give one value for each of {count} draws.")
    _domain.finite(values_of_function=values)
    shares = variance_shares(drawn=drawn, output=values)
    nominal = {name: np.array([one.nominal], dtype=float) for name, one in inputs.items()}
    low, median, high = (float(x) for x in np.quantile(values, QUANTILES))
    return SampledOutput(
        nominal=float(_domain.as_list(function(**nominal)).reshape(-1)[0]),
        quantile_5=low,
        median=median,
        quantile_95=high,
        shares=shares,
        greatest=max(shares, key=shares.__getitem__) if any(shares.values()) else None,
        values=values,
    )


def _drawn(name: str, one: UncertainInput, column: int, count: int, seed: int) -> FloatArray:
    """Return the draws of one input."""
    corners = {f"{what} of {name}": getattr(one, what) for what in ("low", "nominal", "high")}
    _domain.finite(**corners)
    _domain.between(one.low, one.high, "from its low ({low:g}) to its high ({high:g})", **corners)
    if one.shape not in _SHAPES:
        raise ValueError(f"shape of {name} is {one.shape!r}; it must be one of {', '.join(_SHAPES)}.")
    turn = np.random.default_rng([seed, column]).random() if seed else 0.0
    uniform = (draws.uniform_column(column, count) + turn) % 1.0
    if one.shape == "triangular":
        return draws.triangular(uniform, one.low, one.nominal, one.high)
    return one.low + (one.high - one.low) * uniform


def _share(column: FloatArray, result: FloatArray) -> float:
    """Return the part of the variance that follows one input, the part of chance taken off."""
    whole = result - result.mean()
    total, count = float(np.sum(whole**2)), result.size
    if total <= count * (1e-12 * float(np.abs(result).max())) ** 2 or np.ptp(column) == 0:
        return 0.0  # nothing varies, or this input does not
    ordered = whole[np.argsort(column, kind="stable")]
    places = math.pi * (np.arange(count) + 0.5) / count
    terms = (np.sum(ordered * np.cos(wave * places)) for wave in range(1, _WAVES + 1))
    explained = float(sum(term**2 for term in terms)) * 2 / count
    chance = _WAVES * (total - explained) / (count - 1 - _WAVES)
    return min(max((explained - chance) / total, 0.0), 1.0)


def _whole(name: str, value: int, low: int, high: int) -> None:
    """Refuse what is no whole number within its bounds."""
    allowed = f"a whole number from {low} to {high}"
    _domain.between(low, high, allowed, **{name: value})
    if value != int(value):
        raise ValueError(f"{name} is {value:g}; it must be {allowed}.")
