"""Load on each needle of a cap, what it does to the races, and what a dent says about the load.

The cap and the arm are taken as rigid rings and the load as even along the needle. A real cap gives way in
the bore of its yoke and the arm bends, so the outer end of a needle carries more: the true peak lies higher.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beachmark.mechanics import _domain, needle_bearing
from beachmark.mechanics._constants import STEEL_YOUNGS_PA
from beachmark.mechanics._domain import FloatArray

LINE_CONTACT_EXPONENT = 10 / 9
ISO_76_SET_SHARE = 1e-4  # total permanent set at C0, over the diameter of the needle
DEEPEST_DENT_SHARE = 1e-2  # of the diameter; beyond it the case itself has given way

_PALMGREN_MM = 3.84e-5  # approach of one contact in mm for N and mm
_MM = 1e-3
_NEEDLE_COUNTS = (3, 500)
_GAUSS_NODES = 80
_MOST_STEPS = 100
# Growth of the set with the load: Palmgren's third power; 2 when fully plastic; 4 as the other side.
_SET_EXPONENTS = (2.0, 3.0, 4.0)
# Set at C0 over 1e-4 D, and the part of it that is in the race and not in the needle.
_SET_SCATTER = (0.5, 1.0, 2.0)
_RACE_SHARE = (0.5, 0.7, 1.0)


@dataclass(frozen=True)
class NeedleLoads:
    """Loads [N] (last axis: needles), the heaviest of them, shift of the arm [m], half angle of the zone [rad]."""

    loads_n: FloatArray
    heaviest_n: float
    shift_m: float
    zone_rad: float


@dataclass(frozen=True)
class LoadBand:
    """A load [N] known within a band."""

    low_n: float
    nominal_n: float
    high_n: float


@dataclass(frozen=True)
class GreasingUse:
    """Worst share of a greasing interval that is used up (above 1: overrun), and the rule that sets it."""

    worst: float
    rule: str


@_domain.elementwise
def needle_stiffness_si(*, needle_length_m: float) -> float:
    """Stiffness of one needle between its two races.

    Formula: Q = K s^(10/9), from s = 2 x 3.84e-5 Q^0.9 / L^0.8 (mm, N): two contacts in series.
    Units: m; result N / m^(10/9).
    Range: steel on steel; L > 0, the length in contact.
    Raises: ValueError if the length is not finite or not greater than 0.
    Source: Palmgren, Ball and Roller Bearing Engineering (from memory; the relation as quoted in two public
    source texts was read).

    >>> k = needle_stiffness_si(needle_length_m=0.02)
    >>> round((1000.0 / k) ** 0.9 * 1e6, 2)
    3.5
    """
    _domain.positive(needle_length_m=needle_length_m)
    per_mm = 1 / _MM
    return _domain.as_result(((needle_length_m * per_mm) ** 0.8 * per_mm / (2 * _PALMGREN_MM)) ** LINE_CONTACT_EXPONENT)


def needle_angles_rad(*, needle_count: int, between_needles: bool = False) -> FloatArray:
    """Angle of each needle from the line of the load.

    Formula: 2 pi k / Z, or half a pitch more when the load points between two needles.
    Units: count; result rad, within -pi .. pi.
    Range: 3 to 500 needles, evenly spaced.
    Raises: ValueError if the number of needles is not a whole number within its range.
    Source: elementary geometry.

    >>> needle_angles_rad(needle_count=4).round(3).tolist()
    [0.0, 1.571, 3.142, -1.571]
    """
    low, high = _NEEDLE_COUNTS
    _domain.between(low, high, f"a whole number from {low} to {high}", needle_count=needle_count)
    if np.ndim(needle_count) or needle_count != int(needle_count):
        raise ValueError(f"needle_count is {needle_count}; it must be one whole number from {low} to {high}.")
    steps = np.arange(int(needle_count)) + (0.5 if between_needles else 0.0)
    angles: FloatArray = 2 * np.pi * steps / int(needle_count)
    return np.where(angles > np.pi, angles - 2 * np.pi, angles)


@_domain.elementwise_record
def needle_loads(
    *,
    force_n: float,
    needle_count: int,
    needle_length_m: float,
    clearance_m: float = 0.0,
    between_needles: bool = False,
) -> NeedleLoads:
    """Load of every needle of a cap under the force of its arm, solved from static balance.

    Formula: Q_k = K max(0, s cos a_k - c/2)^(10/9) with the shift s from sum Q_k cos a_k = F, by Newton's
    steps from above (the sum is convex in s, so they cannot miss). Half angle of the zone: acos(c / 2s).
    Units: N, m; the clearance c is the whole play across the diameter. Result N (last axis: needles), m, rad.
    Range: F >= 0, c >= 0; rigid rings. With between_needles the load points between two needles; the true
    place lies between these two answers.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Stribeck / Sjovall; Harris, Rolling Bearing Analysis, ch. 7 (from memory), solved numerically.

    >>> found = needle_loads(force_n=60e3, needle_count=38, needle_length_m=0.02)
    >>> round(found.heaviest_n * 38 / 60e3, 1), round(math.degrees(found.zone_rad))
    (4.1, 90)
    """
    _domain.non_negative(force_n=force_n, clearance_m=clearance_m)
    cosines = np.cos(needle_angles_rad(needle_count=needle_count, between_needles=between_needles))
    stiffness = needle_stiffness_si(needle_length_m=needle_length_m)
    per_stiffness, half_play = np.broadcast_arrays(
        _domain.as_list(force_n) / stiffness, _domain.as_list(clearance_m) / 2
    )
    shift = _shift(cosines[cosines > 1e-12], per_stiffness, half_play)
    pressed = np.maximum(shift[..., None] * cosines - half_play[..., None], 0.0)
    loads: FloatArray = _domain.as_list(stiffness)[..., None] * pressed**LINE_CONTACT_EXPONENT
    # No shift at all (no play, no load): the limit of a growing load, half the circle.
    open_share = np.divide(half_play, shift, out=np.zeros_like(shift), where=shift > 0)
    zone = np.arccos(np.minimum(open_share, 1.0))
    heaviest, moved, half_angle = (_domain.as_result(x) for x in (loads.max(axis=-1), shift, zone))
    return NeedleLoads(loads_n=loads, heaviest_n=heaviest, shift_m=moved, zone_rad=half_angle)


@_domain.elementwise
def load_zone_integral(*, zone_share: float, exponent: float = LINE_CONTACT_EXPONENT) -> float:
    """Mean part of the heaviest needle's load that counts along the force, for very many needles.

    Formula: J = 1/(2 pi) integral of (1 - (1 - cos a) / (2 e))^n cos a over the zone; Q_max = F / (Z J).
    Units: e = loaded part of the diameter (1/2 without clearance), dimensionless; result dimensionless.
    Range: e > 0 (above 1 all needles carry: preload); n 10/9, in older tables 1.1.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: Sjovall's integral; Harris, Rolling Bearing Analysis, ch. 7 (from memory).

    >>> round(1 / load_zone_integral(zone_share=0.5), 2)
    4.08
    """
    _domain.positive(zone_share=zone_share, exponent=exponent)
    share, power = (_domain.as_list(x)[..., None] for x in (zone_share, exponent))
    edge = np.arccos(np.maximum(1 - 2 * share, -1.0))
    nodes, weights = np.polynomial.legendre.leggauss(_GAUSS_NODES)
    # The load starts with an infinite third derivative at the zone's edge; a = edge (1 - t^2) smooths it.
    t = (nodes + 1) / 2
    angle = edge * (1 - t**2)
    load = np.maximum(1 - (1 - np.cos(angle)) / (2 * share), 0.0) ** power
    inside = load * np.cos(angle) * 2 * edge * t
    return _domain.as_result(np.sum(inside * weights / 2, axis=-1) / np.pi)


@_domain.elementwise
def peak_pressure_pa(
    *,
    heaviest_n: float,
    needle_length_m: float,
    needle_diameter_m: float,
    trunnion_diameter_m: float,
    youngs_pa: float = STEEL_YOUNGS_PA,
) -> float:
    """Greatest Hertz pressure under the heaviest needle, on the arm.

    Formula: needle_bearing.line_contact_pressure at q = Q / L.
    Units: N, m, Pa; result Pa.
    Range: Q >= 0, the others > 0; load even along the needle; elastic.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Hertz; Johnson, Contact Mechanics, ch. 4 (from memory).

    >>> p = peak_pressure_pa(heaviest_n=6447.0, needle_length_m=0.02, needle_diameter_m=0.003,
    ...                      trunnion_diameter_m=0.0336)
    >>> round(p / 1e6)
    2904
    """
    _domain.non_negative(heaviest_n=heaviest_n)
    _domain.positive(needle_length_m=needle_length_m, trunnion_diameter_m=trunnion_diameter_m)
    per_root = needle_bearing.line_contact_pressure(
        line_load_n_m=1.0,
        needle_diameter_m=needle_diameter_m,
        raceway_diameter_m=trunnion_diameter_m,
        contact_modulus_pa=needle_bearing.contact_modulus_pa(youngs_pa=youngs_pa),
    )
    return _domain.as_result(per_root * np.sqrt(heaviest_n / needle_length_m))


@_domain.elementwise
def brinelling_margin(*, static_rating_n: float, force_n: float, static_safety: float = 1.0) -> float:
    """How many times the force of the arm may grow before lasting dents are to be expected.

    Formula: C0 / (s0 F).
    Units: N; safety and result dimensionless.
    Range: all > 0. s0 = 1 is the limit of a visible dent at rest; a swinging bearing is given less by some
    (common practice, no source). A peak of shock belongs into F.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: ISO 76 (definition read in the preview): at C0 some 1e-4 of the needle's diameter stays as set.

    >>> round(brinelling_margin(static_rating_n=92.1e3, force_n=66.67e3), 3)
    1.381
    """
    _domain.positive(static_rating_n=static_rating_n, force_n=force_n, static_safety=static_safety)
    return _domain.as_result(static_rating_n / (static_safety * force_n))


@_domain.elementwise_record
def load_band_from_dent(*, depth_m: float, needle_diameter_m: float, static_rating_n: float) -> LoadBand:
    """Force on the arm that a dent of a needle in a race speaks of, as a wide band.

    Formula: F = C0 (depth / (x y 1e-4 D))^(1/n). Nominal: n = 3, x = 1, y = 0.7. Band: n 2 to 4, set at C0
    x = 0.5 to 2 times 1e-4 D, y = 0.5 to 1 of it in the race (the rest in the needle).
    Units: m, N; result N.
    Range: depth > 0 to 1e-2 D, measured across the dent on ONE race. Only for a true dent: the grinding
    marks go through it. Wear, false brinelling and worn tracks say nothing about a load.
    Raises: ValueError if an argument is not finite or out of range.
    Source: ISO 76 (1e-4 D at C0, read in the preview); third power of the load: Palmgren (from memory);
    second power: fully plastic contact of constant hardness, depth = q^2 / (8 R H^2), derived; the other
    limits of the band are from memory and wide on purpose.

    >>> band = load_band_from_dent(depth_m=1.68e-6, needle_diameter_m=0.003, static_rating_n=92.1e3)
    >>> [round(x / 1e3) for x in (band.low_n, band.nominal_n, band.high_n)]
    [119, 184, 436]
    """
    _domain.positive(depth_m=depth_m, needle_diameter_m=needle_diameter_m, static_rating_n=static_rating_n)
    share = depth_m / needle_diameter_m
    at_most = DEEPEST_DENT_SHARE * (1 + 1e-12)  # a depth of just the bound may divide to a hair above it
    _domain.between(0.0, at_most, "at most 0.01", depth_m_over_needle_diameter_m=share)
    sets = share / ISO_76_SET_SHARE
    shallow, nominal, deep = (sets / (x * y) for x, y in zip(_SET_SCATTER, _RACE_SHARE, strict=True))
    # The fewer the assumed set at C0, the greater the load: the first of the three is the upper limit.
    lows = [deep ** (1 / n) for n in _SET_EXPONENTS]
    highs = [shallow ** (1 / n) for n in _SET_EXPONENTS]
    low, middle, high = (
        _domain.as_result(static_rating_n * x)
        for x in (np.min(lows, axis=0), nominal ** (1 / _SET_EXPONENTS[1]), np.max(highs, axis=0))
    )
    return LoadBand(low_n=low, nominal_n=middle, high_n=high)


@_domain.elementwise
def overlap_share(
    *,
    joint_angle_rad: float,
    needle_count: int,
    needle_diameter_m: float,
    pitch_diameter_m: float,
    inner_race: bool = False,
) -> float:
    """Swing of the joint over the swing at which the bands of neighbouring needles join.

    Formula: b / b_full, b_full from needle_bearing.full_overlap_amplitude_rad; from 1 on the bands join.
    Units: rad, m; result dimensionless.
    Range: 0 <= b < pi/2. Below 1 each needle works its own band: separate dull stripes at needle pitch are
    then the ordinary picture and no proof of too much load.
    Raises: ValueError if an argument is not finite or out of range.
    Source: kinematics, derived; the critical angle after Rumbarger (from memory).

    >>> round(overlap_share(joint_angle_rad=math.radians(5), needle_count=38, needle_diameter_m=0.003,
    ...                     pitch_diameter_m=0.0366), 2)
    0.48
    """
    _domain.joint_angle(joint_angle_rad=joint_angle_rad)
    full = needle_bearing.full_overlap_amplitude_rad(
        needle_count=needle_count,
        needle_diameter_m=needle_diameter_m,
        pitch_diameter_m=pitch_diameter_m,
        inner_race=inner_race,
    )
    return _domain.as_result(joint_angle_rad / full)


@_domain.elementwise_record
def greasing_use(
    *,
    run_m: float | None = None,
    interval_m: float | None = None,
    run_h: float | None = None,
    interval_h: float | None = None,
) -> GreasingUse:
    """Worst share of the greasing interval that has been run since the last greasing.

    Formula: max(distance run / interval, hours run / interval) over the rules that are given in full.
    Units: m, hours; result dimensionless (above 1: overrun) and the name of the rule.
    Range: run >= 0, interval > 0; the interval is that of the vehicle's or the part's maker for this duty.
    Raises: ValueError if a value is not finite or out of range, or no rule is given in full.
    Source: definition.

    >>> greasing_use(run_m=60e6, interval_m=40e6, run_h=500.0, interval_h=1000.0)
    GreasingUse(worst=1.5, rule='distance')
    """
    rules = {"distance": ("m", run_m, interval_m), "hours": ("h", run_h, interval_h)}
    shares = {
        name: _share_of_interval(unit, run, interval)
        for name, (unit, run, interval) in rules.items()
        if run is not None and interval is not None
    }
    if not shares:
        raise ValueError("interval_m and interval_h is None; one rule must be given with its run and its interval.")
    stacked = np.stack(np.broadcast_arrays(*shares.values()))
    names: NDArray[np.str_] = np.array(list(shares))[np.argmax(stacked, axis=0)]
    rule: Any = names if names.ndim else str(names)
    return GreasingUse(worst=_domain.as_result(np.max(stacked, axis=0)), rule=rule)


def _share_of_interval(unit: str, run: ArrayLike, interval: ArrayLike) -> FloatArray:
    """Return run over interval, refused by the names of the arguments."""
    _domain.non_negative(**{f"run_{unit}": run})
    _domain.positive(**{f"interval_{unit}": interval})
    return _domain.as_list(run) / _domain.as_list(interval)


def _shift(cosines: FloatArray, per_stiffness: FloatArray, half_play: FloatArray) -> FloatArray:
    """Return the shift at which the needles carry the force, from the needles on the loaded half."""
    first = float(cosines.max())
    # If the first needle carried all, the shift would be at least the true one: Newton falls from there.
    shift: FloatArray = ((per_stiffness / first) ** (1 / LINE_CONTACT_EXPONENT) + half_play) / first
    for _ in range(_MOST_STEPS):
        pressed = np.maximum(shift[..., None] * cosines - half_play[..., None], 0.0)
        excess = np.sum(cosines * pressed**LINE_CONTACT_EXPONENT, axis=-1) - per_stiffness
        slope = LINE_CONTACT_EXPONENT * np.sum(cosines**2 * pressed ** (LINE_CONTACT_EXPONENT - 1), axis=-1)
        step = np.divide(excess, slope, out=np.zeros_like(shift), where=slope > 0)
        shift = shift - step
        if np.all(np.abs(step) <= 4 * math.ulp(1.0) * shift):
            break
    return shift
