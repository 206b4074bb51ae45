"""At what speed a tube, or a shaft with masses on it, bows out.

All supports are pinned and rigid. Real ends give way: end mobility can cost 5 to 35 % of the speed,
shear and rotary inertia 1.2 to 1.5 % of a normal tube. What is computed here is an upper bound in use.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._constants import (
    STANDARD_GRAVITY_M_S2,
    STEEL_DENSITY_KG_M3,
    STEEL_YOUNGS_PA,
)
from beachmark.mechanics._domain import FloatArray

_LUMPS = 60  # lumps that stand for a shaft's own mass; the speed then lies within 0.1 % of the smooth one


@dataclass(frozen=True)
class CriticalSpeedBounds:
    """Critical speed of a loaded shaft [rad/s]: Dunkerley from below, Rayleigh from above."""

    dunkerley_rad_s: float
    rayleigh_rad_s: float


def flexural_rigidity_n_m2(*, outer_m: float, inner_m: float, youngs_pa: float = STEEL_YOUNGS_PA) -> float:
    """Bending stiffness E I of a round section.

    Formula: E pi (D^4 - d^4) / 64.
    Units: m, Pa; result N m^2.
    Range: 0 <= d < D; linear elastic.
    Raises: ValueError if an argument is not finite or out of range.
    Source: beam theory (any strength-of-materials text).

    >>> round(flexural_rigidity_n_m2(outer_m=0.02, inner_m=0.0, youngs_pa=200e9), 1)
    1570.8
    """
    _domain.ring(outer_m=outer_m, inner_m=inner_m)
    _domain.positive(youngs_pa=youngs_pa)
    return youngs_pa * math.pi / 64 * (outer_m**4 - inner_m**4)


def pinned_tube_critical_speed(
    *,
    outer_m: float,
    inner_m: float,
    length_m: float,
    youngs_pa: float = STEEL_YOUNGS_PA,
    density_kg_m3: float = STEEL_DENSITY_KG_M3,
) -> float:
    """First critical speed of a uniform tube pinned at both joint centres.

    Formula: (pi / L)^2 sqrt(E / rho) sqrt(D^2 + d^2) / 4.
    Units: m (L from joint centre to joint centre), Pa, kg/m^3; result rad/s.
    Range: 0 <= d < D, slender (L/D of 15 or more: at most 1.5 % high), no joint or slip mass, rigid ends.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Euler-Bernoulli beam, derived; inch constant 4.705e6 of the handbooks (from memory).

    >>> w = pinned_tube_critical_speed(outer_m=0.0889, inner_m=0.0889 - 2 * 0.00211, length_m=1.524)
    >>> round(w * 30 / math.pi, 1)
    6380.5
    """
    _domain.ring(outer_m=outer_m, inner_m=inner_m)
    _domain.positive(length_m=length_m, youngs_pa=youngs_pa, density_kg_m3=density_kg_m3)
    return (math.pi / length_m) ** 2 * math.sqrt(youngs_pa / density_kg_m3) * math.hypot(outer_m, inner_m) / 4


def speed_from_deflection(*, deflection_m: float, gravity_m_s2: float = STANDARD_GRAVITY_M_S2) -> float:
    """Critical speed of one mass on a light shaft, from its sag under its own weight.

    Formula: sqrt(g / delta).
    Units: m, m/s^2; result rad/s.
    Range: one mass, shaft mass neglected, deflection > 0.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: Ugural, Mechanical Design of Machine Components, Example 9.6 (relation read).

    >>> round(speed_from_deflection(deflection_m=1e-4), 1)
    313.2
    """
    _domain.positive(deflection_m=deflection_m, gravity_m_s2=gravity_m_s2)
    return math.sqrt(gravity_m_s2 / deflection_m)


def influence_coefficient(*, load_at_m: float, seen_at_m: float, length_m: float, rigidity_n_m2: float) -> float:
    """Deflection at one place of a pinned shaft for unit force at another.

    Formula: for x <= a: (L - a) x (L^2 - (L - a)^2 - x^2) / (6 E I L); a and x may change places.
    Units: m, N m^2; result m/N.
    Range: 0 <= a, x <= L; uniform section.
    Raises: ValueError if an argument is not finite or lies off the shaft.
    Source: beam theory; Shigley's Mechanical Engineering Design, Table A-9-6 (from memory).

    >>> round(influence_coefficient(load_at_m=0.5, seen_at_m=0.5, length_m=1.0, rigidity_n_m2=1.0) * 48, 9)
    1.0
    """
    _domain.positive(length_m=length_m, rigidity_n_m2=rigidity_n_m2)
    allowed = f"from 0 to length_m ({length_m:g})"
    _domain.between(0.0, length_m, allowed, load_at_m=load_at_m, seen_at_m=seen_at_m)
    places = np.array([load_at_m, seen_at_m])
    return float(_influence_matrix(places, length_m, rigidity_n_m2)[0, 1])


def equivalent_centre_load(*, load_n: float, position_m: float, length_m: float) -> float:
    """Load at mid span that lowers the critical speed as much as a load elsewhere does.

    Formula: w_c = w (delta at the load) / (delta at mid span) = 16 w a^2 (L - a)^2 / L^4.
    Units: N, m; result N.
    Range: pinned uniform shaft, 0 <= a <= L.
    Raises: ValueError if an argument is not finite or lies off the shaft.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5, p. 386 (read).

    >>> round(equivalent_centre_load(load_n=35.0, position_m=7.0, length_m=31.0), 1)
    17.1
    """
    _domain.finite(load_n=load_n)
    _domain.positive(length_m=length_m)
    _domain.between(0.0, length_m, f"from 0 to length_m ({length_m:g})", position_m=position_m)
    return 16 * load_n * (position_m * (length_m - position_m)) ** 2 / length_m**4


def dunkerley_speed(*, speeds_rad_s: ArrayLike) -> float:
    """Lower bound of the critical speed from those of each mass (and the bare shaft) alone.

    Formula: 1 / w^2 = sum of 1 / w_i^2.
    Units: rad/s.
    Range: each speed > 0; good when the first critical stands well apart from the second.
    Raises: ValueError if a speed is not finite or not greater than 0, or none is given.
    Source: Shigley's Mechanical Engineering Design, 9th ed., sec. 7-6 (from memory).

    >>> round(dunkerley_speed(speeds_rad_s=[300.0, 400.0]), 6)
    240.0
    """
    speeds = _domain.as_list(speeds_rad_s)
    _domain.same_length(speeds_rad_s=speeds)
    _domain.positive(speeds_rad_s=speeds)
    return float(1 / np.sqrt(np.sum(1 / speeds**2)))


def rayleigh_speed(
    *, loads_n: ArrayLike, deflections_m: ArrayLike, gravity_m_s2: float = STANDARD_GRAVITY_M_S2
) -> float:
    """Upper bound of the critical speed from the sag of the loaded shaft.

    Formula: w^2 = g sum(W y) / sum(W y^2).
    Units: N, m, m/s^2; result rad/s.
    Range: weights and deflections > 0, of the same static shape.
    Raises: ValueError if a value is not finite or not greater than 0, or the lists differ in length.
    Source: Shigley's Mechanical Engineering Design, 9th ed., sec. 7-6 (from memory).

    >>> round(rayleigh_speed(loads_n=[100.0], deflections_m=[1e-4]), 1)
    313.2
    """
    loads, sag = _domain.as_list(loads_n), _domain.as_list(deflections_m)
    _domain.same_length(loads_n=loads, deflections_m=sag)
    _domain.positive(loads_n=loads, deflections_m=sag, gravity_m_s2=gravity_m_s2)
    return float(np.sqrt(gravity_m_s2 * np.sum(loads * sag) / np.sum(loads * sag**2)))


def shaft_with_masses(
    *,
    masses_kg: ArrayLike,
    positions_m: ArrayLike,
    length_m: float,
    rigidity_n_m2: float,
    mass_per_length_kg_m: float = 0.0,
) -> CriticalSpeedBounds:
    """Critical speed of a pinned uniform shaft that carries masses, between two bounds.

    Formula: Dunkerley with each mass alone and the bare shaft; Rayleigh with the static sag, the
    shaft's own mass in equal lumps.
    Units: kg, m, N m^2, kg/m; result rad/s.
    Range: masses > 0, strictly inside the span; slender shaft; rigid pins.
    Raises: ValueError if a value is not finite or out of range, or the lists differ in length.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5 (method; inputs read).

    >>> bounds = shaft_with_masses(masses_kg=[1.0], positions_m=[0.3], length_m=0.6, rigidity_n_m2=1570.8)
    >>> round(bounds.dunkerley_rad_s, 2), round(bounds.rayleigh_rad_s, 2)
    (590.82, 590.82)
    """
    masses, positions = _domain.as_list(masses_kg), _domain.as_list(positions_m)
    _domain.same_length(masses_kg=masses, positions_m=positions)
    _domain.positive(masses_kg=masses, length_m=length_m, rigidity_n_m2=rigidity_n_m2)
    _domain.non_negative(mass_per_length_kg_m=mass_per_length_kg_m)
    inside = math.nextafter(length_m, 0.0)
    _domain.between(math.ulp(0.0), inside, f"between 0 and length_m ({length_m:g})", positions_m=positions)
    alone = 1 / np.sqrt(masses * np.diag(_influence_matrix(positions, length_m, rigidity_n_m2)))
    if mass_per_length_kg_m > 0:
        bare = (math.pi / length_m) ** 2 * math.sqrt(rigidity_n_m2 / mass_per_length_kg_m)
        lumps = (np.arange(_LUMPS) + 0.5) * length_m / _LUMPS
        alone = np.append(alone, bare)
        positions = np.append(positions, lumps)
        masses = np.append(masses, np.full(_LUMPS, mass_per_length_kg_m * length_m / _LUMPS))
    weights = masses * STANDARD_GRAVITY_M_S2
    sag = _influence_matrix(positions, length_m, rigidity_n_m2) @ weights
    return CriticalSpeedBounds(
        dunkerley_rad_s=dunkerley_speed(speeds_rad_s=alone),
        rayleigh_rad_s=rayleigh_speed(loads_n=weights, deflections_m=sag),
    )


def bounce_speed(*, stiffness_n_m: float, mass_kg: float) -> float:
    """Speed at which a rigid mass on its elastic support (a centre bearing's rubber) resonates.

    Formula: sqrt(k / m).
    Units: N/m, kg; result rad/s.
    Range: one rigid mass, light damping; to be looked at apart from the bending critical.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: single-mass vibration (any vibration text), derived.

    >>> bounce_speed(stiffness_n_m=400_000.0, mass_kg=10.0)
    200.0
    """
    _domain.positive(stiffness_n_m=stiffness_n_m, mass_kg=mass_kg)
    return math.sqrt(stiffness_n_m / mass_kg)


def _influence_matrix(positions: FloatArray, length_m: float, rigidity_n_m2: float) -> FloatArray:
    """Return the deflection at each place for unit force at each place [m/N]."""
    x, a = np.minimum.outer(positions, positions), np.maximum.outer(positions, positions)
    rest = length_m - a
    matrix: FloatArray = rest * x * (length_m**2 - rest**2 - x**2) / (6 * rigidity_n_m2 * length_m)
    return matrix
