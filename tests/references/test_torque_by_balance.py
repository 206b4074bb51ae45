"""Torques by power, energy, linear programming and root search instead of closed formulas (SciPy, Pint)."""

import math

import numpy as np
import pint
import pytest
from scipy.optimize import brentq, linprog  # type: ignore[import-untyped]

from beachmark.mechanics import torque_limits, torque_path

UNIT: pint.UnitRegistry = pint.UnitRegistry()
RADIUS, RATIO, LOSS_FREE = 0.505, 3.58, 0.95
AXLE = {"tyre_radius_m": RADIUS, "axle_ratio": RATIO, "axle_efficiency": LOSS_FREE}
ROAD_SPEED = 11.0  # m/s, any: it must drop out


def _shaft_speed() -> float:
    return ROAD_SPEED / RADIUS * RATIO


def test_grip_in_drive_by_power_in_digits() -> None:
    """mu 0.7, 19 t: what the shaft turns in is what the tyres put out plus the loss; 19 373 N m."""
    power_at_tyres = 0.7 * 19_000 * 9.81 * ROAD_SPEED
    by_power = power_at_tyres / LOSS_FREE / _shaft_speed()
    assert by_power == pytest.approx(19_373, abs=1)
    load = 19_000 * 9.81
    assert torque_path.grip_limit_torque(grip=0.7, axle_load_n=load, **AXLE) == pytest.approx(by_power, rel=1e-12)
    assert float(torque_limits.drive_grip_torque(grip=0.7, axle_load_n=load, **AXLE)) == pytest.approx(
        by_power, rel=1e-12
    )


def test_grip_in_coast_by_power() -> None:
    """The tyres put power in, the loss takes its part, the shaft passes on the rest."""
    load = 19_000 * 9.81
    passed_on = 0.7 * load * ROAD_SPEED * LOSS_FREE / _shaft_speed()
    found = torque_limits.coast_grip_torque(grip=0.7, axle_load_n=load, **AXLE)
    assert float(found) == pytest.approx(passed_on, rel=1e-12)


def test_retarder_by_power() -> None:
    """1000 N m on a retarder turning 2.5 times as fast, 5 % lost on the way: all of it is taken from the shaft."""
    shaft = 100.0
    taken_by_retarder = 1000.0 * 2.5 * shaft
    from_shaft = taken_by_retarder / 0.95
    found = torque_limits.retarder_shaft_torque(retarder_torque_nm=1000.0, ratio=2.5, efficiency=0.95)
    assert float(found) == pytest.approx(from_shaft / shaft, rel=1e-12)


def test_engine_path_by_power_with_units_in_digits() -> None:
    """1696.3 lbf ft (2300 N m) through 11.7 : 1 with 10 % lost: 24 219 N m, by power over speed."""
    engine, speed = UNIT.Quantity(1696.393, "lbf foot"), UNIT.Quantity(1200, "revolution / minute")
    shaft = (engine * speed * 0.9 / (speed / 11.7)).to("newton meter").magnitude
    assert shaft == pytest.approx(24_219, abs=0.5)
    given = engine.to("newton meter").magnitude
    found = torque_path.engine_path_torque(engine_torque_nm=given, ratio=11.7, efficiency=0.9)
    assert found == pytest.approx(shaft, rel=1e-12)


@pytest.mark.parametrize(("mass", "rise_percent", "rolling"), [(40_000.0, 10.0, 0.01), (17_500.0, 31.0, 0.0)])
def test_grade_by_the_work_of_one_turn_of_the_wheel(mass: float, rise_percent: float, rolling: float) -> None:
    """Height gained and rolling loss over one turn of the wheel, with standard gravity; grade as rise over run."""
    way = 2 * math.pi * RADIUS
    run = way / math.hypot(1, rise_percent / 100)
    height = run * rise_percent / 100
    weight = (UNIT.Quantity(mass, "kg") * UNIT.Quantity(1, "standard_gravity")).to("newton").magnitude
    work = weight * height + rolling * weight * run
    by_work = work / LOSS_FREE / (2 * math.pi * RATIO)
    grade = math.atan(rise_percent / 100)
    alone = torque_path.grade_torque(mass_kg=mass, grade_rad=grade, rolling_resistance=rolling, **AXLE)
    assert alone == pytest.approx(by_work, rel=1e-9)
    many = torque_limits.grade_demand_torque(
        mass_kg=[mass, 2 * mass], grade_rad=grade, rolling_resistance=rolling, **AXLE
    )
    assert many.tolist() == pytest.approx([by_work, 2 * by_work], rel=1e-9)


@pytest.mark.parametrize("limits", [[1e3, 8e3], [9e3, 2e3, 5e3], [4e3, 4e3]])
def test_differential_as_the_greatest_torque_that_no_branch_refuses(limits: list[float]) -> None:
    """Linear programme: maximise the sum of the branches; open, each keeps its share of it."""
    count = len(limits)
    shares = np.arange(1, count + 1) / np.arange(1, count + 1).sum()
    bounds = [(0, limit) for limit in limits]
    locked = linprog(-np.ones(count), bounds=bounds)
    fixed = np.eye(count) - np.outer(shares, np.ones(count))
    free = linprog(-np.ones(count), A_eq=fixed, b_eq=np.zeros(count), bounds=bounds)
    for is_locked, best in ((True, locked), (False, free)):
        found = torque_limits.differential_torque(branch_limits_nm=limits, shares=shares, locked=is_locked)
        assert float(found) == pytest.approx(-best.fun, rel=1e-9)


@pytest.mark.parametrize(("rear_radius", "rear_ratio"), [(0.49, 4.0), (0.51, 4.1), (0.5, 4.0)])
def test_axle_mismatch_by_the_ways_rolled_in_a_thousand_turns(rear_radius: float, rear_ratio: float) -> None:
    """Both axles turned a thousand times by one shaft; the difference of the ways over that of the rear axle."""
    front_way, rear_way = (1000 / ratio * 2 * math.pi * r for r, ratio in ((0.5, 4.0), (rear_radius, rear_ratio)))
    found = torque_limits.axle_slip_mismatch(
        front_radius_m=0.5, rear_radius_m=rear_radius, front_axle_ratio=4.0, rear_axle_ratio=rear_ratio
    )
    assert float(found) == pytest.approx(abs(rear_way - front_way) / rear_way, abs=1e-12)


def test_curve_mismatch_by_walking_both_wheels_along_their_paths() -> None:
    """A quarter circle of the axle in small steps; the wheels stand square to it, half a track to each side."""
    angle = np.linspace(0, math.pi / 2, 20_001)
    outward = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    ways = [np.linalg.norm(np.diff((18.0 + side) * outward, axis=0), axis=1).sum() for side in (1.05, -1.05, 0.0)]
    found = torque_limits.curve_slip_mismatch(track_m=2.1, curve_radius_m=18.0)
    assert float(found) == pytest.approx((ways[0] - ways[1]) / ways[2], rel=1e-9)


@pytest.mark.parametrize("mismatch", [0.002, 0.02, 0.15, 0.6])
@pytest.mark.parametrize("loads", [(9e4, 7e4), (3e4, 7e4)])
def test_wind_up_where_the_forces_of_both_axles_meet(mismatch: float, loads: tuple[float, float]) -> None:
    """Each tyre pulls in proportion to its slip until it skids; the split of the slip is searched."""
    stiffness, grip = (9e5, 6e5), 0.7

    def force(axle: int, slip: float) -> float:
        return min(stiffness[axle] * slip, grip * loads[axle])

    # A tyre that skids takes any slip: the least slip of the first axle at which it pulls no less than the second.
    split = brentq(lambda slip: force(0, slip) - force(1, mismatch - slip) + 1e-9, -1e-12, mismatch + 1e-12)
    found = torque_limits.wind_up_torque(
        slip_mismatch=mismatch,
        first_slip_stiffness_n=stiffness[0],
        second_slip_stiffness_n=stiffness[1],
        grip=grip,
        first_load_n=loads[0],
        second_load_n=loads[1],
        tyre_radius_m=0.5,
        axle_ratio=4.0,
    )
    at_wheel = min(force(0, split), force(1, mismatch - split)) * 0.5
    assert float(found) == pytest.approx(at_wheel / 4.0, rel=1e-6)


def test_governing_path_by_sorting() -> None:
    rng = np.random.default_rng(7)
    limits = {name: rng.uniform(1e3, 3e4, 50) for name in ("engine", "tyres", "retarder")}
    found = torque_limits.governing_of(torques_nm=limits)
    for n in range(50):
        first = sorted((float(values[n]), name) for name, values in limits.items())[0]
        assert (float(found.torque_nm[n]), str(found.path[n])) == first
    assert len(set(found.path.tolist())) == 3
