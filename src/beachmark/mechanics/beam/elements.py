"""Stiffness and inertia of one straight beam element, for all elements of a line at once.

Shapes of the element: those that a beam with shear takes under loads at its ends only. Order of the four
motions: deflection and slope at the front, deflection and slope at the rear.
"""

import numpy as np

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray


def element_stiffness(*, rigidity_n_m2: FloatArray, shear_rigidity_n: FloatArray, length_m: FloatArray) -> FloatArray:
    """Stiffness of Timoshenko beam elements, shape (elements, 4, 4).

    Formula: E I / ((1 + f) L^3) times [12, 6 L, (4 + f) L^2, (2 - f) L^2 ...], with f = 12 E I / (kappa G A L^2).
    Units: N m^2, N, m; result N/m, N, N m.
    Range: straight, uniform element, small slopes.
    Raises: ValueError if a value is not finite or not greater than 0, or the lists differ in length.
    Source: Przemieniecki, Theory of Matrix Structural Analysis (1968), ch. 5 (from memory).

    >>> one = np.ones(1)
    >>> k = element_stiffness(rigidity_n_m2=one, shear_rigidity_n=1e12 * one, length_m=one)
    >>> np.round(k[0, 0], 6).tolist()
    [12.0, 6.0, -12.0, 6.0]
    """
    shear = _shear_ratio(rigidity_n_m2, shear_rigidity_n, length_m)
    twelve = np.full_like(length_m, 12.0)
    slope, own, other = 6 * length_m, (4 + shear) * length_m**2, (2 - shear) * length_m**2
    rows = [
        [twelve, slope, -twelve, slope],
        [slope, own, -slope, other],
        [-twelve, -slope, twelve, -slope],
        [slope, other, -slope, own],
    ]
    return _scaled(rows, rigidity_n_m2 / ((1 + shear) * length_m**3))


def element_mass(
    *, mass_per_length_kg_m: FloatArray, rigidity_n_m2: FloatArray, shear_rigidity_n: FloatArray, length_m: FloatArray
) -> FloatArray:
    """Inertia of the elements against deflection, consistent with their shapes, shape (elements, 4, 4).

    Formula: m L / (840 (1 + f)^2) times [312 + 588 f + 280 f^2, ...], with f = 12 E I / (kappa G A L^2).
    Units: kg/m, N m^2, N, m; result kg, kg m, kg m^2.
    Range: straight, uniform element, small slopes.
    Raises: ValueError if a value is not finite or not greater than 0, or the lists differ in length.
    Source: Friswell, Penny, Garvey and Lees, Dynamics of Rotating Machines (2010), sec. 5.4 (from memory); the tests
    integrate the element's shapes anew.

    >>> one = np.ones(1)
    >>> m = element_mass(mass_per_length_kg_m=420 * one, rigidity_n_m2=one, shear_rigidity_n=1e12 * one, length_m=one)
    >>> np.round(m[0, 0], 6).tolist()
    [156.0, 22.0, 54.0, -13.0]
    """
    f = _shear_ratio(rigidity_n_m2, shear_rigidity_n, length_m)
    _domain.positive(mass_per_length_kg_m=mass_per_length_kg_m)
    a = 312 + 588 * f + 280 * f**2
    b = (44 + 77 * f + 35 * f**2) * length_m
    c = 108 + 252 * f + 140 * f**2
    d = (26 + 63 * f + 35 * f**2) * length_m
    e = (8 + 14 * f + 7 * f**2) * length_m**2
    g = (6 + 14 * f + 7 * f**2) * length_m**2
    rows = [[a, b, c, -d], [b, e, d, -g], [c, d, a, -b], [-d, -g, -b, e]]
    return _scaled(rows, mass_per_length_kg_m * length_m / (840 * (1 + f) ** 2))


def element_rotary_inertia(
    *,
    inertia_per_length_kg_m: FloatArray,
    rigidity_n_m2: FloatArray,
    shear_rigidity_n: FloatArray,
    length_m: FloatArray,
) -> FloatArray:
    """Inertia of the elements against tilting of their sections, shape (elements, 4, 4).

    Formula: rho I / (30 L (1 + f)^2) times [36, (3 - 15 f) L, (4 + 5 f + 10 f^2) L^2, ...].
    Units: kg m (rho I), N m^2, N, m; result kg, kg m, kg m^2. Twice this is the gyroscopic matrix per unit of spin.
    Range: straight, uniform round element, small slopes.
    Raises: ValueError if a value is not finite or not greater than 0, or the lists differ in length.
    Source: Friswell, Penny, Garvey and Lees, Dynamics of Rotating Machines (2010), sec. 5.4 (from memory); the tests
    integrate the element's shapes anew.

    >>> one = np.ones(1)
    >>> r = element_rotary_inertia(
    ...     inertia_per_length_kg_m=30 * one, rigidity_n_m2=one, shear_rigidity_n=1e12 * one, length_m=one)
    >>> np.round(r[0, 0], 6).tolist()
    [36.0, 3.0, -36.0, 3.0]
    """
    f = _shear_ratio(rigidity_n_m2, shear_rigidity_n, length_m)
    _domain.positive(inertia_per_length_kg_m=inertia_per_length_kg_m)
    a = np.full_like(length_m, 36.0)
    b = (3 - 15 * f) * length_m
    c = (4 + 5 * f + 10 * f**2) * length_m**2
    d = (-1 - 5 * f + 5 * f**2) * length_m**2
    rows = [[a, b, -a, b], [b, c, -b, d], [-a, -b, a, -b], [b, d, -b, c]]
    return _scaled(rows, inertia_per_length_kg_m / (30 * length_m * (1 + f) ** 2))


def _shear_ratio(rigidity: FloatArray, shear_rigidity: FloatArray, length: FloatArray) -> FloatArray:
    """Return how much an element yields in shear against bending: 12 E I / (kappa G A L^2)."""
    _domain.same_length(rigidity_n_m2=rigidity, shear_rigidity_n=shear_rigidity, length_m=length)
    _domain.positive(rigidity_n_m2=rigidity, shear_rigidity_n=shear_rigidity, length_m=length)
    ratio: FloatArray = 12 * rigidity / (shear_rigidity * length**2)
    return ratio


def _scaled(rows: list[list[FloatArray]], factor: FloatArray) -> FloatArray:
    """Return the rows as one 4 x 4 matrix an element, each times its factor."""
    matrix: FloatArray = np.moveaxis(np.array(rows), 2, 0) * factor[:, None, None]
    return matrix
