"""Forces that the couples of the joints put on a centre bearing.

The joints are ideal and the shafts without mass: what is found here comes from the torque alone. Unbalance,
weight and thrust of a stuck slip come on top. Vectors: x rearward, y to the right-hand side, z up.
"""

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray

_POINTS_PER_TURN = 64  # orders far above those that a joint of 45 deg leaves are still told apart


@dataclass(frozen=True)
class JointCouples:
    """Bending couples [N m] of one joint on its two shafts at one drive angle.

    Each has a part about the shaft's own axis in the bend plane (square to the shaft, on the side to which
    the driven shaft leans) and a part about the normal of that plane (driving direction x driven direction).
    """

    driving_in_plane_nm: float
    driving_normal_nm: float
    driven_in_plane_nm: float
    driven_normal_nm: float


@dataclass(frozen=True)
class CoupleParts:
    """Steady couples [N m] about the in-plane axes, and amplitudes [N m] that swing twice per turn."""

    driving_steady_nm: float
    driving_second_nm: float
    driven_steady_nm: float
    driven_second_in_plane_nm: float
    driven_second_normal_nm: float


@dataclass(frozen=True)
class BearingForceParts:
    """Force on the bearing [N] as (x, y, z): its mean over a turn and the amplitude of its second order."""

    steady_n: FloatArray
    second_n: FloatArray


@_domain.elementwise_record
def joint_couples(*, torque_nm: float, angle_rad: float, drive_angle_rad: float) -> JointCouples:
    """Bending couples that a joint puts on its driving and its driven shaft at one drive angle.

    Formula: driving -T tan b sin^2 th in the plane, +T tan b sin th cos th normal to it; driven
    -T sin b cos^2 th and -T tan b sin th cos th. The drive angle is 0 with the driving pin in the plane.
    Units: torque of the driving shaft N m (positive: drives by the right-hand rule about
    the rearward direction), rad; result N m.
    Range: 0 <= b < pi/2; ideal joint without friction.
    Raises: ValueError if an argument is not finite or b is outside its range.
    Source: statics of the frictionless cross, derived by vectors; greatest values T tan b and T sin b as in
    Seherr-Thoss, Schmelz & Aucktor, Universal Joints and Driveshafts (from memory).

    >>> c = joint_couples(torque_nm=1e3, angle_rad=np.radians(10), drive_angle_rad=np.pi / 2)
    >>> round(c.driving_in_plane_nm, 2), abs(round(c.driven_in_plane_nm, 2))
    (-176.33, 0.0)
    """
    _domain.finite(torque_nm=torque_nm, drive_angle_rad=drive_angle_rad)
    _domain.joint_angle(angle_rad=angle_rad)
    sine, cosine = np.sin(drive_angle_rad), np.cos(drive_angle_rad)
    by_tan = torque_nm * np.tan(angle_rad)
    parts = (
        -by_tan * sine**2,
        by_tan * sine * cosine,
        -torque_nm * np.sin(angle_rad) * cosine**2,
        -by_tan * sine * cosine,
    )
    return JointCouples(*(_domain.as_result(part) for part in parts))


@_domain.elementwise_record
def couple_parts(*, torque_nm: float, angle_rad: float) -> CoupleParts:
    """Steady and second-order part of the bending couples of one joint.

    Formula: driving T tan b / 2 steady and as much turning twice per turn; driven T sin b / 2 steady,
    T sin b / 2 (in plane) and T tan b / 2 (normal) at twice per turn. No other order occurs.
    Units: N m, rad; result N m. Steady parts carry the sign of joint_couples, amplitudes none.
    Range: 0 <= b < pi/2; steady torque and speed of the driving shaft.
    Raises: ValueError if an argument is not finite or b is outside its range.
    Source: joint_couples written with the double angle, derived.

    >>> parts = couple_parts(torque_nm=1e3, angle_rad=np.radians(10))
    >>> round(parts.driving_steady_nm, 2), round(parts.driven_second_in_plane_nm, 2)
    (-88.16, 86.82)
    """
    _domain.finite(torque_nm=torque_nm)
    _domain.joint_angle(angle_rad=angle_rad)
    by_tan = torque_nm * np.tan(angle_rad) / 2
    by_sin = torque_nm * np.sin(angle_rad) / 2
    parts = (-by_tan, np.abs(by_tan), -by_sin, np.abs(by_sin), np.abs(by_tan))
    return CoupleParts(*(_domain.as_result(part) for part in parts))


def bearing_force(*, couple_nm: ArrayLike, shaft_direction: ArrayLike, span_m: ArrayLike) -> FloatArray:
    """Force that a bending couple on a shaft puts on one of the two supports of that shaft.

    Formula: F = (C x u) / L, u from the other support towards this one; the other gets -F.
    Units: N m and direction as (x, y, z), the couple in any number of rows; m; result N as (x, y, z).
    Range: L > 0; both supports stiff, the couple anywhere between them or beyond.
    Raises: ValueError if an argument is malformed, not finite or out of range.
    Source: balance of moments, derived.

    >>> bearing_force(couple_nm=[0, 100, 0], shaft_direction=[1, 0, 0], span_m=0.5).tolist()
    [0.0, 0.0, -200.0]
    """
    _domain.positive(span_m=span_m)
    couple = _vectors(couple_nm=couple_nm)
    force: FloatArray = np.cross(couple, _unit(shaft_direction=shaft_direction))
    return force / _domain.as_list(span_m)[..., None]


def two_piece_bearing_force(
    *,
    torque_nm: ArrayLike,
    directions: ArrayLike,
    phases_rad: ArrayLike,
    front_span_m: ArrayLike,
    overhang_m: ArrayLike,
    rear_length_m: ArrayLike,
    input_angles_rad: ArrayLike,
) -> FloatArray:
    """Force on the centre bearing of a line of two shafts and three joints, at each input angle.

    Formula: the cross passes M = T n / (n . u) on, n normal to both pins. Front shaft: M1 - M2 and the end
    force P of the rear shaft, P = u_r x (M2 - M3) / L_r. Moments about joint 1:
    F = (M1 - M2) x u_f / L_f + (1 + a / L_f) P, the part of P along the front shaft left out.
    Units: N m; four directions (gearbox, front shaft, rear shaft, axle) as (x, y, z); rad; m: joint 1 to
    bearing, bearing to joint 2, joint 2 to joint 3. Result N, one (x, y, z) per input angle; torque and
    lengths broadcast in front of that.
    Range: joint angles below pi/2, L_f and L_r > 0, a >= 0; phases as in chain.drive_yoke_angles; input angle
    0 has the first driving pin along the direction square to the gearbox shaft and nearest to y.
    Raises: ValueError if an argument is malformed, not finite or out of range.
    Source: statics of three frictionless crosses, derived by vectors.

    >>> force = two_piece_bearing_force(
    ...     torque_nm=1e3, directions=[[1, 0, 0], [1, 0, 0], [1, 0, -0.1], [1, 0, 0]], phases_rad=[0.0, 0.0],
    ...     front_span_m=0.5, overhang_m=0.1, rear_length_m=1.0, input_angles_rad=[0.0])
    >>> force.shape
    (1, 3)
    """
    _domain.finite(torque_nm=torque_nm)
    _domain.positive(front_span_m=front_span_m, rear_length_m=rear_length_m)
    _domain.non_negative(overhang_m=overhang_m)
    shafts = _four_shafts(directions)
    phases, turned = _domain.as_list(phases_rad), np.atleast_1d(_domain.as_list(input_angles_rad))
    _domain.finite(phases_rad=phases, input_angles_rad=turned)
    if phases.shape != (2,):
        raise ValueError(f"phases_rad has shape {phases.shape}; it must hold one phase for each of the two shafts.")
    # Everything is proportional to the torque: the moments are found once, for 1 N m.
    first, second, third = _moments(shafts, phases, turned)
    front, rear = shafts[1], shafts[2]
    from_end = np.cross(rear, second - third)
    across = from_end - (from_end @ front)[:, None] * front
    torque, span, overhang, length = (
        _domain.as_list(x)[..., None, None] for x in (torque_nm, front_span_m, overhang_m, rear_length_m)
    )
    per_nm = np.cross(first - second, front) / span + (1 + overhang / span) / length * across
    force: FloatArray = torque * per_nm
    return force


def two_piece_bearing_parts(
    *,
    torque_nm: ArrayLike,
    directions: ArrayLike,
    phases_rad: ArrayLike,
    front_span_m: ArrayLike,
    overhang_m: ArrayLike,
    rear_length_m: ArrayLike,
) -> BearingForceParts:
    """Steady and second-order part of the force on the centre bearing of a two-piece line.

    Formula: mean and second Fourier coefficient of two_piece_bearing_force over one turn of the input.
    Units: as two_piece_bearing_force; result N, amplitude zero to peak along x, y and z.
    Range: as two_piece_bearing_force. Higher even orders exist but are of the order of the angle squared.
    Raises: ValueError if an argument is malformed, not finite or out of range.
    Source: Fourier analysis of two_piece_bearing_force, derived.

    >>> parts = two_piece_bearing_parts(
    ...     torque_nm=1e3, directions=[[1, 0, 0], [1, 0, -0.1], [1, 0, -0.1], [1, 0, -0.1]],
    ...     phases_rad=[0.0, 0.0], front_span_m=0.5, overhang_m=0.0, rear_length_m=1.0)
    >>> round(float(parts.steady_n[1]), 1), round(float(parts.second_n[1]), 1)
    (99.5, 99.5)
    """
    turn = np.arange(_POINTS_PER_TURN) * 2 * np.pi / _POINTS_PER_TURN
    forces = two_piece_bearing_force(
        torque_nm=torque_nm,
        directions=directions,
        phases_rad=phases_rad,
        front_span_m=front_span_m,
        overhang_m=overhang_m,
        rear_length_m=rear_length_m,
        input_angles_rad=turn,
    )
    spectrum = np.fft.rfft(forces, axis=-2) / _POINTS_PER_TURN
    return BearingForceParts(steady_n=spectrum[..., 0, :].real, second_n=2 * np.abs(spectrum[..., 2, :]))


def _moments(shafts: FloatArray, phases: FloatArray, turned: FloatArray) -> list[FloatArray]:
    """Return the moment that each cross passes on for 1 N m in the first shaft, shape (angles, 3) each."""
    across = np.array([0.0, 1.0, 0.0]) if abs(shafts[0][1]) < 0.9 else np.array([0.0, 0.0, 1.0])
    first = _scaled(across - (across @ shafts[0]) * shafts[0])
    pins = np.cos(turned)[:, None] * first + np.sin(turned)[:, None] * np.cross(shafts[0], first)
    torque = np.ones(len(turned))
    moments = []
    for (before, after), phase in zip(itertools.pairwise(shafts), np.append(phases, 0.0), strict=True):
        driven = _scaled(np.cross(after, pins))
        normal = np.cross(pins, driven)
        moments.append((torque / (normal @ before))[:, None] * normal)
        torque = moments[-1] @ after
        pins = np.cos(phase) * driven + np.sin(phase) * np.cross(after, driven)
    return moments


def _four_shafts(directions: ArrayLike) -> FloatArray:
    """Return the unit directions of gearbox, both shafts and axle, refusing joints that cannot turn."""
    rows = _vectors(directions=directions)
    if rows.shape != (4, 3):
        raise ValueError(f"directions has shape {rows.shape}; it must hold (x, y, z) for each of four shafts.")
    shafts = np.array([_unit(directions=row) for row in rows])
    if np.min(np.sum(shafts[1:] * shafts[:-1], axis=1)) <= 0:
        raise ValueError("directions has a joint of pi/2 or more; each joint must be bent by less.")
    return shafts


def _vectors(**named: ArrayLike) -> FloatArray:
    """Return rows of (x, y, z), refusing another shape and what is not finite."""
    ((name, value),) = named.items()
    rows = _domain.as_list(value)
    _domain.finite(**{name: rows})
    if rows.shape[-1:] != (3,):
        raise ValueError(f"{name} has shape {rows.shape}; it must hold (x, y, z).")
    return rows


def _unit(**named: ArrayLike) -> FloatArray:
    """Return one direction scaled to length one, refusing a malformed or zero one."""
    ((name, value),) = named.items()
    row = _vectors(**{name: value})
    if row.shape != (3,) or not row.any():
        raise ValueError(f"{name} is {row.tolist()}; it must be one (x, y, z) longer than 0.")
    return _scaled(row)


def _scaled(rows: FloatArray) -> FloatArray:
    """Return vectors scaled to length one."""
    scaled: FloatArray = rows / np.linalg.norm(rows, axis=-1, keepdims=True)
    return scaled
