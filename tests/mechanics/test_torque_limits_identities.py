"""Limits of the shaft torque against the single-value formulas, by hand and by what must always hold."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import torque_limits, torque_path
from beachmark.mechanics._constants import STANDARD_GRAVITY_M_S2

AXLE = {"tyre_radius_m": 0.505, "axle_ratio": 3.58, "axle_efficiency": 0.95}
TANDEM = {"front_radius_m": 0.50, "rear_radius_m": 0.50, "front_axle_ratio": 4.0, "rear_axle_ratio": 4.0}
WIND_UP = {
    "first_slip_stiffness_n": 9e5, "second_slip_stiffness_n": 6e5, "grip": 0.7, "first_load_n": 9e4,
    "second_load_n": 7e4, "tyre_radius_m": 0.5, "axle_ratio": 4.0,
}  # fmt: skip


def test_drive_grip_is_the_single_value_formula_for_every_surface_and_axle() -> None:
    grips, loads = np.array([0.8, 0.5, 0.15]), np.array([92e3, 88e3])
    table = torque_limits.drive_grip_torque(grip=grips[:, None], axle_load_n=loads, **AXLE)
    for row, grip in enumerate(grips):
        for column, load in enumerate(loads):
            alone = torque_path.grip_limit_torque(grip=float(grip), axle_load_n=float(load), **AXLE)
            assert table[row, column] == pytest.approx(alone, rel=1e-14)


@given(st.floats(0.05, 1.0), st.floats(1e3, 2e5), st.floats(0.5, 1.0))
def test_in_coast_the_losses_relieve_the_shaft_twice(grip: float, load: float, efficiency: float) -> None:
    axle = {"tyre_radius_m": 0.5, "axle_ratio": 4.0, "axle_efficiency": efficiency}
    drive = torque_limits.drive_grip_torque(grip=grip, axle_load_n=load, **axle)
    coast = torque_limits.coast_grip_torque(grip=grip, axle_load_n=load, **axle)
    assert float(coast) == pytest.approx(float(drive) * efficiency**2)


def test_grade_demand_is_the_single_value_formula_for_each() -> None:
    masses, grades = np.array([[17e3], [38e3]]), np.radians([0.0, 5.0, 12.0])
    table = torque_limits.grade_demand_torque(mass_kg=masses, grade_rad=grades, rolling_resistance=0.012, **AXLE)
    for row in range(2):
        for column in range(3):
            alone = torque_path.grade_torque(
                mass_kg=float(masses[row, 0]), grade_rad=float(grades[column]), rolling_resistance=0.012, **AXLE
            )
            assert table[row, column] == alone


def test_a_grade_as_steep_as_the_grip_is_the_grip_limit() -> None:
    """m g sin a = mu m g cos a at tan a = mu, with all the weight on driven wheels and no rolling resistance."""
    grade, mass = math.atan(0.6), 26e3
    demand = torque_limits.grade_demand_torque(mass_kg=mass, grade_rad=grade, rolling_resistance=0.0, **AXLE)
    load = mass * STANDARD_GRAVITY_M_S2 * math.cos(grade)
    assert float(demand) == pytest.approx(float(torque_limits.drive_grip_torque(grip=0.6, axle_load_n=load, **AXLE)))


LIMITS = st.lists(st.just(0.0) | st.floats(1e-3, 3e4), min_size=2, max_size=4)


@given(LIMITS, st.data())
def test_a_lock_never_passes_less_and_an_open_differential_slips_at_its_weakest(
    limits: list[float], data: st.DataObject
) -> None:
    raw = np.array(data.draw(st.lists(st.floats(0.1, 1.0), min_size=len(limits), max_size=len(limits))))
    shares = raw / raw.sum()
    free = float(torque_limits.differential_torque(branch_limits_nm=limits, shares=shares, locked=False))
    locked = float(torque_limits.differential_torque(branch_limits_nm=limits, shares=shares, locked=True))
    assert free <= locked * (1 + 1e-9)
    assert np.all(free * shares <= np.array(limits) * (1 + 1e-9))
    assert np.any(free * shares >= np.array(limits) * (1 - 1e-9))


def test_one_wheel_on_ice_by_hand() -> None:
    """Left 1 kN m, right 8 kN m: 2 kN m through the open differential, 9 through the locked one."""
    table = [[1e3, 8e3], [8e3, 8e3]]
    free = torque_limits.differential_torque(branch_limits_nm=table, shares=[0.5, 0.5], locked=False)
    locked = torque_limits.differential_torque(branch_limits_nm=table, shares=[0.5, 0.5], locked=True)
    assert np.asarray(free).tolist() == [2e3, 16e3]
    assert np.asarray(locked).tolist() == [9e3, 16e3]


def test_mismatch_of_a_locked_pair_by_hand() -> None:
    """490 mm behind 500 mm: the rear turns 500 / 490 as fast, 2.04 %; equal axles have none; 4.10 for 4.00: 2.5 %."""
    worn = torque_limits.axle_slip_mismatch(**TANDEM | {"rear_radius_m": 0.49})
    assert float(worn) == pytest.approx(10 / 490)
    assert float(torque_limits.axle_slip_mismatch(**TANDEM)) == 0.0
    assert float(torque_limits.axle_slip_mismatch(**TANDEM | {"rear_axle_ratio": 4.1})) == pytest.approx(0.025)


def test_a_wrong_ratio_made_good_by_the_tyres_winds_nothing_up() -> None:
    matched = TANDEM | {"rear_axle_ratio": 4.1, "rear_radius_m": 0.5 * 4.1 / 4.0}
    assert float(torque_limits.axle_slip_mismatch(**matched)) == pytest.approx(0.0, abs=1e-15)


def test_mismatch_in_a_curve_is_the_difference_of_the_paths() -> None:
    for track, radius in ((1.9, 12.0), (2.1, 200.0)):
        outer, inner = radius + track / 2, radius - track / 2
        found = float(torque_limits.curve_slip_mismatch(track_m=track, curve_radius_m=radius))
        assert found == pytest.approx((outer - inner) / ((outer + inner) / 2))
    with pytest.raises(ValueError, match=r"curve_radius_over_track_m is 0\.4; it must be 0\.5 or greater"):
        torque_limits.curve_slip_mismatch(track_m=2.0, curve_radius_m=0.8)


def test_wind_up_shares_the_slip_so_that_both_forces_are_equal() -> None:
    """2 % on 900 and 600 kN per unit slip: 0.8 and 1.2 %, 7.2 kN each; 900 N m at 0.5 m and 4.0."""
    assert 9e5 * 0.008 == pytest.approx(6e5 * 0.012) == pytest.approx(7200)
    found = torque_limits.wind_up_torque(slip_mismatch=0.02, **WIND_UP)
    assert float(found) == pytest.approx(7200 * 0.5 / 4.0)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_wind_up_grows_with_the_mismatch_up_to_the_grip_of_the_lighter_axle(one: float, other: float) -> None:
    less, more = sorted((one, other))
    small, large = torque_limits.wind_up_torque(slip_mismatch=[less, more], **WIND_UP)
    assert small <= large
    assert large <= 0.7 * 7e4 * 0.5 / 4.0 * (1 + 1e-12)
    swapped = WIND_UP | {
        "first_slip_stiffness_n": 6e5, "second_slip_stiffness_n": 9e5, "first_load_n": 7e4, "second_load_n": 9e4,
    }  # fmt: skip
    assert float(torque_limits.wind_up_torque(slip_mismatch=less, **swapped)) == pytest.approx(small)


def test_brake_lock_without_a_limit_at_the_wheel_is_the_flywheel_dump() -> None:
    dump = torque_path.flywheel_dump_torque(speed_difference_rad_s=20.0, stiffness_nm_rad=3e4, inertia_kg_m2=2.0)
    found = torque_limits.brake_lock_torque(
        shaft_speed_rad_s=[20.0, 40.0],
        stiffness_nm_rad=3e4,
        inertia_kg_m2=2.0,
        held_wheel_torque_nm=1e9,
        axle_ratio=4.0,
        axle_efficiency=0.95,
    )
    assert found.tolist() == pytest.approx([dump, 2 * dump])


def test_retarder_by_hand() -> None:
    """3000 N m on the gearbox output goes straight in; 1000 N m ahead of 2.5 : 1 with 5 % lost: 2632 N m."""
    found = torque_limits.retarder_shaft_torque(
        retarder_torque_nm=[3000.0, 1000.0], ratio=[1.0, 2.5], efficiency=[1.0, 0.95]
    )
    assert found.tolist() == pytest.approx([3000, 2631.58], abs=0.01)


@given(st.dictionaries(st.sampled_from("abcde"), st.floats(0.0, 1e5), min_size=1))
def test_the_governing_path_is_the_least(torques: dict[str, float]) -> None:
    found = torque_limits.governing_of(torques_nm=torques)
    assert float(found.torque_nm) == min(torques.values())
    assert torques[str(found.path)] == min(torques.values())


def test_governing_of_a_table_is_that_of_each() -> None:
    engine, tyres = np.array([[30e3], [9e3]]), np.array([20e3, 5e3, math.inf])
    found = torque_limits.governing_of(torques_nm={"engine": engine, "tyres": tyres})
    assert found.path.tolist() == [["tyres", "tyres", "engine"], ["engine", "tyres", "engine"]]
    assert found.torque_nm.tolist() == [[20e3, 5e3, 30e3], [9e3, 5e3, 9e3]]


def test_limits_that_are_none_are_refused() -> None:
    with pytest.raises(ValueError, match="torques_nm is empty"):
        torque_limits.governing_of(torques_nm={})
    for bad in (math.nan, -1.0, -math.inf):
        with pytest.raises(ValueError, match=r"torques_nm of tyres is .*; it must be a finite number, 0 or greater"):
            torque_limits.governing_of(torques_nm={"engine": 1.0, "tyres": [2.0, bad]})
    with pytest.raises(ValueError, match=r"sum_of_shares is 0\.9; it must be 1"):
        torque_limits.differential_torque(branch_limits_nm=[1.0, 1.0], shares=[0.5, 0.4], locked=False)
    with pytest.raises(ValueError, match=r"shares has shape \(2,\); it must hold one share for each"):
        torque_limits.differential_torque(branch_limits_nm=[1.0, 1.0, 1.0], shares=[0.5, 0.5], locked=False)
