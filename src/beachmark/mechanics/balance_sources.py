"""Where unbalance comes from, how several sources add, and what they do to the supports.

Radial offsets of a mass are half of what a dial shows in a turn, and half of a play or a clearance across.
All rules are those of a rigid rotor (see balance).
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics import _domain


@dataclass(frozen=True)
class CombinedUnbalance:
    """Unbalance of several sources [kg m]: all in one direction, at chance angles, and which is the greatest."""

    worst_kg_m: float
    root_sum_square_kg_m: float
    greatest: str


@_domain.elementwise
def runout_unbalance_kg_m(*, mass_kg: float, runout_m: float, mass_share: float = 1.0) -> float:
    """Unbalance of a tube that runs out.

    Formula: U = m s R / 2; R the full reading of the dial in one turn, s the share of the mass that is off.
    Units: kg, m; share dimensionless; result kg m.
    Range: all >= 0, share above 0 to 1. A tube bowed as a half sine and read at mid-length: s = 2 / pi.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition of unbalance, ISO 21940-2 (from memory); reading of a dial, derived.

    >>> round(runout_unbalance_kg_m(mass_kg=30.0, runout_m=2e-4) * 1e6)
    3000
    """
    return _off_centre(mass_kg, mass_share, runout_m=runout_m)


@_domain.elementwise
def pilot_unbalance_kg_m(
    *, mass_kg: float, mass_share: float, pilot_runout_m: float, pilot_clearance_m: float
) -> float:
    """Unbalance of a shaft that sits off centre on its flange pilot.

    Formula: U = m s (R + c) / 2; R full reading of the pilot's runout, c clearance across the pilot.
    Units: kg, m; share dimensionless; result kg m.
    Range: all >= 0, share of the mass on that end (a half for one flange of an even shaft) above 0 to 1.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition of unbalance, ISO 21940-2 (from memory); geometry, derived.

    >>> round(pilot_unbalance_kg_m(mass_kg=40.0, mass_share=0.5, pilot_runout_m=4e-5, pilot_clearance_m=6e-5) * 1e6)
    1000
    """
    return _off_centre(mass_kg, mass_share, pilot_runout_m=pilot_runout_m, pilot_clearance_m=pilot_clearance_m)


@_domain.elementwise
def joint_play_unbalance_kg_m(*, mass_kg: float, mass_share: float, end_play_m: float) -> float:
    """Unbalance of a shaft that has room along the arms of its cross.

    Formula: U = m s p / 2; p the whole end play.
    Units: kg, m; share dimensionless; result kg m.
    Range: all >= 0, share of the mass that hangs on that joint above 0 to 1. The angle is not fixed: it can
    change from one start to the next.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition of unbalance, ISO 21940-2 (from memory); geometry, derived.

    >>> round(joint_play_unbalance_kg_m(mass_kg=40.0, mass_share=0.5, end_play_m=1e-4) * 1e6)
    1000
    """
    return _off_centre(mass_kg, mass_share, end_play_m=end_play_m)


@_domain.elementwise
def spline_unbalance_kg_m(*, mass_kg: float, mass_share: float, clearance_m: float) -> float:
    """Unbalance of a slip member that is loose across its spline.

    Formula: U = m s c / 2; c the clearance across (greatest less least position of the member).
    Units: kg, m; share dimensionless; result kg m.
    Range: all >= 0, share of the mass that can move above 0 to 1. Under torque the flanks centre the member: this
    is the coasting or unloaded state.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition of unbalance, ISO 21940-2 (from memory); geometry, derived.

    >>> round(spline_unbalance_kg_m(mass_kg=50.0, mass_share=0.4, clearance_m=2e-4) * 1e6)
    2000
    """
    return _off_centre(mass_kg, mass_share, clearance_m=clearance_m)


@_domain.elementwise
def lost_weight_unbalance_kg_m(*, weight_kg: float, radius_m: float) -> float:
    """Unbalance that a lost balance weight leaves.

    Formula: U = m_w r.
    Units: kg, m; result kg m.
    Range: both >= 0; radius to the middle of the weight. It comes on top of what the weight had left.
    Raises: ValueError if an argument is not finite or negative.
    Source: definition of unbalance, ISO 21940-2 (from memory).

    >>> round(lost_weight_unbalance_kg_m(weight_kg=0.03, radius_m=0.065) * 1e6)
    1950
    """
    _domain.non_negative(weight_kg=weight_kg, radius_m=radius_m)
    return _domain.as_result(np.multiply(weight_kg, radius_m))


def combined_unbalance(*, sources_kg_m: Mapping[str, float]) -> CombinedUnbalance:
    """Several sources together: worst case, at chance angles, and the greatest one.

    Formula: sum U_i; sqrt(sum U_i^2), the root mean square over all angles.
    Units: kg m.
    Range: at least one source, none below 0; all taken in one plane. At chance angles more than a third of
    all shafts still exceed the root sum square: it is a mean, no bound.
    Raises: ValueError if there is no source or one is not finite or negative.
    Source: sum of vectors at independent angles, derived.

    >>> combined_unbalance(sources_kg_m={"runout": 0.003, "lost weight": 0.004}).greatest
    'lost weight'
    """
    if not sources_kg_m:
        raise ValueError("sources_kg_m is empty; it must hold at least one source.")
    _domain.non_negative(**{f"sources_kg_m of {name}": value for name, value in sources_kg_m.items()})
    values = list(sources_kg_m.values())
    return CombinedUnbalance(
        worst_kg_m=math.fsum(values),
        root_sum_square_kg_m=math.hypot(*values),
        greatest=max(sources_kg_m, key=lambda name: sources_kg_m[name]),
    )


@_domain.elementwise
def support_force_n(*, unbalance_kg_m: float, speed_rad_s: float, position_m: float, span_m: float) -> float:
    """Turning force on one support of a shaft from an unbalance between or beyond its supports.

    Formula: F = U w^2 |1 - x / L|; x from this support to the unbalance, L to the other support.
    Units: kg m, rad/s, m; result N (amplitude, once per turn).
    Range: U >= 0, L > 0; x may be negative or above L (overhung). Rigid shaft, well below critical speed.
    Raises: ValueError if an argument is not finite or out of range.
    Source: statics, derived.

    >>> round(support_force_n(unbalance_kg_m=0.003, speed_rad_s=314.159, position_m=0.75, span_m=1.5))
    148
    """
    _domain.non_negative(unbalance_kg_m=unbalance_kg_m)
    _domain.positive(span_m=span_m)
    _domain.finite(speed_rad_s=speed_rad_s, position_m=position_m)
    share = np.abs(1 - np.divide(position_m, span_m))
    return _domain.as_result(np.asarray(unbalance_kg_m) * np.square(speed_rad_s) * share)


@_domain.elementwise
def grade_of_unbalance_m_s(*, unbalance_kg_m: float, mass_kg: float, speed_rad_s: float) -> float:
    """Balance quality grade that an unbalance amounts to.

    Formula: G = e w = U w / m.
    Units: kg m, kg, rad/s; result m/s (G 16 is 0.016 m/s).
    Range: U >= 0, m and w > 0; rigid rotor.
    Raises: ValueError if an argument is not finite or out of range.
    Source: ISO 21940-11, cl. 6 (relation read).

    >>> round(grade_of_unbalance_m_s(unbalance_kg_m=3.667e-3, mass_kg=60.0, speed_rad_s=261.799) * 1e3, 2)
    16.0
    """
    _domain.non_negative(unbalance_kg_m=unbalance_kg_m)
    _domain.positive(mass_kg=mass_kg, speed_rad_s=speed_rad_s)
    return _domain.as_result(np.divide(unbalance_kg_m, mass_kg) * speed_rad_s)


@_domain.elementwise
def ratio_to_permissible(*, unbalance_kg_m: float, mass_kg: float, speed_rad_s: float, grade_m_s: float) -> float:
    """How many times the permissible unbalance of a grade an unbalance is.

    Formula: U w / (m G).
    Units: kg m, kg, rad/s, m/s; result dimensionless.
    Range: U >= 0, the others > 0; rigid rotor; U of the whole shaft.
    Raises: ValueError if an argument is not finite or out of range.
    Source: ISO 21940-11, cl. 6 (relation read).

    >>> round(ratio_to_permissible(unbalance_kg_m=7.334e-3, mass_kg=60.0, speed_rad_s=261.799, grade_m_s=0.016), 2)
    2.0
    """
    _domain.positive(grade_m_s=grade_m_s)
    found = grade_of_unbalance_m_s(unbalance_kg_m=unbalance_kg_m, mass_kg=mass_kg, speed_rad_s=speed_rad_s)
    return _domain.as_result(np.divide(found, grade_m_s))


def _off_centre(mass_kg: float, mass_share: float, **across_m: float) -> float:
    """Unbalance of a share of a mass that is off centre by half of the sum of the given widths."""
    _domain.non_negative(mass_kg=mass_kg, **across_m)
    _domain.fraction(mass_share=mass_share)
    offset = sum(np.asarray(width) for width in across_m.values()) / 2
    return _domain.as_result(np.multiply(mass_kg, mass_share) * offset)
