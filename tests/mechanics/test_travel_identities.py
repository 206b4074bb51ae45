"""What must hold for an axle on its travel, whatever the numbers."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.mechanics import chain, travel
from tests.mechanics.calls.travel import CALLS, LINE

HEIGHTS = np.linspace(0.2, 0.36, 17)
ANGLE = st.floats(-0.3, 0.3)
LENGTH = st.floats(0.4, 0.9)


def _four_link(**changed: Any) -> travel.AxlePath:
    return travel.four_link_path(**CALLS["travel.four_link_path"] | {"ride_heights_m": HEIGHTS} | changed)


@settings(max_examples=50, deadline=None)
@given(angle=ANGLE, length=LENGTH, lean=ANGLE)
def test_a_parallelogram_never_tilts(angle: float, length: float, lean: float) -> None:
    same = {"lower_length_m": length, "upper_length_m": length, "lower_angle_rad": angle, "upper_angle_rad": angle}
    path = _four_link(**same, axle_pivots_lean_rad=lean)
    assert np.abs(path.tilt_rad).max() < 1e-9


@settings(max_examples=50, deadline=None)
@given(angle=ANGLE, length=LENGTH)
def test_a_parallelogram_moves_as_an_arc_without_turn(angle: float, length: float) -> None:
    same = {"lower_length_m": length, "upper_length_m": length, "lower_angle_rad": angle, "upper_angle_rad": angle}
    path = _four_link(**same)
    arc = travel.arc_path(
        ride_heights_m=HEIGHTS, design_height_m=0.28, arm_m=length, arm_angle_rad=angle, turn_share=0.0
    )
    assert path.shift_m == pytest.approx(arc.shift_m, abs=1e-12)
    assert path.rise_m == pytest.approx(arc.rise_m, abs=1e-12)


@settings(max_examples=50, deadline=None)
@given(angle=ANGLE, length=LENGTH)
def test_an_arm_keeps_its_length(angle: float, length: float) -> None:
    path = travel.arc_path(ride_heights_m=HEIGHTS, design_height_m=0.28, arm_m=length, arm_angle_rad=angle)
    x = length * math.cos(angle) + path.shift_m
    z = length * math.sin(angle) + path.rise_m
    assert np.hypot(x, z) == pytest.approx(np.full(HEIGHTS.size, length), rel=1e-12)
    assert np.arctan2(z, x) - angle == pytest.approx(path.tilt_rad, abs=1e-12)


@settings(max_examples=30, deadline=None)
@given(lower=ANGLE, upper=ANGLE, lean=ANGLE)
def test_at_the_design_height_nothing_has_moved(lower: float, upper: float, lean: float) -> None:
    path = _four_link(ride_heights_m=[0.28], lower_angle_rad=lower, upper_angle_rad=upper, axle_pivots_lean_rad=lean)
    for moved in (path.shift_m, path.rise_m, path.tilt_rad):
        assert moved == pytest.approx([0.0], abs=1e-9)


def test_mirrored_links_mirror_the_path() -> None:
    """Seen from the other side a link that ran rearward runs forward: the shift and the tilt change sign."""
    given_angles = {"lower_angle_rad": 0.05, "upper_angle_rad": -0.1, "axle_pivots_lean_rad": 0.1}
    mirrored = {
        "lower_angle_rad": math.pi - 0.05, "upper_angle_rad": -(math.pi - 0.1), "axle_pivots_lean_rad": -0.1,
    }  # fmt: skip
    one, other = _four_link(**given_angles), _four_link(**mirrored)
    assert other.shift_m == pytest.approx(-one.shift_m, abs=1e-12)
    assert other.tilt_rad == pytest.approx(-one.tilt_rad, abs=1e-12)


def test_a_table_drawn_from_a_linkage_gives_it_back() -> None:
    path = _four_link()
    table = travel.table_path(
        ride_heights_m=HEIGHTS,
        design_height_m=0.28,
        table_heights_m=HEIGHTS,
        table_pinion_slopes_rad=0.03 + path.tilt_rad,
        table_rises_m=0.5 + path.rise_m,
    )
    assert table.tilt_rad == pytest.approx(path.tilt_rad, abs=1e-12)
    assert table.rise_m == pytest.approx(path.rise_m, abs=1e-12)
    assert not table.shift_m.any()


def _sweep(**changed: Any) -> travel.TravelSweep:
    path = travel.arc_path(ride_heights_m=HEIGHTS, design_height_m=0.28, arm_m=0.8, arm_angle_rad=0.1)
    asked = LINE | {"path": path, "phases_rad": [0.0, 0.1], "speed_rad_s": 150.0} | changed
    return travel.travel_sweep(**asked)


def test_the_sweep_equals_one_height_after_the_other() -> None:
    found = _sweep()
    for row, height in enumerate(HEIGHTS):
        path = travel.arc_path(ride_heights_m=[height], design_height_m=0.28, arm_m=0.8, arm_angle_rad=0.1)
        alone = _sweep(path=path)
        assert found.joint_angles_rad[row] == pytest.approx(alone.joint_angles_rad[0], rel=1e-12)
        assert found.equivalent_angle_rad[row] == pytest.approx(alone.equivalent_angle_rad[0], rel=1e-9)
        assert alone.slip_travel_m == 0.0


def test_the_worst_positions_are_named() -> None:
    least = float(np.median(_sweep().joint_angles_rad))
    found = _sweep(least_angle_rad=least)
    worst = int(np.flatnonzero(found.ride_height_m == found.worst_ride_height_m)[0])
    assert found.equivalent_angle_rad[worst] == found.equivalent_angle_rad.max()
    steepest = int(np.flatnonzero(found.ride_height_m == found.steepest_ride_height_m)[0])
    assert found.joint_angles_rad[steepest, found.steepest_joint] == found.joint_angles_rad.max()
    assert found.below_minimum.any()
    assert not found.below_minimum.all()
    assert (found.joint_angles_rad[found.below_minimum] < least).all()
    assert (found.joint_angles_rad[~found.below_minimum] >= least).all()


def test_only_joints_at_the_moving_shaft_change() -> None:
    angles = _sweep().joint_angles_rad
    assert np.ptp(angles[:, 0]) == pytest.approx(0.0, abs=1e-12)
    assert np.ptp(angles[:, 1]) > 0.01
    assert np.ptp(angles[:, 2]) > 0.01


def test_the_slip_of_a_shaft_along_a_straight_rise_is_by_pythagoras() -> None:
    """A level shaft of 1.5 m whose end rises 0.15 m without shift: sqrt(1.5^2 + 0.15^2) - 1.5 = 7.48 mm."""
    path = travel.table_path(
        ride_heights_m=[0.15, 0.3],
        design_height_m=0.3,
        table_heights_m=[0.1, 0.3],
        table_pinion_slopes_rad=[0.0, 0.0],
        table_rises_m=[0.2, 0.0],
    )
    found = travel.travel_sweep(
        path=path,
        input_direction=[1.0, 0.0, 0.0],
        frame_joints_m=[[0.0, 0.0, 0.0]],
        rear_joint_m=[1.5, 0.0, 0.0],
        path_point_m=[1.8, 0.0, 0.0],
        pinion_direction=[1.0, 0.0, 0.0],
        phases_rad=[0.0],
        speed_rad_s=150.0,
    )
    assert found.slip_travel_m == pytest.approx(0.00748, abs=5e-6)
    # Both joints bend alike, so a shaft with its yokes in line leaves nothing.
    assert found.joint_angles_rad[0] == pytest.approx([math.atan(0.1)] * 2, rel=1e-12)
    assert found.equivalent_angle_rad == pytest.approx([0.0, 0.0], abs=1e-7)


def test_a_plan_angle_of_the_pinion_is_kept() -> None:
    pinion = chain.direction(slope_rad=-0.04, plan_rad=0.1)
    rows, _ = travel.directions_over_travel(**LINE | {"pinion_direction": pinion})
    assert rows[:, -1, 1] == pytest.approx(np.full(len(rows), pinion[1]), rel=1e-12)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: _four_link(ride_heights_m=[1.2]), r"ride_heights_m is 1\.2; it must be within the reach of the lower"),
        (lambda: _four_link(upper_length_m=0.1, ride_heights_m=[0.5]), "within the reach of the upper link"),
        (lambda: _four_link(lower_angle_rad=math.pi / 2), "lower_angle_rad is .* it must not be upright"),
        (
            lambda: _four_link(lower_angle_rad=0.0, upper_angle_rad=math.pi / 2 - 0.1, axle_pivots_lean_rad=0.1),
            "upper_angle_rad lies along the line of the axle pivots",
        ),
        (
            lambda: travel.arc_path(ride_heights_m=[1.5], design_height_m=0.3, arm_m=1.0, arm_angle_rad=0.0),
            "within the reach of the arm",
        ),
        (
            lambda: travel.table_path(**CALLS["travel.table_path"] | {"ride_heights_m": [0.19]}),
            r"ride_heights_m is 0\.19; it must be within the table, from 0\.2 to 0\.35",
        ),
        (
            lambda: travel.table_path(**CALLS["travel.table_path"] | {"table_heights_m": [0.35, 0.2]}),
            "table_heights_m is .* it must ascend",
        ),
        (lambda: _sweep(rear_joint_m=[0.0, 0.0]), r"rear_joint_m has shape \(2,\); it must hold \(x, y, z\)"),
        (lambda: _sweep(frame_joints_m=[0.0, 0.0, 0.0]), "frame_joints_m has shape"),
        (lambda: _sweep(frame_joints_m=[[0.0, 0, 0], [0.0, 0, 0]]), "length_between_joints_m is 0"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_a_sentence(call: Any, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()
