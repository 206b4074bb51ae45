"""Yield, full plasticity, twist and buckling of a round tube or bar in torsion."""

import math

import numpy as np

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import as_result, elementwise

MISES_SHEAR_RATIO = 1 / math.sqrt(3)
SP_8007_KNOCK_DOWN = 0.67  # from memory; covers the scatter of tests on thin cylinders


@elementwise
def polar_moment_m4(*, outer_m: float, inner_m: float = 0.0) -> float:
    """Polar second moment of area of a ring.

    Formula: J = pi (D^4 - d^4) / 32.
    Units: m; result m^4.
    Range: 0 <= d < D.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, ch. 3 (from memory).

    >>> f"{polar_moment_m4(outer_m=0.1, inner_m=0.09):.4e}"
    '3.3762e-06'
    """
    _domain.ring(outer_m=outer_m, inner_m=inner_m)
    return math.pi / 32 * (outer_m**4 - inner_m**4)


@elementwise
def shear_stress_pa(*, torque_nm: float, outer_m: float, inner_m: float = 0.0) -> float:
    """Shear stress at the outer surface.

    Formula: T D / (2 J).
    Units: N m, m; result Pa, magnitude.
    Range: 0 <= d < D; elastic; away from welds, splines and holes.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, ch. 3 (from memory).

    >>> round(shear_stress_pa(torque_nm=1000.0, outer_m=0.1, inner_m=0.09) / 1e6, 2)
    14.81
    """
    _domain.finite(torque_nm=torque_nm)
    return abs(torque_nm) * outer_m / 2 / polar_moment_m4(outer_m=outer_m, inner_m=inner_m)


@elementwise
def shear_yield_pa(*, yield_pa: float) -> float:
    """Shear yield stress from the tensile yield stress.

    Formula: S_y / sqrt(3) = 0.577 S_y.
    Units: Pa.
    Range: ductile metal.
    Raises: ValueError if the stress is not finite or not greater than 0.
    Source: von Mises; Shigley's Mechanical Engineering Design, ch. 5 (from memory).

    >>> round(shear_yield_pa(yield_pa=450e6) / 1e6, 1)
    259.8
    """
    _domain.positive(yield_pa=yield_pa)
    return yield_pa * MISES_SHEAR_RATIO


@elementwise
def yield_torque_nm(*, shear_yield_pa: float, outer_m: float, inner_m: float = 0.0) -> float:
    """Torque at which the outer surface begins to yield.

    Formula: T_Y = tau_y J / (D / 2).
    Units: Pa, m; result N m.
    Range: 0 <= d < D; no buckling before yield (wall not too thin).
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, Sample Problem 3.7 (from memory).

    >>> round(yield_torque_nm(shear_yield_pa=30e6, outer_m=0.04, inner_m=0.025), 1)
    319.5
    """
    _domain.positive(shear_yield_pa=shear_yield_pa)
    return shear_yield_pa * polar_moment_m4(outer_m=outer_m, inner_m=inner_m) / (outer_m / 2)


@elementwise
def plastic_torque_nm(*, shear_yield_pa: float, outer_m: float, inner_m: float = 0.0) -> float:
    """Torque at which the whole wall yields.

    Formula: T_P = (pi / 12) tau_y (D^3 - d^3).
    Units: Pa, m; result N m.
    Range: 0 <= d < D; elastic - ideally plastic; no buckling before.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, Sample Problem 3.7 (from memory).

    >>> round(plastic_torque_nm(shear_yield_pa=30e6, outer_m=0.04, inner_m=0.025), 1)
    379.9
    """
    _domain.positive(shear_yield_pa=shear_yield_pa)
    _domain.ring(outer_m=outer_m, inner_m=inner_m)
    return math.pi / 12 * shear_yield_pa * (outer_m**3 - inner_m**3)


@elementwise
def twist_rad(
    *, torque_nm: float, length_m: float, shear_modulus_pa: float, outer_m: float, inner_m: float = 0.0
) -> float:
    """Elastic twist of a length of tube.

    Formula: T L / (G J).
    Units: N m, m, Pa; result rad, with the sign of the torque.
    Range: below the yield torque.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, ch. 3 (from memory).

    >>> phi = twist_rad(torque_nm=319.47, length_m=1.0, shear_modulus_pa=40e9, outer_m=0.04, inner_m=0.025)
    >>> round(math.degrees(phi), 2)
    2.15
    """
    _domain.finite(torque_nm=torque_nm)
    return torque_nm / torsional_stiffness_nm_rad(
        length_m=length_m, shear_modulus_pa=shear_modulus_pa, outer_m=outer_m, inner_m=inner_m
    )


@elementwise
def torsional_stiffness_nm_rad(
    *, length_m: float, shear_modulus_pa: float, outer_m: float, inner_m: float = 0.0
) -> float:
    """Torque per twist of a length of tube.

    Formula: G J / L.
    Units: m, Pa; result N m/rad.
    Range: elastic; 0 <= d < D.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, ch. 3 (from memory).

    >>> k = torsional_stiffness_nm_rad(length_m=1.9, shear_modulus_pa=80e9, outer_m=0.127, inner_m=0.1143)
    >>> round(k, -2)
    369800.0
    """
    _domain.positive(length_m=length_m, shear_modulus_pa=shear_modulus_pa)
    return shear_modulus_pa * polar_moment_m4(outer_m=outer_m, inner_m=inner_m) / length_m


@elementwise
def yielded_twist_rad(
    *, shear_yield_pa: float, length_m: float, shear_modulus_pa: float, elastic_radius_m: float
) -> float:
    """Twist when everything outside one radius has yielded (the core inside it is still elastic).

    Formula: tau_y L / (G rho); with rho the inner radius of a tube: twist at full plasticity.
    Units: Pa, m; result rad.
    Range: rho > 0 and not above the outer radius; elastic - ideally plastic.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: Beer & Johnston, Mechanics of Materials, Sample Problem 3.7 (from memory).

    >>> phi = yielded_twist_rad(shear_yield_pa=30e6, length_m=1.0, shear_modulus_pa=40e9,
    ...                         elastic_radius_m=0.0125)
    >>> round(math.degrees(phi), 3)
    3.438
    """
    _domain.positive(
        shear_yield_pa=shear_yield_pa,
        length_m=length_m,
        shear_modulus_pa=shear_modulus_pa,
        elastic_radius_m=elastic_radius_m,
    )
    return shear_yield_pa * length_m / (shear_modulus_pa * elastic_radius_m)


@elementwise
def elastic_core_radius_m(*, torque_nm: float, shear_yield_pa: float, outer_m: float) -> float:
    """Radius of the core of a solid bar that is still elastic.

    Formula: T = (4/3) T_Y (1 - rho^3 / (4 c^3)), solved for rho.
    Units: N m, Pa, m; result m.
    Range: solid bar; from the yield torque to the plastic torque (4/3 of it).
    Raises: ValueError if an argument is not finite or the torque is outside that range.
    Source: Beer & Johnston, Mechanics of Materials, Example 3.08 (from memory).

    >>> round(elastic_core_radius_m(torque_nm=4600.0, shear_yield_pa=150e6, outer_m=0.05) * 1e3, 1)
    15.8
    """
    first = yield_torque_nm(shear_yield_pa=shear_yield_pa, outer_m=outer_m)
    allowed = "from the yield torque ({low:g}) to the plastic torque ({high:g})"
    _domain.between(first, 4 / 3 * first, allowed, torque_nm=torque_nm)
    return as_result(outer_m / 2 * np.cbrt(np.maximum(4 - 3 * torque_nm / first, 0.0)))


@elementwise
def buckling_stress_long_tube_pa(*, outer_m: float, wall_m: float, youngs_pa: float, poisson: float = 0.3) -> float:
    """Shear stress at which a long thin tube would buckle elastically in torsion.

    Formula: E (t/r)^1.5 / (3 sqrt2 (1 - nu^2)^0.75), r to mid wall.
    Units: m, Pa; result Pa.
    Range: long tube, thin wall (t < D/2); real only where it lies below the shear yield stress.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Timoshenko & Gere, Theory of Elastic Stability (from memory).

    >>> round(buckling_stress_long_tube_pa(outer_m=0.127, wall_m=0.0032, youngs_pa=207e9) / 1e6, 1)
    615.5
    """
    radius = _mid_radius(outer_m, wall_m)
    _domain.positive(youngs_pa=youngs_pa)
    _domain.between(0.0, 0.5, "from 0 to 0.5", poisson=poisson)
    return as_result(youngs_pa * (wall_m / radius) ** 1.5 / (3 * math.sqrt(2) * (1 - poisson**2) ** 0.75))


@elementwise
def buckling_stress_sp_8007_pa(
    *,
    outer_m: float,
    wall_m: float,
    length_m: float,
    youngs_pa: float,
    knock_down: float = SP_8007_KNOCK_DOWN,
) -> float:
    """Shear stress at which a cylinder of moderate length buckles in torsion, with knock-down.

    Formula: knock-down x 0.747 E / ((r/t)^(5/4) (L/r)^(1/2)), r to mid wall.
    Units: m, Pa; result Pa.
    Range: thin wall, moderate length; real only where it lies below the shear yield stress.
    Raises: ValueError if an argument is not finite or out of range.
    Source: NASA SP-8007 (the document is known; formula and 0.67 from memory).

    >>> tau = buckling_stress_sp_8007_pa(outer_m=0.127, wall_m=0.0032, length_m=1.9, youngs_pa=207e9)
    >>> round(tau / 1e6)
    461
    """
    radius = _mid_radius(outer_m, wall_m)
    _domain.positive(length_m=length_m, youngs_pa=youngs_pa)
    _domain.fraction(knock_down=knock_down)
    slender = (radius / wall_m) ** 1.25 * np.sqrt(length_m / radius)
    return as_result(knock_down * 0.747 * youngs_pa / slender)


def _mid_radius(outer_m: float, wall_m: float) -> float:
    """Return the radius to mid wall, refusing a wall that fills the tube."""
    _domain.positive(wall_m=wall_m, outer_m=outer_m)
    _domain.less_than("half of outer_m", outer_m / 2, wall_m=wall_m)
    return (outer_m - wall_m) / 2
