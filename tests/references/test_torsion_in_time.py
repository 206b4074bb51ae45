"""Forced torsional vibration followed in time: matrix exponential over half a period, real joint integrated (SciPy)."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]
from scipy.linalg import expm  # type: ignore[import-untyped]

from beachmark.mechanics.torsional import chain_train
from beachmark.mechanics.torsional_response import (
    TorsionalDamping,
    engine_order_response,
    forced_response,
    joint_order_response,
)

INERTIAS, STIFFNESSES = [3.0, 0.4, 6.0, 1.1], [9e4, 7e4, 2e5]
COUNT = len(INERTIAS)
TIME_S, RATE_PER_S = 2e-4, 0.3


def _with_torque(driven: int, torque: float, frequency: float) -> NDArray[np.float64]:
    """Rates of angles, speeds, and of sine and cosine of the torque's phase, as one matrix."""
    springs = np.zeros((COUNT, COUNT))
    for n, k in enumerate(STIFFNESSES):
        springs[n : n + 2, n : n + 2] += k * np.array([[1, -1], [-1, 1]])
    lighter = np.diag(1 / np.array(INERTIAS))
    drag = TIME_S * springs + RATE_PER_S * np.diag(INERTIAS)
    rates = np.zeros((2 * COUNT + 2, 2 * COUNT + 2))
    rates[:COUNT, COUNT : 2 * COUNT] = np.eye(COUNT)
    rates[COUNT:-2, :COUNT], rates[COUNT:-2, COUNT:-2] = -lighter @ springs, -lighter @ drag
    rates[COUNT + driven, -2] = torque / INERTIAS[driven]
    rates[-2, -1], rates[-1, -2] = frequency, -frequency
    return rates


def _angles(driven: int, torque: float, frequency: float) -> NDArray[np.complex128]:
    """Steady amplitudes: half a period after any instant, everything stands at the opposite."""
    rates = _with_torque(driven, torque, frequency)
    half = expm(rates * math.pi / frequency)[:-2]
    start = np.linalg.solve(np.eye(2 * COUNT) + half[:, :-2], -half[:, -1])  # the torque starts as a sine
    quarter = (expm(rates * math.pi / 2 / frequency) @ np.concatenate([start, [0.0, 1.0]]))[:COUNT]
    amplitudes: NDArray[np.complex128] = quarter + 1j * start[:COUNT]
    return amplitudes


@pytest.mark.parametrize("driven", [0, 1, 3])
def test_forced_response_is_the_steady_motion_in_time(driven: int) -> None:
    frequencies, torques = np.array([31.0, 140.0, 260.0, 444.0, 1500.0]), np.zeros(COUNT)
    torques[driven] = 700.0
    found = forced_response(
        train=chain_train(inertias_kg_m2=INERTIAS, stiffnesses_nm_rad=STIFFNESSES),
        damping=TorsionalDamping(TIME_S, RATE_PER_S),
        excitation_nm=torques,
        frequencies_rad_s=frequencies,
    )
    expected = np.array([_angles(driven, 700.0, frequency) for frequency in frequencies])
    assert found.angles_rad == pytest.approx(expected, rel=1e-7, abs=1e-9 * np.abs(expected).max())


def test_engine_order_is_the_steady_motion_at_three_times_the_turning() -> None:
    """Six cylinders, order 3, 500 N m: angles, and spring torques from the twists, damping of the spring included."""
    rpm = np.array([600.0, 1000.0, 1400.0, 1900.0])
    found = engine_order_response(
        train=chain_train(inertias_kg_m2=INERTIAS, stiffnesses_nm_rad=STIFFNESSES),
        damping=TorsionalDamping(TIME_S, RATE_PER_S),
        station=0,
        order=3.0,
        torque_nm=500.0,
        speeds_rad_s=rpm * math.pi / 30,
    )
    frequencies = 2 * math.pi * 3 * rpm / 60
    angles = np.array([_angles(0, 500.0, frequency) for frequency in frequencies])
    assert found.angles_rad == pytest.approx(angles, rel=1e-7, abs=1e-9 * np.abs(angles).max())
    torques = np.array(STIFFNESSES) * (1 + 1j * frequencies[:, None] * TIME_S) * (angles[:, :-1] - angles[:, 1:])
    assert found.spring_torques_nm == pytest.approx(torques, rel=1e-6, abs=1e-8 * np.abs(torques).max())


def _integrated(mean_torque: float, angle: float, speed: float, damping_time: float) -> tuple[complex, complex]:
    """Second order of the output's angle and of the joint torque, from the integrated motion of a real joint.

    The joint turns the yoke behind it by h = q + e sin 2q + e^2/2 sin 4q ahead of the shaft that carries it,
    a spring follows, and the power that goes into the joint comes out of it.
    """
    first, second, stiffness = 3.0, 0.4, 2e4
    e = math.tan(angle / 2) ** 2

    def torque(state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        q1, q2, w1, w2 = state
        lead = q1 + e * np.sin(2 * q1) + e**2 / 2 * np.sin(4 * q1)
        slope = 1 + 2 * e * np.cos(2 * q1) + 2 * e**2 * np.cos(4 * q1)
        return stiffness * ((lead - q2) + damping_time * (slope * w1 - w2)), slope

    def motion(_: float, state: np.ndarray) -> list[float]:
        carried, slope = torque(state)
        return [state[2], state[3], (mean_torque - carried * slope) / first, (carried - mean_torque) / second]

    turns, settle = 30, 50
    end = (settle + turns) * 2 * math.pi / speed
    start = [0.0, -mean_torque / stiffness, speed, speed]
    times = np.linspace(settle * 2 * math.pi / speed, end, 6001)
    run = solve_ivp(motion, (0, end), start, t_eval=times, rtol=1e-9, atol=1e-11, method="DOP853")
    mean_rate, at_start = np.polyfit(times, run.y[0], 1)
    phase = mean_rate * times + at_start
    basis = np.stack([np.ones_like(times), times, np.sin(2 * phase), np.cos(2 * phase)], axis=1)
    of_angle = np.linalg.lstsq(basis, run.y[1], rcond=None)[0]
    of_torque = np.linalg.lstsq(basis, torque(run.y)[0], rcond=None)[0]
    return complex(of_angle[2], of_angle[3]), complex(of_torque[2], of_torque[3])


@pytest.mark.parametrize("speed", [40.0, 105.0, 160.0])
@pytest.mark.parametrize("mean_torque", [0.0, 2000.0])
def test_joint_order_response_is_the_second_order_of_the_integrated_motion(speed: float, mean_torque: float) -> None:
    angle, damping_time = math.radians(4), 8e-4
    train = chain_train(inertias_kg_m2=[3.0, 0.4], stiffnesses_nm_rad=[2e4])
    found = joint_order_response(
        train=train,
        damping=TorsionalDamping(damping_time),
        joint_springs=[0],
        angles_rad=[angle],
        drive_yoke_angles_rad=[0.0],
        speeds_rad_s=speed,
        mean_torque_nm=mean_torque,
    )
    of_angle, of_torque = _integrated(mean_torque, angle, speed, damping_time)
    # What is left out is of the order of the lead itself, tan^2(2 deg) = 0.0012, times the dynamic gain.
    assert abs(found.angles_rad[1] - of_angle) < 0.01 * abs(of_angle)
    assert abs(found.spring_torques_nm[0] - of_torque) < 0.01 * abs(of_torque)


def test_the_mean_torque_matters_in_that_comparison() -> None:
    with_torque, without = (
        _integrated(2000.0, math.radians(4), 40.0, 8e-4),
        _integrated(0.0, math.radians(4), 40.0, 8e-4),
    )
    assert abs(with_torque[1] - without[1]) > 0.05 * abs(without[1])
