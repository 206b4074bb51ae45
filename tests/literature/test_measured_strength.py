"""Strength from hardness, tensile strength and finish against printed values. Tolerance argued beside each."""

import pytest

from beachmark.mechanics import measured_strength
from beachmark.mechanics.band import Band

KSI = 6.894757293e6


@pytest.mark.parametrize(
    ("brinell", "printed_ksi"),
    [(495, 264), (461, 242), (415, 212), (388, 193), (352, 171), (321, 153), (302, 146), (277, 134), (255, 124),
     (207, 99), (187, 90), (170, 82)],
)  # fmt: skip
def test_brinell_to_tensile__distributors_table(brinell: float, printed_ksi: float) -> None:
    """Approximate hardness conversion numbers for steel, tungsten-carbide ball.

    Source: a tube distributor's reprint of the approximate conversion table for steel (Brinell to 1000 psi).
    Known: read.
    """
    found = measured_strength.tensile_from_hardness_pa(hardness=Band.exactly(brinell), scale="HB")
    # Another edition of the table than the one built in: 4 %, and it must lie in the band.
    assert found.nominal == pytest.approx(printed_ksi * KSI, rel=0.04)
    assert found.holds(printed_ksi * KSI)


@pytest.mark.parametrize(("vickers", "printed_mpa"), [(200, 640), (250, 800), (300, 965), (400, 1290), (500, 1630)])
def test_vickers_to_tensile__iso_18265_table_a1(vickers: float, printed_mpa: float) -> None:
    """Vickers to tensile strength, unalloyed and low-alloy steel, against the A370 nominal.

    Source: ISO 18265, Table A.1.
    Known: from memory.
    """
    found = measured_strength.tensile_from_hardness_pa(hardness=Band.exactly(vickers), scale="HV")
    # The two tables part by at most 5 % below 500 HV: an error of a row would show.
    assert found.nominal == pytest.approx(printed_mpa * 1e6, rel=0.05)


@pytest.mark.parametrize("brinell", [150, 200, 250, 300, 350, 400, 450])
def test_brinell_rule_of_thumb__shigley_chapter_2(brinell: float) -> None:
    """S_u = 3.4 H_B in MPa for steel.

    Source: Shigley's Mechanical Engineering Design, ch. 2, hardness (as quoted in a public reader's note).
    Known: read (second hand).
    """
    found = measured_strength.tensile_from_hardness_pa(hardness=Band.exactly(brinell), scale="HB")
    assert found.holds(3.4e6 * brinell)


@pytest.mark.parametrize("vickers", [150, 200, 250, 300, 350, 400, 450, 500, 550])
def test_regression_of_150_steels__pavlina_van_tyne_2008(vickers: float) -> None:
    """S_u = -99.8 + 3.734 H_V in MPa, more than 150 steels from 450 to 2350 MPa.

    Source: Pavlina & Van Tyne, J. Mater. Eng. Perform. 17 (2008) 888-893 (abstract read, line from memory).
    Known: from memory.
    """
    found = measured_strength.tensile_from_hardness_pa(hardness=Band.exactly(vickers), scale="HV")
    assert found.holds((-99.8 + 3.734 * vickers) * 1e6)


@pytest.mark.parametrize(
    ("rockwell", "vickers"), [(20, 238), (26, 272), (33, 327), (39, 382), (45, 446), (49, 498), (55, 595)]
)
def test_rockwell_to_vickers__astm_e140(rockwell: float, vickers: float) -> None:
    """Rockwell C to Vickers, nonaustenitic steel.

    Source: ASTM E140 / A370 (another public reprint than the rows built in; odd rows lie between them).
    Known: read.
    """
    found = measured_strength.vickers_from_hardness(hardness=Band.exactly(rockwell), scale="HRC")
    assert found.nominal == pytest.approx(vickers, rel=0.004)  # curvature between two rows


def test_surface_factor_and_endurance__shigley_example_6_8() -> None:
    """S_ut 49.0 kpsi machined: k_a 0.963; 0.963 x 0.85 x 0.814 x 24.5 = 16.3 kpsi.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 6-8, p. 298.
    Known: read.
    """
    factor = measured_strength.surface_factor(tensile_pa=49 * KSI, finish="machined")
    # The printed factor is that for kpsi; the one for MPa is rounded apart: 0.2 %.
    assert factor == pytest.approx(0.963, rel=0.002)
    found = measured_strength.endurance_from_tensile_pa(tensile_pa=Band.exactly(49 * KSI), finish="machined")
    assert found.nominal * 0.85 * 0.814 / KSI == pytest.approx(16.3, abs=0.06)


def test_endurance_is_capped__shigley_equation_6_8() -> None:
    """S_e' = 700 MPa for S_ut above 1400 MPa.

    Source: Shigley's Mechanical Engineering Design, Eq. 6-8 (as quoted in public fatigue notes).
    Known: read (second hand).
    """
    for strength in (1400e6, 1600e6):
        found = measured_strength.endurance_from_tensile_pa(tensile_pa=Band.exactly(strength), finish="ground")
        factor = measured_strength.surface_factor(tensile_pa=strength, finish="ground")
        assert found.nominal / factor == pytest.approx(700e6, rel=1e-9)


@pytest.mark.parametrize(
    ("steel", "ultimate", "yields"),
    [
        ("hot rolled", 380, 210), ("hot rolled", 520, 290), ("hot rolled", 620, 340), ("cold drawn", 470, 390),
        ("cold drawn", 590, 490), ("cold drawn", 690, 580),
    ],
)  # fmt: skip
def test_yield_by_class__shigley_table_a_20(steel: str, ultimate: float, yields: float) -> None:
    """1020, 1040, 1050 hot rolled and cold drawn: minimum tensile and yield strength in MPa.

    Source: Shigley's Mechanical Engineering Design, Table A-20 (1986 SAE Handbook, p. 2.15).
    Known: read.
    """
    found = measured_strength.yield_from_tensile_pa(tensile_pa=Band.exactly(ultimate * 1e6), steel=steel)
    assert found.nominal == pytest.approx(yields * 1e6, rel=0.02)  # numbers printed to 10 MPa


@pytest.mark.parametrize(
    ("steel", "ultimate", "yields"),
    [
        ("stress-relieved tube", 65, 55), ("stress-relieved tube", 75, 65), ("drawn tube", 70, 60),
        ("drawn tube", 85, 75), ("welded tube", 52, 38),
    ],
)  # fmt: skip
def test_yield_of_tubes__distributors_sheets(steel: str, ultimate: float, yields: float) -> None:
    """ASTM A513 1020 and 1026, type 5 stress relieved and as drawn, type 1a: yield and tensile strength in ksi.

    Source: steel distributors' sheets of ASTM A513 tubes.
    Known: read.
    """
    found = measured_strength.yield_from_tensile_pa(tensile_pa=Band.exactly(ultimate * KSI), steel=steel)
    assert found.nominal == pytest.approx(yields * KSI, rel=0.02)


def test_strength_from_coupons__hand_sum_of_four() -> None:
    """512, 530, 521 and 517 MPa with 3 % for the place: mean 2080 / 4 = 520; 512 x 0.97 = 496.64, 530 x 1.03 = 545.9.

    Source: definition (mean, least and greatest), by hand.
    Known: derived.
    """
    found = measured_strength.strength_from_coupons_pa(strengths_pa=[512e6, 530e6, 521e6, 517e6], place_share=0.03)
    assert [value / 1e6 for value in found.corners] == pytest.approx([496.64, 520.0, 545.9], rel=1e-12)
