"""Readings of fractures and of twisted tubes against printed values. Tolerance argued beside each."""

import math

import numpy as np
import pytest

from beachmark.mechanics import fracture_reading, twist_reading
from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import RoundSection

INCH = 0.0254
LBF = 4.4482216152605
PSI = LBF / INCH**2
KIP_IN = 1e3 * LBF * INCH
SHARE = 0.998  # nearly all of the section left: the limit of the whole bar, at share^1.5
SOFT = {"toughness_pa_sqrt_m": Band.exactly(300e6), "yield_pa": Band.exactly(1e6), "ultimate_pa": Band.exactly(1e6)}


@pytest.mark.parametrize(
    ("loading", "inner", "printed", "tolerance"),
    # Three printed digits; the thin wall here is 1/100 of the diameter, where the factor is 1 % above its limit.
    [("bending", 0.0, 1.70, 0.003), ("torsion", 0.0, 1.333, 0.001), ("bending", 0.098, 1.27, 0.015)],
)
def test_limit_of_round_sections__shape_factors(loading: str, inner: float, printed: float, tolerance: float) -> None:
    """Fully plastic over first yield: 1.70 solid and 1.27 thin tube in bending, 4/3 solid in torsion.

    Source: shape factors of sections, Beer & Johnston, Mechanics of Materials, chs. 3 and 4.
    Known: from memory.
    """
    read = fracture_reading.final_zone_load(
        section=RoundSection(0.1, inner), loading=loading, zone="all round", final_share=Band.exactly(SHARE), **SOFT
    )
    first = 1e6 / math.sqrt(3) if loading == "torsion" else 1e6
    left = SHARE if inner else SHARE**1.5  # wall or radius taken away with the share
    assert read.stress_pa.nominal / first / left == pytest.approx(printed, rel=tolerance)


def test_stress_from_critical_depth__callister_fast_fracture() -> None:
    """K_Ic 60 MPa sqrt m, Y 0.73, crack 23.9 mm: 300 MPa at fast fracture.

    Source: K = Y s sqrt(pi a), Callister, Materials Science and Engineering, ch. 8.
    Known: derived ((60e6 / (0.73 x 300e6))^2 / pi = 23.9 mm, by hand).
    """
    radius, depth = 0.06, 0.0239
    angle = math.acos((radius - depth) / radius)
    share = 1 - (angle - math.sin(angle) * math.cos(angle)) / math.pi  # chord cut of a disc
    read = fracture_reading.final_zone_load(
        section=RoundSection(2 * radius),
        loading="bending",
        zone="one side",
        final_share=Band.exactly(share),
        toughness_pa_sqrt_m=Band.exactly(60e6),
        yield_pa=Band.exactly(1200e6),
        ultimate_pa=Band.exactly(1300e6),
        shape_factor=Band.exactly(0.73),
    )
    assert read.route == "fracture toughness"
    assert read.stress_pa.nominal == pytest.approx(300e6, rel=0.002)  # three digits of the depth, under the root


@pytest.mark.parametrize("ratio", [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75])
def test_straight_crack_in_a_bar_is_milder_than_in_a_plate__round_bars(ratio: float) -> None:
    """A straight edge crack in a round bar has a lower stress intensity than the same in a square bar.

    Source: Stress intensity factors for fatigue cracking of round bars (abstract); plate in bending: Tada,
    Paris & Irwin, The Stress Analysis of Cracks Handbook, sqrt(tan t / t) (0.923 + 0.199 (1 - sin t)^4) / cos t.
    Known: read (the statement); the plate's formula, good for any depth, from memory.
    """
    t = math.pi / 2 * ratio
    plate = math.sqrt(math.tan(t) / t) * (0.923 + 0.199 * (1 - math.sin(t)) ** 4) / math.cos(t)
    bar = fracture_reading.bar_shape_factor(depth_ratio=ratio, loading="bending", front="straight")
    curved = fracture_reading.bar_shape_factor(depth_ratio=ratio, loading="bending", front="curved")
    assert curved < bar < plate


def test_shallow_curved_crack__half_penny_limit() -> None:
    """A small half-round surface crack has Y = 1.04 x 2/pi = 0.66 at its deepest point.

    Source: Newman & Raju, half-circular surface crack (1.04 x 2/pi).
    Known: from memory. Depth 0.06 D of an arc that meets the surface squarely is near that limit: 4 %.
    """
    found = fracture_reading.bar_shape_factor(depth_ratio=0.06, loading="tension", front="curved")
    assert found == pytest.approx(1.04 * 2 / math.pi, rel=0.04)


def test_striation_spacing_to_intensity_range__barsom_rolfe() -> None:
    """0.2 um per cycle on da/dN = 6.9e-12 dK^3 (m, MPa sqrt m): 30.7 MPa sqrt m.

    Source: Barsom & Rolfe, Fracture and Fatigue Control in Structures, ferritic-pearlitic steel.
    Known: from memory (line); 30.7 by hand.
    """
    read = fracture_reading.intensity_range_of_striations_pa_sqrt_m(
        spacing_m=Band.exactly(0.2e-6), steel="ferritic-pearlitic"
    )
    assert read.band.nominal == pytest.approx(30.7e6, rel=0.002)  # three digits
    # 6 (dK/E)^2 with E 207 GPa gives 37.8 by hand; it must lie in the band.
    assert read.band.holds(37.8e6)


def test_permanent_twist_back_to_torque__beer_johnston_example_3_09() -> None:
    """Solid 50 mm, 1.2 m, 150 MPa, 77 GPa: 4.60 kN m leaves 1.81 deg.

    Source: Beer & Johnston, Mechanics of Materials, Example 3.09.
    Known: from memory.
    """
    torque = twist_reading.torque_from_residual_twist_nm(
        residual_twist_rad=math.radians(1.81),
        length_m=1.2,
        shear_modulus_pa=77e9,
        shear_yield_pa=150e6,
        outer_m=0.05,
    )
    # The book differs two rounded twists (8.50 - 6.69): 0.3 % of torque.
    assert torque == pytest.approx(4600, rel=0.003)


def test_fully_plastic_tube_back_to_torque__beer_johnston_sample_problem_3_8() -> None:
    """2.25 / 1.5 in, 60 in, 21 ksi, 11.2e6 psi: 44.1 kip in, 8.59 deg held, 1.88 deg left.

    Source: Beer & Johnston, Mechanics of Materials, Sample Problems 3.7 and 3.8.
    Known: from memory.
    """
    size = {"length_m": 60 * INCH, "shear_modulus_pa": 11.2e6 * PSI, "shear_yield_pa": 21e3 * PSI}
    ring = {"outer_m": 2.25 * INCH, "inner_m": 1.5 * INCH}
    held = twist_reading.torque_at_twist_nm(twist_rad=math.radians(8.59), **size, **ring)
    back = twist_reading.torque_from_residual_twist_nm(residual_twist_rad=math.radians(1.88), **size, **ring)
    assert held / KIP_IN == pytest.approx(44.1, abs=0.05)  # three printed digits
    assert back / KIP_IN == pytest.approx(44.1, abs=0.05)


def test_yield_and_plastic_torque_at_large_twist__lecture_notes() -> None:
    """Radius 50 mm, 1 m, 200 GPa, 150 MPa: yields at 29.45 kN m, limit 39.27 kN m; 35 kN m lies between.

    Source: R. V. Kukta and K. S. Kirane, lecture notes on torsion, lecture 12 (2018).
    Known: read (given and both torques; the page was cut before the permanent twist).
    """
    bar = {"length_m": 1.0, "shear_modulus_pa": 200e9, "shear_yield_pa": 150e6, "outer_m": 0.1}
    first = 150e6 / (200e9 * 0.05)
    # Four printed digits.
    assert twist_reading.torque_at_twist_nm(twist_rad=first, **bar) == pytest.approx(29.45e3, abs=5)
    assert twist_reading.torque_at_twist_nm(twist_rad=100 * first, **bar) == pytest.approx(39.27e3, abs=5)
    # T = T_Y (4 - s^3) / 3 with s = first twist over twist (printed in the notes), at 35 kN m.
    share = (4 - 3 * 35 / (np.pi / 2 * 0.05**3 * 150e3)) ** (1 / 3)
    assert twist_reading.torque_at_twist_nm(twist_rad=first / share, **bar) == pytest.approx(35e3, rel=1e-6)
