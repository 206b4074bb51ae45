"""Forces on ears, couples on shafts and the centre bearing against free bodies solved from balance alone.

Source of every expected value: numpy.linalg.solve on the equations of balance in joint_by_vectors.py.
"""

import itertools
import math

import numpy as np
import pytest

from beachmark.mechanics import chain, hooke, yoke
from beachmark.mechanics.centre_bearing_force import (
    bearing_force,
    joint_couples,
    two_piece_bearing_force,
    two_piece_bearing_parts,
)
from tests.references.joint_by_vectors import X, Y, Z, cross_at, two_piece_line, unit

TORQUE, RADIUS = 9e3, 0.07
CASES = list(itertools.product(np.radians([0.5, 8.0, 30.0, 60.0]), np.arange(0.1, 2 * np.pi, 0.6), (TORQUE, -TORQUE)))
LINE_SHAFTS = np.array([unit(np.array(d)) for d in ([1, 0, 0.02], [1, 0.03, -0.06], [1, -0.08, -0.16], [1, 0.02, 0])])
SPANS = {"front_span_m": 0.7, "overhang_m": 0.2, "rear_length_m": 1.3}
PHASES = [0.0, 0.4]


@pytest.mark.parametrize(("angle", "drive_angle", "torque"), CASES)
def test_couples_on_both_shafts_are_those_of_the_free_cross(angle: float, drive_angle: float, torque: float) -> None:
    cross = cross_at(angle, drive_angle, torque, RADIUS)
    found = joint_couples(torque_nm=torque, angle_rad=angle, drive_angle_rad=drive_angle)
    in_plane_of_driven = -math.sin(angle) * X + math.cos(angle) * Y
    driving, driven = cross.couple_on_driving_shaft(RADIUS), cross.couple_on_driven_shaft(RADIUS)
    tight = {"rel": 1e-9, "abs": 1e-6}
    assert driving @ cross.before == pytest.approx(-torque, **tight)  # the reaction to the torque itself
    assert found.driving_in_plane_nm == pytest.approx(driving @ Y, **tight)
    assert found.driving_normal_nm == pytest.approx(driving @ Z, **tight)
    assert found.driven_in_plane_nm == pytest.approx(driven @ in_plane_of_driven, **tight)
    assert found.driven_normal_nm == pytest.approx(driven @ Z, **tight)


@pytest.mark.parametrize(("angle", "drive_angle", "torque"), CASES)
def test_forces_on_the_ears_are_those_of_the_free_cross(angle: float, drive_angle: float, torque: float) -> None:
    cross = cross_at(angle, drive_angle, torque, RADIUS)
    ends = [
        (False, cross.before, cross.driving_pin, -cross.on_driving_arm, 1.0),  # the base lies in front of the ear
        (True, cross.after, cross.driven_pin, -cross.on_driven_arm, -1.0),  # the base lies behind it
    ]
    for driven, shaft, pin, on_ear, away_from_base in ends:
        ear = yoke.ear_forces(
            torque_nm=torque, arm_radius_m=RADIUS, angle_rad=angle, drive_angle_rad=drive_angle, driven=driven
        )
        assert ear.tangential_n == pytest.approx(on_ear @ np.cross(shaft, pin), rel=1e-9, abs=1e-4)
        assert ear.pull_n == pytest.approx(away_from_base * (on_ear @ shaft), rel=1e-9, abs=1e-4)
        # The opposite ear, at -pin, gets the opposite force: alike in the sense of rotation, opposite in pull.
        assert ear.tangential_n == pytest.approx(-on_ear @ np.cross(shaft, -pin), rel=1e-9, abs=1e-4)


def test_tangential_force_carries_the_torque_of_each_shaft() -> None:
    for angle, drive_angle, torque in CASES:
        joint = {"torque_nm": torque, "arm_radius_m": RADIUS, "angle_rad": angle, "drive_angle_rad": drive_angle}
        ratio = float(hooke.speed_ratio(angle_rad=angle, drive_angle_rad=drive_angle))
        driving, driven = (yoke.ear_forces(**joint, driven=side) for side in (False, True))
        assert -2 * RADIUS * driving.tangential_n == pytest.approx(torque)
        assert 2 * RADIUS * driven.tangential_n == pytest.approx(torque / ratio)  # power in, power out


@pytest.mark.parametrize("angle", np.radians([1.0, 10.0, 40.0, 50.0, 70.0]))
def test_greatest_pull_is_the_largest_of_a_whole_turn_of_the_free_cross(angle: float) -> None:
    turn = np.linspace(0.0, np.pi, 721)
    crosses = [cross_at(angle, float(a), TORQUE, RADIUS) for a in turn]
    largest = {
        False: max(abs(c.on_driving_arm @ c.before) for c in crosses),
        True: max(abs(c.on_driven_arm @ c.after) for c in crosses),
    }
    for driven, expected in largest.items():
        found = yoke.greatest_pull_n(torque_nm=-TORQUE, arm_radius_m=RADIUS, angle_rad=angle, driven=driven)
        assert found == pytest.approx(expected, rel=1e-5)  # the grid of half degrees misses the top by 1e-5 at most


def test_bearing_force_turns_the_couple_back() -> None:
    shaft, span = unit(np.array([1.0, 0.2, -0.1])), 0.8
    couple = np.cross(shaft, [0.3, -0.7, 0.4]) * 500
    on_bearing = bearing_force(couple_nm=couple, shaft_direction=shaft, span_m=span)
    # On the shaft: -on_bearing at the bearing, +on_bearing at the other support, and the couple: no moment left.
    assert np.cross(span * shaft, -on_bearing) + couple == pytest.approx(np.zeros(3), abs=1e-9)
    other = bearing_force(couple_nm=couple, shaft_direction=-shaft, span_m=span)
    assert other == pytest.approx(-on_bearing)


def _pins(input_angle: float) -> list[np.ndarray]:
    """Driving pins by turning each driven pin about its shaft through the phase (Rodrigues), written out here."""
    first = unit(Y - (Y @ LINE_SHAFTS[0]) * LINE_SHAFTS[0])
    pin = _turned(first, LINE_SHAFTS[0], input_angle)
    pins = [pin]
    for shaft, phase in zip(LINE_SHAFTS[1:3], PHASES, strict=True):
        pin = _turned(unit(np.cross(shaft, pin)), shaft, phase)
        pins.append(pin)
    return pins


def _turned(vector: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    turned = vector * math.cos(angle) + np.cross(axis, vector) * math.sin(angle)
    return turned + axis * (axis @ vector) * (1 - math.cos(angle))


@pytest.mark.parametrize("input_angle", np.arange(0.0, 6.3, 0.7))
def test_centre_bearing_force_is_that_of_both_shafts_as_free_bodies(input_angle: float) -> None:
    found = two_piece_bearing_force(
        torque_nm=TORQUE, directions=LINE_SHAFTS, phases_rad=PHASES, input_angles_rad=[input_angle], **SPANS
    )
    expected, _ = two_piece_line(TORQUE, LINE_SHAFTS, _pins(input_angle), 0.7, 0.2, 1.3)
    assert found[0] == pytest.approx(expected, rel=1e-9, abs=1e-6)
    assert np.linalg.norm(expected) > 50  # N: not a comparison of nothing with nothing


@pytest.mark.parametrize("input_angle", np.arange(0.2, 6.3, 0.9))
def test_pins_of_the_line_are_those_of_the_exact_motion(input_angle: float) -> None:
    """Virtual work: the axle's torque is the gearbox's times d(input) / d(output) of chain.exact_chain_motion."""
    _, axle = two_piece_line(TORQUE, LINE_SHAFTS, _pins(input_angle), 0.7, 0.2, 1.3)
    step = 1e-4
    motion = chain.exact_chain_motion(
        directions=LINE_SHAFTS, phases_rad=PHASES, input_angles_rad=[input_angle - step, input_angle + step]
    )
    assert axle == pytest.approx(TORQUE * 2 * step / float(motion[1] - motion[0]), rel=1e-6)


def test_steady_and_second_order_rebuild_the_force_of_small_angles() -> None:
    parts = two_piece_bearing_parts(torque_nm=TORQUE, directions=LINE_SHAFTS, phases_rad=PHASES, **SPANS)
    turn = np.linspace(0, 2 * np.pi, 361)[:-1]
    force = two_piece_bearing_force(
        torque_nm=TORQUE, directions=LINE_SHAFTS, phases_rad=PHASES, input_angles_rad=turn, **SPANS
    )
    assert parts.steady_n == pytest.approx(force.mean(axis=0), abs=1e-6)
    # Least squares on 1, cos 2t, sin 2t: another route to the amplitude than the Fourier transform.
    base = np.stack([np.ones_like(turn), np.cos(2 * turn), np.sin(2 * turn)], axis=1)
    fitted = np.linalg.lstsq(base, force, rcond=None)[0]
    assert parts.second_n == pytest.approx(np.hypot(fitted[1], fitted[2]), rel=1e-6, abs=1e-6)
    left = np.abs(force - base @ fitted).max()
    assert left < 0.05 * np.abs(force).max()  # angles of some 5 to 9 deg leave little in the higher orders


@pytest.mark.parametrize("angle_deg", [1, 12, 30, 44, 46, 60, 75])
def test_greatest_couples_and_arm_force_are_those_of_vectors_over_a_whole_turn(angle_deg: float) -> None:
    """The bearings pass no moment about their own pins, so the couple stands square to both pins."""
    turn, b = np.linspace(0.0, 2 * math.pi, 20_001), math.radians(angle_deg)
    shaft_in, shaft_out = X, math.cos(b) * X + math.sin(b) * Y
    # The joint bends in the x-y plane; the drive angle counts from the pin lying in that plane (y).
    pins = np.cos(turn)[:, None] * Y + np.sin(turn)[:, None] * Z
    driven = np.cross(shaft_out, pins)
    driven /= np.linalg.norm(driven, axis=1)[:, None]
    normal = np.cross(pins, driven)
    size = TORQUE / (normal @ shaft_in)  # the part along the driving shaft is its torque
    couple = size[:, None] * normal
    bend_in = np.linalg.norm(couple - (couple @ shaft_in)[:, None] * shaft_in, axis=1)
    bend_out = np.linalg.norm(couple - (couple @ shaft_out)[:, None] * shaft_out, axis=1)
    found = hooke.secondary_couple(torque_nm=TORQUE, angle_rad=b)
    assert found.driving_yoke_nm == pytest.approx(float(bend_in.max()), rel=1e-6)
    assert found.driven_yoke_nm == pytest.approx(float(bend_out.max()), rel=1e-6)
    assert found.cross_nm == pytest.approx(float(np.abs(size).max()), rel=1e-6)
    # Torque ratio is the inverse of the speed ratio (power in = power out).
    ratio = hooke.speed_ratio(angle_rad=b, drive_angle_rad=turn)
    assert couple @ shaft_out == pytest.approx(TORQUE / ratio, rel=1e-9)
    # The couple on an opposed pair of arms: two equal forces 2 R apart.
    force = hooke.arm_force_n(torque_nm=TORQUE, arm_radius_m=RADIUS, angle_rad=b)
    assert force == pytest.approx(float(np.abs(size).max()) / (2 * RADIUS), rel=1e-6)
    # Up to 45 deg the two bending couples peak a quarter turn apart, beyond it they do not.
    apart = abs(turn[bend_in.argmax()] - turn[bend_out.argmax()]) % math.pi
    assert (apart == pytest.approx(math.pi / 2, abs=2e-3)) == (angle_deg <= 45)
