"""Notch factors against printed values. The source's own digits; tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import trunnion, tube

INCH = 0.0254
LBF = 4.4482216152605
PSI = LBF / INCH**2
KPSI = 1e3 * PSI


def test_shoulder_fillet_bending_kt__shigley_9e_example_6_6_chart() -> None:
    """38 / 32 mm with a fillet of 3 mm in bending: 1.65 from the chart.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 6-6 (K_t from figure A-15-9).
    Known: from memory (statement read); Pilkey's fit read with lost minus signs restored.
    """
    size = {"large_m": 0.038, "small_m": 0.032, "radius_m": 0.003}
    # Reading a chart to two decimals and fitting it are each good to some 2 %: 3 % together.
    assert trunnion.shoulder_fillet_bending_kt(**size) == pytest.approx(1.65, rel=0.03)
    assert trunnion.shoulder_fillet_bending_kt_peterson(**size) == pytest.approx(1.65, rel=0.03)


def test_shoulder_fillet_bending_kt__roark_table_17_1() -> None:
    """Same shoulder by Roark's coefficients: 1.655.

    Source: Roark's Formulas for Stress and Strain, Table 17.1.
    Known: read (coefficients, in a public reprint); 1.990 - 2.429 x .15789 + 2.057 x .02493 - ... by hand.
    """
    factor = trunnion.shoulder_fillet_bending_kt(large_m=0.038, small_m=0.032, radius_m=0.003)
    assert factor == pytest.approx(1.655, abs=0.0005)  # three printed decimals


def test_notch_sensitivity_kf__shigley_9e_eq_6_35_example_6_6() -> None:
    """K_t 1.65, r 3 mm, 690 MPa: K_f 1.55.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. 6-35 and Example 6-6.
    Known: read (equation); answer 1.55 from memory.
    """
    factor = trunnion.notch_sensitivity_kf(kt=1.65, radius_m=0.003, ultimate_pa=100 * KPSI)
    assert factor == pytest.approx(1.55, abs=0.005)  # two printed decimals


def _power_fit(coefficient: float, exponent: float) -> float:
    return coefficient * math.pow(3 / 32, exponent)


def test_shoulder_fillet_torsion_kt__norton_power_fit_1_2() -> None:
    """38.4 / 32 mm, 3 mm, in torsion: Norton's 0.83425 (r/d)^-0.21649 for D/d = 1.2.

    Source: Norton, Machine Design, appendix on stress concentration.
    Known: from memory; Pilkey's fit read.
    """
    factor = trunnion.shoulder_fillet_torsion_kt(large_m=0.0384, small_m=0.032, radius_m=0.003)
    # Two fits of one chart by two authors: 3 %.
    assert factor == pytest.approx(_power_fit(0.83425, -0.21649), rel=0.03)


def test_shoulder_fillet_bending_kt__norton_power_fit_1_2() -> None:
    """38.4 / 32 mm, 3 mm, in bending: Norton's 0.97098 (r/d)^-0.21796 for D/d = 1.2.

    Source: Norton, Machine Design, appendix on stress concentration.
    Known: from memory; Pilkey's fit and Roark's coefficients read.
    """
    size = {"large_m": 0.0384, "small_m": 0.032, "radius_m": 0.003}
    # Two fits of one chart by two authors; the power law holds the slope only roughly: 5 %.
    expected = _power_fit(0.97098, -0.21796)
    assert trunnion.shoulder_fillet_bending_kt(**size) == pytest.approx(expected, rel=0.05)
    assert trunnion.shoulder_fillet_bending_kt_peterson(**size) == pytest.approx(expected, rel=0.05)


def test_shoulder_fillet_kt__norton_power_fit_2_0() -> None:
    """A shoulder of D/d = 2: Norton's 0.90879 (r/d)^-0.28598 in bending, 0.86331 (r/d)^-0.23865 in torsion.

    Source: Norton, Machine Design, appendix on stress concentration.
    Known: from memory; Roark's coefficients and Pilkey's fit read.
    """
    bending = trunnion.shoulder_fillet_bending_kt(large_m=0.06, small_m=0.03, radius_m=0.03 / 18)
    torsion = trunnion.shoulder_fillet_torsion_kt(large_m=0.06, small_m=0.03, radius_m=0.03 / 8)
    # Two fits of one chart by two authors; the power law holds the slope only roughly: 5 %.
    assert bending == pytest.approx(0.90879 * math.pow(1 / 18, -0.28598), rel=0.05)
    assert torsion == pytest.approx(0.86331 * math.pow(1 / 8, -0.23865), rel=0.05)


@pytest.mark.parametrize(("share", "printed"), [(0.0, 4.0), (0.1, 3.684), (0.2, 3.793)])
def test_transverse_hole_torsion_kt__pilkey_peterson_fit_solid_bar(share: float, printed: float) -> None:
    """Solid bar: 4 for a vanishing hole, 3.684 and 3.793 at a tenth and a fifth of the diameter.

    Source: Pilkey, Peterson's Stress Concentration Factors, fit for the transverse hole in torsion.
    Known: read (coefficients; the values are 4 - 6.055 x + 32.764 x^2 - 38.33 x^3 by hand).
    """
    factor = trunnion.transverse_hole_torsion_kt(hole_m=share * 0.03, outer_m=0.03)
    assert factor == pytest.approx(printed, abs=0.0005)  # three decimals


def test_shear_stress__pope_rules_of_thumb_p_301_hollow_shaft() -> None:
    """1600 lbf in on a shaft of 0.70 / 0.45 in: 28 650 psi.

    Source: Pope, Rules of Thumb for Mechanical Engineers, p. 301.
    Known: read.
    """
    stress = tube.shear_stress_pa(torque_nm=1600 * LBF * INCH, outer_m=0.70 * INCH, inner_m=0.45 * INCH)
    assert stress / PSI == pytest.approx(28_650, abs=5)  # four significant digits
