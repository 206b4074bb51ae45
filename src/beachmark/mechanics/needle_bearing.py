"""Load rating, life and contact pressure of a needle bearing that swings instead of turning.

The needles run on the trunnion of the cross (inner race) inside a cup (outer race). Ratings are nominal:
a full complement without cage on a short travel carries less than the formulas promise.
"""

import math

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import as_result, elementwise

LOAD_LIFE_EXPONENT = 10 / 3  # line contact
GEOMETRY_RATIO_RANGE = (0.01, 0.22)  # above it the closed form and the printed table part by over 0.3 %
MACHINED_RATING_FACTOR = 1.1  # needle bearings with machined races; drawn cups 1.0 (ISO 281, from memory)
_MM = 1e-3
_MILLION = 1e6


@elementwise
def geometry_factor(*, geometry_ratio: float) -> float:
    """Factor f_c of the dynamic rating of a radial roller bearing.

    Formula: 208 x 0.83 g^(2/9) (1-g)^(29/27) (1+g)^(-1/4)
    {1 + [1.04 ((1-g)/(1+g))^(143/108)]^(9/2)}^(-2/9).
    Units: g = needle diameter / pitch diameter, dimensionless; result for N and mm.
    Range: 0.01 <= g <= 0.22 (trunnions lie at 0.06 to 0.12).
    Raises: ValueError if the ratio is not finite or out of range.
    Source: ISO/TR 1281-1 closed form (from memory); agrees with the table of ISO 281 (from memory).

    >>> round(geometry_factor(geometry_ratio=0.08), 1)
    81.2
    """
    low, high = GEOMETRY_RATIO_RANGE
    _domain.between(low, high, f"from {low} to {high}", geometry_ratio=geometry_ratio)
    g = geometry_ratio
    inner_over_outer = (1.04 * ((1 - g) / (1 + g)) ** (143 / 108)) ** 4.5
    shape = g ** (2 / 9) * (1 - g) ** (29 / 27) * (1 + g) ** -0.25
    return as_result(208 * 0.83 * shape * (1 + inner_over_outer) ** (-2 / 9))


@elementwise
def dynamic_rating_n(
    *,
    needle_diameter_m: float,
    needle_length_m: float,
    needle_count: int,
    pitch_diameter_m: float,
    rating_factor: float = MACHINED_RATING_FACTOR,
) -> float:
    """Basic dynamic radial load rating C of one row of needles.

    Formula: C = b_m f_c L^(7/9) Z^(3/4) D^(29/27) (with mm inside).
    Units: m; result N.
    Range: as geometry_factor; L is the length in contact, chamfers taken off.
    Raises: ValueError if an argument is not finite or out of range.
    Source: ISO 281:2007, radial roller bearings (from memory, clause not seen).

    >>> c = dynamic_rating_n(needle_diameter_m=0.003, needle_length_m=0.020, needle_count=38,
    ...                      pitch_diameter_m=0.0366)
    >>> round(c / 1000, 2)
    45.94
    """
    _domain.positive(
        needle_diameter_m=needle_diameter_m,
        needle_length_m=needle_length_m,
        needle_count=needle_count,
        pitch_diameter_m=pitch_diameter_m,
        rating_factor=rating_factor,
    )
    factor = rating_factor * geometry_factor(geometry_ratio=needle_diameter_m / pitch_diameter_m)
    length, diameter = needle_length_m / _MM, needle_diameter_m / _MM
    return as_result(factor * length ** (7 / 9) * needle_count**0.75 * diameter ** (29 / 27))


@elementwise
def static_rating_n(
    *, needle_diameter_m: float, needle_length_m: float, needle_count: int, pitch_diameter_m: float
) -> float:
    """Basic static radial load rating C0 of one row of needles.

    Formula: C0 = 44 (1 - D / D_pw) Z L D (N, mm): 4000 MPa at the most loaded needle, about 1e-4 D set.
    Units: m; result N.
    Range: D < D_pw; small clearance.
    Raises: ValueError if an argument is not finite or out of range.
    Source: ISO 76:2006 (definition read in the preview; the factor 44 from memory, rebuilt from Hertz).

    >>> c0 = static_rating_n(needle_diameter_m=0.003, needle_length_m=0.020, needle_count=38,
    ...                      pitch_diameter_m=0.0366)
    >>> round(c0 / 1000, 2)
    92.1
    """
    _domain.positive(needle_length_m=needle_length_m, needle_count=needle_count)
    ratio = _geometry_ratio(needle_diameter_m, pitch_diameter_m)
    return 44e6 * (1 - ratio) * needle_count * needle_length_m * needle_diameter_m


@elementwise
def equivalent_turn_speed(*, speed_rad_s: float, joint_angle_rad: float) -> float:
    """Steady speed of a turning bearing that travels as much as the swinging one does.

    Formula: 4 b of travel in each turn of the shaft, so w_eq = w x 2 b / pi (n b / 90 in rpm and deg).
    Units: rad/s, rad; result rad/s.
    Range: 0 <= b < pi/2.
    Raises: ValueError if an argument is not finite or out of range.
    Source: oscillating-bearing relation of ISO 281 practice (Harris, from memory), derived.

    >>> round(equivalent_turn_speed(speed_rad_s=150.0, joint_angle_rad=math.radians(6)), 6)
    10.0
    """
    _domain.non_negative(speed_rad_s=speed_rad_s)
    _domain.joint_angle(joint_angle_rad=joint_angle_rad)
    return speed_rad_s * 2 * joint_angle_rad / math.pi


@elementwise
def oscillating_life_h(*, speed_rad_s: float, joint_angle_rad: float, rating_n: float, force_n: float) -> float:
    """Life that nine of ten swinging needle bearings reach.

    Formula: 1e6 (C/F)^(10/3) turns at the equivalent speed; = 1.5e6 / (n b) (C/F)^(10/3) with n in rpm
    and b in deg.
    Units: rad/s, rad, N; result hours.
    Range: speed, angle and force > 0. Optimistic below full_overlap_amplitude_rad, where each needle
    works its own band and starves of grease: practically every joint of a truck.
    Raises: ValueError if an argument is not finite or out of range.
    Source: derived from ISO 281 and the travel 4 b per turn; the constant as printed in the literature
    (from memory).

    >>> round(oscillating_life_h(speed_rad_s=1500 * math.pi / 30, joint_angle_rad=math.radians(6),
    ...                          rating_n=50.0, force_n=10.0))
    35624
    """
    _domain.positive(speed_rad_s=speed_rad_s, joint_angle_rad=joint_angle_rad, rating_n=rating_n, force_n=force_n)
    turning = equivalent_turn_speed(speed_rad_s=speed_rad_s, joint_angle_rad=joint_angle_rad)
    turns = _MILLION * (rating_n / force_n) ** LOAD_LIFE_EXPONENT
    return as_result(turns * 2 * math.pi / turning / 3600)


@elementwise
def mean_load(*, loads_n: ArrayLike, travels: ArrayLike, exponent: float = LOAD_LIFE_EXPONENT) -> float:
    """Steady load that wears life as fast as a duty of several loads does.

    Formula: (sum F^p s / sum s)^(1/p), s = share of time x speed x joint angle.
    Units: N; travels in any one common unit (only their ratio counts). The sum runs over the last axis.
    Range: loads >= 0, travels >= 0 and not all 0, p > 0.
    Raises: ValueError if a value is not finite or out of range, or the lists differ in length.
    Source: mean-load rule of ISO 281 practice; equals the Palmgren-Miner sum exactly (derived).

    >>> round(mean_load(loads_n=[3.0, 2.0, 1.0, 0.0], travels=[10, 20, 30, 40], exponent=3.0), 4)
    1.6631
    """
    loads, shares = _domain.as_list(loads_n), _domain.as_list(travels)
    _domain.same_last_length(loads_n=loads, travels=shares)
    _domain.non_negative(loads_n=loads, travels=shares)
    total = np.sum(shares, axis=-1)
    _domain.positive(exponent=exponent, sum_of_travels=total)
    powers = loads ** _domain.as_list(exponent)[..., np.newaxis]
    return as_result((np.sum(powers * shares, axis=-1) / total) ** (1 / exponent))


@elementwise
def contact_modulus_pa(*, youngs_pa: float, poisson: float = 0.3) -> float:
    """Contact modulus of two bodies of the same material.

    Formula: E* = E / (2 (1 - nu^2)).
    Units: Pa.
    Range: E > 0, 0 <= nu <= 0.5.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Johnson, Contact Mechanics, ch. 4 (from memory).

    >>> round(contact_modulus_pa(youngs_pa=207e9) / 1e9, 2)
    113.74
    """
    _domain.positive(youngs_pa=youngs_pa)
    _domain.between(0.0, 0.5, "from 0 to 0.5", poisson=poisson)
    return youngs_pa / (2 * (1 - poisson**2))


@elementwise
def line_contact_pressure(
    *, line_load_n_m: float, needle_diameter_m: float, raceway_diameter_m: float, contact_modulus_pa: float
) -> float:
    """Greatest Hertz pressure between a needle and the trunnion it runs on.

    Formula: p = sqrt(q E* / (pi R)), 1/R = 2/D + 2/D_race (both convex).
    Units: N/m, m, Pa; result Pa.
    Range: elastic half-space (contact narrow against the needle); load even along the needle.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Hertz; Johnson, Contact Mechanics, ch. 4 (from memory).

    >>> p = line_contact_pressure(line_load_n_m=50_000.0, needle_diameter_m=0.003,
    ...                           raceway_diameter_m=0.0336, contact_modulus_pa=113.736e9)
    >>> round(p / 1e6, 1)
    1146.5
    """
    _domain.non_negative(line_load_n_m=line_load_n_m)
    _domain.positive(
        needle_diameter_m=needle_diameter_m,
        raceway_diameter_m=raceway_diameter_m,
        contact_modulus_pa=contact_modulus_pa,
    )
    curvature = 2 / needle_diameter_m + 2 / raceway_diameter_m
    return as_result(np.sqrt(line_load_n_m * contact_modulus_pa * curvature / math.pi))


@elementwise
def full_overlap_amplitude_rad(
    *, needle_count: int, needle_diameter_m: float, pitch_diameter_m: float, inner_race: bool
) -> float:
    """Joint angle above which the bands rolled by neighbouring needles join.

    Formula: b = 2 pi / (Z (1 - g)) on the outer race, 2 pi / (Z (1 + g)) on the inner one, g = D / D_pw.
    Units: m; result rad, half the double amplitude (that is the joint angle).
    Range: 0 < g < 1; needles evenly spaced.
    Raises: ValueError if an argument is not finite or out of range.
    Source: kinematics, derived; the critical angle after Rumbarger (from memory); review by Menck &
    Stammler, doi 10.5194/wes-9-777-2024 (read in part).

    >>> b = full_overlap_amplitude_rad(needle_count=38, needle_diameter_m=0.003,
    ...                                pitch_diameter_m=0.0366, inner_race=False)
    >>> round(math.degrees(2 * b), 1)
    20.6
    """
    _domain.positive(needle_count=needle_count)
    ratio = _geometry_ratio(needle_diameter_m, pitch_diameter_m)
    return 2 * math.pi / (needle_count * (1 + ratio if inner_race else 1 - ratio))


@elementwise
def weibull_reliability(*, life_ratio: float, minimum: float, characteristic: float, shape: float) -> float:
    """Share of bearings that survive a life given in multiples of the rating life.

    Formula: exp(-((x - x0) / (th - x0))^b); 1 below the guaranteed life x0.
    Units: all dimensionless.
    Range: x >= 0, x0 >= 0, th > x0, b > 0.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., sec. 11-4; solutions manual 11-3 (read).

    >>> round(weibull_reliability(life_ratio=1.0, minimum=0.02, characteristic=4.459, shape=1.483), 2)
    0.9
    """
    _domain.non_negative(life_ratio=life_ratio, minimum=minimum)
    _domain.positive(characteristic_above_minimum=characteristic - minimum, shape=shape)
    past = np.maximum(life_ratio - minimum, 0.0) / (characteristic - minimum)
    return as_result(np.exp(-(past**shape)))


@elementwise
def required_rating_n(
    *,
    force_n: float,
    life_ratio: float,
    exponent: float = LOAD_LIFE_EXPONENT,
    reliability: float | None = None,
    minimum: float = 0.02,
    characteristic: float = 4.459,
    shape: float = 1.483,
) -> float:
    """Dynamic rating that a force and a wanted life ask for.

    Formula: C = F (x / x_R)^(1/p), x_R = x0 + (th - x0) (ln 1/R)^(1/b); without a reliability x_R = 1.
    Units: N; the life in multiples of the rating life.
    Range: 0 < R < 1; x > 0; p 3 for balls, 10/3 for rollers.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., sec. 11-4; solutions manual 11-1, 11-3 (read).

    >>> round(required_rating_n(force_n=10.279, life_ratio=1440.0), 1)
    91.1
    """
    _domain.positive(force_n=force_n, life_ratio=life_ratio, exponent=exponent)
    reached = 1.0
    if reliability is not None:
        _domain.positive(reliability=reliability, failing_share=1 - reliability, shape=shape)
        _domain.positive(characteristic_above_minimum=characteristic - minimum)
        reached = minimum + (characteristic - minimum) * np.log(1 / reliability) ** (1 / shape)
    return as_result(force_n * (life_ratio / reached) ** (1 / exponent))


def _geometry_ratio(needle_diameter_m: float, pitch_diameter_m: float) -> float:
    """Return D / D_pw, refusing a needle as large as its pitch circle."""
    _domain.positive(needle_diameter_m=needle_diameter_m, pitch_diameter_m=pitch_diameter_m)
    _domain.less_than("pitch_diameter_m", pitch_diameter_m, needle_diameter_m=needle_diameter_m)
    return needle_diameter_m / pitch_diameter_m
