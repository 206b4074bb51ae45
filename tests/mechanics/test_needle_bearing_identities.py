"""Life of a swinging bearing against its travel, mean load against Miner, bands against geometry."""

import math

import numpy as np
import pytest

from beachmark.mechanics import fatigue, needle_bearing

RPM = math.pi / 30
# share of time, torque N m, joint angle deg, speed rpm; arm radius 0.07 m, rating 60 kN
DUTY = [(0.05, 8000.0, 4.0, 900.0), (0.25, 3000.0, 5.0, 1400.0), (0.70, 1200.0, 3.0, 1700.0)]
RATING_N, ARM_M = 60e3, 0.07


def test_mean_load_life_equals_miner_sum_over_a_duty() -> None:
    loads = [torque / (2 * ARM_M) for _, torque, _, _ in DUTY]
    lives = [
        needle_bearing.oscillating_life_h(
            speed_rad_s=rpm * RPM, joint_angle_rad=math.radians(deg), rating_n=RATING_N, force_n=load
        )
        for (_, _, deg, rpm), load in zip(DUTY, loads, strict=True)
    ]
    by_miner = fatigue.miner_life(shares=[share for share, *_ in DUTY], lives=lives)
    travels = [share * rpm * deg for share, _, deg, rpm in DUTY]
    mean = needle_bearing.mean_load(loads_n=loads, travels=travels)
    by_mean = needle_bearing.oscillating_life_h(
        speed_rad_s=sum(travels) * RPM, joint_angle_rad=math.radians(1), rating_n=RATING_N, force_n=mean
    )
    assert by_mean == pytest.approx(by_miner, rel=1e-12)
    # By hand: 1.5e6 C^(10/3) / sum(share n b F^(10/3)), the hours that both must give.
    by_hand = 1.5e6 / sum(t * (f / RATING_N) ** (10 / 3) for t, f in zip(travels, loads, strict=True))
    assert by_miner == pytest.approx(by_hand, rel=1e-9)


def test_equivalent_speed_is_the_travel_of_the_swing() -> None:
    """Between trunnion and cup the cross swings by b sin(shaft angle); its travel is summed numerically."""
    speed, angle = 157.0, math.radians(7)
    shaft = np.linspace(0, 2 * math.pi, 100_001)
    travel_per_turn = float(np.abs(np.diff(angle * np.sin(shaft))).sum())
    found = needle_bearing.equivalent_turn_speed(speed_rad_s=speed, joint_angle_rad=angle)
    assert found == pytest.approx(speed * travel_per_turn / (2 * math.pi), rel=1e-9)


@pytest.mark.parametrize("inner_race", [True, False])
def test_bands_of_neighbouring_needles_just_join_at_the_critical_angle(inner_race: bool) -> None:
    """Rolling without slip: equal arcs on needle and race, the needle's centre on the pitch circle."""
    count, needle, pitch = 38, 3.0, 36.6
    swing = 2 * needle_bearing.full_overlap_amplitude_rad(
        needle_count=count, needle_diameter_m=needle, pitch_diameter_m=pitch, inner_race=inner_race
    )
    inner_radius, outer_radius = (pitch - needle) / 2, (pitch + needle) / 2
    # The cup turns by `swing` over the trunnion; the needles follow by the mean of the rolling speeds.
    set_over_trunnion = swing * outer_radius / (inner_radius + outer_radius)
    band = set_over_trunnion if inner_race else swing - set_over_trunnion
    assert band == pytest.approx(2 * math.pi / count, rel=1e-12)


def test_life_halves_with_twice_the_speed_and_falls_ten_to_one_per_factor_two_of_load() -> None:
    base = {"speed_rad_s": 150.0, "joint_angle_rad": 0.1, "rating_n": 5e4, "force_n": 1e4}
    life = needle_bearing.oscillating_life_h(**base)
    assert needle_bearing.oscillating_life_h(**(base | {"speed_rad_s": 300.0})) == pytest.approx(life / 2)
    doubled = needle_bearing.oscillating_life_h(**(base | {"force_n": 2e4}))
    assert life / doubled == pytest.approx(2 ** (10 / 3))


def test_dynamic_rating_follows_the_powers_of_its_formula_at_one_geometry_ratio() -> None:
    size = {
        "needle_diameter_m": 0.003,
        "needle_length_m": 0.02,
        "needle_count": 38,
        "pitch_diameter_m": 0.0366,
    }
    base = needle_bearing.dynamic_rating_n(**size)  # type: ignore[arg-type]
    scaled = {**size, "needle_diameter_m": 0.006, "pitch_diameter_m": 0.0732}
    assert needle_bearing.dynamic_rating_n(**scaled) / base == pytest.approx(2 ** (29 / 27))  # type: ignore[arg-type]
    longer = {**size, "needle_length_m": 0.04}
    assert needle_bearing.dynamic_rating_n(**longer) / base == pytest.approx(2 ** (7 / 9))  # type: ignore[arg-type]
    # In N and mm by hand: 1.1 x 81.57 x 20^(7/9) x 38^(3/4) x 3^(29/27).
    by_hand = 1.1 * 81.57 * 20 ** (7 / 9) * 38**0.75 * 3 ** (29 / 27)
    assert base == pytest.approx(by_hand, rel=2e-4)


def test_required_rating_and_reliability_undo_each_other() -> None:
    weibull = {"minimum": 0.02, "characteristic": 4.459, "shape": 1.483}
    rating = needle_bearing.required_rating_n(force_n=1e4, life_ratio=300.0, reliability=0.96, **weibull)
    carried = 300.0 * (1e4 / rating) ** needle_bearing.LOAD_LIFE_EXPONENT
    assert needle_bearing.weibull_reliability(life_ratio=carried, **weibull) == pytest.approx(0.96)
    assert needle_bearing.weibull_reliability(life_ratio=0.01, **weibull) == 1.0
