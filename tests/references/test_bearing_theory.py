"""Ratings and lives of needle bearings by the theory behind the formulas, integrated numerically (SciPy)."""

import math

import numpy as np
import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]

from beachmark.mechanics import fatigue, hooke, needle_bearing

RPM = math.pi / 30


def _mean_power(power: float) -> float:
    """Mean over the turn of a load cos^1.1 on the loaded half, raised to a power."""
    return float(quad(lambda a: math.cos(a) ** (1.1 * power), -math.pi / 2, math.pi / 2)[0]) / (2 * math.pi)


def _rating_by_contacts(needle_mm: float, length_mm: float, count: int, pitch_mm: float) -> float:
    """Lundberg and Palmgren: capacity of each contact, load round the bearing, survival of both races together.

    One contact: 552 N (mm), both races 0.83 for uneven load along the needle; line contact, Weibull slope 9/8.
    """
    ratio = needle_mm / pitch_mm
    shared = 0.83 * 552 * ratio ** (2 / 9) * needle_mm ** (29 / 27) * length_mm ** (7 / 9) * count**-0.25
    inner, outer = (shared * (1 - s) ** (29 / 27) / (1 + s) ** 0.25 for s in (ratio, -ratio))
    along, _ = quad(lambda a: math.cos(a) ** 2.1, -math.pi / 2, math.pi / 2)
    carried = along / (2 * math.pi) * count
    # The turning race feels the mean of the 4th power, the standing one, point by point, that of power 4.5.
    turning, standing = carried * inner / _mean_power(4) ** (1 / 4), carried * outer / _mean_power(4.5) ** (1 / 4.5)
    return float((turning**-4.5 + standing**-4.5) ** (-1 / 4.5))


@pytest.mark.parametrize(
    ("needle_mm", "length_mm", "count", "pitch_mm"),
    [(3.0, 20.0, 38, 36.6), (2.5, 15.0, 30, 24.5), (4.0, 30.0, 34, 47.0)],
)
def test_dynamic_rating_by_contact_capacity_and_load_distribution(
    needle_mm: float, length_mm: float, count: int, pitch_mm: float
) -> None:
    """Source: Lundberg & Palmgren, Acta Polytechnica (1952), as in Harris, Rolling Bearing Analysis (from memory)."""
    found = needle_bearing.dynamic_rating_n(
        needle_diameter_m=needle_mm / 1e3,
        needle_length_m=length_mm / 1e3,
        needle_count=count,
        pitch_diameter_m=pitch_mm / 1e3,
        rating_factor=1.0,
    )
    # The standard rounds 552 times the integral ratio to 208 and its ratio of races to 1.04: 0.2 %.
    assert found == pytest.approx(_rating_by_contacts(needle_mm, length_mm, count, pitch_mm), rel=0.002)
    factor = needle_bearing.geometry_factor(geometry_ratio=needle_mm / pitch_mm)
    powers = length_mm ** (7 / 9) * count**0.75 * needle_mm ** (29 / 27)
    assert factor * powers == pytest.approx(_rating_by_contacts(needle_mm, length_mm, count, pitch_mm), rel=0.002)


def test_duty_of_three_bins_in_digits() -> None:
    """5 % at 8000 N m 4 deg 900 rpm, 25 % at 3000 5 1400, 70 % at 1200 3 1700; 70 mm, 60 kN: 6977.28 h.

    Hour by hour: the turns of travel in an hour of each bin over the turns that its load allows, summed.
    """
    duty = [(0.05, 8000.0, 4.0, 900.0), (0.25, 3000.0, 5.0, 1400.0), (0.70, 1200.0, 3.0, 1700.0)]
    used = 0.0
    for share, torque, degrees, rpm in duty:
        force = torque / 0.14
        travelled_turns = share * 60 * rpm * 4 * degrees / 360
        used += travelled_turns / (1e6 * (60e3 / force) ** (10 / 3))
    assert 1 / used == pytest.approx(6977.28, abs=0.005)
    forces = [hooke.arm_force_n(torque_nm=torque, arm_radius_m=0.07) for _, torque, _, _ in duty]
    lives = [
        needle_bearing.oscillating_life_h(
            speed_rad_s=rpm * RPM, joint_angle_rad=math.radians(degrees), rating_n=60e3, force_n=force
        )
        for (_, _, degrees, rpm), force in zip(duty, forces, strict=True)
    ]
    assert fatigue.miner_life(shares=[share for share, *_ in duty], lives=lives) == pytest.approx(6977.28, abs=0.005)
    travels = [share * rpm * degrees for share, _, degrees, rpm in duty]
    by_mean = needle_bearing.oscillating_life_h(
        speed_rad_s=sum(travels) * RPM,
        joint_angle_rad=math.radians(1),
        rating_n=60e3,
        force_n=needle_bearing.mean_load(loads_n=forces, travels=travels),
    )
    assert by_mean == pytest.approx(6977.28, abs=0.005)


def test_bands_join_in_digits() -> None:
    """38 needles of 3 mm on 36.6 mm: bands rolled on the cup join at a double amplitude of 20.639 deg.

    Positions of two neighbouring needles while the cup turns: the place of contact on the cup is traced.
    """
    cup = np.linspace(0.0, math.radians(20.639), 1001)
    # Rolling without slip on a trunnion that stands still: the set of needles turns by R_cup / (2 R_pitch) of the cup.
    needles = cup * (36.6 + 3.0) / (2 * 36.6)
    on_cup = needles - cup
    band = float(np.ptp(on_cup))
    assert band == pytest.approx(2 * math.pi / 38, rel=5e-5)
    found = needle_bearing.full_overlap_amplitude_rad(
        needle_count=38, needle_diameter_m=0.003, pitch_diameter_m=0.0366, inner_race=False
    )
    assert math.degrees(2 * found) == pytest.approx(20.639, abs=0.0005)


def test_equivalent_turns_by_adding_up_the_swing() -> None:
    """1500 rpm at 6 deg: the cup swings to and fro by 6 deg each way, once a turn; 100 rpm of steady turning."""
    swing = 6 * np.sin(np.linspace(0, 2 * math.pi, 100_001))
    travelled = float(np.abs(np.diff(swing)).sum()) / 360 * 1500
    found = needle_bearing.equivalent_turn_speed(speed_rad_s=1500 * RPM, joint_angle_rad=math.radians(6))
    assert found / RPM == pytest.approx(travelled, rel=1e-8)
    assert travelled == pytest.approx(100.0, rel=1e-8)
