"""Joint angles and excitation over the travel of the suspension.

Gearbox and centre bearings stay with the frame, the axle moves in the side view: x rearward, z up, turned by the
tilt. A tilt has the sense of a slope: positive turns the pinion's rearward direction upward. The ride height is
that of the frame above the axle, so a greater one has the axle lower. Rubber, wrap-up of springs under torque
and roll are left out.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beachmark.mechanics import _domain, chain
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.chain import ComplexArray


@dataclass(frozen=True)
class AxlePath:
    """Where a point of the axle is at each ride height, from its design position, and how the axle is tilted."""

    ride_height_m: FloatArray
    shift_m: FloatArray
    rise_m: FloatArray
    tilt_rad: FloatArray


@dataclass(frozen=True)
class TravelSweep:
    """A driveline over its travel; the rows are ride heights, the columns joints counted from the gearbox, from 0.

    `below_minimum` marks joints that run straighter than asked. `slip_travel_m` is what the last shaft must take up.
    """

    ride_height_m: FloatArray
    joint_angles_rad: FloatArray
    equivalent_angle_rad: FloatArray
    torsional_acceleration_rad_s2: FloatArray
    below_minimum: NDArray[np.bool_]
    slip_travel_m: float
    worst_ride_height_m: float
    steepest_joint: int
    steepest_ride_height_m: float


def four_link_path(
    *,
    ride_heights_m: ArrayLike,
    design_height_m: ArrayLike,
    lower_length_m: ArrayLike,
    lower_angle_rad: ArrayLike,
    upper_length_m: ArrayLike,
    upper_angle_rad: ArrayLike,
    axle_pivots_apart_m: ArrayLike,
    axle_pivots_lean_rad: ArrayLike = 0.0,
) -> AxlePath:
    """Path of an axle on a lower and an upper link (two pairs of them are one in side view), or a parallelogram.

    Formula: the lower axle pivot has the height asked for on its circle; the upper one lies where the circle of
    its link meets that about the lower pivot. The tilt is the turn of the line between both.
    Units: m, rad. Link angles in side view at the design height, from frame pivot to axle pivot, 0 rearward and
    positive upward (a link that runs forward has more than pi/2). The upper axle pivot stands over the lower one,
    leaning rearward by the lean. All broadcast; the path's point is the lower axle pivot.
    Range: lengths > 0, links not upright, heights within the reach of both links.
    Raises: ValueError if an argument is not finite or out of range, or a height cannot be reached.
    Source: geometry of the four-bar linkage, derived; checked by solving its distances numerically.

    >>> level = four_link_path(ride_heights_m=[0.2, 0.3], design_height_m=0.25, lower_length_m=0.6,
    ...                        lower_angle_rad=0.0, upper_length_m=0.6, upper_angle_rad=0.0,
    ...                        axle_pivots_apart_m=0.25)
    >>> (level.tilt_rad + 0.0).round(9).tolist(), level.shift_m.round(6).tolist()
    ([0.0, 0.0], [-0.002087, -0.002087])
    """
    heights, design = _heights(ride_heights_m, design_height_m)
    lower, upper, apart = (_domain.as_list(x) for x in (lower_length_m, upper_length_m, axle_pivots_apart_m))
    _domain.positive(lower_length_m=lower, upper_length_m=upper, axle_pivots_apart_m=apart)
    _domain.finite(axle_pivots_lean_rad=axle_pivots_lean_rad)
    # In the plane a point is a complex number: x + i z, from the lower frame pivot.
    lower_design, upper_design = _link("lower", lower, lower_angle_rad), _link("upper", upper, upper_angle_rad)
    between = 1j * apart * np.exp(-1j * _domain.as_list(axle_pivots_lean_rad))
    upper_frame = lower_design + between - upper_design
    lower_pivot = _on_circle("lower link", lower_design, lower, heights, design)
    # From the lower axle pivot: the frame pivot of the upper link, and the corner between it and the axle.
    seen_design, seen = upper_frame - lower_design, upper_frame - lower_pivot
    across = (between * seen_design.conj()).imag
    if (np.abs(across) <= 1e-9 * apart * upper).any():
        raise ValueError("upper_angle_rad lies along the line of the axle pivots; it must stand across it.")
    cosine = (np.abs(seen) ** 2 + apart**2 - upper**2) / (2 * apart * np.abs(seen))
    _reached("upper link", cosine, heights)
    tilt = np.angle(seen * np.exp(1j * np.sign(across) * np.arccos(cosine)) / between)
    moved = lower_pivot - lower_design
    return _path(heights, moved.real, moved.imag, tilt)


def arc_path(
    *,
    ride_heights_m: ArrayLike,
    design_height_m: ArrayLike,
    arm_m: ArrayLike,
    arm_angle_rad: ArrayLike,
    turn_share: ArrayLike = 1.0,
) -> AxlePath:
    """Path of an axle that swings about one centre fixed to the frame: a trailing arm, or a leaf spring as an arc.

    Formula: the axle has the height asked for on its circle; tilt = share x turn of the arm.
    Units: m; rad; the arm's angle at the design height from the centre to the axle, 0 rearward and positive
    upward (pi: the centre lies behind the axle). The share is dimensionless: 1 where the axle is rigid with the
    arm, 0 where it stays parallel, as at the middle of an even leaf spring (common practice, no source). All
    broadcast; the path's point is the axle's centre.
    Range: arm > 0, not upright; heights within its reach; share 0 to 1.
    Raises: ValueError if an argument is not finite or out of range, or a height cannot be reached.
    Source: geometry of the circle, derived.

    >>> path = arc_path(ride_heights_m=[0.2], design_height_m=0.3, arm_m=1.0, arm_angle_rad=0.0)
    >>> path.rise_m.round(6).tolist(), path.tilt_rad.round(6).tolist()
    ([0.1], [0.100167])
    """
    heights, design = _heights(ride_heights_m, design_height_m)
    arm = _domain.as_list(arm_m)
    _domain.positive(arm_m=arm)
    _domain.between(0.0, 1.0, "from 0 to 1", turn_share=turn_share)
    arm_design = _link("arm", arm, arm_angle_rad)
    now = _on_circle("arm", arm_design, arm, heights, design)
    moved, turned = now - arm_design, np.angle(now / arm_design)
    return _path(heights, moved.real, moved.imag, _domain.as_list(turn_share) * turned)


def table_path(
    *,
    ride_heights_m: ArrayLike,
    design_height_m: float,
    table_heights_m: ArrayLike,
    table_pinion_slopes_rad: ArrayLike,
    table_rises_m: ArrayLike,
) -> AxlePath:
    """Path of an axle from measured ride heights, pinion slopes and rises; no shift is known.

    Formula: linear between the entries, less what stands at the design height.
    Units: m, rad; the rise of the axle against the frame from any one mark, upward positive.
    Range: at least two entries with ride heights in ascending order; nothing is drawn out beyond them.
    Raises: ValueError if a value is not finite, the lists differ in length, or a height lies outside the table.
    Source: linear interpolation.

    >>> path = table_path(ride_heights_m=[0.25], design_height_m=0.3, table_heights_m=[0.2, 0.3],
    ...                   table_pinion_slopes_rad=[0.05, 0.03], table_rises_m=[0.1, 0.0])
    >>> path.tilt_rad.round(6).tolist(), path.rise_m.round(6).tolist()
    ([0.01], [0.05])
    """
    heights, design = _heights(ride_heights_m, design_height_m)
    known, slopes, rises = (_domain.as_list(x) for x in (table_heights_m, table_pinion_slopes_rad, table_rises_m))
    _domain.same_length(table_heights_m=known, table_pinion_slopes_rad=slopes, table_rises_m=rises)
    _domain.finite(table_heights_m=known, table_pinion_slopes_rad=slopes, table_rises_m=rises)
    if known.size < 2 or not (np.diff(known) > 0).all():
        raise ValueError(f"table_heights_m is {known.tolist()}; it must ascend, with two entries or more.")
    allowed = "within the table, from {low:g} to {high:g}"
    _domain.between(known[0], known[-1], allowed, ride_heights_m=heights, design_height_m=design)
    rise, tilt = (np.interp(heights, known, x) - np.interp(design, known, x) for x in (rises, slopes))
    return _path(heights, np.zeros_like(rise), rise, tilt)


def directions_over_travel(
    *,
    path: AxlePath,
    input_direction: ArrayLike,
    frame_joints_m: ArrayLike,
    rear_joint_m: ArrayLike,
    path_point_m: ArrayLike,
    pinion_direction: ArrayLike,
) -> tuple[FloatArray, FloatArray]:
    """Direction of every shaft at each ride height, and the length of the last one between its joints.

    Formula: the rear joint goes with the path's point and turns about it by the tilt, the pinion turns with it;
    the other joints stay. The shafts lie from joint to joint.
    Units: m, x rearward, y to the right-hand side, z up, design position, from any one origin; directions
    dimensionless. Result: directions (heights, shafts, 3) from gearbox output to pinion; lengths m.
    Range: one or more joints on the frame (the first behind the gearbox, the others at the centre bearings).
    Raises: ValueError if a value is malformed or not finite, or two joints coincide.
    Source: elementary geometry.

    >>> still = arc_path(ride_heights_m=[0.3], design_height_m=0.3, arm_m=1.0, arm_angle_rad=0.0)
    >>> rows, length = directions_over_travel(path=still, input_direction=[1, 0, 0], frame_joints_m=[[0, 0, 0]],
    ...     rear_joint_m=[1.2, 0, -0.5], path_point_m=[1.6, 0, -0.5], pinion_direction=[1, 0, 0])
    >>> rows.shape, length.round(6).tolist()
    ((1, 3, 3), [1.3])
    """
    front, rear, point = (
        _points(name, value)
        for name, value in (
            ("frame_joints_m", frame_joints_m),
            ("rear_joint_m", rear_joint_m),
            ("path_point_m", path_point_m),
        )
    )
    if front.ndim != 2 or rear.ndim != 1 or point.ndim != 1:
        raise ValueError(
            f"frame_joints_m has shape {front.shape}; it must hold (x, y, z) of each joint on the frame, and"
            " rear_joint_m and path_point_m one (x, y, z) each."
        )
    moved = np.stack((path.shift_m, np.zeros_like(path.shift_m), path.rise_m), axis=-1)
    joint = point + moved + _tilted(rear - point, path.tilt_rad)
    batch = path.tilt_rad.shape
    joints = np.concatenate((np.broadcast_to(front, (*batch, *front.shape)), joint[..., np.newaxis, :]), axis=-2)
    shafts = np.diff(joints, axis=-2)
    lengths = np.linalg.norm(shafts, axis=-1)
    _domain.positive(length_between_joints_m=lengths)
    first, pinion = _points("input_direction", input_direction), _points("pinion_direction", pinion_direction)
    ends = (np.broadcast_to(first, (*batch, 3)), _tilted(pinion, path.tilt_rad))
    unit = shafts / lengths[..., np.newaxis]
    rows = np.concatenate((ends[0][..., np.newaxis, :], unit, ends[1][..., np.newaxis, :]), axis=-2)
    return rows, lengths[..., -1]


def travel_sweep(
    *,
    path: AxlePath,
    input_direction: ArrayLike,
    frame_joints_m: ArrayLike,
    rear_joint_m: ArrayLike,
    path_point_m: ArrayLike,
    pinion_direction: ArrayLike,
    phases_rad: ArrayLike,
    speed_rad_s: float,
    least_angle_rad: float = 0.0,
) -> TravelSweep:
    """Joint angles, equivalent angle and torsional excitation over the travel, and where they are worst.

    Formula: as joint_angles, equivalent_angle and torsional_acceleration, at each ride height; slip travel =
    longest less shortest last shaft; worst = greatest equivalent angle; steepest = greatest joint angle.
    Units: m, rad, rad/s; result also rad/s^2, zero to peak. Directions dimensionless.
    Range: as directions_over_travel; joint angles below pi/2, the phasor rule's small angles; one phase for each
    shaft between two joints. A least angle of 0.5 to 1 deg keeps the needles rolling (common practice, no source);
    it matters at the heights at which the vehicle runs for long.
    Raises: ValueError if a value is malformed, not finite or out of range.
    Source: derived; see the functions named.

    >>> level = arc_path(ride_heights_m=[0.2, 0.3, 0.4], design_height_m=0.3, arm_m=1.0, arm_angle_rad=0.0)
    >>> found = travel_sweep(path=level, input_direction=[1, 0, 0], frame_joints_m=[[0, 0, 0]],
    ...     rear_joint_m=[1.5, 0, -0.1], path_point_m=[1.9, 0, -0.1], pinion_direction=[1, 0, 0],
    ...     phases_rad=[0.0], speed_rad_s=150.0)
    >>> found.worst_ride_height_m, found.steepest_joint
    (0.2, 1)
    """
    _domain.joint_angle(least_angle_rad=least_angle_rad)
    rows, lengths = directions_over_travel(
        path=path,
        input_direction=input_direction,
        frame_joints_m=frame_joints_m,
        rear_joint_m=rear_joint_m,
        path_point_m=path_point_m,
        pinion_direction=pinion_direction,
    )
    angles = chain.joint_angles(directions=rows)
    planes = chain.bend_planes(directions=rows)
    yokes = chain.drive_yoke_angles(phases_rad=phases_rad, bend_plane_rad=planes)
    equivalent = np.asarray(chain.equivalent_angle(angles_rad=angles, drive_yoke_angles_rad=yokes))
    steepest_row, steepest_joint = divmod(int(np.argmax(angles)), angles.shape[-1])
    return TravelSweep(
        ride_height_m=path.ride_height_m,
        joint_angles_rad=angles,
        equivalent_angle_rad=equivalent,
        torsional_acceleration_rad_s2=chain.torsional_acceleration(
            equivalent_angle_rad=equivalent, speed_rad_s=np.asarray(speed_rad_s)
        ),
        below_minimum=angles < _domain.as_list(least_angle_rad)[..., np.newaxis],
        slip_travel_m=float(np.ptp(lengths)),
        worst_ride_height_m=float(path.ride_height_m.flat[int(np.argmax(equivalent))]),
        steepest_joint=steepest_joint,
        steepest_ride_height_m=float(path.ride_height_m.flat[steepest_row]),
    )


def _heights(ride_heights_m: ArrayLike, design_height_m: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return ride heights and design height as arrays of finite numbers."""
    heights, design = _domain.as_list(ride_heights_m), _domain.as_list(design_height_m)
    _domain.finite(ride_heights_m=heights, design_height_m=design)
    return heights, design


def _link(name: str, length: FloatArray, angle_rad: ArrayLike) -> ComplexArray:
    """Return a link from frame pivot to axle pivot as x + i z, refusing an upright one."""
    angle = _domain.as_list(angle_rad)
    _domain.between(-math.pi, math.pi, "from -pi to pi rad", **{f"{name}_angle_rad": angle})
    upright = np.abs(np.cos(angle)) < 1e-6
    if upright.any():
        raise ValueError(f"{name}_angle_rad is {angle[upright].flat[0]:g}; it must not be upright (pi/2 or -pi/2).")
    link: ComplexArray = length * np.exp(1j * angle)
    return link


def _on_circle(
    name: str, at_design: ComplexArray, length: FloatArray, heights: FloatArray, design: FloatArray
) -> ComplexArray:
    """Return the link at each ride height, on the same side of its frame pivot as before."""
    sine = (at_design.imag + design - heights) / length
    _reached(name, sine, heights)
    now: ComplexArray = length * (np.sign(at_design.real) * np.sqrt(1 - sine**2) + 1j * sine)
    return now


def _reached(name: str, sine_or_cosine: FloatArray, heights: FloatArray) -> None:
    """Refuse ride heights at which a link would be too short or too long."""
    values, asked = np.broadcast_arrays(sine_or_cosine, heights)
    beyond = asked[~(np.abs(values) <= 1.0)]
    if beyond.size:
        raise ValueError(f"ride_heights_m is {beyond[0]:g}; it must be within the reach of the {name}.")


def _path(heights: FloatArray, shift: FloatArray, rise: FloatArray, tilt: FloatArray) -> AxlePath:
    """Return a path with all its lists of one shape."""
    shaped = np.broadcast_arrays(heights, shift, rise, tilt)
    return AxlePath(ride_height_m=shaped[0], shift_m=shaped[1], rise_m=shaped[2], tilt_rad=shaped[3])


def _points(name: str, value: ArrayLike) -> FloatArray:
    """Return points or directions as rows of x, y, z."""
    rows = _domain.as_list(value)
    _domain.finite(**{name: rows})
    if rows.shape[-1:] != (3,):
        raise ValueError(f"{name} has shape {rows.shape}; it must hold (x, y, z).")
    return rows


def _tilted(vector: FloatArray, tilt: FloatArray) -> FloatArray:
    """Return a vector turned in the side view, the rearward direction upward, once for each tilt."""
    turned = (vector[0] + 1j * vector[2]) * np.exp(1j * tilt)
    return np.stack((turned.real, np.broadcast_to(vector[1], turned.shape), turned.imag), axis=-1)
