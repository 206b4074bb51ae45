"""Bearing ratings and lives against printed values. The source's own digits; tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import needle_bearing

# Weibull parameters and life exponents of the manufacturer quoted in the text.
MINIMUM, CHARACTERISTIC, SHAPE = 0.02, 4.459, 1.483

GEOMETRY_FACTORS = {
    0.01: 52.1,
    0.02: 60.8,
    0.03: 66.5,
    0.04: 70.7,
    0.05: 74.1,
    0.06: 76.9,
    0.07: 79.2,
    0.08: 81.2,
    0.09: 82.8,
    0.10: 84.2,
    0.12: 86.4,
    0.14: 87.7,
    0.16: 88.5,
    0.18: 88.8,
    0.20: 88.8,
}


@pytest.mark.parametrize(("ratio", "printed"), GEOMETRY_FACTORS.items())
def test_geometry_factor__iso_281_table_radial_roller_bearings(ratio: float, printed: float) -> None:
    """The closed form meets the table of f_c: two remembered sources agree.

    Source: ISO 281, table of f_c for radial roller bearings, against the closed form of ISO/TR 1281-1.
    Known: from memory (both).
    """
    # One printed decimal (0.05) plus the table's smoothing; 0.15 is below 0.2 % of any entry but the first.
    assert needle_bearing.geometry_factor(geometry_ratio=ratio) == pytest.approx(printed, abs=0.15)


def test_geometry_factor__iso_281_table_and_closed_form_part_above_0_22() -> None:
    """Above a ratio of 0.22 the two part, so the function refuses.

    Source: ISO 281 table (87.9 at 0.24) against the closed form (87.5).
    Known: from memory.
    """
    with pytest.raises(ValueError, match=r"geometry_ratio is 0\.24; it must be from 0\.01 to 0\.22"):
        needle_bearing.geometry_factor(geometry_ratio=0.24)


def test_required_rating__shigley_solutions_11_3_straight_roller() -> None:
    """10.279 kN for 1440 rating lives on straight rollers: 91.1 kN.

    Source: Shigley's Mechanical Engineering Design, solutions manual, Problem 11-3.
    Known: read.
    """
    rating = needle_bearing.required_rating_n(force_n=10_279.0, life_ratio=1440.0)
    assert rating == pytest.approx(91.1e3, abs=50)  # three printed digits


def test_weibull_reliability__shigley_solutions_11_3_catalogue_102_kn() -> None:
    """The catalogue bearing of 102 kN survives that duty with R = 0.942.

    Source: Shigley's Mechanical Engineering Design, solutions manual, Problem 11-3.
    Known: read.
    """
    life_ratio = 1440 * (10.279 / 102) ** needle_bearing.LOAD_LIFE_EXPONENT
    reliability = needle_bearing.weibull_reliability(
        life_ratio=life_ratio, minimum=MINIMUM, characteristic=CHARACTERISTIC, shape=SHAPE
    )
    assert reliability == pytest.approx(0.942, abs=0.0005)  # three printed digits


def test_required_rating__shigley_solutions_11_1_ball_bearing() -> None:
    """2.278 kN for 540 rating lives at R = 0.90 on balls: 18.59 kN.

    Source: Shigley's Mechanical Engineering Design, solutions manual, Problem 11-1.
    Known: read.
    """
    rating = needle_bearing.required_rating_n(
        force_n=2278.0,
        life_ratio=540.0,
        exponent=3.0,
        reliability=0.90,
        minimum=MINIMUM,
        characteristic=CHARACTERISTIC,
        shape=SHAPE,
    )
    assert rating == pytest.approx(18.59e3, abs=5)  # four printed digits


def test_static_rating__iso_76_4000_mpa_rebuilt_from_hertz() -> None:
    """At the static rating the most loaded needle of the inner race sees 4000 MPa.

    Source: ISO 76 (4000 MPa; factor 44); Stribeck's 5 for the most loaded roller with clearance.
    Known: read (4000 MPa), from memory (44).
    """
    count, diameter, length, pitch = 38, 0.003, 0.020, 0.0366
    rating = needle_bearing.static_rating_n(
        needle_diameter_m=diameter, needle_length_m=length, needle_count=count, pitch_diameter_m=pitch
    )
    pressure = needle_bearing.line_contact_pressure(
        line_load_n_m=5 * rating / count / length,
        needle_diameter_m=diameter,
        raceway_diameter_m=pitch - diameter,
        contact_modulus_pa=needle_bearing.contact_modulus_pa(youngs_pa=207e9),
    )
    # The factor is printed with two digits (44 +- 0.5 is 1.1 %); pressure goes with its root: 0.6 %.
    assert pressure == pytest.approx(4000e6, rel=0.006)


def test_oscillating_life__harris_iso_281_oscillation_1500_rpm_6_deg() -> None:
    """1.5e6 / (n b) (C/F)^(10/3) with n 1500, b 6, C/F 5: 35 624 h.

    Source: oscillating-bearing relation of ISO 281 practice (Harris); constant as printed in literature.
    Known: derived (166.667 x 213.747 by hand; the constant from memory).
    """
    life = needle_bearing.oscillating_life_h(
        speed_rad_s=1500 * math.pi / 30, joint_angle_rad=math.radians(6), rating_n=5.0, force_n=1.0
    )
    assert life == pytest.approx(35_624, abs=1)  # whole hours


def test_full_overlap_amplitude__rumbarger_critical_angle() -> None:
    """38 needles of 3 mm on 36.6 mm: the double amplitude 720 / (Z (1 -+ g)) is 20.6 and 17.5 deg.

    Source: critical angle of oscillation after Rumbarger; review Menck & Stammler, wes-9-777-2024.
    Known: derived (relation from memory, review read in part).
    """
    outer, inner = (
        needle_bearing.full_overlap_amplitude_rad(
            needle_count=38, needle_diameter_m=0.003, pitch_diameter_m=0.0366, inner_race=inner_race
        )
        for inner_race in (False, True)
    )
    assert math.degrees(2 * outer) == pytest.approx(20.6, abs=0.05)  # one decimal
    assert math.degrees(2 * inner) == pytest.approx(17.5, abs=0.05)


def test_line_contact_pressure__johnson_contact_mechanics_ch_4() -> None:
    """50 N/mm between a 3 mm needle and a 33.6 mm trunnion, E 207 GPa: 1146.5 MPa = 2 q / (pi b).

    Source: Johnson, Contact Mechanics, ch. 4: p = 2 q / (pi b), b^2 = 4 q R / (pi E*).
    Known: derived (formula from memory; here by way of the half width b).
    """
    load, radius = 50e3, 1 / (1 / 0.0015 + 1 / 0.0168)
    modulus = 207e9 / (2 * (1 - 0.3**2))
    half_width = math.sqrt(4 * load * radius / (math.pi * modulus))
    pressure = needle_bearing.line_contact_pressure(
        line_load_n_m=load,
        needle_diameter_m=0.003,
        raceway_diameter_m=0.0336,
        contact_modulus_pa=needle_bearing.contact_modulus_pa(youngs_pa=207e9),
    )
    assert pressure == pytest.approx(1146.5e6, abs=0.05e6)  # one decimal of the MPa
    assert pressure == pytest.approx(2 * load / (math.pi * half_width), rel=1e-12)


@pytest.mark.parametrize(("exponent", "printed"), [(3.0, 1.6631), (10 / 3, 1.7295)])
def test_mean_load__exercise_3_2_1_0_kn(exponent: float, printed: float) -> None:
    """3, 2, 1, 0 kN for 10, 20, 30, 40 % of the time: cube root of 4.6, and its 10/3 counterpart.

    Source: bearing exercise of a machine-elements text (statement read); mean-load rule of ISO 281 practice.
    Known: derived (answer not shown).
    """
    mean = needle_bearing.mean_load(loads_n=[3.0, 2.0, 1.0, 0.0], travels=[10.0, 20.0, 30.0, 40.0], exponent=exponent)
    assert mean == pytest.approx(printed, abs=0.00005)  # four decimals
