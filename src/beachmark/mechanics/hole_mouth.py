"""Stress at the mouth of a small hole in a corner of a cross, with its sign in drive and on overrun.

Delivered: a hole that is small against the arm and against the fillet's radius, in a field of stress that is
even across it (Kirsch). NOT delivered: a hole that is no longer small, the finite transverse hole through a
bar in bending (the fits remembered for it part by some 18 %), the crossing of two drillings inside, the thread
of the fitting, and the nominal stress of the corner itself, which the caller gives.
"""

import math
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics import _domain
from beachmark.mechanics.fitting_corner import CornerState, Sense, Yoke, corner_state


@dataclass(frozen=True)
class MouthStress:
    """Greatest and least stress [Pa] around the mouth of a hole, tension positive."""

    greatest_pa: float
    least_pa: float


@dataclass(frozen=True)
class MouthRange:
    """Swing of stress [Pa] at one point of a hole's mouth between drive and overrun: amplitude and mean."""

    amplitude_pa: float
    mean_pa: float


@_domain.elementwise
def stress_around_hole_pa(*, first_pa: float, second_pa: float, around_rad: float) -> float:
    """Stress along the edge of a small round hole, at one point of the edge.

    Formula: s1 + s2 - 2 (s1 - s2) cos 2t, t from the direction of s1.
    Units: Pa (principal stresses far from the hole, tension positive), rad; result Pa.
    Range: elastic, wide plate or free surface, hole small, empty and round.
    Raises: ValueError if an argument is not finite.
    Source: Kirsch 1898 (equations read in a public reprint); Timoshenko & Goodier, Theory of Elasticity.

    >>> stress_around_hole_pa(first_pa=100e6, second_pa=0.0, around_rad=0.0) / 1e6
    -100.0
    """
    _domain.finite(first_pa=first_pa, second_pa=second_pa, around_rad=around_rad)
    difference = np.subtract(first_pa, second_pa)
    return _domain.as_result(np.add(first_pa, second_pa) - 2 * difference * np.cos(2 * np.asarray(around_rad)))


@_domain.elementwise_record
def mouth_extremes(*, first_pa: float, second_pa: float = 0.0) -> MouthStress:
    """Greatest and least stress around the mouth of a small hole.

    Formula: 3 s1 - s2 (square to s1) and 3 s2 - s1 (in line with s1), whichever is greater and less.
    Units: Pa, tension positive.
    Range: as stress_around_hole_pa. Limits: 3 in a pull one way, 2 if pulled evenly, 4 in pure shear. Under
    plain pressure s1 < 0 the ends in line with it are in tension, |s1|.
    Raises: ValueError if an argument is not finite.
    Source: Kirsch 1898 (equations read in a public reprint).

    >>> mouth_extremes(first_pa=-100e6)
    MouthStress(greatest_pa=100000000.0, least_pa=-300000000.0)
    """
    _domain.finite(first_pa=first_pa, second_pa=second_pa)
    across = 3 * np.asarray(first_pa) - second_pa
    along = 3 * np.asarray(second_pa) - first_pa
    greatest, least = np.maximum(across, along), np.minimum(across, along)
    return MouthStress(greatest_pa=_domain.as_result(greatest), least_pa=_domain.as_result(least))


@_domain.elementwise
def corner_stress_pa(*, nominal_pa: float, arms: tuple[str, str], driving_yoke: Yoke, torque_sense: Sense) -> float:
    """Stress along a corner of the cross with its sign: tension where it opens, pressure where it closes.

    Formula: +|s| in an opening corner, -|s| in a closing one (fitting_corner.corner_state).
    Units: Pa; result Pa, tension positive.
    Range: the joint's torque alone. Clamping by the caps and thrust of the slip come on top, with own signs.
    Raises: ValueError if the stress is not finite, or as fitting_corner.corner_state.
    Source: statics of the cross, derived; proved with force vectors in tests/mechanics.

    >>> corner_stress_pa(nominal_pa=200e6, arms=("G1", "A1"), driving_yoke=Yoke.GEARBOX,
    ...                  torque_sense=Sense.CLOCKWISE) / 1e6
    -200.0
    """
    _domain.finite(nominal_pa=nominal_pa)
    state = corner_state(arms=arms, driving_yoke=driving_yoke, torque_sense=torque_sense)
    sign = 1.0 if state is CornerState.OPENS else -1.0
    return _domain.as_result(sign * np.abs(nominal_pa))


@_domain.elementwise_record
def fitting_hole_stress(
    *,
    nominal_pa: float,
    transverse_share: float = 0.0,
    arms: tuple[str, str],
    driving_yoke: Yoke,
    torque_sense: Sense,
) -> MouthStress:
    """Extremes of stress around the mouth of a fitting's hole in one corner of the cross.

    Formula: mouth_extremes of s1 = corner_stress_pa and s2 = share x s1.
    Units: Pa; transverse share (stress across the corner over stress along it) dimensionless; result Pa.
    Range: share from -1 to 1 (0: free surface pulled one way); hole as in stress_around_hole_pa.
    Raises: ValueError if an argument is not finite or out of range, or as fitting_corner.corner_state.
    Source: Kirsch 1898 (read in a public reprint) on the statics of the cross (derived).

    >>> found = fitting_hole_stress(nominal_pa=200e6, arms=("A1", "G2"), driving_yoke=Yoke.GEARBOX,
    ...                             torque_sense=Sense.CLOCKWISE)
    >>> round(found.greatest_pa / 1e6), round(found.least_pa / 1e6)
    (600, -200)
    """
    _domain.between(-1.0, 1.0, "from -1 to 1", transverse_share=transverse_share)
    along = corner_stress_pa(nominal_pa=nominal_pa, arms=arms, driving_yoke=driving_yoke, torque_sense=torque_sense)
    return mouth_extremes(first_pa=along, second_pa=transverse_share * along)


@_domain.elementwise_record
def drive_and_coast_range(
    *, drive_nominal_pa: float, coast_nominal_pa: float, arms: tuple[str, str], rotation: Sense
) -> MouthRange:
    """Swing at the side of a fitting's hole between a peak in drive and a peak on overrun.

    Formula: a = |3 s_d - 3 s_c| / 2, mean (3 s_d + 3 s_c) / 2; s_d with the gearbox yoke driving, s_c with the
    axle yoke driving, the cross turning the same way round.
    Units: Pa; result Pa, tension positive.
    Range: stress along the corner only; the point square to it, where it counts three times.
    Raises: ValueError if a stress is not finite, or as fitting_corner.corner_state.
    Source: Kirsch 1898 (read in a public reprint) on the statics of the cross (derived).

    >>> found = drive_and_coast_range(drive_nominal_pa=200e6, coast_nominal_pa=50e6, arms=("A1", "G2"),
    ...                               rotation=Sense.CLOCKWISE)
    >>> round(found.amplitude_pa / 1e6), round(found.mean_pa / 1e6)
    (375, 225)
    """
    _domain.finite(drive_nominal_pa=drive_nominal_pa, coast_nominal_pa=coast_nominal_pa)
    drive, coast = (
        stress_around_hole_pa(
            first_pa=corner_stress_pa(nominal_pa=nominal, arms=arms, driving_yoke=yoke, torque_sense=rotation),
            second_pa=0.0,
            around_rad=math.pi / 2,
        )
        for nominal, yoke in ((drive_nominal_pa, Yoke.GEARBOX), (coast_nominal_pa, Yoke.AXLE))
    )
    amplitude, mean = np.abs(np.subtract(drive, coast)) / 2, np.add(drive, coast) / 2
    return MouthRange(amplitude_pa=_domain.as_result(amplitude), mean_pa=_domain.as_result(mean))
