"""Shocks and bounces integrated in time by SciPy, and the digits noted beforehand."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from beachmark.mechanics import torque_limits, torque_path, whirl


def _peak(stiffness: float, inertia: float, torque: float, lash: float, speed: float) -> float:
    """Greatest spring torque of an inertia that runs through a gap into a spring with its far end held."""

    def motion(_: float, state: list[float]) -> list[float]:
        return [state[1], (torque - stiffness * max(state[0] - lash, 0.0)) / inertia]

    def turns_back(_: float, state: list[float]) -> float:
        return state[1]

    turns_back.terminal = True  # type: ignore[attr-defined]
    turns_back.direction = -1  # type: ignore[attr-defined]
    run = solve_ivp(
        motion, (0.0, 5.0), [0.0, max(speed, 1e-9)], events=turns_back, rtol=1e-10, atol=1e-13, max_step=1e-4
    )
    return float(stiffness * (run.y_events[0][0][0] - lash))


def test_lash_peak_factor_in_digits() -> None:
    """30 kN m/rad, 5 kN m, 3 deg of lash: 2.27606 times the torque, whatever the inertia; without lash 2."""
    for inertia in (0.5, 4.0):
        assert _peak(30e3, inertia, 5e3, math.radians(3), 0.0) / 5e3 == pytest.approx(2.27606, abs=2e-5)
    found = torque_path.lash_peak_factor(torque_nm=5e3, stiffness_nm_rad=30e3, lash_rad=math.radians(3))
    assert found == pytest.approx(2.27606, abs=5e-6)
    assert torque_path.step_load_factor() == pytest.approx(_peak(30e3, 1.0, 5e3, 0.0, 0.0) / 5e3, rel=1e-6)


def test_flywheel_dump_in_digits() -> None:
    """20 rad/s, 30 kN m/rad, 2 kg m^2: 4898.98 N m."""
    assert _peak(30e3, 2.0, 0.0, 0.0, 20.0) == pytest.approx(4898.98, abs=0.01)
    found = torque_path.flywheel_dump_torque(speed_difference_rad_s=20.0, stiffness_nm_rad=30e3, inertia_kg_m2=2.0)
    assert found == pytest.approx(4898.98, abs=0.005)


def test_bounce_speed_is_the_rate_of_the_free_swing() -> None:
    """A mass let go on its rubber: the time between its passages through the middle."""

    def swing(_: float, state: list[float]) -> list[float]:
        return [state[1], -4e5 * state[0] / 12.0]

    def passes(_: float, state: list[float]) -> float:
        return state[0]

    run = solve_ivp(swing, (0.0, 0.5), [0.001, 0.0], events=passes, rtol=1e-10, atol=1e-14)
    half_period = float(np.diff(run.t_events[0]).mean())
    found = whirl.bounce_speed(stiffness_n_m=4e5, mass_kg=12.0)
    assert found == pytest.approx(math.pi / half_period, rel=1e-7)
    # The same by the sag under its own weight.
    by_sag = whirl.speed_from_deflection(deflection_m=12.0 * 9.80665 / 4e5, gravity_m_s2=9.80665)
    assert by_sag == pytest.approx(math.pi / half_period, rel=1e-7)


def test_brake_lock_is_the_peak_of_the_integrated_motion_with_a_brake_that_may_slip() -> None:
    """A flywheel runs on into a shaft whose far end sticks up to a torque and slides beyond it."""
    stiffness, inertia, speed, ratio = 30e3, 2.0, 50.0, 4.0
    period = 2 * math.pi * math.sqrt(inertia / stiffness)
    for held in (20e3, 200e3):

        def motion(_: float, state: list[float], slips_at: float = held / ratio) -> list[float]:
            twist, rate = state
            slides = twist * stiffness >= slips_at and rate > 0
            return [0.0 if slides else rate, -min(twist * stiffness, slips_at) / inertia]

        run = solve_ivp(motion, (0, period / 2), [0.0, speed], rtol=1e-8, max_step=period / 2000)
        bound = torque_limits.brake_lock_torque(
            shaft_speed_rad_s=speed,
            stiffness_nm_rad=stiffness,
            inertia_kg_m2=inertia,
            held_wheel_torque_nm=held,
            axle_ratio=ratio,
            axle_efficiency=1.0,
        )
        assert float(bound) == pytest.approx(stiffness * run.y[0].max(), rel=2e-3)
