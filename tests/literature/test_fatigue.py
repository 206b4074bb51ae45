"""Fatigue and crack growth against printed values. The source's own digits; tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import fatigue

KPSI = 6.894757293e6
INCH = 0.0254


def test_basquin_line__shigley_9e_example_6_2_p_286() -> None:
    """S_ut 90, f 0.86, S_e 45 kpsi: a 133.1 kpsi, b -0.0785, 64.6 kpsi at 1e4, 77 500 cycles at 55 kpsi.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 6-2, p. 286.
    Known: read.
    """
    line = fatigue.basquin_line(ultimate_pa=90 * KPSI, endurance_pa=45 * KPSI, strength_fraction=0.86)
    assert line.coefficient_pa / KPSI == pytest.approx(133.1, abs=0.05)  # one decimal
    assert line.exponent == pytest.approx(-0.0785, abs=0.00005)
    assert fatigue.strength_at(line=line, cycles=1e4) / KPSI == pytest.approx(64.6, abs=0.05)
    # The book works on with the rounded a and b; life goes with the 13th power of stress: 0.3 %.
    assert fatigue.cycles_at(line=line, amplitude_pa=55 * KPSI) == pytest.approx(77_500, rel=0.003)


def test_basquin_coefficient__shigley_9e_example_6_8_p_298() -> None:
    """S_e 16.3, S_ut 49 kpsi, f 0.9: a 119.3 kpsi.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 6-8, p. 298.
    Known: read.
    """
    line = fatigue.basquin_line(ultimate_pa=49 * KPSI, endurance_pa=16.3 * KPSI, strength_fraction=0.9)
    assert line.coefficient_pa / KPSI == pytest.approx(119.3, abs=0.05)  # one decimal


def test_strength_at__juvinall_marshek_solution_8_19() -> None:
    """1080 MPa at 1e3 and 464.4 MPa at 1e6 cycles: 565.5 MPa at 2e5.

    Source: Juvinall & Marshek, Fundamentals of Machine Component Design, solution 8.19.
    Known: read.
    """
    line = fatigue.basquin_line(ultimate_pa=1200e6, endurance_pa=464.4e6, strength_fraction=0.9)
    # The solution reads logarithms to four digits: 0.1 %.
    assert fatigue.strength_at(line=line, cycles=2e5) == pytest.approx(565.5e6, rel=0.001)


def test_miner_life__open_reliability_library_palmgren_miner_example() -> None:
    """40, 15 and 5 minutes of each hour at levels of life 50 000, 6500 and 1000: 7400.38.

    Source: Palmgren-Miner example of an open reliability library (run beforehand, elsewhere).
    Known: read.
    """
    life = fatigue.miner_life(shares=[40 / 60, 15 / 60, 5 / 60], lives=[50_000.0, 6500.0, 1000.0])
    assert life == pytest.approx(7400.38, abs=0.005)  # two decimals


def test_paris_life__shigley_9e_example_6_1_p_281() -> None:
    """Nicked bar, C 3.8e-11, m 3, 115.2 kpsi, 0.004 in, K_Ic 73 kpsi sqrt in, beta 1.07: 64.7e3 cycles.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 6-1, p. 281.
    Known: read (inputs; beta and the answer from memory).
    """
    unit = KPSI * math.sqrt(INCH)
    last = fatigue.critical_crack_m(toughness_pa_sqrt_m=73 * unit, stress_pa=115.2 * KPSI, shape_factor=1.07)
    life = fatigue.paris_life(
        growth_coefficient_si=3.8e-11 * INCH / unit**3,
        growth_exponent=3.0,
        stress_range_pa=115.2 * KPSI,
        shape_factor=1.07,
        first_crack_m=0.004 * INCH,
        last_crack_m=last,
    )
    assert life == pytest.approx(64.7e3, abs=50)  # three printed digits
    # The book rounds the final depth to 0.1 in; life hardly feels it.
    assert last / INCH == pytest.approx(0.1, abs=0.02)


def test_paris_life__callister_fatigue_design_example() -> None:
    """Wide plate, 100 MPa, a0 2 mm, A 1e-12, m 3, K_Ic 25 MPa sqrt m: 5.5e6 cycles.

    Source: Callister, Materials Science and Engineering, fatigue design example.
    Known: from memory.
    """
    last = fatigue.critical_crack_m(toughness_pa_sqrt_m=25e6, stress_pa=100e6, shape_factor=1.0)
    life = fatigue.paris_life(
        growth_coefficient_si=1e-12 * 1e-6**3,
        growth_exponent=3.0,
        stress_range_pa=100e6,
        shape_factor=1.0,
        first_crack_m=0.002,
        last_crack_m=last,
    )
    assert life == pytest.approx(5.5e6, abs=0.05e6)  # two printed digits


def test_intensity_range_from_spacing__barsom_rolfe_ferritic_pearlitic() -> None:
    """A striation spacing of 0.2 um on 6.9e-12 dK^3: 30.7 MPa sqrt m.

    Source: Barsom & Rolfe, Fracture and Fatigue Control in Structures, ferritic-pearlitic line.
    Known: from memory (line); the cube root of 28 985.5 by hand is 30.72.
    """
    found = fatigue.intensity_range_from_spacing(
        spacing_m=0.2e-6, growth_coefficient_si=6.9e-12 * 1e-6**3, growth_exponent=3.0
    )
    assert found == pytest.approx(30.7e6, abs=0.05e6)  # three digits
