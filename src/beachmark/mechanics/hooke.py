"""How unevenly one Cardan (Hooke) joint turns, and what couple it puts on its yokes.

The drive angle is counted from the position in which the pin of the driving yoke lies in the plane of
the two shafts. The joint is ideal: rigid, frictionless, exact cross, constant speed at the input.
"""

import math
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import as_result, elementwise, elementwise_record


@dataclass(frozen=True)
class SecondaryCouple:
    """Greatest couples within a turn [N m]: bending both yokes, and on the plane of the cross."""

    driving_yoke_nm: float
    driven_yoke_nm: float
    cross_nm: float


@elementwise
def speed_ratio(*, angle_rad: float, drive_angle_rad: float) -> float:
    """Speed of the driven shaft over that of the driving shaft at one drive angle.

    Formula: cos b / (1 - sin^2 b cos^2 th).
    Units: joint angle b and drive angle th in rad; result dimensionless.
    Range: 0 <= b < pi/2; any finite drive angle; ideal joint.
    Raises: ValueError if an angle is not finite or b is outside its range.
    Source: theory of machines, e.g. Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> round(speed_ratio(angle_rad=math.radians(25), drive_angle_rad=0.0), 4)
    1.1034
    """
    _domain.joint_angle(angle_rad=angle_rad)
    _domain.finite(drive_angle_rad=drive_angle_rad)
    return as_result(np.cos(angle_rad) / (1 - (np.sin(angle_rad) * np.cos(drive_angle_rad)) ** 2))


@elementwise
def driven_angle(*, angle_rad: float, drive_angle_rad: float) -> float:
    """Angle turned by the driven shaft, equal to the drive angle at 0, pi/2, pi and so on.

    Formula: tan(th2) = tan(th1) / cos b, on the branch next to th1.
    Units: rad.
    Range: 0 <= b < pi/2; any finite drive angle; ideal joint.
    Raises: ValueError if an angle is not finite or b is outside its range.
    Source: theory of machines, e.g. Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> round(driven_angle(angle_rad=math.radians(60), drive_angle_rad=math.pi / 4), 4)
    1.1071
    """
    _domain.joint_angle(angle_rad=angle_rad)
    _domain.finite(drive_angle_rad=drive_angle_rad)
    # The lead over the input stays within +-pi/2, so this form has no jump where tan is infinite.
    t = np.tan(angle_rad / 2) ** 2
    lead = np.arctan2(t * np.sin(2 * drive_angle_rad), 1 - t * np.cos(2 * drive_angle_rad))
    return as_result(drive_angle_rad + lead)


@elementwise
def greatest_ratio(*, angle_rad: float) -> float:
    """Greatest speed ratio within a turn, when the driving pin lies in the plane of the shafts.

    Formula: 1 / cos b.
    Units: joint angle in rad; result dimensionless.
    Range: 0 <= b < pi/2.
    Raises: ValueError if the angle is not finite or outside its range.
    Source: theory of machines, e.g. Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> round(greatest_ratio(angle_rad=math.radians(60)), 6)
    2.0
    """
    _domain.joint_angle(angle_rad=angle_rad)
    return as_result(1 / np.cos(angle_rad))


@elementwise
def least_ratio(*, angle_rad: float) -> float:
    """Least speed ratio within a turn, when the driving pin stands square to the plane of the shafts.

    Formula: cos b.
    Units: joint angle in rad; result dimensionless.
    Range: 0 <= b < pi/2.
    Raises: ValueError if the angle is not finite or outside its range.
    Source: theory of machines, e.g. Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> round(least_ratio(angle_rad=math.radians(60)), 6)
    0.5
    """
    _domain.joint_angle(angle_rad=angle_rad)
    return as_result(np.cos(angle_rad))


@elementwise
def drive_angle_of_unit_ratio(*, angle_rad: float) -> float:
    """Drive angle in the first quarter turn at which both shafts turn equally fast.

    Formula: cos^2 th = 1 / (1 + cos b).
    Units: rad.
    Range: 0 <= b < pi/2; the limit at b = 0 is pi/4.
    Raises: ValueError if the angle is not finite or outside its range.
    Source: theory of machines, e.g. Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> round(math.degrees(drive_angle_of_unit_ratio(angle_rad=math.radians(18))), 2)
    44.28
    """
    _domain.joint_angle(angle_rad=angle_rad)
    return as_result(np.arccos(1 / np.sqrt(1 + np.cos(angle_rad))))


@elementwise
def driven_acceleration(*, angle_rad: float, drive_angle_rad: float, speed_rad_s: float) -> float:
    """Angular acceleration of the driven shaft at one drive angle.

    Formula: -w^2 cos b sin^2 b sin 2th / (1 - sin^2 b cos^2 th)^2.
    Units: angles rad, speed of the driving shaft rad/s; result rad/s^2.
    Range: 0 <= b < pi/2; constant speed at the input; ideal joint.
    Raises: ValueError if an argument is not finite or b is outside its range.
    Source: theory of machines, e.g. Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> driven_acceleration(angle_rad=0.0, drive_angle_rad=1.0, speed_rad_s=100.0) == 0.0
    True
    """
    _domain.finite(speed_rad_s=speed_rad_s)
    ratio = speed_ratio(angle_rad=angle_rad, drive_angle_rad=drive_angle_rad)
    shape = np.tan(angle_rad) ** 2 * np.cos(angle_rad) * np.sin(2 * drive_angle_rad)
    return as_result(-(speed_rad_s**2) * shape * ratio**2)


@elementwise
def drive_angle_of_greatest_acceleration(*, angle_rad: float) -> float:
    """Drive angle in the first quarter turn at which the driven shaft slows hardest.

    Formula: cos 2th = sqrt(K^2 + 2) - K with K = (2 - sin^2 b) / (2 sin^2 b). The texts' cos 2th =
    2 sin^2 b / (2 - sin^2 b) is its first approximation. By symmetry it speeds up hardest at -th.
    Units: rad.
    Range: 0 <= b < pi/2; the limit at b = 0 is pi/4.
    Raises: ValueError if the angle is not finite or outside its range.
    Source: derived by differentiating the acceleration; the approximation as in Khurmi & Gupta, ch. 9.

    >>> round(math.degrees(drive_angle_of_greatest_acceleration(angle_rad=math.radians(20))), 2)
    41.46
    """
    _domain.joint_angle(angle_rad=angle_rad)
    s = np.sin(angle_rad) ** 2
    # Same root, written without the difference of two large numbers that a small angle would make.
    return as_result(0.5 * np.arccos(4 * s / (np.sqrt((2 - s) ** 2 + 8 * s**2) + 2 - s)))


@elementwise
def greatest_acceleration(*, angle_rad: float, speed_rad_s: float) -> float:
    """Greatest angular acceleration of the driven shaft within a turn, zero to peak.

    Formula: |driven_acceleration| at the drive angle where it is extreme; about w^2 b^2 for small b.
    Units: rad, rad/s; result rad/s^2.
    Range: 0 <= b < pi/2; constant speed at the input. w^2 b^2 is 0.2 % low at 6 deg, 2.5 % at 20 deg.
    Raises: ValueError if an argument is not finite or b is outside its range.
    Source: derived; worked example in Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> round(greatest_acceleration(angle_rad=math.radians(6), speed_rad_s=1.0), 7)
    0.0109867
    """
    worst = drive_angle_of_greatest_acceleration(angle_rad=angle_rad)
    return abs(driven_acceleration(angle_rad=angle_rad, drive_angle_rad=worst, speed_rad_s=speed_rad_s))


@elementwise
def lag_harmonic(*, angle_rad: float, order: int) -> float:
    """Amplitude of one order of the angle between driven and driving shaft.

    Formula: th2 - th1 = sum over n of (1/n) tan^(2n)(b/2) sin(2n th); the order is 2n.
    Units: rad; the order counts periods per revolution.
    Range: 0 <= b < pi/2; orders 2, 4, 6 ... (an ideal joint has no odd order).
    Raises: ValueError if the angle is out of range or the order is not a positive even whole number.
    Source: series of atan(tan th / cos b) - th, derived; confirmed by Fourier analysis of the motion.

    >>> f"{lag_harmonic(angle_rad=math.radians(10), order=2):.8f}"
    '0.00765427'
    """
    _domain.joint_angle(angle_rad=angle_rad)
    orders = _domain.as_list(order)
    _domain.between(2.0, math.inf, "an even whole number, 2 or greater", order=orders)
    odd = orders[orders % 2 != 0]
    if odd.size:
        raise ValueError(f"order is {odd.flat[0]:g}; it must be an even whole number, 2 or greater.")
    return as_result(np.tan(angle_rad / 2) ** orders / (orders / 2))


@elementwise_record
def secondary_couple(*, torque_nm: float, angle_rad: float) -> SecondaryCouple:
    """Greatest bending couples on both yokes and greatest couple in the plane of the cross.

    Formula: driving yoke T tan b; cross T / cos b; driven yoke T sin b up to 45 deg, T / (2 cos b) above. Each
    varies twice per turn; up to 45 deg the peaks of the two yokes lie a quarter turn apart.
    Units: torque of the driving shaft N m, angle rad; result N m, magnitudes.
    Range: 0 <= b < pi/2; no friction in the bearings, no inertia.
    Raises: ValueError if an argument is not finite or b is outside its range.
    Source: statics of the frictionless cross, derived by vectors; cf. Seherr-Thoss, Schmelz & Aucktor,
    Universal Joints and Driveshafts (from memory).

    >>> round(secondary_couple(torque_nm=1000.0, angle_rad=math.radians(10)).driving_yoke_nm, 2)
    176.33
    """
    _domain.finite(torque_nm=torque_nm)
    _domain.joint_angle(angle_rad=angle_rad)
    torque, sine, cosine = abs(torque_nm), np.sin(angle_rad), np.cos(angle_rad)
    # Driven yoke: T / cos b x sin g cos g, g the angle of the cross's normal to its shaft, from 0 to b and back in
    # a turn; sin g cos g is greatest at 45 deg if g gets there, else at g = b.
    return SecondaryCouple(
        driving_yoke_nm=as_result(torque * np.tan(angle_rad)),
        driven_yoke_nm=as_result(torque * np.where(sine <= cosine, sine, 0.5 / cosine)),
        cross_nm=as_result(torque / cosine),
    )


@elementwise
def non_uniformity(*, angle_rad: float) -> float:
    """Spread of the driven speed within a turn, over the driving speed.

    Formula: U = 1 / cos b - cos b = sin b tan b.
    Units: rad; result dimensionless.
    Range: 0 <= b < pi/2.
    Raises: ValueError if the angle is not finite or outside its range.
    Source: theory of machines, e.g. Khurmi & Gupta, ch. 9 (from memory); VDI 2722 judges b or U with
    3 deg or 0.0027 (from memory, clause not seen).

    >>> round(non_uniformity(angle_rad=math.radians(3)), 5)
    0.00274
    """
    _domain.joint_angle(angle_rad=angle_rad)
    return as_result(np.sin(angle_rad) * np.tan(angle_rad))


@elementwise
def angle_for_fluctuation(*, fluctuation: float) -> float:
    """Joint angle that makes a given spread of the driven speed.

    Formula: cos b = (sqrt(U^2 + 4) - U) / 2, the inverse of U = 1 / cos b - cos b.
    Units: fluctuation U = (greatest - least driven speed) / driving speed, dimensionless; result rad.
    Range: U >= 0.
    Raises: ValueError if the fluctuation is not finite or negative.
    Source: theory of machines, e.g. Khurmi & Gupta, Theory of Machines, ch. 9 (from memory).

    >>> round(math.degrees(angle_for_fluctuation(fluctuation=0.12)), 2)
    19.64
    """
    _domain.non_negative(fluctuation=fluctuation)
    # tan b and cos b follow from U = sin b tan b; atan2 keeps its accuracy where acos(1 - tiny) loses it.
    cosine = 2 / (np.sqrt(fluctuation**2 + 4) + fluctuation)
    return as_result(np.arctan2(np.sqrt(fluctuation * cosine), cosine))


@elementwise
def arm_force_n(*, torque_nm: float, arm_radius_m: float, angle_rad: float = 0.0) -> float:
    """Greatest force on each arm of the cross within a turn.

    Formula: F = T / (2 R cos b); with the joint straight, F = T / (2 R).
    Units: torque of the driving shaft N m, radius m (centre of the cross to mid length of the needles),
    angle rad; result N, magnitude.
    Range: R > 0; 0 <= b < pi/2; both arms of a pair share the load equally.
    Raises: ValueError if an argument is not finite or out of range.
    Source: statics of the frictionless cross, derived; cf. Seherr-Thoss, Schmelz & Aucktor (from memory).

    >>> round(arm_force_n(torque_nm=10_000.0, arm_radius_m=0.075))
    66667
    """
    _domain.positive(arm_radius_m=arm_radius_m)
    return secondary_couple(torque_nm=torque_nm, angle_rad=angle_rad).cross_nm / (2 * arm_radius_m)
