"""The fitting's corner against forces drawn as vectors, and the mouth of its hole by Kirsch's factors."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import pytest

from beachmark.cases.case import Case
from beachmark.findings.hole import arms_between
from beachmark.knowledge.model import Knowledge

from .lone import STEADY, lone, nominal, result, sums_of, vehicle

ReadCase = Callable[[str], Case]
ARM = "arm_radius: 60 mm, trunnion_diameter: 33 mm, root_distance: 14 mm"
# as seen from the gearbox looking rearward: G1 up, then clockwise A1 right, G2 down, A2 left
PLACES = {"G1": (0, 1), "A1": (1, 0), "G2": (0, -1), "A2": (-1, 0)}
CORNERS = list(itertools.product(("G1", "G2"), ("A1", "A2")))


def joint(cross: str, gearbox: str = "") -> str:
    return f"{vehicle(gearbox)}\ndriveline: {{shafts: [{{}}], joints: [{{cross: {{{cross}}}}}, {{}}]}}"


def closes(gearbox_arm: str, axle_arm: str) -> bool:
    """In forward drive: the gearbox yoke pushes its arms clockwise, the axle yoke holds its own arms back."""
    (x, y), (u, v) = PLACES[gearbox_arm], PLACES[axle_arm]
    pushed, held = (y, -x), (-v, u)  # clockwise and anticlockwise along the circle
    towards_axle_arm = pushed[0] * u + pushed[1] * v
    towards_gearbox_arm = held[0] * x + held[1] * y
    assert towards_axle_arm == towards_gearbox_arm  # both arms say the same of their corner
    return towards_axle_arm > 0


@pytest.mark.parametrize("corner", CORNERS, ids="-".join)
def test_sign_of_each_corner_is_that_of_the_forces(
    corner: tuple[str, str], case_of: ReadCase, knowledge: Knowledge
) -> None:
    """Kirsch 1898: 3 beside a pull one way; under pressure the ends in line with it are pulled once."""
    found = lone(case_of(joint(f"fitting_between: {' '.join(corner)}")), knowledge, "sum.hole_mouth")
    drive, overrun = (result.spread.nominal for result in found.results)
    assert (drive, overrun) == ((1.0, 3.0) if closes(*corner) else (3.0, 1.0))  # swaps on overrun
    assert ("closes in drive" if closes(*corner) else "opens in drive") in found.sentence
    assert found.speaks == "neither"


def test_two_corners_close_and_two_open() -> None:
    assert sorted(closes(*corner) for corner in CORNERS) == [False, False, True, True]


def test_stress_at_the_mouth_is_said_as_what_it_stands_for(case_of: ReadCase, knowledge: Knowledge) -> None:
    """32 F l / (pi D^3) with F = T / (2 R) = 83.3 kN, three times at the mouth of an opening corner."""
    found = lone(case_of(joint(f"{ARM}, fitting_between: A1-G2, fitting_hole: 6 mm")), knowledge, "sum.hole_mouth")
    bending = 32 * STEADY / 0.120 * 0.014 / (math.pi * 0.033**3)
    assert nominal(found, "tension at the mouth in drive, steady cap") == pytest.approx(3 * bending)
    assert "no formula gives the stress along the corner" in found.validity
    assert found.held_against is None


def test_a_retarder_makes_the_mouth_swing(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Three times the pull in drive and three times the pressure under the retarder: half of their difference."""
    text = joint(f"{ARM}, fitting_between: A1 G2", gearbox="retarder_torque: {value: 2500 N m, plus_minus: 500 N m}")
    swing = result(lone(case_of(text), knowledge, "sum.hole_mouth"), "alternates")
    bending = 32 * STEADY / 0.120 * 0.014 / (math.pi * 0.033**3)
    assert swing.spread.nominal == pytest.approx(3 * (bending + 0.25 * bending) / 2)
    assert swing.spread.low < swing.spread.nominal < swing.spread.high
    assert swing.widened_by == "greatest torque of a retarder"


def test_a_hole_that_is_not_small_leaves_the_method(case_of: ReadCase, knowledge: Knowledge) -> None:
    for hole, valid in (("6 mm", True), ("14 mm", False)):
        text = joint(f"trunnion_diameter: 33 mm, fitting_between: G1 A1, fitting_hole: {hole}")
        found = lone(case_of(text), knowledge, "sum.hole_mouth")
        assert found.valid is valid
        assert ("outside the range" in found.validity) is not valid
        # of a large hole the sign is told and nothing counted
        assert ("three times" in found.sentence) is valid
        assert any("tension at the mouth" in one.words for one in found.results) is valid
        assert "on a corner that closes in drive" in found.sentence


def test_a_large_hole_has_no_stress_at_its_mouth(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(joint(f"{ARM}, fitting_between: G1 A1, fitting_hole: 14 mm")), knowledge, "sum.hole_mouth")
    assert [one.words for one in found.results] == ["hole over arm diameter"]
    assert "3 times" not in found.method


@pytest.mark.parametrize("text", ["G1 G2", "A1", "top", "G1 A1 A2", "G3 A1", "1", "G1A1"])
def test_a_place_that_is_no_corner_is_refused_in_words(text: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(joint(f"fitting_between: '{text}'")), knowledge, "sum.hole_mouth")
    assert not found.computed
    (lack,) = found.missing
    assert lack.name == "driveline.joints[0].cross.fitting_between"
    assert "one of G1, G2 and one of A1, A2" in lack.words
    assert text in lack.words


@pytest.mark.parametrize("text", ["G1 A2", " g1  a2 ", "A2-G1", "A2, G1", "G1/A2"])
def test_the_two_arms_are_read_as_people_write_them(text: str) -> None:
    arms = arms_between(text)
    assert arms is not None
    assert sorted(arms) == ["A2", "G1"]


def test_a_hole_without_its_corner_asks_for_it(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(joint("fitting_hole: 8 mm")), knowledge, "sum.hole_mouth")
    assert "which arms the fitting sits between" in found.missing[0].words


def test_a_fitting_that_nobody_looked_at_says_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(joint(ARM)), knowledge, "sum.hole_mouth") == []
