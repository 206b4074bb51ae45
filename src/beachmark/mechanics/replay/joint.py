"""Lines for the lead of a Cardan joint and its speed ratio, without calls of sine or arc tangent.

The lead over the driving angle x is atan2(e sin 2x, 1 - e cos 2x), the ratio (1 - e^2) / (1 - 2 e cos 2x + e^2), with
e = tan^2(b/2) of the joint angle b (``hooke.driven_angle``; the ratio is its slope). Polynomials vectorise, calls do
not. Error of the lead: below 2e-10 rad up to 45 deg.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.polynomial import Chebyshev, Polynomial

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.parameters import STEEPEST_JOINT_RAD


def _fitted(function: Callable[[FloatArray], FloatArray], terms: int, greatest: float) -> list[float]:
    """Coefficients, constant first, of a polynomial near a function of the square root, up to a greatest root."""
    near = Chebyshev.interpolate(lambda square: function(np.sqrt(square)), terms - 1, domain=[0.0, greatest**2])
    return [float(coefficient) for coefficient in near.convert(kind=Polynomial).coef]


_BEND = math.tan(STEEPEST_JOINT_RAD / 2) ** 2
_SINE = _fitted(lambda y: np.sinc(y / math.pi), 6, math.pi / 2)  # over y
_COSINE = _fitted(np.cos, 7, math.pi / 2)
_ARC_TANGENT = _fitted(lambda t: np.arctan(t) / t, 4, _BEND / math.sqrt(1 - _BEND**2))  # over t


def lead_and_ratio(angle: str, bend: str, line: Callable[[str], str]) -> tuple[str, str]:
    """Write the lines for one joint (symbols of the driving angle and of e) and return the symbols of both results."""
    turns = line(f"{angle}*{1 / math.pi!r}")
    y = line(f"({turns} - rint({turns}))*{math.pi!r}")  # within a quarter turn; the motion repeats twice a turn
    square = line(f"{y}*{y}")
    sine, cosine = line(f"{y}*{polynomial(_SINE, square)}"), line(polynomial(_COSINE, square))
    across = line(f"{bend}*2.0*{sine}*{cosine}")
    along = line(f"1.0 - {bend}*(1.0 - 2.0*{sine}*{sine})")
    length = line(f"{along}*{along} + {across}*{across}")
    shared = line(f"1.0/({along}*{length})")  # one division serves both
    tangent = line(f"{across}*{shared}*{length}")
    lead = line(f"{tangent}*{polynomial(_ARC_TANGENT, line(f'{tangent}*{tangent}'))}")
    return lead, line(f"(1.0 - {bend}*{bend})*{shared}*{along}")


def polynomial(coefficients: list[float], variable: str) -> str:
    """Text of a polynomial by Horner's rule, coefficients from the constant up.

    >>> polynomial([1.0, 2.0, 3.0], "u")
    '(1.0 + u*(2.0 + u*3.0))'
    """
    text = repr(coefficients[-1])
    for coefficient in reversed(coefficients[:-1]):
        text = f"({coefficient!r} + {variable}*{text})"
    return text
