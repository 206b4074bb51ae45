"""Refusal of arguments outside their range, in one sentence that names argument, value and range.

Also what lets one formula serve numbers and arrays: ``elementwise`` and ``as_result``.
"""

import math
from collections.abc import Callable
from typing import Any, ParamSpec, Protocol, TypeVar, cast, overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

_Asked = ParamSpec("_Asked")
_Record = TypeVar("_Record")
_OfNumbers = TypeVar("_OfNumbers", covariant=True)
_OfArrays = TypeVar("_OfArrays", covariant=True)


class Elementwise(Protocol[_Asked, _OfNumbers, _OfArrays]):
    """A function of numbers that takes arrays as well: they broadcast, and so does the result."""

    @overload
    def __call__(self, *args: _Asked.args, **kwargs: _Asked.kwargs) -> _OfNumbers: ...
    @overload
    def __call__(self, **arguments: Any) -> _OfArrays: ...


def elementwise(function: Callable[_Asked, float]) -> Elementwise[_Asked, float, FloatArray]:
    """Tell the type checker that a function written, and typed, for numbers takes arrays too.

    At run time it is the same function, so nothing is added to a call. Its body must work on both.
    """
    return cast("Elementwise[_Asked, float, FloatArray]", function)


def elementwise_record(function: Callable[_Asked, _Record]) -> Elementwise[_Asked, _Record, Any]:
    """Do the same for a function that returns several numbers together; with arrays it returns arrays in them."""
    return cast("Elementwise[_Asked, _Record, Any]", function)


def as_result(value: Any) -> float:
    """Return a Python float for one number; an array stays as it is (see elementwise)."""
    return cast("float", value) if isinstance(value, np.ndarray) and value.ndim else float(value)


def finite(**arguments: ArrayLike) -> None:
    """Refuse any argument that is not a finite number (every element of an array)."""
    between(-math.inf, math.inf, "a finite number", **arguments)


def positive(**arguments: ArrayLike) -> None:
    """Refuse any argument that is not finite and greater than zero."""
    between(math.ulp(0.0), math.inf, "a finite number greater than 0", **arguments)


def non_negative(**arguments: ArrayLike) -> None:
    """Refuse any argument that is not finite and at least zero."""
    between(0.0, math.inf, "a finite number, 0 or greater", **arguments)


def joint_angle(**arguments: ArrayLike) -> None:
    """Refuse any angle at which a Cardan joint cannot turn."""
    between(0.0, math.nextafter(math.pi / 2, 0.0), "from 0 to below pi/2 rad", **arguments)


def fraction(**arguments: ArrayLike) -> None:
    """Refuse any argument outside 0 (excluded) to 1 (included), such as an efficiency."""
    between(math.ulp(0.0), 1.0, "greater than 0 and at most 1", **arguments)


def between(low: ArrayLike, high: ArrayLike, allowed: str, /, **arguments: ArrayLike) -> None:
    """Refuse any argument that is not finite or lies outside low..high, both included.

    The bounds may be arrays. In ``allowed``, {low:g} and {high:g} stand for those of the element refused.
    """
    for name, value in arguments.items():
        sound = _is_between(value, low, high)
        if sound is not True and not np.all(sound):  # the first question is the quick one
            _refuse(name, f"it must be {allowed}.", sound, value, low=low, high=high)


def ring(**outer_then_inner: ArrayLike) -> None:
    """Refuse a round section without wall: the first diameter must exceed the second."""
    (outer_name, outer), (inner_name, inner) = outer_then_inner.items()
    positive(**{outer_name: outer})
    non_negative(**{inner_name: inner})
    less_than(outer_name, outer, **{inner_name: inner})


def less_than(limit_name: str, limit: ArrayLike, /, **argument: ArrayLike) -> None:
    """Refuse an argument that reaches the value of another one, anywhere."""
    ((name, value),) = argument.items()
    reached = (
        value >= limit if isinstance(value, float) and isinstance(limit, float) else np.greater_equal(value, limit)
    )
    if reached is not False and np.any(reached):
        _refuse(name, f"it must be smaller than {limit_name} ({{limit:g}}).", ~np.asarray(reached), value, limit=limit)


def same_length(**arguments: FloatArray) -> None:
    """Refuse lists that do not belong together element by element, and empty ones."""
    sizes = {name: np.shape(value) for name, value in arguments.items()}
    first_name, first = next(iter(sizes.items()))
    for name, size in sizes.items():
        if len(size) != 1 or size[0] == 0 or size != first:
            raise ValueError(
                f"{name} has shape {size}; it must be one list, not empty, as long as {first_name} {first}."
            )


def same_last_length(**arguments: FloatArray) -> None:
    """Refuse lists, or batches of lists, whose last axes differ or are empty."""
    sizes = {name: np.shape(value) for name, value in arguments.items()}
    first_name, first = next(iter(sizes.items()))
    for name, size in sizes.items():
        if not size or size[-1] == 0 or size[-1] != first[-1]:
            raise ValueError(
                f"{name} has shape {size}; it must be one list, not empty, as long as {first_name} {first}"
                " (with several lists: along the last axis)."
            )


def as_list(value: ArrayLike) -> FloatArray:
    """Return the argument as an array of floats (a copy is not needed: nothing here writes to it)."""
    return np.asarray(value, dtype=np.float64)


def _is_between(value: ArrayLike, low: ArrayLike, high: ArrayLike) -> bool | NDArray[np.bool_]:
    """Tell whether each value is finite and within its bounds; one answer for all where that is quick."""
    if isinstance(value, float) and isinstance(low, float) and isinstance(high, float):
        return math.isfinite(value) and low <= value <= high  # one number: no need of an array
    values, lower, upper = (np.asarray(x, dtype=float) for x in (value, low, high))
    if values.size and lower.ndim == upper.ndim == 0:
        # The extremes decide (NaN comes through both), without an array for each comparison.
        least, greatest = float(values.min()), float(values.max())
        if math.isfinite(least) and math.isfinite(greatest) and lower <= least and greatest <= upper:
            return True
    sound: NDArray[np.bool_] = np.isfinite(values) & (values >= lower) & (values <= upper)
    return sound


def _refuse(name: str, must: str, sound: ArrayLike, value: ArrayLike, **shown: ArrayLike) -> None:
    """Raise the sentence for the first element that is not sound."""
    marks, values, *others = np.broadcast_arrays(sound, value, *shown.values())
    wrong = int(np.argmin(marks))
    bounds = {what: float(array.flat[wrong]) for what, array in zip(shown, others, strict=True)}
    raise ValueError(f"{name} is {float(values.flat[wrong]):g}; {must.format(**bounds)}")
