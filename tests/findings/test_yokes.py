"""Ears, cap bolts and ring weld, worked by hand from the printed formulas."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from beachmark.cases.case import Case
from beachmark.knowledge.model import Knowledge

from .lone import PEAK, lone, nominal, result, sums_of, vehicle

ReadCase = Callable[[str], Case]
EAR = "ear_width: 70 mm, ear_thickness: 30 mm, ear_reach: 45 mm, ear_offset: 5 mm, yield_stress: 400 MPa"
BOLTS = "bolts: 2, bolt_diameter: 12 mm, tightening_torque: 84 N m"
ARM_FORCE = PEAK / (2 * 0.060)  # 100 kN on each arm


def joint(angle: str, yoke: str) -> str:
    first = f"{{angle: {angle}, cross: {{arm_radius: 60 mm}}, yoke: {{{yoke}}}}}"
    return f"{vehicle()}\ndriveline: {{shafts: [{{}}], joints: [{first}, {{angle: 0 deg}}]}}"


# ---- ears -----------------------------------------------------------------------------------------------------


def test_a_straight_joint_only_bends_the_ear_by_the_cap_force(case_of: ReadCase, knowledge: Knowledge) -> None:
    """6 F l / (t w^2) = 6 x 100 kN x 45 mm / (30 mm x (70 mm)^2) = 183.67 MPa (any strength-of-materials text)."""
    found = lone(case_of(joint("0 deg", EAR)), knowledge, "sum.yoke_ear")
    assert nominal(found, "greatest stress") == pytest.approx(183.673e6, rel=1e-4)
    assert nominal(found, "over yield") == pytest.approx(183.673 / 400, rel=1e-4)
    assert nominal(found, "torque at which") == pytest.approx(PEAK * 400 / 183.673, rel=1e-4)
    assert found.results[0].dimension == found.held_against.value.dimension == "number"


def test_a_bent_joint_adds_the_pull_and_its_bending_of_the_curved_root(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Shigley, 9th edition, section 3-18: r_n = h / ln(r_o/r_i), inner edge M (r_n - r_i) / (A e r_i).

    The pull F tan b meets the full cap force with the driving pin square to the plane of the bend. The radius at
    the inside is the typical 15 mm; the side of the offset that presses the inner edge is the worse one.
    """
    pull = ARM_FORCE * math.tan(math.radians(10))
    area, inner, outer = 0.070 * 0.030, 0.015, 0.045
    neutral = 0.030 / math.log(outer / inner)
    eccentric = (inner + outer) / 2 - neutral
    bending = pull * 0.005 * (neutral - inner) / (area * eccentric * inner)
    found = lone(case_of(joint("10 deg", EAR)), knowledge, "sum.yoke_ear")
    assert nominal(found, "greatest stress") == pytest.approx(183.673e6 + bending + pull / area, rel=1e-4)


def test_ears_that_nobody_measured_say_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(joint("5 deg", "bore: 40 mm")), knowledge, "sum.yoke_ear") == []


def test_what_an_ear_lacks_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(joint("5 deg", "ear_width: 70 mm, ear_reach: 45 mm")), knowledge, "sum.yoke_ear")
    assert not found.computed
    assert [lack.name.rpartition(".")[2] for lack in found.missing] == ["ear_offset", "ear_thickness"]


def test_the_ear_is_told_from_its_range(case_of: ReadCase, knowledge: Knowledge) -> None:
    ear = EAR.replace("yield_stress: 400 MPa", "yield_stress: {value: 400 MPa, plus_minus: 150 MPa}")
    share = lone(case_of(joint("5 deg", ear)), knowledge, "sum.yoke_ear").results[0]
    assert share.spread.low < share.spread.nominal < share.spread.high
    assert share.widened_by in ("yield stress of the yoke", "peak over a steady pull, from a sudden take-up")
    assert share.widened_share > 0.3


def test_an_upper_bound_of_the_load_accuses_no_ear(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = joint("5 deg", EAR.replace("400 MPa", "100 MPa"))
    assert "before the peak torque" in lone(case_of(text), knowledge, "sum.yoke_ear").sentence
    alone = text.replace("rolling_radius: 0.5 m, ", "")  # without the tyres' path
    found = lone(case_of(alone), knowledge, "sum.yoke_ear")
    assert found.sentence.startswith("Accuses nothing")
    assert "upper bound" in found.validity


# ---- cap bolts ------------------------------------------------------------------------------------------------


def test_preload_of_a_nut_factor_of_a_fifth(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Shigley, 9th edition, Table 8-15: K = 0.16 to 0.30; 84 N m / (0.2 x 12 mm) = 35 kN, from 23.3 to 43.75 kN."""
    preload = result(lone(case_of(joint("20 deg", BOLTS)), knowledge, "sum.cap_bolts"), "preload").spread
    assert preload.nominal == pytest.approx(35e3)
    assert 84 / (0.30 * 0.012) < preload.low < 26e3
    assert 40e3 < preload.high < 84 / (0.16 * 0.012)


def test_caps_lift_where_three_quarters_of_the_pull_reach_the_preload(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Two bolts share T tan b / (2 R); the clamp takes 1 - 0.25 of it (Shigley, chapter 8, joint separation)."""
    found = lone(case_of(joint("20 deg", BOLTS)), knowledge, "sum.cap_bolts")
    pull = ARM_FORCE * math.tan(math.radians(20)) / 2
    assert nominal(found, "greatest pull") == pytest.approx(pull)
    assert nominal(found, "over the pull that lifts") == pytest.approx(0.75 * pull / 35e3)
    assert nominal(found, "torque at which") == pytest.approx(PEAK * 35e3 / (0.75 * pull))
    assert found.results[0].widened_by


def test_bolt_stress_on_the_tabled_stress_area(case_of: ReadCase, knowledge: Knowledge) -> None:
    """ISO 898-1: M12 with 1.75 mm pitch has 84.3 mm^2; the bolt takes preload and a quarter of the pull."""
    more = f"{BOLTS}, bolt_pitch: 1.75 mm, bolt_yield_stress: 940 MPa"
    found = lone(case_of(joint("20 deg", more)), knowledge, "sum.cap_bolts")
    pull = ARM_FORCE * math.tan(math.radians(20)) / 2
    assert nominal(found, "tension in a bolt") == pytest.approx((35e3 + 0.25 * pull) / 84.3e-6 / 940e6, rel=1e-3)


def test_a_straight_joint_lifts_no_cap(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(joint("0 deg", BOLTS)), knowledge, "sum.cap_bolts")
    assert found.results[0].spread.nominal == 0.0
    assert not [one for one in found.results if one.dimension == "torque"]


@pytest.mark.parametrize(
    ("bolts", "said"),
    [
        ("bolts: 0, bolt_diameter: 12 mm, tightening_torque: 84 N m", "one bolt or more"),
        ("bolts: 2, bolt_diameter: 12 mm", "tightening torque"),
        (f"{BOLTS}, bolt_pitch: 9.9 mm", "leaves a core"),
    ],
)
def test_odd_or_missing_bolts_are_said(bolts: str, said: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(joint("20 deg", bolts)), knowledge, "sum.cap_bolts")
    assert said in "; ".join(lack.words for lack in found.missing)


def test_tighter_bolts_hold_more(case_of: ReadCase, knowledge: Knowledge) -> None:
    shares = []
    for torque in ("60 N m", "84 N m", "120 N m"):
        text = joint("20 deg", BOLTS.replace("84 N m", torque))
        shares.append(lone(case_of(text), knowledge, "sum.cap_bolts").results[0].spread.nominal)
    assert np.all(np.diff(shares) < 0)


# ---- ring weld ------------------------------------------------------------------------------------------------


def tube(more: str) -> str:
    first = f"{{tube: {{outer_diameter: 127 mm, wall: 6 mm, {more}}}}}"
    return f"{vehicle()}\ndriveline: {{shafts: [{first}]}}"


def test_mean_shear_of_a_thin_ring(case_of: ReadCase, knowledge: Knowledge) -> None:
    """T / (2 pi r^2 a), r = 61.5 mm to the middle of a 4 mm throat: 126.2 MPa against 350 / sqrt(3) = 202.1 MPa."""
    found = lone(case_of(tube("weld_throat: 4 mm, weld_strength: 350 MPa")), knowledge, "sum.weld")
    shear = PEAK / (2 * math.pi * 0.0615**2 * 0.004)
    assert nominal(found, "mean shear") == pytest.approx(shear)
    assert nominal(found, "over shear yield") == pytest.approx(shear / 202.07e6, rel=1e-3)
    assert nominal(found, "torque at which") == pytest.approx(PEAK * 202.07e6 / shear, rel=1e-3)
    assert str(found.at) == "shaft-1"


def test_an_unknown_weld_rests_on_the_tube(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(tube("weld_throat: 4 mm, yield_stress: 400 MPa")), knowledge, "sum.weld")
    shear = PEAK / (2 * math.pi * 0.0615**2 * 0.004)
    assert nominal(found, "over shear yield") == pytest.approx(shear / (0.9 * 400e6 / math.sqrt(3)), rel=1e-3)
    assert "yield of the weld over that of the tube" in {given.words for given in found.assumed}


def test_a_throat_as_large_as_the_tube_is_said(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(tube("weld_throat: 45 mm")), knowledge, "sum.weld")
    assert [lack.words for lack in found.missing] == ["a throat well below the tube's radius"]


def test_a_tube_without_a_measured_weld_says_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(tube("yield_stress: 400 MPa")), knowledge, "sum.weld") == []
