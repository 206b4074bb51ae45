"""Which of several paths caps the torque in a shaft: tyres, grade, locked axles, brakes, retarder.

All torques are those of the shaft in question. A path's limit is an upper bound under its own assumptions;
the least of the limits of one event governs it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.torque_path import grade_torque


@dataclass(frozen=True)
class GoverningPath:
    """The least torque [N m] and the name of the path that sets it, element by element."""

    torque_nm: FloatArray
    path: NDArray[np.str_]


def drive_grip_torque(
    *,
    grip: ArrayLike,
    axle_load_n: ArrayLike,
    tyre_radius_m: ArrayLike,
    axle_ratio: ArrayLike,
    axle_efficiency: ArrayLike,
) -> FloatArray:
    """Shaft torque at which the tyres of an axle spin in drive, per axle and surface.

    Formula: T = mu W r / (i eta).
    Units: N, m; grip, ratio, efficiency dimensionless; result N m. All broadcast: grips as a column and
    loads as a row give a table of surface by axle.
    Range: all > 0, eta <= 1; steady pull.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; Wong, ch. 3 (relation, from memory).

    >>> drive_grip_torque(grip=[[0.7], [0.2]], axle_load_n=[90e3, 100e3], tyre_radius_m=0.5,
    ...                   axle_ratio=4.0, axle_efficiency=1.0).round().tolist()
    [[7875.0, 8750.0], [2250.0, 2500.0]]
    """
    pull = _wheel_torque(grip, axle_load_n, tyre_radius_m)
    ratio, efficiency = _axle(axle_ratio, axle_efficiency)
    return pull / (ratio * efficiency)


def coast_grip_torque(
    *,
    grip: ArrayLike,
    axle_load_n: ArrayLike,
    tyre_radius_m: ArrayLike,
    axle_ratio: ArrayLike,
    axle_efficiency: ArrayLike,
) -> FloatArray:
    """Shaft torque at which the tyres of an axle skid when a retarder or the engine brakes through it.

    Formula: T = mu W r eta / i; the power flows from the wheel, so the losses relieve the shaft.
    Units: N, m; grip, ratio, efficiency dimensionless; result N m. All broadcast.
    Range: all > 0, eta <= 1; no wheel brake applied.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (relation, from memory).

    >>> float(coast_grip_torque(grip=0.5, axle_load_n=100e3, tyre_radius_m=0.5, axle_ratio=5.0,
    ...                         axle_efficiency=0.9))
    4500.0
    """
    pull = _wheel_torque(grip, axle_load_n, tyre_radius_m)
    ratio, efficiency = _axle(axle_ratio, axle_efficiency)
    return pull * efficiency / ratio


def differential_torque(*, branch_limits_nm: ArrayLike, shares: ArrayLike, locked: bool) -> FloatArray | float:
    """Torque that a differential can pass on before its branches slip.

    Formula: open, the branch with the least limit over its share sets it: min(T_j / share_j); locked, the
    limits add.
    Units: N m at the input of the differential (last axis: branches); shares dimensionless; result N m.
    Range: limits >= 0, shares > 0 with sum 1; no friction inside, which would help the open one.
    Raises: ValueError if an argument is not finite or out of range, or the shares do not add to 1.
    Source: balance of torque, derived.

    >>> float(differential_torque(branch_limits_nm=[2e3, 9e3], shares=[0.5, 0.5], locked=False))
    4000.0
    >>> float(differential_torque(branch_limits_nm=[2e3, 9e3], shares=[0.5, 0.5], locked=True))
    11000.0
    """
    limits, parts = _domain.as_list(branch_limits_nm), _domain.as_list(shares)
    _domain.non_negative(branch_limits_nm=limits)
    _domain.positive(shares=parts)
    _domain.between(1 - 1e-9, 1 + 1e-9, "1", sum_of_shares=float(parts.sum()))
    if limits.shape[-1:] != parts.shape:
        raise ValueError(f"shares has shape {parts.shape}; it must hold one share for each of the branches.")
    torque: FloatArray | float = np.sum(limits, axis=-1) if locked else np.min(limits / parts, axis=-1)
    return torque


def grade_demand_torque(
    *,
    mass_kg: ArrayLike,
    grade_rad: ArrayLike,
    rolling_resistance: ArrayLike,
    tyre_radius_m: ArrayLike,
    axle_ratio: ArrayLike,
    axle_efficiency: ArrayLike,
) -> FloatArray:
    """Shaft torque that holds a steady crawl on a grade, for many loads and grades at once.

    Formula: as torque_path.grade_torque, element by element.
    Units: kg, rad, m; result N m. All broadcast.
    Range: 0 <= grade < pi/2, all the traction through this shaft, no air drag.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; Wong, ch. 3 (relation, from memory).

    >>> grade_demand_torque(mass_kg=[20e3, 40e3], grade_rad=0.0, rolling_resistance=0.01,
    ...                     tyre_radius_m=0.5, axle_ratio=4.0, axle_efficiency=1.0).round(1).tolist()
    [245.2, 490.3]
    """
    torques: FloatArray = np.vectorize(grade_torque, otypes=[float])(
        mass_kg=mass_kg,
        grade_rad=grade_rad,
        rolling_resistance=rolling_resistance,
        tyre_radius_m=tyre_radius_m,
        axle_ratio=axle_ratio,
        axle_efficiency=axle_efficiency,
    )
    return torques


def axle_slip_mismatch(
    *,
    front_radius_m: ArrayLike,
    rear_radius_m: ArrayLike,
    front_axle_ratio: ArrayLike,
    rear_axle_ratio: ArrayLike,
) -> FloatArray:
    """Slip that two axles locked together must share between them on a straight road.

    Formula: |1 - (i_r / r_r) / (i_f / r_f)|.
    Units: m (rolling radii); ratios and result dimensionless.
    Range: all > 0; both axles on one road, the lock engaged, straight ahead.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: rolling without slip, derived.

    >>> round(float(axle_slip_mismatch(front_radius_m=0.50, rear_radius_m=0.49, front_axle_ratio=4.0,
    ...                                rear_axle_ratio=4.0)), 4)
    0.0204
    """
    _domain.positive(front_radius_m=front_radius_m, rear_radius_m=rear_radius_m)
    _domain.positive(front_axle_ratio=front_axle_ratio, rear_axle_ratio=rear_axle_ratio)
    front = _domain.as_list(front_axle_ratio) / _domain.as_list(front_radius_m)
    rear = _domain.as_list(rear_axle_ratio) / _domain.as_list(rear_radius_m)
    return np.abs(1 - rear / front)


def curve_slip_mismatch(*, track_m: ArrayLike, curve_radius_m: ArrayLike) -> FloatArray:
    """Slip that the two wheels of an axle with its differential locked must share in a curve.

    Formula: track / R, the difference of the paths over their mean.
    Units: m; result dimensionless.
    Range: track >= 0, R > 0 (to the middle of the axle), R of at least half the track.
    Raises: ValueError if an argument is not finite or out of range.
    Source: geometry, derived.

    >>> float(curve_slip_mismatch(track_m=2.0, curve_radius_m=20.0))
    0.1
    """
    track, radius = _domain.as_list(track_m), _domain.as_list(curve_radius_m)
    _domain.non_negative(track_m=track)
    _domain.positive(curve_radius_m=radius)
    _domain.between(0.5, np.inf, "0.5 or greater", curve_radius_over_track_m=radius / np.maximum(track, 1e-300))
    return track / radius


def wind_up_torque(
    *,
    slip_mismatch: ArrayLike,
    first_slip_stiffness_n: ArrayLike,
    second_slip_stiffness_n: ArrayLike,
    grip: ArrayLike,
    first_load_n: ArrayLike,
    second_load_n: ArrayLike,
    tyre_radius_m: ArrayLike,
    axle_ratio: ArrayLike,
) -> FloatArray:
    """Torque that circulates in the shaft between two locked axles (ratio 1: between two locked wheels).

    Formula: F = min(slip C1 C2 / (C1 + C2), mu W1, mu W2); T = F r / i.
    Units: N per unit of slip (whole axle), N, m; result N m.
    Range: slip and stiffness >= 0, the others > 0; steady rolling without other traction, losses left out;
    the tyre's force grows with slip until it skids. Standing still the torque may be locked in up to the grip.
    Raises: ValueError if an argument is not finite or out of range.
    Source: balance of slip, derived; Wong, Theory of Ground Vehicles, ch. 1 (linear slip force, from memory).

    >>> float(wind_up_torque(slip_mismatch=0.5, first_slip_stiffness_n=1e6, second_slip_stiffness_n=1e6,
    ...                      grip=0.8, first_load_n=100e3, second_load_n=50e3, tyre_radius_m=0.5, axle_ratio=4.0))
    5000.0
    """
    slip, first, second = (_domain.as_list(x) for x in (slip_mismatch, first_slip_stiffness_n, second_slip_stiffness_n))
    _domain.non_negative(slip_mismatch=slip)
    _domain.positive(first_slip_stiffness_n=first, second_slip_stiffness_n=second)
    _domain.positive(grip=grip, first_load_n=first_load_n, second_load_n=second_load_n)
    _domain.positive(tyre_radius_m=tyre_radius_m, axle_ratio=axle_ratio)
    circulating = slip / (1 / first + 1 / second)
    skid = _domain.as_list(grip) * np.minimum(first_load_n, second_load_n)
    return np.minimum(circulating, skid) * (_domain.as_list(tyre_radius_m) / _domain.as_list(axle_ratio))


def brake_lock_torque(
    *,
    shaft_speed_rad_s: ArrayLike,
    stiffness_nm_rad: ArrayLike,
    inertia_kg_m2: ArrayLike,
    held_wheel_torque_nm: ArrayLike,
    axle_ratio: ArrayLike,
    axle_efficiency: ArrayLike,
) -> FloatArray:
    """Upper bound of the shaft torque when the wheels lock with the engine still coupled.

    Formula: min(w sqrt(k J), T_held / (i eta)).
    Units: rad/s, N m/rad, kg m^2 (stiffness and inertia reduced to the shaft), N m at the wheels; result N m.
    Range: w and T_held >= 0, the others > 0, eta <= 1. T_held is what can stop the wheel: brake torque plus
    mu W r; grip alone (no brake) when a spinning wheel lands on good ground. A slipping clutch bounds it too.
    Raises: ValueError if an argument is not finite or out of range.
    Source: energy balance, derived.

    >>> float(brake_lock_torque(shaft_speed_rad_s=20.0, stiffness_nm_rad=30e3, inertia_kg_m2=2.0,
    ...                         held_wheel_torque_nm=20e3, axle_ratio=4.0, axle_efficiency=1.0).round())
    4899.0
    """
    speed, held = _domain.as_list(shaft_speed_rad_s), _domain.as_list(held_wheel_torque_nm)
    _domain.non_negative(shaft_speed_rad_s=speed, held_wheel_torque_nm=held)
    _domain.positive(stiffness_nm_rad=stiffness_nm_rad, inertia_kg_m2=inertia_kg_m2)
    ratio, efficiency = _axle(axle_ratio, axle_efficiency)
    by_inertia = speed * np.sqrt(_domain.as_list(stiffness_nm_rad) * _domain.as_list(inertia_kg_m2))
    return np.minimum(by_inertia, held / (ratio * efficiency))


def retarder_shaft_torque(*, retarder_torque_nm: ArrayLike, ratio: ArrayLike, efficiency: ArrayLike) -> FloatArray:
    """Braking torque in the shaft behind a retarder or a braking engine.

    Formula: T = T_r i / eta; the losses between brake and shaft brake as well.
    Units: N m; ratio (speed of the retarder over that of the shaft) and efficiency dimensionless; result N m.
    Range: T_r >= 0, i > 0, 0 < eta <= 1; steady; coast sense. On the shaft itself: i = 1, eta = 1. The tyres
    bound it (coast_grip_torque).
    Raises: ValueError if an argument is not finite or out of range.
    Source: gear relation, derived.

    >>> float(retarder_shaft_torque(retarder_torque_nm=1800.0, ratio=2.0, efficiency=0.9))
    4000.0
    """
    torque, gear, efficient = (_domain.as_list(x) for x in (retarder_torque_nm, ratio, efficiency))
    _domain.non_negative(retarder_torque_nm=torque)
    _domain.positive(ratio=gear)
    _domain.fraction(efficiency=efficient)
    return torque * gear / efficient


def governing_of(*, torques_nm: Mapping[str, ArrayLike]) -> GoverningPath:
    """Return the least of several limits and which path sets it, element by element.

    Formula: min; of equal limits the one named first.
    Units: N m.
    Range: at least one path; limits finite or infinite (a path that sets no limit), not below 0.
    Raises: ValueError if no path is given, or a limit is below 0 or no number.
    Source: definition.

    >>> found = governing_of(torques_nm={"engine": [24e3, 9e3], "tyres": 19e3})
    >>> found.path.tolist(), found.torque_nm.tolist()
    (['tyres', 'engine'], [19000.0, 9000.0])
    """
    if not torques_nm:
        raise ValueError("torques_nm is empty; it must hold at least one path.")
    for name, torque in torques_nm.items():
        bounded = np.asarray(torque, dtype=float)
        _domain.non_negative(**{f"torques_nm of {name}": bounded[~np.isposinf(bounded)]})
    limits = np.stack(np.broadcast_arrays(*(_domain.as_list(t) for t in torques_nm.values())))
    return GoverningPath(
        torque_nm=np.min(limits, axis=0),
        path=np.array(list(torques_nm), dtype=np.str_)[np.argmin(limits, axis=0)],
    )


def _wheel_torque(grip: ArrayLike, axle_load_n: ArrayLike, tyre_radius_m: ArrayLike) -> FloatArray:
    """Return the torque at the wheels at which the tyres slip."""
    _domain.positive(grip=grip, axle_load_n=axle_load_n, tyre_radius_m=tyre_radius_m)
    return _domain.as_list(grip) * _domain.as_list(axle_load_n) * _domain.as_list(tyre_radius_m)


def _axle(axle_ratio: ArrayLike, axle_efficiency: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return ratio and efficiency of the axle, refused if out of range."""
    _domain.positive(axle_ratio=axle_ratio)
    _domain.fraction(axle_efficiency=axle_efficiency)
    return _domain.as_list(axle_ratio), _domain.as_list(axle_efficiency)
