"""How much unbalance is allowed and what force it makes.

The rules are those of a rigid rotor. A drive shaft counts as one below about 0.7 of its critical speed
(common practice, no source).
"""

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import elementwise, elementwise_record


@elementwise
def permissible_eccentricity_m(*, grade_m_s: float, speed_rad_s: float) -> float:
    """Offset of the mass centre that a balance quality grade allows.

    Formula: e = G / w.
    Units: grade m/s (G 16 is 0.016 m/s), rad/s; result m.
    Range: rigid rotor; G > 0, w > 0.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: ISO 21940-11, cl. 6 (relation read).

    >>> round(permissible_eccentricity_m(grade_m_s=0.0063, speed_rad_s=314.159) * 1e6, 2)
    20.05
    """
    _domain.positive(grade_m_s=grade_m_s, speed_rad_s=speed_rad_s)
    return grade_m_s / speed_rad_s


@elementwise
def permissible_unbalance_kg_m(*, mass_kg: float, grade_m_s: float, speed_rad_s: float) -> float:
    """Unbalance that a balance quality grade allows for the whole rotor.

    Formula: U = m G / w.
    Units: kg, m/s, rad/s; result kg m (1 kg m = 1e6 g mm).
    Range: rigid rotor; all > 0.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: ISO 21940-11, cl. 6 (relation read).

    >>> u = permissible_unbalance_kg_m(mass_kg=60.0, grade_m_s=0.016, speed_rad_s=2500 * 3.14159265 / 30)
    >>> round(u * 1e6)
    3667
    """
    _domain.positive(mass_kg=mass_kg)
    return mass_kg * permissible_eccentricity_m(grade_m_s=grade_m_s, speed_rad_s=speed_rad_s)


@elementwise_record
def plane_shares_kg_m(*, unbalance_kg_m: float, distance_a_m: float, distance_b_m: float) -> tuple[float, float]:
    """Share of the permissible unbalance at plane A and at plane B.

    Formula: U_A = U b / (a + b), U_B = U a / (a + b), a and b from the mass centre to the planes.
    Units: kg m, m; result kg m.
    Range: mass centre between the planes (or in one of them).
    Raises: ValueError if an argument is not finite or out of range.
    Source: ISO 1940-1:2003 / ISO 21940-11, annex example (from memory).

    >>> plane_shares_kg_m(unbalance_kg_m=0.004, distance_a_m=1.0, distance_b_m=3.0)
    (0.003, 0.001)
    """
    _domain.non_negative(unbalance_kg_m=unbalance_kg_m, distance_a_m=distance_a_m, distance_b_m=distance_b_m)
    span = distance_a_m + distance_b_m
    _domain.positive(distance_between_planes_m=span)
    return unbalance_kg_m * distance_b_m / span, unbalance_kg_m * distance_a_m / span


@elementwise
def unbalance_from_runout_kg_m(*, mass_kg: float, eccentricity_m: float) -> float:
    """Unbalance of a mass that runs off centre.

    Formula: U = m e (e is half of the dial reading of the runout; half of the play of a loose joint).
    Units: kg, m; result kg m.
    Range: rigid; m >= 0, e >= 0.
    Raises: ValueError if an argument is not finite or negative.
    Source: definition of unbalance, ISO 21940-2 (from memory).

    >>> round(unbalance_from_runout_kg_m(mass_kg=30.0, eccentricity_m=1e-4), 6)
    0.003
    """
    _domain.non_negative(mass_kg=mass_kg, eccentricity_m=eccentricity_m)
    return mass_kg * eccentricity_m


@elementwise
def unbalance_force_n(*, unbalance_kg_m: float, speed_rad_s: float) -> float:
    """Force that turns with the shaft.

    Formula: F = U w^2.
    Units: kg m, rad/s; result N.
    Range: rigid rotor; U >= 0.
    Raises: ValueError if an argument is not finite or U is negative.
    Source: elementary dynamics.

    >>> round(unbalance_force_n(unbalance_kg_m=0.003, speed_rad_s=314.159), 1)
    296.1
    """
    _domain.non_negative(unbalance_kg_m=unbalance_kg_m)
    _domain.finite(speed_rad_s=speed_rad_s)
    return unbalance_kg_m * speed_rad_s**2
