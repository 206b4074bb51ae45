"""Stress at the root of a cross arm and at its notches.

An arm is a short beam: shear and the mouth of a radial oil hole matter as much as bending. An axial
grease bore alone is no notch, it only takes section away.
"""

import math

import numpy as np
from numpy.typing import NDArray

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import as_result, elementwise

# Ranges of the fits, as height of the shoulder over its radius and as hole over bar diameter.
ROARK_BENDING_RANGE = (0.25, 20.0)
PILKEY_BENDING_RANGE = (0.1, 20.0)
PILKEY_TORSION_RANGE = (0.25, 4.0)
HOLE_RATIO_RANGE = (0.0, 0.4)
BORE_RATIO_RANGE = (0.0, 0.8)
NOTCH_STRENGTH_RANGE_PA = (345e6, 1725e6)  # 50 to 250 kpsi

_KPSI_PA = 6.894757293e6
_INCH_M = 0.0254

_Row = tuple[float, float, float]
_Fit = tuple[_Row, _Row, _Row, _Row]

# Each row: constant, factor of sqrt(h/r), factor of h/r; rows are C1..C4 of sum C_i (2h/D)^(i-1).
_ROARK_LOW: _Fit = (
    (0.927, 1.149, -0.086),
    (0.015, -3.281, 0.837),
    (0.847, 1.716, -0.506),
    (-0.790, 0.417, -0.246),
)
_ROARK_HIGH: _Fit = (
    (1.225, 0.831, -0.010),
    (-3.790, 0.958, -0.257),
    (7.374, -4.834, 0.862),
    (-3.809, 3.046, -0.595),
)
_PILKEY_LOW: _Fit = (
    (0.947, 1.206, -0.131),
    (0.022, -3.405, 0.915),
    (0.869, 1.777, -0.555),
    (-0.810, 0.422, -0.260),
)
_PILKEY_HIGH: _Fit = (
    (1.232, 0.832, -0.008),
    (-3.813, 0.968, -0.260),
    (7.423, -4.868, 0.869),
    (-3.839, 3.070, -0.600),
)
_PILKEY_TORSION: _Fit = (
    (0.905, 0.783, -0.075),
    (-0.437, -1.969, 0.553),
    (1.557, 1.073, -0.578),
    (-1.061, 0.171, 0.086),
)


@elementwise
def arm_root_bending_pa(*, force_n: float, arm_m: float, diameter_m: float, bore_m: float = 0.0) -> float:
    """Nominal bending stress at the root of an arm, without notch factor.

    Formula: 32 F l D / (pi (D^4 - d^4)).
    Units: N, m (l from the middle of the needles to the root); result Pa.
    Range: 0 <= d < D, l >= 0; elastic. With l below D the beam formula is only nominal.
    Raises: ValueError if an argument is not finite or out of range.
    Source: beam theory (any strength-of-materials text).

    >>> s = arm_root_bending_pa(force_n=66_667.0, arm_m=0.012, diameter_m=0.033, bore_m=0.006)
    >>> round(s / 1e6)
    227
    """
    _domain.finite(force_n=force_n)
    _domain.non_negative(arm_m=arm_m)
    _domain.ring(diameter_m=diameter_m, bore_m=bore_m)
    return 32 * abs(force_n) * arm_m * diameter_m / (math.pi * (diameter_m**4 - bore_m**4))


@elementwise
def arm_root_shear_pa(*, force_n: float, diameter_m: float, bore_m: float = 0.0) -> float:
    """Greatest transverse shear stress at the root of an arm, at its neutral line.

    Formula: 4 F / (3 A) (D^2 + D d + d^2) / (D^2 + d^2); 4 F / (3 A) without bore.
    Units: N, m; result Pa.
    Range: 0 <= d < D; elastic; even through the wall.
    Raises: ValueError if an argument is not finite or out of range.
    Source: beam theory, V Q / (I b) of the half ring, derived.

    >>> round(arm_root_shear_pa(force_n=math.pi * 3 / 4, diameter_m=2.0), 9)
    1.0
    """
    _domain.finite(force_n=force_n)
    _domain.ring(diameter_m=diameter_m, bore_m=bore_m)
    area = math.pi / 4 * (diameter_m**2 - bore_m**2)
    shape = 1 + diameter_m * bore_m / (diameter_m**2 + bore_m**2)
    return 4 * abs(force_n) / (3 * area) * shape


@elementwise
def shoulder_fillet_bending_kt(*, large_m: float, small_m: float, radius_m: float) -> float:
    """Notch factor of a shoulder fillet of a round bar in bending, Roark's fit.

    Formula: sum of C_i (2h/D)^(i-1), h = (D - d) / 2, C_i from sqrt(h/r) and h/r. Nominal: small section.
    Units: m; result dimensionless.
    Range: 0.25 <= h/r <= 20. The charts themselves spread by some 3 %.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Roark's Formulas for Stress and Strain, Table 17.1 (coefficients read in a public reprint).

    >>> round(shoulder_fillet_bending_kt(large_m=0.038, small_m=0.032, radius_m=0.003), 3)
    1.655
    """
    steep, depth = _shoulder(large_m, small_m, radius_m, ROARK_BENDING_RANGE)
    return as_result(np.where(steep <= 2, _fit(_ROARK_LOW, steep, depth), _fit(_ROARK_HIGH, steep, depth)))


@elementwise
def shoulder_fillet_bending_kt_peterson(*, large_m: float, small_m: float, radius_m: float) -> float:
    """Notch factor of a shoulder fillet of a round bar in bending, Peterson's charts as fitted by Pilkey.

    Formula: sum of C_i (2h/D)^(i-1), h = (D - d) / 2, C_i from sqrt(h/r) and h/r. Nominal: small section.
    Units: m; result dimensionless.
    Range: 0.1 <= h/r <= 20.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Pilkey, Peterson's Stress Concentration Factors (numbers read, lost minus signs from memory).

    >>> round(shoulder_fillet_bending_kt_peterson(large_m=0.038, small_m=0.032, radius_m=0.003), 3)
    1.682
    """
    steep, depth = _shoulder(large_m, small_m, radius_m, PILKEY_BENDING_RANGE)
    return as_result(np.where(steep <= 2, _fit(_PILKEY_LOW, steep, depth), _fit(_PILKEY_HIGH, steep, depth)))


@elementwise
def shoulder_fillet_torsion_kt(*, large_m: float, small_m: float, radius_m: float) -> float:
    """Notch factor of a shoulder fillet of a round bar in torsion (shear stress).

    Formula: sum of C_i (2h/D)^(i-1), h = (D - d) / 2, C_i from sqrt(h/r) and h/r. Nominal: small section.
    Units: m; result dimensionless.
    Range: 0.25 <= h/r <= 4.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Pilkey, Peterson's Stress Concentration Factors (numbers read, lost minus signs from memory).

    >>> round(shoulder_fillet_torsion_kt(large_m=0.0384, small_m=0.032, radius_m=0.003), 3)
    1.373
    """
    steep, depth = _shoulder(large_m, small_m, radius_m, PILKEY_TORSION_RANGE)
    return as_result(_fit(_PILKEY_TORSION, steep, depth))


@elementwise
def transverse_hole_torsion_kt(*, hole_m: float, outer_m: float, inner_m: float = 0.0) -> float:
    """Peak NORMAL stress at a radial hole of a bar or tube in torsion, over the gross shear stress.

    Formula: 4 + C2 (a/D) + C3 (a/D)^2 + C4 (a/D)^3, C_i from the bore ratio q = d / D. The notch factor
    counted in shear is half of it.
    Units: m; result dimensionless.
    Range: a/D 0 to 0.4, q 0 to 0.8; the hole goes through both walls.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Pilkey, Peterson's Stress Concentration Factors (coefficients read).

    >>> round(transverse_hole_torsion_kt(hole_m=0.002, outer_m=0.020), 3)
    3.684
    """
    _domain.positive(outer_m=outer_m)
    _domain.non_negative(hole_m=hole_m, inner_m=inner_m)
    x, q = hole_m / outer_m, inner_m / outer_m
    _domain.between(*HOLE_RATIO_RANGE, "from 0 to 0.4", hole_over_outer=x)
    _domain.between(*BORE_RATIO_RANGE, "from 0 to 0.8", inner_over_outer=q)
    c2 = -6.055 + 3.184 * q - 3.461 * q**2
    c3 = 32.764 - 30.121 * q + 39.887 * q**2
    c4 = -38.33 + 51.542 * np.sqrt(q) - 27.483 * q
    return as_result(4 + c2 * x + c3 * x**2 + c4 * x**3)


@elementwise
def neuber_root_m(*, ultimate_pa: float, torsion: bool = False) -> float:
    """Length a of the notch sensitivity 1 / (1 + sqrt(a / r)) of steel.

    Formula: sqrt(a) = 0.246 - 3.08e-3 S + 1.51e-5 S^2 - 2.67e-8 S^3 in bending; in torsion
    0.190 - 2.51e-3 S + 1.35e-5 S^2 - 2.67e-8 S^3 (S in kpsi, sqrt(a) in sqrt(inch)).
    Units: Pa; result m (of a, not of its root).
    Range: S_ut 345 to 1725 MPa (50 to 250 kpsi), steel; where the fit turns negative (torsion above some
    1600 MPa) a is 0, the notch then counts in full. A case-hardened skin lies outside it.
    Raises: ValueError if the strength is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eqs. 6-35a, b (equation read).

    >>> round(math.sqrt(neuber_root_m(ultimate_pa=689.5e6) / 0.0254), 4)
    0.0623
    """
    low, high = NOTCH_STRENGTH_RANGE_PA
    _domain.between(low, high, "from 345e6 to 1725e6", ultimate_pa=ultimate_pa)
    s = ultimate_pa / _KPSI_PA
    c0, c1, c2 = (0.190, -2.51e-3, 1.35e-5) if torsion else (0.246, -3.08e-3, 1.51e-5)
    return as_result(np.maximum(c0 + c1 * s + c2 * s**2 - 2.67e-8 * s**3, 0.0) ** 2 * _INCH_M)


@elementwise
def notch_sensitivity_kf(*, kt: float, radius_m: float, ultimate_pa: float, torsion: bool = False) -> float:
    """Fatigue notch factor of steel from the elastic one.

    Formula: K_f = 1 + (K_t - 1) / (1 + sqrt(a / r)).
    Units: m, Pa; result dimensionless.
    Range: K_t >= 1, r > 0; strength as neuber_root_m.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eqs. 6-32 to 6-35 (equation read).

    >>> round(notch_sensitivity_kf(kt=1.65, radius_m=0.003, ultimate_pa=690e6), 2)
    1.55
    """
    _domain.positive(radius_m=radius_m)
    _domain.between(1.0, math.inf, "a finite number, 1 or greater", kt=kt)
    length = neuber_root_m(ultimate_pa=ultimate_pa, torsion=torsion)
    return as_result(1 + (kt - 1) / (1 + np.sqrt(length / radius_m)))


def _shoulder(large_m: float, small_m: float, radius_m: float, limits: tuple[float, float]) -> tuple[float, float]:
    """Return h/r and 2h/D of a shoulder, refusing one outside the range of the fit."""
    _domain.ring(large_m=large_m, small_m=small_m)
    _domain.positive(small_m=small_m, radius_m=radius_m)
    steep = (large_m - small_m) / 2 / radius_m
    low, high = limits
    # A shoulder drawn exactly at the limit must not be refused for the last binary digit.
    slack = 1e-9
    allowed = f"from {low:g} to {high:g}"
    _domain.between(low * (1 - slack), high * (1 + slack), allowed, shoulder_height_over_radius=steep)
    return steep, (large_m - small_m) / large_m


def _fit(rows: _Fit, steep: float, depth: float) -> np.float64 | NDArray[np.float64]:
    """Return sum of C_i depth^(i-1) with C_i = c0 + c1 sqrt(steep) + c2 steep."""
    root = np.sqrt(steep)
    first, second, third, fourth = (c0 + c1 * root + c2 * steep for c0, c1, c2 in rows)
    fitted: np.float64 | NDArray[np.float64] = first + depth * (second + depth * (third + depth * fourth))
    return fitted
