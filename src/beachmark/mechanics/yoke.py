"""Stress in the ears of a yoke under the load of the joint, and in its weld to the tube.

An ear is taken as a bar of rectangular section that stands on the base of the yoke along the shaft. Real ears
taper and twist: the results are nominal stresses for comparing loads and parts, not allowables.
"""

import math
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics import _domain


@dataclass(frozen=True)
class EarForces:
    """Forces [N] of the cross on the ear at the yoke's pin direction.

    Tangential: in the sense of rotation by the right-hand rule about the rearward direction. Pull: along the
    shaft, away from the yoke's base. The opposite ear gets the tangential force reversed in space (the same
    along its own direction of rotation) and the pull with the other sign.
    """

    tangential_n: float
    pull_n: float


@dataclass(frozen=True)
class CurvedBeamStress:
    """Bending stress [Pa] at the inner and the outer edge of a curved bar, tension positive."""

    inner_pa: float
    outer_pa: float


@dataclass(frozen=True)
class EarRootStress:
    """Stresses [Pa] at the root of an ear, tension positive, and the extremes over its four corners."""

    tangential_bending_pa: float
    inner_pa: float
    outer_pa: float
    shear_pa: float
    greatest_pa: float
    least_pa: float


@dataclass(frozen=True)
class LugStress:
    """Mean stresses [Pa] of an ear pulled away from its root by the bearing cup in its bore."""

    net_tension_pa: float
    shear_out_pa: float
    bearing_pa: float


@_domain.elementwise_record
def ear_forces(
    *, torque_nm: float, arm_radius_m: float, angle_rad: float, drive_angle_rad: float, driven: bool
) -> EarForces:
    """Forces of the cross on one ear of the driving or the driven yoke at one drive angle.

    Formula: driving -T/(2R) tangential, -T tan b sin th/(2R) pull; driven T (1 - sin^2 b cos^2 th)/(2R cos b)
    tangential, T tan b cos th sqrt(1 - sin^2 b cos^2 th)/(2R) pull.
    Units: torque of the driving shaft N m, radius m (centre of the cross to mid length of the needles), rad;
    result N. The drive angle is 0 with the driving pin in the plane of the shafts. The ear is the one at +pin:
    driving pin p1 at the drive angle, driven pin p2 = u2 x p1.
    Range: R > 0, 0 <= b < pi/2; frictionless cross, both arms of a pair share alike.
    Raises: ValueError if an argument is not finite or out of range.
    Source: statics of the frictionless cross, derived by vectors.

    >>> ear = ear_forces(torque_nm=10e3, arm_radius_m=0.075, angle_rad=math.radians(10),
    ...                  drive_angle_rad=math.pi / 2, driven=False)
    >>> round(ear.tangential_n), round(ear.pull_n)
    (-66667, -11755)
    """
    _domain.finite(torque_nm=torque_nm, drive_angle_rad=drive_angle_rad)
    _domain.positive(arm_radius_m=arm_radius_m)
    _domain.joint_angle(angle_rad=angle_rad)
    force = torque_nm / (2 * arm_radius_m)
    pull = force * np.tan(angle_rad)
    if driven:
        tilt = 1 - (np.sin(angle_rad) * np.cos(drive_angle_rad)) ** 2
        parts = (force * tilt / np.cos(angle_rad), pull * np.cos(drive_angle_rad) * np.sqrt(tilt))
    else:
        parts = (-force * np.ones_like(pull), -pull * np.sin(drive_angle_rad))
    tangential, along = np.broadcast_arrays(*parts)
    return EarForces(tangential_n=_domain.as_result(tangential), pull_n=_domain.as_result(along))


@_domain.elementwise
def greatest_pull_n(*, torque_nm: float, arm_radius_m: float, angle_rad: float, driven: bool) -> float:
    """Greatest force along the shaft on an ear, or on the cap, straps and bolts of an open yoke, within a turn.

    Formula: driving yoke T tan b / (2R); driven yoke T sin b / (2R), above 45 deg T / (4 R cos b).
    Units: torque of the driving shaft N m, m, rad; result N, magnitude.
    Range: R > 0, 0 <= b < pi/2; frictionless cross, no thrust from a stuck slip.
    Raises: ValueError if an argument is not finite or out of range.
    Source: largest value of ear_forces within a turn, derived.

    >>> round(greatest_pull_n(torque_nm=10e3, arm_radius_m=0.075, angle_rad=math.radians(10), driven=True))
    11577
    """
    _domain.finite(torque_nm=torque_nm)
    _domain.positive(arm_radius_m=arm_radius_m)
    _domain.joint_angle(angle_rad=angle_rad)
    force = np.abs(torque_nm) / (2 * arm_radius_m)
    if not driven:
        return _domain.as_result(force * np.tan(angle_rad))
    steep = np.greater(angle_rad, math.pi / 4)
    return _domain.as_result(force * np.where(steep, 0.5 / np.cos(angle_rad), np.sin(angle_rad)))


@_domain.elementwise_record
def curved_beam_stress(
    *, moment_nm: float, width_m: float, thickness_m: float, inner_radius_m: float
) -> CurvedBeamStress:
    """Bending stress of a curved bar of rectangular section (Winkler-Bach).

    Formula: r_n = h / ln(r_o / r_i), e = r_i + h/2 - r_n; inner M (r_n - r_i) / (A e r_i),
    outer -M (r_o - r_n) / (A e r_o).
    Units: N m (positive opens the curve), m (width across the bending plane, thickness h in it); result Pa.
    Range: all sizes > 0, r_i from h/100 to 1e4 h; elastic, no notch in the curve besides the curve itself.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., sec. 3-18 (worked figure read).

    >>> s = curved_beam_stress(moment_nm=1e3, width_m=0.04, thickness_m=0.03, inner_radius_m=0.015)
    >>> round(s.inner_pa / 1e6, 1), round(s.outer_pa / 1e6, 1)
    (253.9, -121.7)
    """
    _domain.finite(moment_nm=moment_nm)
    _domain.positive(width_m=width_m, thickness_m=thickness_m, inner_radius_m=inner_radius_m)
    _domain.between(0.01, 1e4, "from 0.01 to 1e4", inner_radius_m_over_thickness=inner_radius_m / thickness_m)
    outer_radius = inner_radius_m + thickness_m
    neutral = thickness_m / np.log1p(thickness_m / inner_radius_m)
    per_offset = moment_nm / (width_m * thickness_m * (inner_radius_m + thickness_m / 2 - neutral))
    inner = per_offset * (neutral - inner_radius_m) / inner_radius_m
    outer = -per_offset * (outer_radius - neutral) / outer_radius
    return CurvedBeamStress(inner_pa=_domain.as_result(inner), outer_pa=_domain.as_result(outer))


@_domain.elementwise_record
def ear_root_stress(
    *,
    tangential_n: float,
    pull_n: float,
    ear_length_m: float,
    offset_m: float,
    width_m: float,
    thickness_m: float,
    inner_radius_m: float,
) -> EarRootStress:
    """Nominal stress at the root of an ear from bending by both forces and direct pull.

    Formula: 6 F_t l / (t w^2); pull N / (w t) with bending -N o by curved_beam_stress (inner edge towards the
    shaft's axis); shear 1.5 F_t / (w t). Extremes: edge stress +- the tangential bending.
    Units: N, m: l root to bore centre along the shaft, o load line outside the middle of the root (negative:
    inside), w along the tangent, t along the radius, r_i of the fillet at the inside; result Pa.
    Range: l >= 0, w, t > 0, r_i as curved_beam_stress. Twist of the ear by F_t o, the taper and the notch
    factor of the tangential bending are not delivered.
    Raises: ValueError if an argument is not finite or out of range.
    Source: beam theory; Winkler-Bach as curved_beam_stress.

    >>> s = ear_root_stress(tangential_n=66.7e3, pull_n=11.8e3, ear_length_m=0.045, offset_m=0.005,
    ...                     width_m=0.07, thickness_m=0.03, inner_radius_m=0.02)
    >>> round(s.tangential_bending_pa / 1e6, 1), round(s.greatest_pa / 1e6, 1)
    (122.5, 132.4)
    """
    _domain.finite(tangential_n=tangential_n, pull_n=pull_n, offset_m=offset_m)
    _domain.non_negative(ear_length_m=ear_length_m)
    curve = curved_beam_stress(
        moment_nm=-pull_n * offset_m, width_m=width_m, thickness_m=thickness_m, inner_radius_m=inner_radius_m
    )
    area = width_m * thickness_m
    tangential = 6 * np.abs(tangential_n) * ear_length_m / (area * width_m)
    inner, outer = curve.inner_pa + pull_n / area, curve.outer_pa + pull_n / area
    shear = 1.5 * np.abs(tangential_n) / area
    extremes = (np.maximum(inner, outer) + tangential, np.minimum(inner, outer) - tangential)
    return EarRootStress(*(_domain.as_result(x) for x in (tangential, inner, outer, shear, *extremes)))


@_domain.elementwise_record
def lug_stress(*, force_n: float, bore_m: float, width_m: float, thickness_m: float, edge_m: float) -> LugStress:
    """Mean stresses of an ear as a lug, pulled away from its root by the cup in its bore.

    Formula: net section F / ((w - D) t); shear-out F / (2 t (a - D/2)); bearing F / (D t).
    Units: N, m: w across the bore, a bore centre to the ear's end; result Pa, magnitudes.
    Range: 0 < D < w, D/2 < a. For the pull along the shaft only: under the tangential force the ear is a
    cantilever (ear_root_stress). The peak at the bore's edge lies a few times higher (not delivered).
    Raises: ValueError if an argument is not finite or out of range.
    Source: elementary lug formulas, Bruhn, Analysis and Design of Flight Vehicle Structures (from memory).

    >>> s = lug_stress(force_n=12e3, bore_m=0.05, width_m=0.08, thickness_m=0.03, edge_m=0.04)
    >>> [round(x / 1e6, 2) for x in (s.net_tension_pa, s.shear_out_pa, s.bearing_pa)]
    [13.33, 13.33, 8.0]
    """
    _domain.finite(force_n=force_n)
    _domain.positive(bore_m=bore_m, thickness_m=thickness_m, width_m=width_m, edge_m=edge_m)
    _domain.less_than("width_m", width_m, bore_m=bore_m)
    _domain.less_than("edge_m", edge_m, half_of_bore_m=bore_m / 2)
    force = np.abs(force_n)
    parts = (
        force / ((width_m - bore_m) * thickness_m),
        force / (2 * thickness_m * (edge_m - bore_m / 2)),
        force / (bore_m * thickness_m),
    )
    return LugStress(*(_domain.as_result(part) for part in parts))


@_domain.elementwise
def weld_throat_shear_pa(*, torque_nm: float, weld_radius_m: float, throat_m: float) -> float:
    """Mean shear stress in the throat of the ring weld between yoke and tube.

    Formula: T / (2 pi r^2 a).
    Units: N m, m (r to the middle of the throat, a the throat); result Pa, magnitude.
    Range: r > 0, 0 < a < r. Allowables by the weld code; cracks start at the toe (steel beside the weld
    included) from the notch there, which this mean does not know.
    Raises: ValueError if an argument is not finite or out of range.
    Source: thin ring in torsion; Shigley's Mechanical Engineering Design, Table 9-1 (from memory).

    >>> round(weld_throat_shear_pa(torque_nm=10e3, weld_radius_m=0.0635, throat_m=0.004) / 1e6, 1)
    98.7
    """
    _domain.finite(torque_nm=torque_nm)
    _domain.positive(weld_radius_m=weld_radius_m, throat_m=throat_m)
    _domain.less_than("weld_radius_m", weld_radius_m, throat_m=throat_m)
    return _domain.as_result(np.abs(torque_nm) / (2 * math.pi * weld_radius_m**2 * throat_m))
