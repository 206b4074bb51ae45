"""How much torque can reach the shaft, and what a shock makes of it.

The lesser of what the engine's path can send and what the tyres can hold governs a steady pull. A shock
can exceed both for an instant, because the inertias stand between shaft and tyre.
"""

import math

import numpy as np

from beachmark.mechanics import _domain
from beachmark.mechanics._constants import STANDARD_GRAVITY_M_S2
from beachmark.mechanics._domain import as_result, elementwise


@elementwise
def engine_path_torque(*, engine_torque_nm: float, ratio: float, efficiency: float) -> float:
    """Torque that the engine sends to the shaft through all gears ahead of it.

    Formula: T = T_e i eta.
    Units: N m; ratio and efficiency dimensionless; result N m.
    Range: ratio > 0 (converter and transfer gears included), 0 < eta <= 1; steady.
    Raises: ValueError if an argument is not finite or out of range.
    Source: gear relation; Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (from memory).

    >>> round(engine_path_torque(engine_torque_nm=2300.0, ratio=11.7, efficiency=0.9))
    24219
    """
    _domain.finite(engine_torque_nm=engine_torque_nm)
    _domain.positive(ratio=ratio)
    _domain.fraction(efficiency=efficiency)
    return engine_torque_nm * ratio * efficiency


@elementwise
def grip_limit_torque(
    *, grip: float, axle_load_n: float, tyre_radius_m: float, axle_ratio: float, axle_efficiency: float
) -> float:
    """Shaft torque at which the tyres of the driven axles slip.

    Formula: T = mu W r / (i eta); the losses of the axle let the shaft carry more than the wheels get.
    Units: N, m; grip, ratio, efficiency dimensionless; result N m.
    Range: all > 0, eta <= 1; steady pull, load of the driven axles behind this shaft.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; Wong, ch. 3 (relation, from memory).

    >>> round(grip_limit_torque(grip=0.7, axle_load_n=186_390.0, tyre_radius_m=0.505,
    ...                         axle_ratio=3.58, axle_efficiency=0.95))
    19373
    """
    _domain.positive(grip=grip, axle_load_n=axle_load_n)
    return _shaft_torque(grip * axle_load_n, tyre_radius_m, axle_ratio, axle_efficiency)


@elementwise
def grade_torque(
    *,
    mass_kg: float,
    grade_rad: float,
    rolling_resistance: float,
    tyre_radius_m: float,
    axle_ratio: float,
    axle_efficiency: float,
) -> float:
    """Shaft torque that holds a steady crawl on a grade.

    Formula: T = m g (sin a + f cos a) r / (i eta).
    Units: kg, rad, m; result N m.
    Range: 0 <= grade < pi/2, all the traction through this shaft, no air drag.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; Wong, ch. 3 (relation, from memory).

    >>> round(grade_torque(mass_kg=40_000.0, grade_rad=math.atan(0.10), rolling_resistance=0.01,
    ...                    tyre_radius_m=0.5, axle_ratio=3.5, axle_efficiency=0.95))
    6456
    """
    _domain.positive(mass_kg=mass_kg)
    _domain.joint_angle(grade_rad=grade_rad)
    _domain.non_negative(rolling_resistance=rolling_resistance)
    pull = mass_kg * STANDARD_GRAVITY_M_S2 * (np.sin(grade_rad) + rolling_resistance * np.cos(grade_rad))
    return _shaft_torque(as_result(pull), tyre_radius_m, axle_ratio, axle_efficiency)


@elementwise
def step_load_factor(*, damping_ratio: float = 0.0) -> float:
    """Peak torque over the torque that is applied at once and then held.

    Formula: 1 + exp(-pi z / sqrt(1 - z^2)); 2 without damping.
    Units: dimensionless.
    Range: 0 <= z < 1; one spring between two inertias, no lash.
    Raises: ValueError if the damping ratio is not finite or out of range.
    Source: step response of one mode (Thomson, Theory of Vibration with Applications, from memory).

    >>> step_load_factor()
    2.0
    """
    below_one = math.nextafter(1.0, 0.0)
    _domain.between(0.0, below_one, "from 0 to below 1", damping_ratio=damping_ratio)
    return as_result(1 + np.exp(-math.pi * damping_ratio / np.sqrt(1 - damping_ratio**2)))


@elementwise
def lash_peak_factor(*, torque_nm: float, stiffness_nm_rad: float, lash_rad: float) -> float:
    """Peak torque over the steady torque that first closes the lash and then winds the shaft.

    Formula: 1 + sqrt(1 + 2 k lash / T), by energy.
    Units: N m, N m/rad, rad (stiffness and lash both reduced to the shaft); result dimensionless.
    Range: T > 0, k > 0, lash >= 0; constant torque, far end held, no damping: an upper bound.
    Raises: ValueError if an argument is not finite or out of range.
    Source: energy balance, derived; confirmed by integrating the motion.

    >>> round(lash_peak_factor(torque_nm=5000.0, stiffness_nm_rad=30_000.0, lash_rad=math.radians(3)), 5)
    2.27606
    """
    _domain.positive(torque_nm=torque_nm, stiffness_nm_rad=stiffness_nm_rad)
    _domain.non_negative(lash_rad=lash_rad)
    return as_result(1 + np.sqrt(1 + 2 * stiffness_nm_rad * lash_rad / torque_nm))


@elementwise
def flywheel_dump_torque(*, speed_difference_rad_s: float, stiffness_nm_rad: float, inertia_kg_m2: float) -> float:
    """Peak torque when a turning inertia is coupled at once to a shaft whose far end stands still.

    Formula: w0 sqrt(k J), by energy.
    Units: rad/s, N m/rad, kg m^2 (all reduced to the shaft); result N m.
    Range: k > 0, J > 0; no slip: the torque that the clutch can carry times the ratio bounds it.
    Raises: ValueError if an argument is not finite or out of range.
    Source: energy balance, derived.

    >>> round(flywheel_dump_torque(speed_difference_rad_s=20.0, stiffness_nm_rad=30_000.0,
    ...                            inertia_kg_m2=2.0))
    4899
    """
    _domain.finite(speed_difference_rad_s=speed_difference_rad_s)
    _domain.positive(stiffness_nm_rad=stiffness_nm_rad, inertia_kg_m2=inertia_kg_m2)
    return as_result(abs(speed_difference_rad_s) * np.sqrt(stiffness_nm_rad * inertia_kg_m2))


def _shaft_torque(pull_n: float, tyre_radius_m: float, axle_ratio: float, axle_efficiency: float) -> float:
    """Return the shaft torque behind a pull at the tyres."""
    _domain.positive(tyre_radius_m=tyre_radius_m, axle_ratio=axle_ratio)
    _domain.fraction(axle_efficiency=axle_efficiency)
    return pull_n * tyre_radius_m / (axle_ratio * axle_efficiency)
