"""Torsion of shafts, tubes and splines against printed values. Tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import spline, tube
from beachmark.mechanics.spline import StraightSidedFit

INCH = 0.0254
LBF = 4.4482216152605
PSI = LBF / INCH**2
KIP_IN = 1e3 * LBF * INCH

HOLLOW = {"outer_m": 2.25 * INCH, "inner_m": 1.5 * INCH}


def test_hollow_shaft_yield_torque__beer_johnston_sample_problem_3_7() -> None:
    """2.25 / 1.5 in, 60 in long, 21 ksi: yields at 37.7 kip in and 5.73 deg.

    Source: Beer & Johnston, Mechanics of Materials, Sample Problem 3.7.
    Known: from memory.
    """
    torque = tube.yield_torque_nm(shear_yield_pa=21e3 * PSI, **HOLLOW)
    twist = tube.twist_rad(torque_nm=torque, length_m=60 * INCH, shear_modulus_pa=11.2e6 * PSI, **HOLLOW)
    # Three printed digits each: half a unit of the last.
    assert torque / KIP_IN == pytest.approx(37.7, abs=0.05)
    assert math.degrees(twist) == pytest.approx(5.73, abs=0.005)


def test_hollow_shaft_plastic_torque__beer_johnston_sample_problem_3_7() -> None:
    """Same shaft: the whole wall yields at 44.1 kip in and 8.59 deg.

    Source: Beer & Johnston, Mechanics of Materials, Sample Problem 3.7.
    Known: from memory.
    """
    torque = tube.plastic_torque_nm(shear_yield_pa=21e3 * PSI, **HOLLOW)
    twist = tube.yielded_twist_rad(
        shear_yield_pa=21e3 * PSI,
        length_m=60 * INCH,
        shear_modulus_pa=11.2e6 * PSI,
        elastic_radius_m=0.75 * INCH,
    )
    assert torque / KIP_IN == pytest.approx(44.1, abs=0.05)  # three printed digits
    assert math.degrees(twist) == pytest.approx(8.59, abs=0.005)


def test_elastic_core_radius__beer_johnston_example_3_08() -> None:
    """Solid 50 mm, 150 MPa, 77 GPa, 1.2 m at 4.60 kN m: T_Y 3.68 kN m, core 15.8 mm, twist 8.50 deg.

    Source: Beer & Johnston, Mechanics of Materials, Example 3.08.
    Known: from memory.
    """
    first = tube.yield_torque_nm(shear_yield_pa=150e6, outer_m=0.05)
    core = tube.elastic_core_radius_m(torque_nm=4600.0, shear_yield_pa=150e6, outer_m=0.05)
    twist = tube.yielded_twist_rad(shear_yield_pa=150e6, length_m=1.2, shear_modulus_pa=77e9, elastic_radius_m=core)
    assert first == pytest.approx(3680, abs=5)  # three printed digits
    assert core == pytest.approx(15.8e-3, abs=0.05e-3)
    # The book goes on from the rounded twist at first yield; three printed digits and that step: 0.3 %.
    assert math.degrees(twist) == pytest.approx(8.50, rel=0.003)


def test_tube_yield_and_plastic_torque__exercise_40_25_mm() -> None:
    """40 / 25 mm, 30 MPa, 40 GPa, 1 m: 319.5 N m, 379.9 N m, 3.438 deg at yield of the inner surface.

    Source: strength-of-materials exercise (statement read, no answer shown).
    Known: derived (closed forms by hand: 30e6 pi/16 (40^4 - 25^4)/40, pi/12 30e6 (40^3 - 25^3)).
    """
    size = {"outer_m": 0.040, "inner_m": 0.025}
    # Four digits.
    assert tube.yield_torque_nm(shear_yield_pa=30e6, **size) == pytest.approx(319.5, abs=0.05)
    assert tube.plastic_torque_nm(shear_yield_pa=30e6, **size) == pytest.approx(379.9, abs=0.05)
    twist = tube.yielded_twist_rad(shear_yield_pa=30e6, length_m=1.0, shear_modulus_pa=40e9, elastic_radius_m=0.0125)
    assert math.degrees(twist) == pytest.approx(3.438, abs=0.0005)


@pytest.mark.parametrize(
    ("fit", "printed"),
    [
        (StraightSidedFit(teeth=10, tooth_height_share=0.095, small_diameter_share=0.81), 430),
        (StraightSidedFit(teeth=6, tooth_height_share=0.050, small_diameter_share=0.90), 143),
        (StraightSidedFit(teeth=6, tooth_height_share=0.075, small_diameter_share=0.85), 208),
        (StraightSidedFit(teeth=6, tooth_height_share=0.100, small_diameter_share=0.80), 270),
    ],
)
def test_straight_sided_torque__mott_sae_spline_table(fit: StraightSidedFit, printed: float) -> None:
    """430 D^2 for ten teeth, fit C; 143, 208, 270 D^2 for six teeth, fits A, B, C (lb in per inch).

    Source: Mott, Machine Elements in Mechanical Design, SAE straight-sided splines at 1000 psi.
    Known: from memory.
    """
    torque = spline.straight_sided_torque_nm(fit=fit, large_diameter_m=INCH, length_m=INCH, side_pressure_pa=1000 * PSI)
    # Whole numbers are printed; 142.5 is rounded up to 143, so the tie itself must pass.
    assert torque / (LBF * INCH) == pytest.approx(printed, abs=0.5 + 1e-9)


@pytest.mark.parametrize(
    ("reversed_torque", "printed"),
    [(False, [1.8, 1.0, 0.5, 0.4, 0.3]), (True, [1.8, 1.0, 0.4, 0.3, 0.2])],
)
def test_fatigue_factor__machinery_handbook_27e_p_2172_table_9(reversed_torque: bool, printed: list[float]) -> None:
    """Fatigue life factors at 1e3 to 1e7 torque cycles; between entries the safer one.

    Source: Machinery's Handbook, 27th ed., p. 2172, Table 9; Dudley's tables agree.
    Known: read (the digits are copied: equality is exact).
    """
    counts = [1e3, 1e4, 1e5, 1e6, 1e7]
    found = [spline.fatigue_factor(torque_cycles=n, reversed_torque=reversed_torque) for n in counts]
    assert found == printed
    just_above = [spline.fatigue_factor(torque_cycles=n + 1, reversed_torque=reversed_torque) for n in counts[:-1]]
    assert just_above == printed[1:]
