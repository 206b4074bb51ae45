"""Forced torsional vibration followed through half a period in time by the matrix exponential (SciPy)."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.linalg import expm  # type: ignore[import-untyped]

from beachmark.mechanics.torsional import chain_train
from beachmark.mechanics.torsional_response import TorsionalDamping, engine_order_response, forced_response

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
