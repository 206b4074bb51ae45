"""Unbalance from run-out and play, worked by hand: U = m s R / 2 (ISO 21940-2), G = U w / m (ISO 21940-11, cl. 6)."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from beachmark.cases.case import Case
from beachmark.knowledge.model import Knowledge

from .lone import lone, nominal, result, sums_of, vehicle

ReadCase = Callable[[str], Case]
SPEED = 2100 * math.pi / 30  # governed speed in top gear 1
RUNOUT = "mass: 40 kg, tube: {runout: 0.4 mm}"


def driveline(shaft: str, first: str = "{}", second: str = "{}") -> str:
    return f"{vehicle()}\ndriveline: {{shafts: [{{{shaft}}}], joints: [{first}, {second}]}}"


def test_sources_add_up_as_by_hand(case_of: ReadCase, knowledge: Knowledge) -> None:
    """40 kg x 0.64 x 0.2 mm = 5120 g mm; 40 kg x 0.5 x 0.05 mm = 1000 g mm; 40 kg x 0.4 x 0.1 mm = 1600 g mm."""
    shaft = f"{RUNOUT}, slip: {{clearance: 0.2 mm}}"
    found = lone(case_of(driveline(shaft, "{cross: {end_play: 0.1 mm}}")), knowledge, "sum.balance")
    parts = {"run-out of the tube": 5.12e-3, "end play of the front joint": 1e-3, "play of the slip": 1.6e-3}
    for words, by_hand in parts.items():
        assert nominal(found, f"from the {words}") == pytest.approx(by_hand, rel=1e-6)
    assert nominal(found, "one direction") == pytest.approx(7.72e-3, rel=1e-6)
    assert nominal(found, "chance angles") == pytest.approx(math.sqrt(5.12**2 + 1 + 1.6**2) * 1e-3, rel=1e-6)
    assert nominal(found, "grade") == pytest.approx(7.72e-3 * SPEED / 40 * 1e3, rel=1e-6)
    assert nominal(found, "force on each support") == pytest.approx(7.72e-3 * SPEED**2 / 2, rel=1e-6)
    assert nominal(found, "allowed by G 16") == pytest.approx(40 * 0.016 / SPEED, rel=1e-6)
    assert nominal(found, "allowed by G 40") == pytest.approx(40 * 0.040 / SPEED, rel=1e-6)
    assert "most of it from the run-out of the tube" in found.sentence
    assert found.results[0].widened_by == "share of the mass that runs out with the tube"
    assert found.results[0].dimension == found.held_against.value.dimension


def test_the_play_of_both_joints_belongs_to_the_shaft_between(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(driveline("mass: 40 kg", "{cross: {end_play: 0.1 mm}}", "{cross: {end_play: 0.3 mm}}"))
    found = lone(case, knowledge, "sum.balance")
    assert nominal(found, "rear joint") == pytest.approx(3 * nominal(found, "front joint"))


@pytest.mark.parametrize(
    ("runout", "words"), [("0.05 mm", "finer than G 16"), ("0.25 mm", "between what"), ("2 mm", "coarser than G 40")]
)
def test_the_sentence_follows_the_grades(runout: str, words: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(driveline(RUNOUT.replace("0.4 mm", runout))), knowledge, "sum.balance")
    assert words in found.sentence


def test_the_range_of_a_reading_widens_the_grade(case_of: ReadCase, knowledge: Knowledge) -> None:
    wide = RUNOUT.replace("0.4 mm", "{value: 0.4 mm, plus_minus: 0.35 mm}")
    spread = result(lone(case_of(driveline(wide)), knowledge, "sum.balance"), "grade").spread
    plain = result(lone(case_of(driveline(RUNOUT)), knowledge, "sum.balance"), "grade").spread
    assert spread.low < plain.low < plain.high < spread.high


def test_what_a_balance_lacks_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(driveline("tube: {runout: 0.4 mm}")), knowledge, "sum.balance")
    assert [lack.name for lack in found.missing] == ["driveline.shafts[0].mass"]


def test_a_shaft_that_nobody_measured_says_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(driveline("mass: 40 kg")), knowledge, "sum.balance") == []
