"""Times the sums of 100,000 three-joint drivelines at once against a plain loop over the same functions.

    python scripts/bench_mechanics.py

The loop runs over a sample of 300 drivelines and is scaled up; its results must equal those of the arrays. Nothing
here is a test of speed: machines are shared and noisy.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from typing import Any

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before NumPy is loaded

import numpy as np

from beachmark.mechanics import _domain, chain, hooke, trunnion, tube, whirl

MANY = 100_000
SAMPLE = 300
Given = dict[str, Any]


def drivelines(count: int) -> Given:
    """Drivelines of a gearbox, two shafts and an axle, drawn at random within what trucks have."""
    random = np.random.default_rng(3)

    def drawn(low: float, high: float, *more: int) -> Any:
        return random.uniform(low, high, (count, *more))

    outer = drawn(0.09, 0.14)
    return {
        "slopes_rad": drawn(-0.12, 0.12, 4),
        "plans_rad": drawn(-0.04, 0.04, 4),
        "phases_rad": random.normal(0.0, 0.05, (count, 2)),
        "speed_rad_s": drawn(100.0, 300.0),
        "torque_nm": drawn(3e3, 20e3),
        "outer_m": outer,
        "inner_m": outer - 2 * drawn(0.003, 0.006),
        "length_m": drawn(1.0, 2.0),
        "yield_pa": drawn(350e6, 600e6),
        "arm_radius_m": drawn(0.06, 0.08),
        "arm_m": drawn(0.010, 0.014),
        "root_m": drawn(0.030, 0.036),
        "fillet_m": drawn(0.002, 0.003),
        "strength_pa": drawn(800e6, 1200e6),
    }


def sums(given: Given) -> Given:
    """Angles, excitation and margins; of one driveline or of many, by the same functions."""
    directions = chain.direction(slope_rad=given["slopes_rad"], plan_rad=given["plans_rad"])
    angles = chain.joint_angles(directions=directions)
    yokes = chain.drive_yoke_angles(
        phases_rad=given["phases_rad"], bend_plane_rad=chain.bend_planes(directions=directions)
    )
    joints = {"angles_rad": angles, "drive_yoke_angles_rad": yokes}
    speed = given["speed_rad_s"]
    equivalent = chain.equivalent_angle(**joints)
    critical = whirl.pinned_tube_critical_speed(
        outer_m=given["outer_m"], inner_m=given["inner_m"], length_m=given["length_m"]
    )
    yielding = tube.yield_torque_nm(
        shear_yield_pa=tube.shear_yield_pa(yield_pa=given["yield_pa"]),
        outer_m=given["outer_m"],
        inner_m=given["inner_m"],
    )
    force = hooke.arm_force_n(
        torque_nm=given["torque_nm"], arm_radius_m=given["arm_radius_m"], angle_rad=angles[..., 0]
    )
    nominal = trunnion.arm_root_bending_pa(force_n=force, arm_m=given["arm_m"], diameter_m=given["root_m"])
    notch = trunnion.shoulder_fillet_bending_kt(
        large_m=given["root_m"] + 0.006, small_m=given["root_m"], radius_m=given["fillet_m"]
    )
    return {
        "joint angles": angles,
        "equivalent angle": equivalent,
        "torsional excitation": chain.torsional_acceleration(equivalent_angle_rad=equivalent, speed_rad_s=speed),
        "inertia excitation, drive": chain.shaft_accelerations(**joints, speed_rad_s=speed, from_rear=False),
        "inertia excitation, overrun": chain.shaft_accelerations(**joints, speed_rad_s=speed, from_rear=True),
        "whirl critical": critical,
        "whirl margin": critical / speed,
        "tube yield margin": yielding / given["torque_nm"],
        "trunnion stress margin": given["strength_pa"] / (notch * nominal),
    }


def one(given: Given, row: int) -> Given:
    """One driveline of many, its numbers as Python floats."""
    return {name: float(values[row]) if values.ndim == 1 else values[row] for name, values in given.items()}


def least_s(task: Callable[[], object], runs: int) -> float:
    """Least wall time of a task after one warm-up: a difference of two is asked for, and others use the machine."""
    task()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        task()
        times.append(time.perf_counter() - start)
    return min(times)


def without_checks(task: Callable[[], object]) -> Callable[[], object]:
    """The same task with the refusals of the arguments taken out, to see what they cost."""

    def bare() -> object:
        kept = _domain.between, _domain.less_than
        _domain.between = _domain.less_than = lambda *_args, **_named: None  # type: ignore[assignment]
        try:
            return task()
        finally:
            _domain.between, _domain.less_than = kept

    return bare


def main() -> None:
    given = drivelines(MANY)
    singles = [one(given, row) for row in range(SAMPLE)]
    at_once = sums(given)
    for row, single in enumerate(singles):
        for name, value in sums(single).items():
            np.testing.assert_allclose(at_once[name][row], value, rtol=1e-9, atol=1e-12, err_msg=name)
    print(f"results of {SAMPLE} drivelines are equal, one by one and among {MANY:,} at once")
    arrays = least_s(lambda: sums(given), 9)
    bare = least_s(without_checks(lambda: sums(given)), 9)
    loop = least_s(lambda: [sums(single) for single in singles], 3) / SAMPLE * MANY
    print(f"{MANY:,} drivelines at once      {arrays * 1e3:>10.1f} ms")
    print(f"  of it checks of arguments     {(arrays - bare) * 1e3:>10.1f} ms  ({(arrays - bare) / arrays:.0%})")
    print(f"loop, {SAMPLE} timed and scaled up   {loop * 1e3:>10.1f} ms  ({loop / MANY * 1e6:.0f} us each)")
    print(f"ratio                           {loop / arrays:>10.0f} x   (goal 100 x)")


if __name__ == "__main__":
    main()
