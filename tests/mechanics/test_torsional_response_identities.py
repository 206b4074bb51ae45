"""Forced torsional vibration against modes, energy, reciprocity and the phasor rule."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.mechanics import chain
from beachmark.mechanics.torsional import TorsionalTrain, chain_train, natural_frequencies
from beachmark.mechanics.torsional_response import (
    TorsionalDamping,
    engine_order_response,
    forced_response,
    joint_order_response,
)
from tests.mechanics.test_torsional_identities import trees

DAMPING = st.builds(TorsionalDamping, st.floats(1e-6, 1e-3), st.floats(1e-3, 5.0))
FREQUENCY = st.floats(5.0, 3000.0)


@given(trees(), DAMPING, FREQUENCY, st.data())
@settings(max_examples=80, deadline=None)
def test_the_response_is_the_sum_of_the_responses_of_the_modes(
    train: TorsionalTrain, damping: TorsionalDamping, frequency: float, data: st.DataObject
) -> None:
    """Damping in proportion to springs and inertias leaves the modes apart (Thomson, ch. 6, from memory)."""
    count = len(train.inertias_kg_m2)
    torques = np.array(data.draw(st.lists(st.floats(-900, 900), min_size=count, max_size=count)))
    found = forced_response(train=train, damping=damping, excitation_nm=torques, frequencies_rad_s=frequency)
    modes = natural_frequencies(train=train)
    masses = np.array(train.inertias_kg_m2) @ modes.shapes**2
    squares = modes.frequencies_rad_s**2
    rate = float(np.asarray(damping.station_rate_per_s)) + float(np.asarray(damping.spring_time_s)) * squares
    per_mode = (modes.shapes.T @ torques) / masses / (squares - frequency**2 + 1j * frequency * rate)
    expected = modes.shapes @ per_mode
    scale = float(np.abs(per_mode).sum())
    assert found.angles_rad == pytest.approx(expected, rel=1e-7, abs=1e-7 * scale)


@given(trees(), DAMPING, FREQUENCY)
@settings(max_examples=80, deadline=None)
def test_the_power_put_in_is_the_power_lost_in_springs_and_drag(
    train: TorsionalTrain, damping: TorsionalDamping, frequency: float
) -> None:
    torques = np.zeros(len(train.inertias_kg_m2))
    torques[0] = 100.0
    found = forced_response(train=train, damping=damping, excitation_nm=torques, frequencies_rad_s=frequency)
    speeds = 1j * frequency * found.angles_rad
    put_in = float(np.real(np.vdot(torques.astype(complex), speeds))) / 2
    twists = speeds @ train.twist_matrix.T
    in_springs = damping.spring_time_s * np.array(train.stiffnesses_nm_rad) @ np.abs(twists) ** 2 / 2
    in_drag = damping.station_rate_per_s * np.array(train.inertias_kg_m2) @ np.abs(speeds) ** 2 / 2
    reactive = float(np.abs(np.vdot(torques.astype(complex), speeds))) / 2
    assert put_in == pytest.approx(float(in_springs + in_drag), rel=1e-6, abs=1e-9 * reactive)


@given(trees(), DAMPING, FREQUENCY)
@settings(max_examples=50, deadline=None)
def test_pushing_here_and_looking_there_is_the_same_the_other_way_round(
    train: TorsionalTrain, damping: TorsionalDamping, frequency: float
) -> None:
    """Maxwell's reciprocity."""
    unit = np.eye(len(train.inertias_kg_m2))
    columns = [
        forced_response(train=train, damping=damping, excitation_nm=one, frequencies_rad_s=frequency).angles_rad
        for one in unit
    ]
    matrix = np.array(columns)
    assert matrix == pytest.approx(matrix.T, rel=1e-9, abs=1e-9 * np.abs(matrix).max())


def test_many_frequencies_at_once_are_each_alone_and_loads_may_go_with_them() -> None:
    train = chain_train(inertias_kg_m2=[5.0, 0.4, 3.0], stiffnesses_nm_rad=[1e5, 8e4])
    damping = TorsionalDamping([1e-4, 3e-4], [0.0, 0.2, 0.1])
    frequencies, loads = np.array([30.0, 200.0, 700.0]), np.array([[1.0, 0, 0], [0, 2.0, 0], [1.0, 0, 3.0]])
    together = forced_response(train=train, damping=damping, excitation_nm=loads, frequencies_rad_s=frequencies)
    for n, frequency in enumerate(frequencies):
        alone = forced_response(train=train, damping=damping, excitation_nm=loads[n], frequencies_rad_s=frequency)
        assert together.angles_rad[n] == pytest.approx(alone.angles_rad, rel=1e-13)
        assert together.spring_torques_nm[n] == pytest.approx(alone.spring_torques_nm, rel=1e-13)


def test_a_slow_push_on_one_end_accelerates_all_as_one_and_loads_the_spring_by_the_inertia_behind_it() -> None:
    train = chain_train(inertias_kg_m2=[3.0, 1.0], stiffnesses_nm_rad=[1e6])
    found = forced_response(train=train, damping=TorsionalDamping(), excitation_nm=[100.0, 0.0], frequencies_rad_s=1.0)
    assert found.angles_rad == pytest.approx([-25.0, -25.0], rel=1e-4)
    assert found.spring_torques_nm == pytest.approx([25.0], rel=1e-4)


@pytest.mark.parametrize("speed", [5.0, 20.0])
def test_stiff_shafts_behind_a_steady_input_move_as_the_phasor_rule_says(speed: float) -> None:
    angles, yokes = np.radians([4.0, 3.0, 5.0]), np.array([0.2, 1.1, -0.6])
    train = chain_train(inertias_kg_m2=[1e9, 0.1, 0.1, 0.1], stiffnesses_nm_rad=[1e8] * 3)
    found = joint_order_response(
        train=train,
        damping=TorsionalDamping(),
        joint_springs=[0, 1, 2],
        angles_rad=angles,
        drive_yoke_angles_rad=yokes,
        speeds_rad_s=speed,
    )
    accelerations = (2 * speed) ** 2 * np.abs(found.angles_rad[1:])
    middle = chain.shaft_accelerations(
        angles_rad=angles, drive_yoke_angles_rad=yokes, speed_rad_s=speed, from_rear=False
    )
    whole = chain.equivalent_angle(angles_rad=angles, drive_yoke_angles_rad=yokes)
    output = chain.torsional_acceleration(equivalent_angle_rad=whole, speed_rad_s=speed)
    # b^2 / 4 stands for tan^2(b / 2) in the phasor rule: 0.13 % at 5 deg.
    assert accelerations == pytest.approx([*middle, output], rel=0.003)


def test_two_equal_joints_in_phase_leave_the_output_and_shake_only_the_shaft_between() -> None:
    train = chain_train(inertias_kg_m2=[1e9, 0.1, 4.0], stiffnesses_nm_rad=[1e9, 1e9])
    found = joint_order_response(
        train=train,
        damping=TorsionalDamping(),
        joint_springs=[0, 1],
        angles_rad=[0.1, 0.1],
        drive_yoke_angles_rad=[0.0, math.pi / 2],
        speeds_rad_s=100.0,
    )
    assert abs(found.angles_rad[2]) < 1e-4 * abs(found.angles_rad[1])
    # The inertia torque of the shaft between: J W^2 b^2 = 0.1 x 1e4 x 0.01 = 10 N m by hand.
    assert abs(found.spring_torques_nm[0]) == pytest.approx(10.0, rel=0.01)


def test_joint_resonance_peaks_at_half_the_natural_frequency() -> None:
    train = chain_train(inertias_kg_m2=[40.0, 0.3, 8.0], stiffnesses_nm_rad=[9e4, 7e4])
    natural = natural_frequencies(train=train).frequencies_rad_s[2]
    speeds = np.linspace(0.4, 0.6, 2001) * natural
    found = joint_order_response(
        train=train,
        damping=TorsionalDamping(1e-5),
        joint_springs=[0],
        angles_rad=[0.1],
        drive_yoke_angles_rad=[0.0],
        speeds_rad_s=speeds,
    )
    peak = speeds[np.argmax(np.abs(found.spring_torques_nm[:, 0]))]
    assert peak == pytest.approx(natural / 2, rel=0.001)


def test_engine_order_is_a_torque_at_order_times_speed() -> None:
    train = chain_train(inertias_kg_m2=[3.0, 0.4, 6.0], stiffnesses_nm_rad=[9e4, 7e4])
    damping, speeds, torques = TorsionalDamping(1e-4), np.array([60.0, 120.0]), np.array([500.0, 800.0])
    found = engine_order_response(
        train=train, damping=damping, station=0, order=3.0, torque_nm=torques, speeds_rad_s=speeds
    )
    for n in range(2):
        alone = forced_response(
            train=train, damping=damping, excitation_nm=[torques[n], 0, 0], frequencies_rad_s=3 * speeds[n]
        )
        assert found.angles_rad[n] == pytest.approx(alone.angles_rad, rel=1e-12)


def test_what_does_not_fit_the_train_is_refused() -> None:
    train = chain_train(inertias_kg_m2=[2.0, 2.0], stiffnesses_nm_rad=[1.0])
    sound = {"train": train, "damping": TorsionalDamping(), "frequencies_rad_s": 3.0}
    with pytest.raises(ValueError, match="frequencies_rad_s holds an undamped natural frequency; damping must"):
        forced_response(**{**sound, "frequencies_rad_s": 1.0}, excitation_nm=[1.0, 0.0])  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"excitation_nm has shape \(3,\); it must hold one value for each"):
        forced_response(**sound, excitation_nm=[1.0, 0.0, 0.0])  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"spring_time_s has shape \(2,\); it must be one number or a list of 1"):
        forced_response(
            train=train, damping=TorsionalDamping([1.0, 1.0]), excitation_nm=[1.0, 0.0], frequencies_rad_s=3.0
        )
    with pytest.raises(ValueError, match="station_rate_per_s is -1; it must be a finite number, 0 or greater"):
        forced_response(
            train=train, damping=TorsionalDamping(0.0, -1.0), excitation_nm=[1.0, 0.0], frequencies_rad_s=3.0
        )
    with pytest.raises(ValueError, match=r"station is 2; it must be a whole number from 0 to 1"):
        engine_order_response(
            train=train, damping=TorsionalDamping(), station=2, order=3.0, torque_nm=1.0, speeds_rad_s=9.0
        )
    with pytest.raises(ValueError, match=r"joint_springs is 0\.5; it must be a whole number from 0 to 1"):
        joint_order_response(
            train=chain_train(inertias_kg_m2=[2.0, 2.0, 1.0], stiffnesses_nm_rad=[1.0, 1.0]),
            damping=TorsionalDamping(),
            joint_springs=[0.5],
            angles_rad=[0.1],
            drive_yoke_angles_rad=[0.0],
            speeds_rad_s=1.0,
        )
