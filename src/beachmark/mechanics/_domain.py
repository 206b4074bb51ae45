"""Refusal of arguments outside their range, in one sentence that names argument, value and range."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


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


def between(low: float, high: float, allowed: str, /, **arguments: ArrayLike) -> None:
    """Refuse any argument that is not finite or lies outside low..high, both included."""
    for name, value in arguments.items():
        values = np.asarray(value, dtype=float)
        bad = values[~(np.isfinite(values) & (values >= low) & (values <= high))]
        if bad.size:
            raise ValueError(f"{name} is {bad.flat[0]:g}; it must be {allowed}.")


def ring(**outer_then_inner: float) -> None:
    """Refuse a round section without wall: the first diameter must exceed the second."""
    (outer_name, outer), (inner_name, inner) = outer_then_inner.items()
    positive(**{outer_name: outer})
    non_negative(**{inner_name: inner})
    less_than(outer_name, outer, **{inner_name: inner})


def less_than(limit_name: str, limit: float, /, **argument: float) -> None:
    """Refuse an argument that reaches the value of another one."""
    ((name, value),) = argument.items()
    if value >= limit:
        raise ValueError(f"{name} is {value:g}; it must be smaller than {limit_name} ({limit:g}).")


def same_length(**arguments: FloatArray) -> None:
    """Refuse lists that do not belong together element by element, and empty ones."""
    sizes = {name: np.shape(value) for name, value in arguments.items()}
    first_name, first = next(iter(sizes.items()))
    for name, size in sizes.items():
        if len(size) != 1 or size[0] == 0 or size != first:
            raise ValueError(
                f"{name} has shape {size}; it must be one list, not empty, as long as {first_name} {first}."
            )


def as_list(value: ArrayLike) -> FloatArray:
    """Return the argument as an array of floats (a copy is not needed: nothing here writes to it)."""
    return np.asarray(value, dtype=np.float64)
