"""What remains of the joints' uneven motion at the end of several joints in space.

A chain has n joints between n + 1 shafts, counted from the input. Directions point rearward along each
shaft. Every intermediate shaft carries a driven yoke at its front and a driving yoke at its rear.

Many chains at once: any axes before those of one chain (shafts and x, y, z; or joints) run over chains, and
broadcast. What is one number for one chain is then an array.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray, as_result, elementwise

ComplexArray = NDArray[np.complex128]
_STRAIGHT_RAD = 1e-9  # below this a bend has no plane that could be told from rounding


def direction(*, slope_rad: ArrayLike, plan_rad: ArrayLike) -> FloatArray:
    """Unit vector of a shaft from its angle in side view and its angle in the horizontal projection.

    Formula: u = (1, tan(plan), tan(slope)) / length.
    Units: rad; x rearward, y to the right-hand side, z up (a positive slope rises rearward).
    Range: both angles within -pi/2 .. pi/2, excluded. The plan angle is that of the horizontal
    projection, not one measured in the inclined plane of the shaft.
    Raises: ValueError if an angle is not finite or out of range.
    Source: elementary geometry.

    >>> direction(slope_rad=0.0, plan_rad=math.pi / 4).round(4).tolist()
    [0.7071, 0.7071, 0.0]
    """
    limit = math.nextafter(math.pi / 2, 0.0)
    _domain.between(-limit, limit, "between -pi/2 and pi/2 rad", slope_rad=slope_rad, plan_rad=plan_rad)
    slope, plan = np.tan(slope_rad), np.tan(plan_rad)
    return _unit(direction=np.stack(np.broadcast_arrays(1.0, plan, slope), axis=-1))


def joint_angle(*, before: ArrayLike, after: ArrayLike) -> float:
    """True angle between two shafts in space.

    Formula: atan2(|u1 x u2|, u1 . u2).
    Units: directions of any length (dimensionless); result rad.
    Range: any two directions that are not zero; result 0 .. pi.
    Raises: ValueError if a direction is not finite, not three numbers, or zero.
    Source: elementary geometry.

    >>> down = direction(slope_rad=math.radians(3), plan_rad=math.radians(4))
    >>> round(math.degrees(joint_angle(before=[1, 0, 0], after=down)), 4)
    4.9942
    """
    return as_result(_angle_between(_unit(before=before), _unit(after=after)))


def joint_angles(*, directions: ArrayLike) -> FloatArray:
    """True angle of every joint of a chain.

    Formula: as joint_angle, for each pair of neighbouring shafts.
    Units: directions dimensionless, one row of (x, y, z) per shaft; result rad.
    Range: at least two shafts; each angle below pi/2, where a Cardan joint can still turn.
    Raises: ValueError if the directions are malformed or a joint is bent by pi/2 or more.
    Source: elementary geometry.

    >>> joint_angles(directions=[[1, 0, 0], [1, 0, 0.1], [1, 0, 0]]).round(4).tolist()
    [0.0997, 0.0997]
    """
    rows = _chain_rows(directions)
    return _joint_angles(rows)


def bend_planes(*, directions: ArrayLike) -> FloatArray:
    """Angle of each joint's bend plane, seen from a frame that is carried along without twist.

    Formula: the frame starts square to the first shaft with its first axis nearest to y, and is turned
    at each joint by the joint angle about u1 x u2 (parallel transport). The bend plane's angle is that
    of the next shaft's sideways part in this frame.
    Units: directions dimensionless; result rad, -pi .. pi. A straight joint has no plane and gets 0.
    Range: at least two shafts, joint angles below pi/2.
    Raises: ValueError if the directions are malformed or a joint is bent by pi/2 or more.
    Source: derived (differential geometry of a polygon); confirmed by exact simulation.

    >>> bend_planes(directions=[[1, 0, 0], [1, 0.1, 0], [1, 0.1, 0.1]]).round(3).tolist()
    [0.0, 1.571]
    """
    rows = _chain_rows(directions)
    angles = _joint_angles(rows)
    firsts, after = _carried_firsts(rows)[..., :-1, :], rows[..., 1:, :]
    seconds = _cross(rows[..., :-1, :], firsts)
    planes = np.arctan2(_dot(seconds, after), _dot(firsts, after))
    return np.where(angles > _STRAIGHT_RAD, planes, 0.0)


def drive_yoke_angles(*, phases_rad: ArrayLike, bend_plane_rad: ArrayLike) -> FloatArray:
    """Angle of each joint's driving yoke pin from that joint's bend plane, all at one instant.

    Formula: the driven yoke of a joint stands pi/2 from its driving yoke; the next driving yoke stands
    at the shaft's phase from it. The first driving yoke is taken along the frame's first axis.
    Units: rad. phases_rad[k]: rear yoke of intermediate shaft k against its front yoke, 0 in line, by
    the right-hand rule about the rearward direction; one fewer than the joints.
    Range: joint angles small enough for the phasor rule (its error is of the order b^4).
    Raises: ValueError if a value is not finite or the lengths do not match.
    Source: derived; confirmed by exact simulation.

    >>> drive_yoke_angles(phases_rad=[0.0], bend_plane_rad=[0.0, 0.0]).round(4).tolist()
    [0.0, 1.5708]
    """
    phases, planes = _domain.as_list(phases_rad), _domain.as_list(bend_plane_rad)
    _domain.finite(phases_rad=phases, bend_plane_rad=planes)
    _require_phases(phases, joints=planes.shape[-1] if planes.ndim else 0)
    yokes = np.zeros((*phases.shape[:-1], phases.shape[-1] + 1))
    np.cumsum(phases + math.pi / 2, axis=-1, out=yokes[..., 1:])
    turned: FloatArray = yokes - planes
    return turned


def partial_phasors(*, angles_rad: ArrayLike, drive_yoke_angles_rad: ArrayLike) -> ComplexArray:
    """Running sum of the joints' phasors from the input to each joint.

    Formula: s_j = sum over k <= j of b_k^2 exp(2 i g_k).
    Units: rad; result rad^2, complex.
    Range: small joint angles (0.2 % low at 6 deg, 2.5 % at 20 deg).
    Raises: ValueError if a value is not finite, an angle is out of range, or the lengths differ.
    Source: derived from the second order of the exact series; confirmed by exact simulation.

    >>> s = partial_phasors(angles_rad=[0.1, 0.1], drive_yoke_angles_rad=[0.0, math.pi / 2])
    >>> abs(s).round(6).tolist()
    [0.01, 0.0]
    """
    angles, yokes = _domain.as_list(angles_rad), _domain.as_list(drive_yoke_angles_rad)
    _domain.same_last_length(angles_rad=angles, drive_yoke_angles_rad=yokes)
    _domain.joint_angle(angles_rad=angles)
    _domain.finite(drive_yoke_angles_rad=yokes)
    sums: ComplexArray = np.cumsum(angles**2 * np.exp(2j * yokes), axis=-1)
    return sums


def equivalent_angle(*, angles_rad: ArrayLike, drive_yoke_angles_rad: ArrayLike) -> float:
    """Angle of the one joint that would disturb the output as much as the whole chain does.

    Formula: b_e = sqrt(|sum over k of b_k^2 exp(2 i g_k)|).
    Units: rad.
    Range: small joint angles; higher orders are left out.
    Raises: ValueError if a value is not finite, an angle is out of range, or the lengths differ.
    Source: derived from the second order of the exact series; confirmed by exact simulation.

    >>> four_three = [math.radians(4), math.radians(3)]
    >>> b = equivalent_angle(angles_rad=four_three, drive_yoke_angles_rad=[0.0, math.pi / 2])
    >>> round(math.degrees(b), 3)
    2.646
    """
    sums = partial_phasors(angles_rad=angles_rad, drive_yoke_angles_rad=drive_yoke_angles_rad)
    return as_result(np.sqrt(np.abs(sums[..., -1])))


@elementwise
def torsional_acceleration(*, equivalent_angle_rad: float, speed_rad_s: float) -> float:
    """Amplitude of the angular acceleration that an equivalent angle leaves, zero to peak.

    Formula: w^2 b_e^2 (peak to peak is twice that).
    Units: rad, rad/s; result rad/s^2.
    Range: small angles; second order only; constant speed at the input.
    Raises: ValueError if an argument is not finite or the angle is out of range.
    Source: derived; the convention without a factor 2 follows from the table of allowed angles in
    SAE AE-7, Universal Joint and Driveshaft Design Manual, sec. 3.1.1 (reprint read).

    >>> round(torsional_acceleration(equivalent_angle_rad=0.1, speed_rad_s=200.0), 6)
    400.0
    """
    _domain.joint_angle(equivalent_angle_rad=equivalent_angle_rad)
    _domain.finite(speed_rad_s=speed_rad_s)
    return (speed_rad_s * equivalent_angle_rad) ** 2


def shaft_accelerations(
    *, angles_rad: ArrayLike, drive_yoke_angles_rad: ArrayLike, speed_rad_s: ArrayLike, from_rear: bool
) -> FloatArray:
    """Amplitude of the angular acceleration of each intermediate shaft, zero to peak.

    Formula: w^2 |sum of the phasors between the steadily turning end and that shaft|. In drive the
    steady end is the input; on overrun (from_rear) it is the output, and the joints behind count.
    Units: rad, rad/s; result rad/s^2, one value per intermediate shaft.
    Range: small angles; second order only; one end turns steadily.
    Raises: ValueError if a value is not finite, an angle is out of range, or the lengths differ.
    Source: derived from the phasor rule; confirmed by exact simulation.

    >>> alpha = shaft_accelerations(angles_rad=[0.1, 0.05], drive_yoke_angles_rad=[0.0, math.pi / 2],
    ...                             speed_rad_s=100.0, from_rear=True)
    >>> alpha.round(3).tolist()
    [25.0]
    """
    _domain.finite(speed_rad_s=speed_rad_s)
    sums = partial_phasors(angles_rad=angles_rad, drive_yoke_angles_rad=drive_yoke_angles_rad)
    counted = sums[..., -1:] - sums[..., :-1] if from_rear else sums[..., :-1]
    accelerations: FloatArray = _domain.as_list(speed_rad_s)[..., np.newaxis] ** 2 * np.abs(counted)
    return accelerations


@elementwise
def allowed_rear_angle(*, front_angle_rad: float, speed_rad_s: float, limit_rad_s2: float) -> float:
    """Greatest rear joint angle of a two-joint shaft with yokes in line that keeps within a limit.

    Formula: b2 = sqrt(b1^2 + limit / w^2).
    Units: rad, rad/s, rad/s^2; result rad.
    Range: both joints in one plane, yokes in line, small angles; w > 0.
    Raises: ValueError if an argument is not finite or out of range.
    Source: SAE AE-7, Universal Joint and Driveshaft Design Manual, sec. 3.1.1 (reprinted table read).

    >>> w = 1500 * math.pi / 30
    >>> b2 = allowed_rear_angle(front_angle_rad=math.radians(4), speed_rad_s=w, limit_rad_s2=400.0)
    >>> round(math.degrees(b2), 1)
    8.3
    """
    _domain.joint_angle(front_angle_rad=front_angle_rad)
    _domain.positive(speed_rad_s=speed_rad_s)
    _domain.non_negative(limit_rad_s2=limit_rad_s2)
    return as_result(np.sqrt(front_angle_rad**2 + limit_rad_s2 / speed_rad_s**2))


def exact_chain_motion(*, directions: ArrayLike, phases_rad: ArrayLike, input_angles_rad: ArrayLike) -> FloatArray:
    """Angle of the output shaft for each angle of the input shaft, without approximation.

    Formula: at each joint the driven pin is square to the driving pin and to its own shaft:
    q = u2 x p / |u2 x p|. The angles are read in frames carried along the chain without twist.
    Units: rad; directions dimensionless. The output angle is counted so that a straight chain returns
    the input angle; the input angle 0 has the first driving pin along the carried frame's first axis.
    With many chains the input angles are one list for all, or a list for each along the last axis.
    Range: at least two shafts, joint angles below pi/2, rigid ideal joints.
    Raises: ValueError if the directions are malformed, a value is not finite, or lengths do not match.
    Source: spatial kinematics, derived; serves as referee of the phasor rule.

    >>> exact_chain_motion(directions=[[1, 0, 0], [1, 1, 0]], phases_rad=[],
    ...                    input_angles_rad=[0.0, math.pi / 4]).round(4).tolist()
    [0.0, 0.9553]
    """
    rows, phases = _chain_rows(directions), _domain.as_list(phases_rad)
    turned = _domain.as_list(input_angles_rad)
    _domain.finite(phases_rad=phases, input_angles_rad=turned)
    _joint_angles(rows)
    joints = rows.shape[-2] - 1
    _require_phases(phases, joints=joints)
    firsts = _carried_firsts(rows)
    driving = np.atleast_1d(turned)
    lead = np.zeros_like(driving)
    for joint in range(joints):
        gained = _lead_over_joint(rows, firsts, joint, driving)
        lead = lead + gained
        phase = phases[..., joint, np.newaxis] if joint < joints - 1 else 0.0
        driving = driving + gained + math.pi / 2 + phase
    output: FloatArray = turned + (lead if turned.ndim else lead[..., 0])
    return output


def _lead_over_joint(rows: FloatArray, firsts: FloatArray, joint: int, driving: FloatArray) -> FloatArray:
    """Return what the driven pin is ahead of the position square to the driving pin."""
    # One more axis: along the angles of the input.
    before, after, first, carried = (
        x[..., np.newaxis, place, :] for x in (rows, firsts) for place in (joint, joint + 1)
    )
    pins = np.cos(driving)[..., np.newaxis] * first + np.sin(driving)[..., np.newaxis] * _cross(before, first)
    driven = _cross(after, pins)
    angle = np.arctan2(_dot(driven, _cross(after, carried)), _dot(driven, carried))
    # The lead is below pi/2 for any joint that can turn, so wrapping to -pi .. pi loses nothing.
    lead: FloatArray = np.angle(np.exp(1j * (angle - driving - math.pi / 2)))
    return lead


def _carried_firsts(rows: FloatArray) -> FloatArray:
    """Return for each shaft the first of two axes square to it, carried along without twist.

    The second axis is the shaft's direction x the first one.
    """
    near_y = np.abs(rows[..., 0, 1:2]) < 0.9
    helper = np.where(near_y, [0.0, 1.0, 0.0], [0.0, 0.0, 1.0])
    first = helper - _dot(helper, rows[..., 0, :])[..., np.newaxis] * rows[..., 0, :]
    firsts = np.empty_like(rows)
    firsts[..., 0, :] = first / np.linalg.norm(first, axis=-1, keepdims=True)
    for joint in range(rows.shape[-2] - 1):
        both = rows[..., joint, :] + rows[..., joint + 1, :]
        # The least turn of one direction to the next, for an axis square to the first of them.
        along = _dot(firsts[..., joint, :], both) / (1 + _dot(rows[..., joint, :], rows[..., joint + 1, :]))
        firsts[..., joint + 1, :] = firsts[..., joint, :] - along[..., np.newaxis] * both
    return firsts


def _joint_angles(rows: FloatArray) -> FloatArray:
    """Return the angles between neighbouring unit directions, refusing what no joint can turn at."""
    angles = _angle_between(rows[..., :-1, :], rows[..., 1:, :])
    _domain.joint_angle(joint_angle_rad=angles)
    return angles


def _angle_between(first: FloatArray, second: FloatArray) -> FloatArray:
    """Return the angle between unit directions; the tangent keeps its accuracy at small angles."""
    cross = _cross(first, second)
    angle: FloatArray = np.arctan2(np.sqrt(_dot(cross, cross)), _dot(first, second))
    return angle


def _dot(first: FloatArray, second: FloatArray) -> FloatArray:
    """Return the scalar product along the last axis."""
    product: FloatArray = np.einsum("...i,...i->...", first, second)
    return product


def _cross(first: FloatArray, second: FloatArray) -> FloatArray:
    """Return the vector product along the last axis; written out, as np.cross is slow on small vectors."""
    (a, b, c), (x, y, z) = (np.moveaxis(v, -1, 0) for v in (first, second))
    return np.stack((b * z - c * y, c * x - a * z, a * y - b * x), axis=-1)


def _unit(**named: ArrayLike) -> FloatArray:
    """Return each (x, y, z) scaled to length one, refusing malformed or zero ones."""
    ((name, value),) = named.items()
    rows = _domain.as_list(value)
    _domain.finite(**{name: rows})
    if rows.shape[-1:] != (3,):
        raise ValueError(f"{name} has shape {rows.shape}; it must hold (x, y, z) for each shaft.")
    lengths = np.linalg.norm(rows, axis=-1, keepdims=True)
    if not lengths.all():
        raise ValueError(f"{name} holds (0, 0, 0); each direction must have a length greater than 0.")
    unit: FloatArray = rows / lengths
    return unit


def _chain_rows(directions: ArrayLike) -> FloatArray:
    """Return the unit directions of a chain of at least two shafts."""
    rows = _unit(directions=directions)
    if rows.ndim < 2:
        raise ValueError(f"directions has shape {rows.shape}; it must hold (x, y, z) for each shaft.")
    if rows.shape[-2] < 2:
        raise ValueError(f"directions has {rows.shape[-2]} shaft; a chain needs at least 2.")
    return rows


def _require_phases(phases: FloatArray, *, joints: int) -> None:
    """Refuse a list of phases that does not name every intermediate shaft once."""
    if phases.shape[-1:] != (joints - 1,):
        raise ValueError(
            f"phases_rad has shape {phases.shape}; it must hold one phase for each of the"
            f" {joints - 1} intermediate shafts."
        )
