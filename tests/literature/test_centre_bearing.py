"""Couples on supports, rubber and balls of a centre bearing against printed values."""

import math

import pytest

from beachmark.mechanics import centre_bearing, centre_bearing_force


def test_joint_couples__seherr_thoss_schmelz_aucktor_10_deg() -> None:
    """Greatest couples at 10 deg: 0.176327 of the torque on the driving, 0.173648 on the driven shaft.

    Source: Seherr-Thoss, Schmelz & Aucktor, Universal Joints and Driveshafts (relations); tables.
    Known: derived (relation from memory; free bodies in tests/references).
    """
    joint = {"torque_nm": 1.0, "angle_rad": math.radians(10)}
    square = centre_bearing_force.joint_couples(**joint, drive_angle_rad=math.pi / 2)
    in_plane = centre_bearing_force.joint_couples(**joint, drive_angle_rad=0.0)
    assert abs(square.driving_in_plane_nm) == pytest.approx(0.176327, abs=5e-7)
    assert abs(in_plane.driven_in_plane_nm) == pytest.approx(0.173648, abs=5e-7)
    parts = centre_bearing_force.couple_parts(**joint)
    # Half of it stands still, half of it turns: the two meet at the greatest value.
    assert abs(parts.driving_steady_nm) + parts.driving_second_nm == pytest.approx(0.176327, abs=5e-7)
    assert abs(parts.driven_steady_nm) + parts.driven_second_in_plane_nm == pytest.approx(0.173648, abs=5e-7)


def test_bearing_force__balance_of_moments_by_hand() -> None:
    """A couple of 100 N m about +y (towards +z at the front) on supports 0.5 m apart: 200 N, by hand downward.

    Source: statics, by hand: the couple turns z towards x, so the rear support is pushed down (-z).
    Known: derived.
    """
    force = centre_bearing_force.bearing_force(couple_nm=[0, 100, 0], shaft_direction=[1, 0, 0], span_m=0.5)
    assert force == pytest.approx([0.0, 0.0, -200.0])


def test_wobble__face_runout_0_1_mm_on_100_mm() -> None:
    """0.1 mm of face runout read on 100 mm is a tilt of 1 mrad, 3.4 minutes of arc.

    Source: geometry, by hand (3437.75 minutes per rad).
    Known: derived.
    """
    tilt = centre_bearing.wobble_rad(face_runout_m=1e-4, diameter_m=0.1)
    assert math.degrees(tilt) * 60 == pytest.approx(3.438, abs=0.0005)


def test_axial_use__by_hand_3_4_5() -> None:
    """A movement of 5 mm along (3, 4, 0) against a shaft along x: 3 mm along, 4 mm across; 2 mm offset, 10 mm free.

    Source: geometry, by hand.
    Known: derived.
    """
    use = centre_bearing.axial_use(
        movement_m=[3e-3, 4e-3, 0.0], shaft_direction=[2.0, 0.0, 0.0], set_offset_m=2e-3, free_travel_m=1e-2
    )
    assert (use.axial_m, use.across_m, use.share) == pytest.approx((3e-3, 4e-3, 0.5))


def test_rubber_deflection_and_bounce__single_mass_by_hand() -> None:
    """400 N/mm under 10 kg: 0.5 mm at 200 N, bounce at 200 rad/s (31.8 Hz), met by order 2 at 955 rpm.

    Source: single-mass vibration (any vibration text), by hand.
    Known: derived.
    """
    assert centre_bearing.rubber_deflection_m(force_n=200.0, stiffness_n_m=400e3) == pytest.approx(0.5e-3)
    speed = centre_bearing.bounce_shaft_speed_rad_s(stiffness_n_m=400e3, mass_kg=10.0)
    assert speed * 30 / math.pi == pytest.approx(955, abs=0.5)


@pytest.mark.parametrize("loss_factor", [0.05, 0.15, 0.6])
def test_transmitted_ratio__den_hartog_one_at_root_two(loss_factor: float) -> None:
    """Whatever the damping, as much comes through as shakes at sqrt 2 of the natural frequency.

    Source: Den Hartog, Mechanical Vibrations, vibration isolation.
    Known: from memory.
    """
    ratio = centre_bearing.transmitted_ratio(
        excitation_rad_s=100.0 * math.sqrt(2), bounce_rad_s=100.0, loss_factor=loss_factor
    )
    assert ratio == pytest.approx(1.0, rel=1e-12)


def test_ball_life__entrance_examination_2500_n_1000_n_720_rpm() -> None:
    """Fr 2500 N, Fa 1000 N, X 0.56, Y 1.6, C 7350 N, 720 rpm: P = 3000 N and 340.419 h.

    Source: national entrance examination in mechanical engineering, solved question on ball bearing life.
    Known: read.
    """
    load = centre_bearing.equivalent_ball_load_n(radial_n=2500.0, axial_n=1000.0, radial_factor=0.56, axial_factor=1.6)
    assert load == pytest.approx(3000.0, abs=1e-9)
    life = centre_bearing.ball_life_h(rating_n=7350.0, load_n=load, speed_rad_s=720 * math.pi / 30)
    assert life == pytest.approx(340.419, abs=0.001)  # three printed decimals, the last one rounded up


def test_equivalent_ball_load__shigley_problem_11_5_kn_2_kn() -> None:
    """Fr 5 kN, Fa 2 kN, X 0.56, Y 1.27: 5.34 kN.

    Source: Shigley's Mechanical Engineering Design, ch. 11 problem on a 30-mm ball bearing, solved sheet.
    Known: read.
    """
    load = centre_bearing.equivalent_ball_load_n(radial_n=5.0, axial_n=2.0, radial_factor=0.56, axial_factor=1.27)
    assert load == pytest.approx(5.34, abs=1e-9)


def test_ball_life__exercise_16_kn_2_kn_512_million_turns() -> None:
    """C 16 kN, P 2 kN: 512 million turns (at 1000 rpm 8533 h).

    Source: bearing exercise of an entrance examination, solved page; hours by hand (512e6 / 60 000).
    Known: read.
    """
    life = centre_bearing.ball_life_h(rating_n=16e3, load_n=2e3, speed_rad_s=1000 * math.pi / 30)
    assert life * 60_000 == pytest.approx(512e6, rel=1e-9)
