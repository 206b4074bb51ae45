"""Tube beyond first yield, teeth of a slip, fillet of an arm: worked by hand from the printed formulas."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy import integrate

from beachmark.cases.case import Case
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge

from .lone import PEAK, lone, nominal, sums_of, vehicle

ReadCase = Callable[[str], Case]
SLIP = "teeth: 24, pitch_diameter: 60 mm, engaged_length: 100 mm, outer_diameter: 63 mm, yield_stress: 600 MPa"
ARM = "arm_radius: 60 mm, trunnion_diameter: 32 mm, root_distance: 20 mm, tensile_strength: 690 MPa"


def tubed(tube: str, length: str = "1.9 m") -> str:
    return f"{vehicle()}\ndriveline: {{shafts: [{{length: {length}, tube: {{{tube}}}}}]}}"


def slipped(slip: str) -> str:
    return f"{vehicle()}\ndriveline: {{shafts: [{{slip: {{{slip}}}}}]}}"


def crossed(cross: str) -> str:
    return f"{vehicle()}\ndriveline: {{shafts: [{{}}], joints: [{{cross: {{{cross}}}}}, {{}}]}}"


# ---- tube -----------------------------------------------------------------------------------------------------


def test_the_wall_yields_through_at_the_moment_of_an_even_shear(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Integral of tau r over the ring (any strength-of-materials text), tau = 300 MPa / sqrt 3."""
    case = case_of(tubed("outer_diameter: 100 mm, wall: 5 mm, yield_stress: 300 MPa"))
    found = lone(case, knowledge, "sum.tube_plastic")
    by_hand, _ = integrate.quad(lambda r: 300e6 / math.sqrt(3) * r * 2 * math.pi * r, 0.045, 0.05)
    assert nominal(found, "torque at which the tube gives way") == pytest.approx(by_hand, rel=1e-6)
    assert nominal(found, "over the lowest") == pytest.approx(PEAK / by_hand, rel=1e-6)
    assert "First the wall yields through" in found.sentence
    assert found.results[0].dimension == found.held_against.value.dimension
    assert found.results[0].widened_by


def test_buckling_torques_by_hand(case_of: ReadCase, knowledge: Knowledge) -> None:
    """127 x 3.2 mm, 1.9 m, 206 GPa: r = 61.9 mm, 2 pi r² t = 77.04 cm3.

    Long tube E (t/r)^1.5 / (3 sqrt 2 x 0.91^0.75) = 612.6 MPa (Timoshenko & Gere), 47.2 kN m; NASA SP-8007
    0.67 x 0.747 E / ((r/t)^1.25 (L/r)^0.5) = 458.7 MPa, 35.3 kN m.
    """
    tube = "outer_diameter: 127 mm, wall: 3.2 mm, yield_stress: 1000 MPa, youngs_modulus: 206 GPa"
    found = lone(case_of(tubed(tube)), knowledge, "sum.tube_plastic")
    assert nominal(found, "as a long tube") == pytest.approx(47.2e3, rel=2e-3)
    assert nominal(found, "at its own length") == pytest.approx(35.34e3, rel=2e-3)
    assert nominal(found, "gives way") == nominal(found, "at its own length")
    assert found.sentence.startswith("First it buckles at its own length, at 35.3 kN m")


def test_what_a_tube_lacks_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(
        case_of(f"{vehicle()}\ndriveline: {{shafts: [{{tube: {{wall: 5 mm}}}}]}}"), knowledge, "sum.tube_plastic"
    )
    assert {lack.name for lack in found.missing} == {
        "driveline.shafts[0].tube.outer_diameter",
        "driveline.shafts[0].length",
    }
    assert sums_of(case_of(f"{vehicle()}\ndriveline: {{shafts: [{{}}]}}"), knowledge, "sum.tube_plastic") == []


# ---- teeth ----------------------------------------------------------------------------------------------------


def test_teeth_by_hand(case_of: ReadCase, knowledge: Knowledge) -> None:
    """t = pi 60 / 48 = 3.927 mm, 4 x 1.3 / (60 x 24 x 100 x 3.927 mm3) = 9195.6 Pa a N m against 346.4 MPa.

    h = 0.85 x (63 - 57) / 2 = 2.55 mm, 2 x 1.3 / (60 x 24 x 100 x 2.55 mm3) = 7080.6 Pa a N m against 600 MPa
    (Machinery's Handbook, involute splines, after Dudley; from memory).
    """
    found = lone(case_of(slipped(f"{SLIP}, root_diameter: 57 mm")), knowledge, "sum.spline_teeth")
    assert nominal(found, "shear off") == pytest.approx(346.41e6 / 9195.6, rel=1e-4)
    assert nominal(found, "crushed") == pytest.approx(600e6 / 7080.6, rel=1e-4)
    assert nominal(found, "shear of the teeth over yield") == pytest.approx(PEAK * 9195.6 / 346.41e6, rel=1e-4)
    assert found.results[0].widened_by


@pytest.mark.parametrize(
    ("slip", "lack"),
    [
        (SLIP.replace("engaged_length: 100 mm, ", ""), "engaged_length"),
        (f"{SLIP}, root_diameter: 64 mm", "outer_diameter"),
        (f"{SLIP.replace('24', '2')}, root_diameter: 57 mm", "teeth"),
    ],
)
def test_what_teeth_lack_is_named(slip: str, lack: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(slipped(slip)), knowledge, "sum.spline_teeth")
    assert [one.name for one in found.missing] == [f"driveline.shafts[0].slip.{lack}"]


def test_without_the_height_of_the_teeth_only_their_shear_is_told(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(slipped(SLIP)), knowledge, "sum.spline_teeth")
    assert nominal(found, "shear off") == pytest.approx(346.41e6 / 9195.6, rel=1e-4)
    assert not any("crushed" in one.words for one in found.results)


def test_teeth_that_nobody_measured_say_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(slipped("teeth: 24, root_diameter: 57 mm")), knowledge, "sum.spline_teeth") == []


# ---- fillet ---------------------------------------------------------------------------------------------------


def test_fillet_and_shear_by_hand(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Shoulder 38 / 32 mm, radius 3 mm: 1.655 by Roark's fit (another than the one used, which may differ by 3 %).

    Notch sensitivity of 690 MPa, sqrt a = 0.0622 sqrt inch (Shigley, 9th edition, equation 6-35a): 1 / (1 + 0.0622 /
    sqrt 0.1181) = 0.847. Shear 4 F / (3 A) = 4 x 100 kN / (3 x 804.25 mm2) = 165.8 MPa.
    """
    cross = f"{ARM}, fillet_radius: 3 mm, shoulder_diameter: 38 mm"
    found = lone(case_of(crossed(cross)), knowledge, "sum.arm_notch")
    kt = next(one for one in found.results if one.words == "notch factor of the fillet").spread.nominal
    assert kt == pytest.approx(1.655, rel=0.03)
    assert nominal(found, "fatigue notch") == pytest.approx(1 + 0.847 * (kt - 1), rel=2e-3)
    assert nominal(found, "greatest shear") == pytest.approx(165.79e6, rel=1e-4)
    bending = 32 * 100e3 * 0.020 / (math.pi * 0.032**3)
    assert nominal(found, "elastic stress") == pytest.approx(kt * bending, rel=1e-6)
    assert found.results[0].widened_by
    assert found.held_against is None


def test_the_fillet_is_told_whatever_the_load(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Without the tyres' side the load is an upper bound: the shear accuses nothing, the notch is what it is."""
    cross = f"{ARM}, fillet_radius: 3 mm, shoulder_diameter: 38 mm"
    known = lone(case_of(crossed(cross)), knowledge, "sum.arm_notch")
    bound = lone(case_of(crossed(cross).replace("load: 60 t, ", "")), knowledge, "sum.arm_notch")
    notch = known.sentence[known.sentence.index("The fillet raises") :]
    assert bound.sentence.endswith(notch)
    assert bound.validity.endswith("the load is an upper bound")


def test_a_bound_accuses_no_root_of_shearing(case_of: ReadCase, knowledge: Knowledge) -> None:
    """A core of 120 MPa would shear through at the peak torque, if the load were known."""
    cross = f"{ARM}, fillet_radius: 3 mm, shoulder_diameter: 38 mm, yield_stress: 120 MPa"
    known = lone(case_of(crossed(cross)), knowledge, "sum.arm_notch")
    bound = lone(case_of(crossed(cross).replace("load: 60 t, ", "")), knowledge, "sum.arm_notch")
    assert known.sentence.startswith("The root shears through")
    assert "shears through" not in bound.sentence
    assert "Accuses nothing" in bound.sentence
    assert "The fillet raises bending" in bound.sentence


def test_repeated_pulls_feel_the_measured_fillet(case_of: ReadCase, knowledge: Knowledge) -> None:
    """The equivalent amplitude is proportional to the notch factor: 1.7 is the typical one."""
    cross = f"{ARM}, fillet_radius: 3 mm, shoulder_diameter: 38 mm"
    usual = repeated(case_of(crossed(ARM)), knowledge)
    found = repeated(case_of(crossed(cross)), knowledge)
    kf = nominal(lone(case_of(crossed(cross)), knowledge, "sum.arm_notch"), "fatigue notch")
    ratio = found.results[0].spread.nominal / usual.results[0].spread.nominal
    assert ratio == pytest.approx(kf / knowledge.typical["arm_root_notch"].si, rel=1e-9)
    assert not any(given.name == "arm_root_notch" for given in found.inputs)


def test_a_fillet_off_the_chart_leaves_the_typical_notch(case_of: ReadCase, knowledge: Knowledge) -> None:
    cross = f"{ARM}, fillet_radius: 0.1 mm, shoulder_diameter: 40 mm"
    found = repeated(case_of(crossed(cross)), knowledge)
    assert any(given.name == "arm_root_notch" for given in found.inputs)
    assert not found.missing


def repeated(case: Case, knowledge: Knowledge) -> Sum:
    return next(one for one in sums_of(case, knowledge, "finding.trunnion_repeated") if one.computed)


@pytest.mark.parametrize(
    ("cross", "lack", "words"),
    [
        ("fillet_radius: 3 mm", "shoulder_diameter", "shoulder behind the arm"),
        ("fillet_radius: 3 mm, shoulder_diameter: 30 mm", "shoulder_diameter", "larger than the arm"),
        ("fillet_radius: 0.1 mm, shoulder_diameter: 40 mm", "fillet_radius", "0.1 to 20 times its radius"),
    ],
)
def test_a_fillet_off_the_chart_is_said(
    cross: str, lack: str, words: str, case_of: ReadCase, knowledge: Knowledge
) -> None:
    (only,) = lone(case_of(crossed(f"{ARM}, {cross}")), knowledge, "sum.arm_notch").missing
    assert only.name == f"driveline.joints[0].cross.{lack}"
    assert words in only.words


def test_an_arm_without_a_fillet_says_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(crossed(ARM)), knowledge, "sum.arm_notch") == []
