"""Shock, crack growth, unbalance and orders against integration in time and by hand."""

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp  # type: ignore[import-untyped]

from beachmark.mechanics import balance, fatigue, orders, torque_path

RPM = math.pi / 30


def _peak_torque(torque: float, stiffness: float, inertia: float, lash: float, speed: float, damping: float) -> float:
    """Greatest spring torque when an inertia under constant torque closes the lash and winds the shaft."""

    def motion(_: float, state: list[float]) -> list[float]:
        angle, rate = state
        wound = stiffness * max(angle - lash, 0.0)
        drag = damping * rate if angle > lash else 0.0
        return [rate, (torque - wound - drag) / inertia]

    period = 2 * math.pi * math.sqrt(inertia / stiffness)
    closing = math.sqrt(2 * lash * inertia / torque) if torque > 0 else 0.0
    run = solve_ivp(motion, (0, closing + period), [0.0, speed], rtol=1e-9, atol=1e-12, max_step=period / 400)
    return float(stiffness * (run.y[0].max() - lash))


@pytest.mark.parametrize("lash_deg", [0.0, 1.0, 3.0, 8.0])
def test_lash_peak_factor_is_the_peak_of_the_integrated_motion(lash_deg: float) -> None:
    torque, stiffness = 5000.0, 30_000.0
    peak = _peak_torque(torque, stiffness, 2.0, math.radians(lash_deg), 0.0, 0.0)
    found = torque_path.lash_peak_factor(torque_nm=torque, stiffness_nm_rad=stiffness, lash_rad=math.radians(lash_deg))
    assert found == pytest.approx(peak / torque, rel=1e-4)


@pytest.mark.parametrize("damping_ratio", [0.0, 0.05, 0.3])
def test_step_load_factor_is_the_peak_of_the_integrated_motion(damping_ratio: float) -> None:
    stiffness, inertia = 30_000.0, 2.0
    damping = 2 * damping_ratio * math.sqrt(stiffness * inertia)
    peak = _peak_torque(1000.0, stiffness, inertia, 0.0, 0.0, damping)
    assert torque_path.step_load_factor(damping_ratio=damping_ratio) == pytest.approx(peak / 1000, rel=1e-4)


def test_flywheel_dump_is_the_peak_of_the_integrated_motion() -> None:
    peak = _peak_torque(0.0, 30_000.0, 2.0, 0.0, 20.0, 0.0)
    found = torque_path.flywheel_dump_torque(speed_difference_rad_s=-20.0, stiffness_nm_rad=30_000.0, inertia_kg_m2=2.0)
    assert found == pytest.approx(peak, rel=1e-4)
    assert found == pytest.approx(20 * math.sqrt(60_000), rel=1e-12)


def test_engine_path_torque_by_hand() -> None:
    """2300 N m x 11.7 x 0.9 = 24 219 N m."""
    found = torque_path.engine_path_torque(engine_torque_nm=2300.0, ratio=11.7, efficiency=0.9)
    assert found == pytest.approx(24_219, rel=1e-12)


def test_grade_torque_is_the_grip_limit_of_an_equal_pull() -> None:
    axle = {"tyre_radius_m": 0.505, "axle_ratio": 3.58, "axle_efficiency": 0.95}
    grade, mass, rolling = math.atan(0.12), 38_000.0, 0.008
    pull = mass * 9.80665 * (0.12 + rolling) / math.hypot(1, 0.12)
    found = torque_path.grade_torque(mass_kg=mass, grade_rad=grade, rolling_resistance=rolling, **axle)
    assert found == pytest.approx(torque_path.grip_limit_torque(grip=1.0, axle_load_n=pull, **axle), rel=1e-12)


@pytest.mark.parametrize("exponent", [2.0, 2.0 + 1e-9, 3.0, 4.2])
def test_paris_life_is_the_integral_of_the_growth_law(exponent: float) -> None:
    coefficient, stress, shape, first, last = 2e-12 / 1e6**exponent, 120e6, 0.9, 0.001, 0.015

    def cycles_per_metre(depth: float) -> float:
        intensity = fatigue.stress_intensity_pa_sqrt_m(stress_pa=stress, crack_m=depth, shape_factor=shape)
        return float(1 / (coefficient * intensity**exponent))

    by_integral, _ = quad(cycles_per_metre, first, last, epsrel=1e-10)
    found = fatigue.paris_life(
        growth_coefficient_si=coefficient,
        growth_exponent=exponent,
        stress_range_pa=stress,
        shape_factor=shape,
        first_crack_m=first,
        last_crack_m=last,
    )
    assert found == pytest.approx(by_integral, rel=1e-6)


def test_critical_crack_is_where_the_intensity_reaches_the_toughness() -> None:
    depth = fatigue.critical_crack_m(toughness_pa_sqrt_m=60e6, stress_pa=300e6, shape_factor=0.73)
    assert depth == pytest.approx(0.0239, abs=0.00005)  # (60 / 219)^2 / pi by hand
    intensity = fatigue.stress_intensity_pa_sqrt_m(stress_pa=300e6, crack_m=depth, shape_factor=0.73)
    assert intensity == pytest.approx(60e6, rel=1e-12)
    assert fatigue.lefm_size_m(stress_intensity_pa_sqrt_m=60e6, yield_pa=600e6) == pytest.approx(0.025)


def test_stress_life_line_meets_both_its_ends_and_inverts() -> None:
    line = fatigue.basquin_line(ultimate_pa=900e6, endurance_pa=300e6, strength_fraction=0.8)
    assert fatigue.strength_at(line=line, cycles=1e3) == pytest.approx(720e6, rel=1e-12)
    assert fatigue.strength_at(line=line, cycles=1e6) == pytest.approx(300e6, rel=1e-12)
    for cycles in (2e3, 5e4, 9e5):
        stress = fatigue.strength_at(line=line, cycles=cycles)
        assert fatigue.cycles_at(line=line, amplitude_pa=stress) == pytest.approx(cycles, rel=1e-9)
    assert fatigue.cycles_at(line=line, amplitude_pa=300e6) == math.inf
    with pytest.raises(ValueError, match="amplitude_pa is 8e"):
        fatigue.cycles_at(line=line, amplitude_pa=800e6)


def test_goodman_amplitude_lies_on_the_line_through_the_ultimate_strength() -> None:
    for amplitude, mean in [(150e6, 200e6), (80e6, 0.0), (40e6, 650e6)]:
        found = fatigue.goodman_amplitude_pa(amplitude_pa=amplitude, mean_pa=mean, ultimate_pa=700e6)
        assert amplitude / found + mean / 700e6 == pytest.approx(1.0)
    with pytest.raises(ValueError, match=r"mean_pa is 7e\+08; it must be smaller than ultimate_pa"):
        fatigue.goodman_amplitude_pa(amplitude_pa=1e6, mean_pa=700e6, ultimate_pa=700e6)


def test_miner_life_uses_up_exactly_one_life() -> None:
    shares, lives = np.array([0.2, 0.5, 0.3]), np.array([2e4, 3e6, math.inf])
    life = fatigue.miner_life(shares=shares, lives=lives)
    assert fatigue.miner_damage(cycles=shares * life, lives=lives) == pytest.approx(1.0)
    assert fatigue.miner_life(shares=[1.0], lives=[math.inf]) == math.inf


def test_unbalance_force_by_hand() -> None:
    """30 kg, 0.1 mm, 3000 rpm: 30 x 1e-4 x 314.159^2 = 296.1 N."""
    unbalance = balance.unbalance_from_runout_kg_m(mass_kg=30.0, eccentricity_m=1e-4)
    assert balance.unbalance_force_n(unbalance_kg_m=unbalance, speed_rad_s=3000 * RPM) == pytest.approx(296.1, abs=0.05)


def test_plane_shares_balance_about_the_mass_centre() -> None:
    at_a, at_b = balance.plane_shares_kg_m(unbalance_kg_m=0.004, distance_a_m=0.7, distance_b_m=1.2)
    assert at_a + at_b == pytest.approx(0.004)
    assert at_a * 0.7 == pytest.approx(at_b * 1.2)


def test_orders_by_hand() -> None:
    """1800 rpm: 30 and 60 Hz; 80 km/h on 0.505 m and 3.58: 1504.4 rpm; six cylinders at 1500 rpm: 75 Hz."""
    assert orders.order_frequency_hz(speed_rad_s=1800 * RPM, order=1) == pytest.approx(30)
    assert orders.order_frequency_hz(speed_rad_s=1800 * RPM, order=2) == pytest.approx(60)
    shaft = orders.shaft_speed_rad_s(road_speed_m_s=80 / 3.6, tyre_radius_m=0.505, axle_ratio=3.58)
    assert shaft / RPM == pytest.approx(1504.4, abs=0.05)
    firing = orders.order_frequency_hz(speed_rad_s=1500 * RPM, order=orders.firing_order(cylinders=6))
    assert firing == pytest.approx(75)
    assert orders.order_of_frequency(frequency_hz=firing, speed_rad_s=1500 * RPM) == pytest.approx(3.0)
