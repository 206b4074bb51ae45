"""Heaviest needle, bands and greasing: against a balance solved by another method, and by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import brentq

from beachmark.cases.case import Case
from beachmark.knowledge.model import Knowledge

from .lone import PEAK, lone, nominal, result, sums_of, vehicle

ReadCase = Callable[[str], Case]
NEEDLES = "arm_radius: 60 mm, trunnion_diameter: 33 mm, needles: 37, needle_diameter: 3 mm, needle_length: 20 mm"
FORCE = PEAK / 0.120  # 100 kN
COUNT = 37


def joint(cross: str, angle: str = "5 deg", more: str = "duty: {cruise_torque: 1200 N m}") -> str:
    joints = f"{{angle: {angle}, cross: {{{cross}}}}}, {{angle: 0 deg}}"
    return f"{vehicle(more=more)}\ndriveline: {{shafts: [{{}}], joints: [{joints}]}}"


def heaviest(force: float, play_mm: float) -> tuple[float, int]:
    """Heaviest needle and how many carry: Palmgren's approach of two line contacts, solved by bisection (mm, N)."""
    cosines = np.cos(2 * np.pi * np.arange(COUNT) / COUNT)
    stiffness = (20**0.8 / (2 * 3.84e-5)) ** (10 / 9)

    def loads(shift: float) -> np.ndarray:
        return stiffness * np.maximum(shift * cosines - play_mm / 2, 0.0) ** (10 / 9)

    shift = brentq(lambda shift: float((loads(shift) * cosines).sum()) - force, play_mm / 2, 10.0, xtol=1e-14)
    return float(loads(shift).max()), int((loads(shift) > 0).sum())


def test_heaviest_needle_is_that_of_a_balance_by_bisection(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(joint(f"{NEEDLES}, radial_clearance: 0.05 mm")), knowledge, "sum.needle_load")
    load, carrying = heaviest(FORCE, 0.05)
    assert nominal(found, "load of the heaviest needle, at the peak") == pytest.approx(load, rel=1e-6)
    assert nominal(found, "share of the needles that carry, at the peak") == pytest.approx(carrying / COUNT, abs=0.03)
    without = heaviest(FORCE, 0.0)[0]
    assert nominal(found, "over that without clearance, at the peak") == pytest.approx(load / without, rel=1e-6)
    assert without == pytest.approx(4.08 * FORCE / COUNT, rel=0.01)  # Harris, chapter 7 (from memory)


def test_pressure_is_that_of_hertz_and_held_against_the_definition(case_of: ReadCase, knowledge: Knowledge) -> None:
    """p = sqrt(q E / (2 (1 - nu^2)) / (pi R)), 1/R = 2/3 mm + 2/33 mm (Johnson, Contact Mechanics, chapter 4)."""
    found = lone(case_of(joint(f"{NEEDLES}, radial_clearance: 0.05 mm")), knowledge, "sum.needle_load")
    for words, force in (("at the peak torque", FORCE), ("at cruise", FORCE / 10)):
        curvature = 2 / 0.003 + 2 / 0.033
        line = heaviest(force, 0.05)[0] / 0.020
        pressure = math.sqrt(line * 206e9 / (2 * (1 - 0.3**2)) * curvature / math.pi)
        assert nominal(found, f"contact pressure of the heaviest needle, {words}") == pytest.approx(pressure, rel=0.01)
    assert found.held_against.value.si == 4000e6
    assert found.results[0].dimension == "stress"


def test_more_clearance_fewer_needles_and_a_heavier_one(case_of: ReadCase, knowledge: Knowledge) -> None:
    loads, shares = [], []
    for clearance in ("0.01 mm", "0.05 mm", "0.2 mm"):
        found = lone(case_of(joint(f"{NEEDLES}, radial_clearance: {clearance}")), knowledge, "sum.needle_load")
        loads.append(nominal(found, "load of the heaviest needle, at cruise"))
        shares.append(nominal(found, "share of the needles that carry, at cruise"))
    assert np.all(np.diff(loads) > 0)
    assert np.all(np.diff(shares) < 0)


def test_the_range_of_the_clearance_reaches_the_needle(case_of: ReadCase, knowledge: Knowledge) -> None:
    """The load rises with the play alone, so its middle 95 % is that of the play: of a triangle, by its quantile."""
    cross = f"{NEEDLES}, radial_clearance: {{value: 0.06 mm, plus_minus: 0.05 mm}}"
    found = result(lone(case_of(joint(cross)), knowledge, "sum.needle_load"), "load of the heaviest needle, at cruise")
    inside = math.sqrt(0.025 * 0.10 * 0.05)  # of the play's ends
    ends = [heaviest(FORCE / 10, play)[0] for play in (0.01 + inside, 0.11 - inside)]
    assert (found.spread.low, found.spread.high) == pytest.approx(tuple(ends), rel=0.01)  # 1024 draws
    assert found.widened_by == "radial clearance of the needles"


@pytest.mark.parametrize(
    ("cross", "said"),
    [
        ("radial_clearance: 0.05 mm, needles: 37", "needle diameter"),
        (f"{NEEDLES.replace('37', '60')}, radial_clearance: 0.05 mm", "as many needles as fit around the arm"),
        (f"{NEEDLES.replace('37', '2')}, radial_clearance: 0.05 mm", "3 to 500 needles in a cap"),
    ],
)
def test_missing_and_impossible_needles_are_said(
    cross: str, said: str, case_of: ReadCase, knowledge: Knowledge
) -> None:
    found = lone(case_of(joint(cross)), knowledge, "sum.needle_load")
    assert not found.computed
    assert said in [lack.words for lack in found.missing]


def test_without_a_clearance_the_needles_ask_for_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(joint(NEEDLES)), knowledge, "sum.needle_load") == []


def test_bands_of_neighbouring_needles(case_of: ReadCase, knowledge: Knowledge) -> None:
    """A needle rolls half a pitch each way when the joint swings by 2 pi / Z over 1 - d/Dp in the cap, 1 + d/Dp on
    the arm: 37 needles on a 36 mm circle join at 10.61 and 8.98 degrees (kinematics)."""
    found = lone(case_of(joint(NEEDLES)), knowledge, "sum.needle_overlap")
    cap, arm = (result.spread.nominal for result in found.results)
    assert cap == pytest.approx(5 / 10.61, rel=1e-3)
    assert arm == pytest.approx(5 / 8.98, rel=1e-3)
    assert "no proof of too much load" in found.sentence
    wide = lone(case_of(joint(NEEDLES, angle="{value: 14 deg, plus_minus: 1 deg}")), knowledge, "sum.needle_overlap")
    assert "join" in wide.sentence
    assert wide.results[0].widened_by == "angle of joint 1"


def test_bands_have_no_input_of_their_own_and_ask_for_none(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(joint("needles: 37")), knowledge, "sum.needle_overlap") == []


def greased(*parts: str) -> str:
    return joint("", more=f"duty: {{{', '.join(parts)}}}")


def test_an_overrun_interval(case_of: ReadCase, knowledge: Knowledge) -> None:
    rule, run = "greased_every: 10 000 km", "since_greased: {value: 14 000 km, plus_minus: 1000 km}"
    found = lone(case_of(greased(rule, run)), knowledge, "sum.greasing")
    assert found.results[0].spread.nominal == pytest.approx(1.4)
    assert "overrun" in found.sentence
    assert found.results[0].widened_by == "distance since it was last greased"
    short = lone(case_of(greased(rule, "since_greased: 4000 km")), knowledge, "sum.greasing")
    assert "within" in short.sentence
    assert [lack.name for lack in lone(case_of(greased(rule)), knowledge, "sum.greasing").missing] == [
        "vehicle.duty.since_greased"
    ]
    assert sums_of(case_of(greased()), knowledge, "sum.greasing") == []
