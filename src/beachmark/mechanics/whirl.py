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
from beachmark.mechanics._domain import FloatArray, as_result, elementwise, elementwise_record

_LUMPS = 60  # lumps that stand for a shaft's own mass; the speed then lies within 0.1 % of the smooth one


@dataclass(frozen=True)
class CriticalSpeedBounds:
    """Critical speed of a loaded shaft [rad/s]: Dunkerley from below, Rayleigh from above."""

    dunkerley_rad_s: float
    rayleigh_rad_s: float


@elementwise
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


@elementwise
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
    still = (math.pi / length_m) ** 2 * np.sqrt(youngs_pa / density_kg_m3)
    return as_result(still * np.hypot(outer_m, inner_m) / 4)


@elementwise
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
    return as_result(np.sqrt(gravity_m_s2 / deflection_m))


@elementwise
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
    _domain.between(0.0, length_m, "from 0 to length_m ({high:g})", load_at_m=load_at_m, seen_at_m=seen_at_m)
    return as_result(_deflection(load_at_m, seen_at_m, length_m, rigidity_n_m2))


@elementwise
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
    _domain.between(0.0, length_m, "from 0 to length_m ({high:g})", position_m=position_m)
    return 16 * load_n * (position_m * (length_m - position_m)) ** 2 / length_m**4


def dunkerley_speed(*, speeds_rad_s: ArrayLike) -> float:
    """Lower bound of the critical speed from those of each mass (and the bare shaft) alone.

    Formula: 1 / w^2 = sum of 1 / w_i^2.
    Units: rad/s. The sum runs over the last axis.
    Range: each speed > 0; good when the first critical stands well apart from the second.
    Raises: ValueError if a speed is not finite or not greater than 0, or none is given.
    Source: Shigley's Mechanical Engineering Design, 9th ed., sec. 7-6 (from memory).

    >>> round(dunkerley_speed(speeds_rad_s=[300.0, 400.0]), 6)
    240.0
    """
    speeds = _domain.as_list(speeds_rad_s)
    _domain.same_last_length(speeds_rad_s=speeds)
    _domain.positive(speeds_rad_s=speeds)
    return as_result(1 / np.sqrt(np.sum(1 / speeds**2, axis=-1)))


@elementwise
def rayleigh_speed(
    *, loads_n: ArrayLike, deflections_m: ArrayLike, gravity_m_s2: float = STANDARD_GRAVITY_M_S2
) -> float:
    """Upper bound of the critical speed from the sag of the loaded shaft.

    Formula: w^2 = g sum(W y) / sum(W y^2).
    Units: N, m, m/s^2; result rad/s. The sums run over the last axis.
    Range: weights and deflections > 0, of the same static shape.
    Raises: ValueError if a value is not finite or not greater than 0, or the lists differ in length.
    Source: Shigley's Mechanical Engineering Design, 9th ed., sec. 7-6 (from memory).

    >>> round(rayleigh_speed(loads_n=[100.0], deflections_m=[1e-4]), 1)
    313.2
    """
    loads, sag = _domain.as_list(loads_n), _domain.as_list(deflections_m)
    _domain.same_last_length(loads_n=loads, deflections_m=sag)
    _domain.positive(loads_n=loads, deflections_m=sag, gravity_m_s2=gravity_m_s2)
    return as_result(_rayleigh(loads, sag, gravity_m_s2))


@elementwise_record
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
    Units: kg, m, N m^2, kg/m; result rad/s. Several shafts at once: the masses lie along the last axis.
    Range: masses > 0, strictly inside the span; slender shaft; rigid pins.
    Raises: ValueError if a value is not finite or out of range, or the lists differ in length.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5 (method; inputs read).

    >>> bounds = shaft_with_masses(masses_kg=[1.0], positions_m=[0.3], length_m=0.6, rigidity_n_m2=1570.8)
    >>> round(bounds.dunkerley_rad_s, 2), round(bounds.rayleigh_rad_s, 2)
    (590.82, 590.82)
    """
    masses, positions = _domain.as_list(masses_kg), _domain.as_list(positions_m)
    _domain.same_last_length(masses_kg=masses, positions_m=positions)
    _domain.positive(masses_kg=masses, length_m=length_m, rigidity_n_m2=rigidity_n_m2)
    _domain.non_negative(mass_per_length_kg_m=mass_per_length_kg_m)
    # One more axis than the shaft's own data have: along the masses, or the lumps.
    length, rigidity, own = (
        _domain.as_list(x)[..., np.newaxis] for x in (length_m, rigidity_n_m2, mass_per_length_kg_m)
    )
    inside = np.nextafter(length, 0.0)
    _domain.between(math.ulp(0.0), inside, "between 0 and length_m ({high:g})", positions_m=positions)
    alone = masses * _deflection(positions, positions, length, rigidity)
    bare = (length / math.pi) ** 4 * own / rigidity
    places = _joined(positions, (np.arange(_LUMPS) + 0.5) * length / _LUMPS)
    weights = _joined(masses, np.ones(_LUMPS) * own * length / _LUMPS) * STANDARD_GRAVITY_M_S2
    influence = _deflection(
        places[..., np.newaxis, :], places[..., np.newaxis], length[..., np.newaxis], rigidity[..., np.newaxis]
    )
    sag = np.sum(influence * weights[..., np.newaxis, :], axis=-1)
    return CriticalSpeedBounds(
        dunkerley_rad_s=as_result(1 / np.sqrt(np.sum(_joined(alone, bare), axis=-1))),
        rayleigh_rad_s=as_result(_rayleigh(weights, sag, STANDARD_GRAVITY_M_S2)),
    )


@elementwise
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
    return as_result(np.sqrt(stiffness_n_m / mass_kg))


def _deflection(load_at: ArrayLike, seen_at: ArrayLike, length: ArrayLike, rigidity: ArrayLike) -> FloatArray:
    """Return the deflection at one place for unit force at another [m/N]."""
    x, a = np.minimum(load_at, seen_at), np.maximum(load_at, seen_at)
    span = _domain.as_list(length)
    rest = span - a
    deflection: FloatArray = rest * x * (span**2 - rest**2 - x**2) / (6 * _domain.as_list(rigidity) * span)
    return deflection


def _rayleigh(loads: FloatArray, sag: FloatArray, gravity_m_s2: ArrayLike) -> FloatArray:
    """Return the speed from the sag; a lump without weight is none."""
    speed: FloatArray = np.sqrt(gravity_m_s2 * np.sum(loads * sag, axis=-1) / np.sum(loads * sag**2, axis=-1))
    return speed


def _joined(first: FloatArray, second: FloatArray) -> FloatArray:
    """Return two lists, or batches of lists, one after the other along the last axis."""
    batch = np.broadcast_shapes(first.shape[:-1], second.shape[:-1])
    parts = [np.broadcast_to(part, (*batch, part.shape[-1])) for part in (first, second)]
    return np.concatenate(parts, axis=-1)
