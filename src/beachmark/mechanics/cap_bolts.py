"""Bolts that hold a cap, a strap or a bearing plate on its yoke: preload, what is left of it, stress.

Each function speaks of one bolt. Its share of the pull follows from ``yoke.greatest_pull_n`` and how many
bolts hold the cap; its share of the transverse load from where the seat, not friction, is meant to carry it.
"""

import math
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics import _domain

# Nut factors of Shigley's Table 8-15: cadmium-plated, zinc-plated (and the usual guess), black without plating.
NUT_FACTORS = (0.16, 0.20, 0.30)
_FLANK_COSINE = math.cos(math.radians(30))  # metric thread


@dataclass(frozen=True)
class PreloadBand:
    """Preload of a bolt [N] that one tightening torque can have made."""

    low_n: float
    nominal_n: float
    high_n: float


@_domain.elementwise_record
def preload_band(
    *,
    torque_nm: float,
    diameter_m: float,
    least_nut_factor: float = NUT_FACTORS[0],
    nominal_nut_factor: float = NUT_FACTORS[1],
    greatest_nut_factor: float = NUT_FACTORS[2],
) -> PreloadBand:
    """Preload from a tightening torque, as the band that unknown friction leaves.

    Formula: F = T / (K d); the greatest nut factor gives the least preload.
    Units: N m, m (nominal diameter); nut factors dimensionless; result N.
    Range: T >= 0, d > 0, 0 < least <= nominal <= greatest. A break-away torque found on a part in service is
    NOT the torque of tightening: it tells roughly whether any preload was left, no more (common practice,
    no source). Paste on the thread goes below 0.16, rust above 0.30.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Table 8-15 (read), Eq. 8-27 (from memory).

    >>> band = preload_band(torque_nm=84.0, diameter_m=0.012)
    >>> [round(x / 1e3, 1) for x in (band.low_n, band.nominal_n, band.high_n)]
    [23.3, 35.0, 43.8]
    """
    _domain.non_negative(torque_nm=torque_nm)
    _domain.positive(
        diameter_m=diameter_m,
        least_nut_factor=least_nut_factor,
        nominal_nut_factor=nominal_nut_factor,
        greatest_nut_factor=greatest_nut_factor,
    )
    _domain.non_negative(
        nominal_nut_factor_above_least_nut_factor=np.subtract(nominal_nut_factor, least_nut_factor),
        greatest_nut_factor_above_nominal_nut_factor=np.subtract(greatest_nut_factor, nominal_nut_factor),
    )
    factors = (greatest_nut_factor, nominal_nut_factor, least_nut_factor)
    return PreloadBand(*(_domain.as_result(torque_nm / (factor * diameter_m)) for factor in factors))


@_domain.elementwise
def tightening_torque_nm(
    *,
    preload_n: float,
    diameter_m: float,
    pitch_m: float,
    head_bearing_m: float,
    thread_friction: float,
    head_friction: float,
) -> float:
    """Torque that makes a preload, with the friction in thread and under the head apart.

    Formula: F (P / (2 pi) + mu_t d2 / (2 cos 30 deg) + mu_h D_m / 2), d2 = d - 0.6495 P.
    Units: N, m (D_m: mean diameter of the bearing face under the head); friction dimensionless; result N m.
    Range: F >= 0, d, P, D_m > 0, 1.23 P < d, 0 <= mu <= 1.
    Raises: ValueError if an argument is not finite or out of range.
    Source: VDI 2230, tightening torque (from memory; table of its 2001/2003 edition read in a reprint).

    >>> round(tightening_torque_nm(preload_n=48e3, diameter_m=0.012, pitch_m=0.00125, head_bearing_m=0.01507,
    ...                            thread_friction=0.12, head_friction=0.12))
    90
    """
    _domain.non_negative(preload_n=preload_n)
    _domain.positive(head_bearing_m=head_bearing_m)
    _domain.between(0.0, 1.0, "from 0 to 1", thread_friction=thread_friction, head_friction=head_friction)
    pitch_diameter, _ = _thread(diameter_m, pitch_m)
    lever = pitch_m / (2 * math.pi) + thread_friction * pitch_diameter / (2 * _FLANK_COSINE)
    return _domain.as_result(preload_n * (lever + head_friction * head_bearing_m / 2))


@_domain.elementwise
def stress_area_m2(*, diameter_m: float, pitch_m: float) -> float:
    """Area that counts for the tension of a thread.

    Formula: pi/4 (d - 0.9382 P)^2.
    Units: m; result m^2.
    Range: d, P > 0, 1.23 P < d; metric thread (0.6 % high on unified threads).
    Raises: ValueError if an argument is not finite or out of range.
    Source: ISO 898-1 (from memory): M12 84.3 mm^2.

    >>> round(stress_area_m2(diameter_m=0.012, pitch_m=0.00175) * 1e6, 1)
    84.3
    """
    _, stress_diameter = _thread(diameter_m, pitch_m)
    return _domain.as_result(math.pi / 4 * stress_diameter**2)


@_domain.elementwise
def tightening_stress_pa(*, preload_n: float, diameter_m: float, pitch_m: float, thread_friction: float) -> float:
    """Comparative stress in the thread while it is being tightened: tension with the wrench's twist.

    Formula: s sqrt(1 + 3 (3 d2 / (2 d_s) (P / (pi d2) + 1.155 mu))^2), s = F / A_s: twist fully plastic.
    Units: N, m; friction dimensionless; result Pa.
    Range: as tightening_torque_nm. After the wrench is off part of the twist goes.
    Raises: ValueError if an argument is not finite or out of range.
    Source: VDI 2230, assembly preload (from memory; table of its 2001/2003 edition read in a reprint).

    >>> round(tightening_stress_pa(preload_n=48e3, diameter_m=0.012, pitch_m=0.00125, thread_friction=0.12) / 1e6)
    575
    """
    _domain.non_negative(preload_n=preload_n)
    _domain.between(0.0, 1.0, "from 0 to 1", thread_friction=thread_friction)
    pitch_diameter, stress_diameter = _thread(diameter_m, pitch_m)
    tension = preload_n / stress_area_m2(diameter_m=diameter_m, pitch_m=pitch_m)
    lever = pitch_m / (math.pi * pitch_diameter) + thread_friction / _FLANK_COSINE
    twist = 1.5 * pitch_diameter / stress_diameter * lever
    return _domain.as_result(tension * np.sqrt(1 + 3 * twist**2))


@_domain.elementwise
def bolt_stress_pa(*, preload_n: float, pull_n: float, load_share: float, diameter_m: float, pitch_m: float) -> float:
    """Mean tension in the thread under preload and pull.

    Formula: (F_i + phi P) / A_s while the joint is closed; P / A_s once it gapes, phi = k_b / (k_b + k_m).
    Units: N per bolt, m; load share dimensionless; result Pa.
    Range: F_i, P >= 0, 0 <= phi <= 1; central load. Prying and bending of a strap come on top and rule the
    fatigue of the bolt.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. 8-24 (worked example read).

    >>> round(bolt_stress_pa(preload_n=40e3, pull_n=6e3, load_share=0.25, diameter_m=0.012, pitch_m=0.00175) / 1e6)
    492
    """
    _closed_joint(preload_n, pull_n, load_share)
    force = np.maximum(preload_n + load_share * pull_n, pull_n)
    return _domain.as_result(force / stress_area_m2(diameter_m=diameter_m, pitch_m=pitch_m))


@_domain.elementwise
def clamp_left_n(*, preload_n: float, pull_n: float, load_share: float) -> float:
    """Force that still presses cap and yoke together under the pull.

    Formula: max(0, F_i - (1 - phi) P).
    Units: N per bolt; load share dimensionless; result N.
    Range: F_i, P >= 0, 0 <= phi <= 1; central load, settling already taken off the preload.
    Raises: ValueError if an argument is not finite or out of range.
    Source: VDI 2230 / Shigley's Mechanical Engineering Design, ch. 8 (from memory).

    >>> clamp_left_n(preload_n=40e3, pull_n=16e3, load_share=0.25)
    28000.0
    """
    _closed_joint(preload_n, pull_n, load_share)
    return _domain.as_result(np.maximum(preload_n - (1 - load_share) * pull_n, 0.0))


@_domain.elementwise
def separation_margin(*, preload_n: float, pull_n: float, load_share: float) -> float:
    """How many times the pull may grow before cap and yoke gape.

    Formula: F_i / ((1 - phi) P); infinite without pull.
    Units: N per bolt; load share and result dimensionless.
    Range: F_i > 0, P >= 0, 0 <= phi <= 1; central load.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., ch. 8, joint separation (from memory).

    >>> round(separation_margin(preload_n=40e3, pull_n=16e3, load_share=0.25), 3)
    3.333
    """
    _closed_joint(preload_n, pull_n, load_share)
    _domain.positive(preload_n=preload_n)
    return _over(preload_n, np.multiply(1 - load_share, pull_n))


@_domain.elementwise
def slip_margin(*, preload_n: float, pull_n: float, load_share: float, transverse_n: float, friction: float) -> float:
    """How many times the transverse load may grow before the cap slides, if friction alone holds it.

    Formula: mu (F_i - (1 - phi) P) / Q; infinite without transverse load.
    Units: N per bolt; load share, friction and result dimensionless.
    Range: as clamp_left_n; Q >= 0, 0 < mu <= 1 (steel on steel 0.1 to 0.2, oily to dry: from memory). A seat
    or a key that carries the load makes this a lower bound.
    Raises: ValueError if an argument is not finite or out of range.
    Source: VDI 2230, transverse load (from memory).

    >>> round(slip_margin(preload_n=40e3, pull_n=16e3, load_share=0.25, transverse_n=4e3, friction=0.15), 2)
    1.05
    """
    _domain.non_negative(transverse_n=transverse_n)
    _domain.fraction(friction=friction)
    clamp = clamp_left_n(preload_n=preload_n, pull_n=pull_n, load_share=load_share)
    return _over(friction * clamp, transverse_n)


def _over(value: float, load: float) -> float:
    """Return value over load, infinite where there is no load."""
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(np.equal(load, 0), np.inf, np.divide(value, load))
    return _domain.as_result(ratio)


def _closed_joint(preload_n: float, pull_n: float, load_share: float) -> None:
    """Refuse forces below 0 and a share of the load outside 0 to 1."""
    _domain.non_negative(preload_n=preload_n, pull_n=pull_n)
    _domain.between(0.0, 1.0, "from 0 to 1", load_share=load_share)


def _thread(diameter_m: float, pitch_m: float) -> tuple[float, float]:
    """Return pitch diameter and stress diameter, refusing a thread without core."""
    _domain.positive(diameter_m=diameter_m, pitch_m=pitch_m)
    _domain.less_than("diameter_m", diameter_m, pitch_m_times_1_23=1.226869 * pitch_m)
    return diameter_m - 0.649519 * pitch_m, diameter_m - 0.938194 * pitch_m
