"""Ranges of results: every uncertain input is drawn, the draws go through the formula, the middle 95 % is the range.

An input has the same draws wherever one sum uses it, so that what load and capacity share cancels as it should.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from beachmark.basis.draws import COUNT, FloatArray, triangular, uniform_column
from beachmark.basis.values import Known, Spread, Value
from beachmark.findings.results import Input, Quantity

LOW, HIGH = 0.025, 0.975
_BINS = 16
_MANY = 512  # draws
_PART = re.compile(r"(shaft|joint)s\[(\d+)\]")
_ROUNDING = 1e-9
_LEAST_SHARE = 0.05  # smaller shares of the spread are not told


def drawn(value: Value, column: int) -> Value:
    """The value with its draws: triangular between its ends, its nominal value the likeliest."""
    if value.low >= value.high:
        return value
    return replace(value, sample=triangular(uniform_column(column), value.low, value.si, value.high))


def value_of(spread: Spread, dimension: str, known: Known = Known.COMPUTED, source: str = "") -> Value:
    """A result as the input of the next formula, draws and all."""
    return Value(spread.nominal, spread.low, spread.high, dimension, known, source, sample=spread.sample)


def of_sample(nominal: float, sample: FloatArray) -> Spread:
    """The middle 95 % of the draws; the nominal result always lies inside."""
    low, high = np.quantile(sample, (LOW, HIGH))
    return Spread(nominal, min(float(low), nominal), max(float(high), nominal), sample)


def spread(function: Callable[..., Any], **values: Value | Spread) -> Spread:
    """Nominal and range of `function(**si)`; the function takes arrays of draws. Raises what the function raises."""
    nominal = float(function(**{name: _nominal(value) for name, value in values.items()}))
    if all(value.low >= value.high for value in values.values()):
        return Spread(nominal, nominal, nominal)
    draws = {name: _draws(name, value) for name, value in values.items()}
    count = min(draw.size for draw in draws.values() if isinstance(draw, np.ndarray))
    first = {name: draw[:count] if isinstance(draw, np.ndarray) else draw for name, draw in draws.items()}
    sample = np.asarray(function(**first), dtype=float)
    return of_sample(nominal, np.broadcast_to(sample, (count,)))


def spread_of_costly(function: Callable[..., float], **values: Value | Spread) -> Spread:
    """The same for a positive, smooth result of a function that takes no arrays and takes too long to be drawn.

    It is evaluated at the ends of each input alone; between them run straight lines, and the inputs' effects multiply.
    """
    middle = {name: _nominal(value) for name, value in values.items()}
    nominal = function(**middle)
    if not nominal > 0.0:
        raise ValueError(f"the nominal result is {nominal:g}; effects can only multiply on one above 0.")
    if all(value.low >= value.high for value in values.values()):
        return Spread(nominal, nominal, nominal)
    sample = np.full(COUNT, nominal)
    for name, value in values.items():
        if value.low < value.high:
            ends = {middle[name]: 1.0}
            ends |= {end: function(**(middle | {name: end})) / nominal for end in {value.low, value.high} - ends.keys()}
            places = sorted(ends)
            sample = sample * np.interp(_draws(name, value), places, [ends[place] for place in places])
    return of_sample(nominal, sample)


def spreads_by_draws(
    function: Callable[..., Sequence[float]], *, count: int, **values: Value | Spread
) -> tuple[Spread, ...]:
    """Several results of a function that takes no arrays, at the first `count` draws of its inputs, one by one."""
    nominal = function(**{name: _nominal(value) for name, value in values.items()})
    if all(value.low >= value.high for value in values.values()):
        return tuple(Spread(number, number, number) for number in nominal)
    draws = {name: _draws(name, value) for name, value in values.items()}
    rows = [
        function(**{name: float(draw[i]) if isinstance(draw, np.ndarray) else draw for name, draw in draws.items()})
        for i in range(count)
    ]
    return tuple(of_sample(number, column) for number, column in zip(nominal, np.array(rows).T, strict=True))


def ratio(load: Spread, capacity: Spread | Value) -> Spread:
    """One result over another, draw by draw."""
    return spread(lambda load, capacity: load / capacity, load=load, capacity=capacity)


def least_of(spreads: Iterable[Spread]) -> Spread:
    """The smallest of several results, draw by draw."""
    return _picked(np.minimum.reduce, min, list(spreads))


def greatest_of(spreads: Iterable[Spread]) -> Spread:
    """The greatest of several results, draw by draw."""
    return _picked(np.maximum.reduce, max, list(spreads))


def with_contributors(results: Iterable[Quantity], inputs: Iterable[Input]) -> tuple[Quantity, ...]:
    """Each result with the input whose range widens it most, and its share of the variance."""
    sampled = [given for given in inputs if given.value.sample is not None]
    return tuple(_with_contributor(result, sampled) for result in results)


def _with_contributor(result: Quantity, inputs: list[Input]) -> Quantity:
    sample = result.spread.sample
    width = result.spread.high - result.spread.low
    if sample is None or not inputs or width <= _ROUNDING * abs(result.spread.nominal):
        return result
    shares = {_told(given, inputs): first_order_share(given.value.sample, sample) for given in inputs}
    words = max(shares, key=lambda key: shares[key])
    return replace(result, widened_by=words, widened_share=shares[words]) if shares[words] >= _LEAST_SHARE else result


def _told(given: Input, inputs: list[Input]) -> str:
    """The input in words, with its part when another part's input has the same words."""
    alone = sum(other.words == given.words for other in inputs) == 1
    part = _PART.search(given.name)
    return given.words if alone or not part else f"{given.words}, {part[1]} {int(part[2]) + 1}"


def first_order_share(given: FloatArray | None, result: FloatArray) -> float:
    """Share of a result's variance that one input explains alone.

    Variance of the means of 16 classes of equal count (8 of few draws), its own noise taken off. Source: Saltelli et
    al., Global Sensitivity Analysis (2008), sec. 1.2.5, first-order index (from memory).
    """
    total = float(np.var(result))
    if given is None or total <= 0.0:
        return 0.0
    bins = _BINS if result.size >= _MANY else _BINS // 2
    classes = result[np.argsort(given[: result.size])].reshape(bins, -1)
    within = float(np.mean(np.var(classes, axis=1, ddof=1)))
    between = float(np.var(np.mean(classes, axis=1), ddof=1)) - within / classes.shape[1]
    return float(np.clip(between / total, 0.0, 1.0))


def _picked(reduce: Callable[[Any], Any], pick: Callable[[Iterable[float]], float], spreads: list[Spread]) -> Spread:
    nominal = pick(one.nominal for one in spreads)
    if all(one.low >= one.high for one in spreads):
        return Spread(nominal, nominal, nominal)
    draws = [np.atleast_1d(_draws("result", one)) for one in spreads]
    count = min(draw.size for draw in draws if draw.size > 1)
    return of_sample(nominal, reduce(np.stack([np.broadcast_to(draw[:count], (count,)) for draw in draws])))


def _nominal(value: Value | Spread) -> float:
    return value.si if isinstance(value, Value) else value.nominal


def _draws(name: str, value: Value | Spread) -> FloatArray | float:
    if value.low >= value.high:
        return _nominal(value)
    if value.sample is None:
        raise TypeError(f"{name} has a range and no draws: ask for it, or make it with value_of")
    return value.sample


def mostly(result: Quantity) -> str:
    """How much of a result's range comes from one input, in words; nothing when no input stands out."""
    if not result.widened_by:
        return ""
    share = result.widened_share
    part = "nearly all of it" if share > 0.8 else "most of it" if share > 0.5 else "the largest part of it"
    return f"{part} from {result.widened_by}"
