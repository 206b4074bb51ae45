"""Stress in the teeth and the root of a spline."""

import math
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import as_result, elementwise

# Torque cycles (starts, or reversals) and the fatigue life factor for one-way and for reversed torque.
FATIGUE_FACTORS: tuple[tuple[float, float, float], ...] = (
    (1e3, 1.8, 1.8),
    (1e4, 1.0, 1.0),
    (1e5, 0.5, 0.4),
    (1e6, 0.4, 0.3),
    (1e7, 0.3, 0.2),
)


@dataclass(frozen=True)
class StraightSidedFit:
    """Proportions of an SAE straight-sided spline as shares of its large diameter."""

    teeth: int
    tooth_height_share: float
    small_diameter_share: float


@elementwise
def fatigue_factor(*, torque_cycles: float, reversed_torque: bool) -> float:
    """Fatigue life factor K_f of a spline, from the next higher tabulated number of cycles.

    Formula: table 1.8 1.0 .5 .4 .3 (one way) or 1.8 1.0 .4 .3 .2 (reversed) at 1e3 .. 1e7 cycles; no
    interpolation, so that the smaller (safer) factor holds between two entries.
    Units: full torque cycles (count); result dimensionless.
    Range: 0 < cycles <= 1e7.
    Raises: ValueError if the count is not finite or out of range.
    Source: Machinery's Handbook, 27th ed., p. 2172, Table 9, after Dudley (read).

    >>> fatigue_factor(torque_cycles=2e5, reversed_torque=True)
    0.3
    """
    _domain.between(math.ulp(0.0), 1e7, "greater than 0 and at most 1e7", torque_cycles=torque_cycles)
    cycles, one_way, both_ways = np.array(FATIGUE_FACTORS).T
    row = np.searchsorted(cycles, torque_cycles)
    return as_result(np.where(reversed_torque, both_ways[row], one_way[row]))


@elementwise
def root_shear_pa(
    *,
    torque_nm: float,
    root_diameter_m: float,
    bore_m: float = 0.0,
    application_factor: float = 1.0,
    fatigue_life_factor: float = 1.0,
) -> float:
    """Shear stress of the shaft under the spline teeth, to be held against the allowable.

    Formula: 16 T D K_a / (pi (D^4 - d^4) K_f), D the minor diameter of the external spline.
    Units: N m, m; result Pa, magnitude.
    Range: 0 <= d < D, factors > 0. K_f carries the fatigue; no notch factor is in it.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Machinery's Handbook, involute splines, after Dudley (formula read).

    >>> round(root_shear_pa(torque_nm=10_000.0, root_diameter_m=0.06) / 1e6, 1)
    235.8
    """
    _domain.finite(torque_nm=torque_nm)
    _domain.ring(root_diameter_m=root_diameter_m, bore_m=bore_m)
    _domain.positive(application_factor=application_factor, fatigue_life_factor=fatigue_life_factor)
    section = math.pi * (root_diameter_m**4 - bore_m**4)
    return 16 * abs(torque_nm) * root_diameter_m * application_factor / (section * fatigue_life_factor)


@elementwise
def pitch_line_shear_pa(
    *,
    torque_nm: float,
    pitch_diameter_m: float,
    teeth: int,
    engaged_length_m: float,
    tooth_thickness_m: float,
    application_factor: float = 1.0,
    distribution_factor: float = 1.0,
    fatigue_life_factor: float = 1.0,
) -> float:
    """Shear stress in the spline teeth at the pitch line, half of the teeth carrying.

    Formula: 4 T K_a K_m / (D N L t K_f).
    Units: N m, m; result Pa, magnitude.
    Range: all sizes and factors > 0.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Machinery's Handbook, involute splines, after Dudley (formula from memory).

    >>> tau = pitch_line_shear_pa(torque_nm=10_000.0, pitch_diameter_m=0.06, teeth=24,
    ...                           engaged_length_m=0.1, tooth_thickness_m=0.0039)
    >>> round(tau / 1e6, 1)
    71.2
    """
    _domain.positive(tooth_thickness_m=tooth_thickness_m, fatigue_life_factor=fatigue_life_factor)
    load_n_m = _load_on_each_tooth_n_m(
        torque_nm, pitch_diameter_m, teeth, engaged_length_m, application_factor, distribution_factor
    )
    return 2 * load_n_m / (tooth_thickness_m * fatigue_life_factor)


@elementwise
def side_pressure_pa(
    *,
    torque_nm: float,
    pitch_diameter_m: float,
    teeth: int,
    engaged_length_m: float,
    tooth_height_m: float,
    application_factor: float = 1.0,
    distribution_factor: float = 1.0,
    wear_factor: float = 1.0,
) -> float:
    """Pressure on the sides of the spline teeth, all teeth carrying.

    Formula: 2 T K_a K_m / (D N L h K_w).
    Units: N m, m; result Pa, magnitude.
    Range: all sizes and factors > 0.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Machinery's Handbook, involute splines, after Dudley (formula from memory).

    >>> p = side_pressure_pa(torque_nm=10_000.0, pitch_diameter_m=0.06, teeth=24,
    ...                      engaged_length_m=0.1, tooth_height_m=0.0025)
    >>> round(p / 1e6, 1)
    55.6
    """
    _domain.positive(tooth_height_m=tooth_height_m, wear_factor=wear_factor)
    load_n_m = _load_on_each_tooth_n_m(
        torque_nm, pitch_diameter_m, teeth, engaged_length_m, application_factor, distribution_factor
    )
    return load_n_m / (tooth_height_m * wear_factor)


@elementwise
def straight_sided_torque_nm(
    *, fit: StraightSidedFit, large_diameter_m: float, length_m: float, side_pressure_pa: float
) -> float:
    """Torque that a straight-sided spline carries at a given pressure on its sides.

    Formula: T = p N R h L, R the mean radius (D + d) / 4, h the height of a tooth.
    Units: m, Pa; result N m.
    Range: all teeth carrying equally; shares of the diameter between 0 and 1.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Mott, Machine Elements in Mechanical Design, SAE straight splines, 1000 psi (from memory).

    >>> slip = StraightSidedFit(teeth=10, tooth_height_share=0.095, small_diameter_share=0.81)
    >>> round(straight_sided_torque_nm(fit=slip, large_diameter_m=0.05, length_m=0.1, side_pressure_pa=7e6))
    752
    """
    _domain.positive(
        teeth=fit.teeth,
        large_diameter_m=large_diameter_m,
        length_m=length_m,
        side_pressure_pa=side_pressure_pa,
    )
    _domain.fraction(tooth_height_share=fit.tooth_height_share, small_diameter_share=fit.small_diameter_share)
    mean_radius = large_diameter_m * (1 + fit.small_diameter_share) / 4
    side_area = fit.tooth_height_share * large_diameter_m * length_m
    return side_pressure_pa * fit.teeth * mean_radius * side_area


def _load_on_each_tooth_n_m(
    torque_nm: float,
    pitch_diameter_m: float,
    teeth: int,
    engaged_length_m: float,
    application_factor: float,
    distribution_factor: float,
) -> float:
    """Force at the pitch line per length of a tooth if all teeth carry, raised by both factors."""
    _domain.finite(torque_nm=torque_nm)
    _domain.positive(
        pitch_diameter_m=pitch_diameter_m,
        teeth=teeth,
        engaged_length_m=engaged_length_m,
        application_factor=application_factor,
        distribution_factor=distribution_factor,
    )
    force = 2 * abs(torque_nm) / pitch_diameter_m * application_factor * distribution_factor
    return force / (teeth * engaged_length_m)
