"""What must always hold of the couples of a joint and of the force on a centre bearing."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import centre_bearing_force as cbf
from beachmark.mechanics import chain, hooke

ANGLES = st.floats(0.0, 1.4)
TURNS = st.floats(-7.0, 7.0)
TORQUES = st.floats(-2e4, 2e4)


@given(TORQUES, ANGLES, TURNS)
def test_steady_and_second_order_together_are_the_couple(torque: float, angle: float, turn: float) -> None:
    now = cbf.joint_couples(torque_nm=torque, angle_rad=angle, drive_angle_rad=turn)
    parts = cbf.couple_parts(torque_nm=torque, angle_rad=angle)
    sign = math.copysign(1.0, torque)
    cosine, sine = sign * math.cos(2 * turn), sign * math.sin(2 * turn)
    close = {"rel": 1e-9, "abs": abs(torque) * 1e-9 + 1e-12}
    assert now.driving_in_plane_nm == pytest.approx(parts.driving_steady_nm + parts.driving_second_nm * cosine, **close)
    assert now.driving_normal_nm == pytest.approx(parts.driving_second_nm * sine, **close)
    assert now.driven_in_plane_nm == pytest.approx(
        parts.driven_steady_nm - parts.driven_second_in_plane_nm * cosine, **close
    )
    assert now.driven_normal_nm == pytest.approx(-parts.driven_second_normal_nm * sine, **close)


@given(TORQUES, st.floats(0.0, 0.78))
def test_the_greatest_couples_are_those_of_the_joint(torque: float, angle: float) -> None:
    turn = np.linspace(0, np.pi, 721)
    now = cbf.joint_couples(torque_nm=torque, angle_rad=angle, drive_angle_rad=turn)
    greatest = hooke.secondary_couple(torque_nm=torque, angle_rad=angle)
    close = {"rel": 1e-9, "abs": 1e-9}
    assert np.hypot(now.driving_in_plane_nm, now.driving_normal_nm).max() == pytest.approx(
        greatest.driving_yoke_nm, **close
    )
    assert np.hypot(now.driven_in_plane_nm, now.driven_normal_nm).max() == pytest.approx(
        greatest.driven_yoke_nm, **close
    )


@given(st.floats(0.01, 0.4), st.floats(10.0, 2e4), st.floats(0.1, 2.0))
def test_one_bent_joint_in_front_is_the_driven_couple_over_the_span(angle: float, torque: float, span: float) -> None:
    shafts = [[1, 0, 0], *[[math.cos(angle), math.sin(angle), 0]] * 3]
    parts = cbf.two_piece_bearing_parts(
        torque_nm=torque, directions=shafts, phases_rad=[0, 0], front_span_m=span, overhang_m=0.3, rear_length_m=1.0
    )
    couple = cbf.couple_parts(torque_nm=torque, angle_rad=angle)
    close = {"rel": 1e-9, "abs": torque / span * 1e-9}
    # The steady couple lies in the bend plane along y2, so the steady force is along y2 x u2 = -z.
    assert parts.steady_n == pytest.approx([0, 0, -couple.driven_steady_nm / span], **close)
    assert parts.second_n[2] == pytest.approx(couple.driven_second_in_plane_nm / span, **close)
    assert np.hypot(*parts.second_n[:2]) == pytest.approx(couple.driven_second_normal_nm / span, **close)


@given(st.floats(0.01, 0.4), st.floats(10.0, 2e4), st.floats(0.1, 2.0))
def test_one_bent_joint_behind_the_bearing_adds_the_rear_shafts_end_force(
    angle: float, torque: float, span: float
) -> None:
    front, overhang, rear = [1.0, 0.0, 0.0], 0.2, 1.5
    bent = [math.cos(angle), math.sin(angle), 0.0]
    parts = cbf.two_piece_bearing_parts(
        torque_nm=torque,
        directions=[front, front, bent, bent],
        phases_rad=[0, 0],
        front_span_m=span,
        overhang_m=overhang,
        rear_length_m=rear,
    )
    couple = cbf.couple_parts(torque_nm=torque, angle_rad=angle)
    steady = cbf.bearing_force(couple_nm=[0, couple.driving_steady_nm, 0], shaft_direction=front, span_m=span) - (
        1 + overhang / span
    ) * cbf.bearing_force(
        couple_nm=couple.driven_steady_nm * np.array([-math.sin(angle), math.cos(angle), 0]),
        shaft_direction=bent,
        span_m=rear,
    )
    assert parts.steady_n == pytest.approx(steady, rel=1e-9, abs=torque * 1e-9)


def test_a_straight_line_loads_no_bearing_and_the_force_turns_with_the_torque() -> None:
    line = {"phases_rad": [0.0, 0.3], "front_span_m": 0.6, "overhang_m": 0.1, "rear_length_m": 1.0}
    turn = np.linspace(0, 6, 13)
    straight = cbf.two_piece_bearing_force(torque_nm=9e3, directions=[[1, 0.1, 0.2]] * 4, input_angles_rad=turn, **line)
    assert straight == pytest.approx(np.zeros((13, 3)), abs=1e-8)
    bent = [[1, 0, 0], [1, 0, -0.1], [1, 0.1, -0.2], [1, 0, 0]]
    drive, coast = (
        cbf.two_piece_bearing_force(torque_nm=t, directions=bent, input_angles_rad=turn, **line) for t in (9e3, -9e3)
    )
    assert drive == pytest.approx(-coast)
    # A half turn brings both pins back on their lines: only even orders.
    again = cbf.two_piece_bearing_force(torque_nm=9e3, directions=bent, input_angles_rad=turn + np.pi, **line)
    assert drive == pytest.approx(again, abs=1e-6)


def test_turning_the_whole_line_about_the_vehicles_axis_turns_the_force_parts() -> None:
    bent = np.array([[1, 0, 0], [1, 0, -0.1], [1, 0.1, -0.2], [1, 0, 0]])
    line = {"phases_rad": [0, 0], "front_span_m": 0.6, "overhang_m": 0.1, "rear_length_m": 1.0}
    a = 0.8
    rotation = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
    here = cbf.two_piece_bearing_parts(torque_nm=9e3, directions=bent, **line)
    there = cbf.two_piece_bearing_parts(torque_nm=9e3, directions=bent @ rotation.T, **line)
    assert there.steady_n == pytest.approx(rotation @ here.steady_n, abs=1e-6)
    assert chain.joint_angles(directions=bent @ rotation.T) == pytest.approx(chain.joint_angles(directions=bent))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"directions": [[1, 0, 0]] * 3}, r"directions has shape \(3, 3\); it must hold"),
        ({"directions": [[1, 0, 0], [-1, 0, 0], [1, 0, 0], [1, 0, 0]]}, "directions has a joint of pi/2 or more"),
        ({"directions": [[1, 0, 0], [0, 0, 0], [1, 0, 0], [1, 0, 0]]}, "directions is .*; it must be one"),
        ({"phases_rad": [0.0]}, r"phases_rad has shape \(1,\); it must hold one phase"),
    ],
)
def test_a_malformed_line_is_refused(change: dict[str, object], message: str) -> None:
    line: dict[str, object] = {
        "torque_nm": 1e3, "directions": [[1, 0, 0]] * 4, "phases_rad": [0.0, 0.0], "front_span_m": 0.5,
        "overhang_m": 0.1, "rear_length_m": 1.0,
    }  # fmt: skip
    with pytest.raises(ValueError, match=message):
        cbf.two_piece_bearing_parts(**(line | change))  # type: ignore[arg-type]
