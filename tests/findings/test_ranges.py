"""Ranges of the inputs reach the result: against a brute-force grid, or because physics says so."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from beachmark.cases.assessment import assess
from beachmark.cases.case import Case
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge

ReadCase = Callable[[str], Case]
ENGINE = "vehicle: {engine: {governed_speed: 2500 rpm}, gearbox: {top_gear: 1}}"


def one(case: Case, knowledge: Knowledge, id: str) -> Sum:
    return next(found for found in assess(case, knowledge).sums if found.id == id and found.computed)


RNG = np.random.default_rng(7)
DRAWS = 200_000
QUANTILES = (0.025, 0.975)  # a range is the middle 95 % of the draws


def draws(middle: float, half: float, count: int = DRAWS) -> np.ndarray:
    """Chance draws, not the program's own, of a value that is known within plus or minus `half`."""
    return RNG.triangular(middle - half, middle, middle + half, count)


def test_the_range_of_a_phase_reaches_the_excitation(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Two joints of angle b with the rear yoke turned by p: 2 b^2 w^2 |sin p|, derived."""
    text = (
        "driveline: {shafts: [{phase: {value: 20 deg, plus_minus: 20 deg}}], joints: [{angle: 5 deg}, {angle: 5 deg}]}"
    )
    found = one(case_of(f"{ENGINE}\n{text}"), knowledge, "finding.torsional_excitation").results[0]
    speed = 2500 * math.pi / 30
    brute = 2 * math.radians(5) ** 2 * speed**2 * np.abs(np.sin(np.radians(draws(20, 20))))
    assert (found.spread.low, found.spread.high) == pytest.approx(tuple(np.quantile(brute, QUANTILES)), rel=0.02)
    assert found.widened_by == "phase of shaft 1"
    assert found.widened_share == pytest.approx(1.0, abs=0.02)


def test_the_error_of_points_reaches_the_angle(case_of: ReadCase, knowledge: Knowledge) -> None:
    def point(x: str, z: str) -> str:
        return f"{{at: {{x: {x}, y: 0 m, z: {{value: {z}, plus_minus: 20 mm}}}}}}"

    text = (
        "driveline: {gearbox_end: {slope: 0 deg}, axle_end: {slope: 0 deg}, shafts: [{}], "
        f"joints: [{point('0 m', '0 mm')}, {point('1 m', '-100 mm')}]}}"
    )
    found = one(case_of(text), knowledge, "finding.joint_angle").results[0].spread
    # the two ends' errors are taken at their worst for the slope, which is then drawn
    brute = draws(math.atan(0.1), math.atan(0.14) - math.atan(0.1))
    assert (found.low, found.high) == pytest.approx(tuple(np.quantile(brute, QUANTILES)), rel=0.02)


@pytest.mark.parametrize("shaft", [1, 2])
def test_the_errors_of_angles_reach_the_partial_sums(shaft: int, case_of: ReadCase, knowledge: Knowledge) -> None:
    angles = "{angle: {value: 5 deg, plus_minus: 3 deg}}, {angle: {value: 5 deg, plus_minus: 3 deg}}, {angle: 3 deg}"
    case = case_of(f"{ENGINE}\ndriveline: {{shafts: [{{phase: 0 deg}}, {{phase: 0 deg}}], joints: [{angles}]}}")
    found = [s for s in assess(case, knowledge).sums if s.id == "finding.inertia_excitation" and s.at.number == shaft]
    drive = found[0].results[0].spread
    sampled = np.stack([np.radians(draws(5, 3)) for _ in range(shaft)], axis=1)
    speed = 2500 * math.pi / 30
    signs = np.array([1.0, -1.0])[:shaft]
    brute = speed**2 * np.abs((sampled**2 * signs).sum(axis=1))
    assert drive.high == pytest.approx(np.quantile(brute, QUANTILES[1]), rel=0.02)


def test_what_load_and_capacity_share_cancels(case_of: ReadCase, knowledge: Knowledge) -> None:
    """A grip of 0.5 to 0.9 spreads the torque now and before alike; their ratio keeps only the changed axle."""
    text = (
        "vehicle: {axle: {ratio: 4, load: 10 t, efficiency: 0.95}, tyre: {rolling_radius: 0.5 m, "
        "grip: {value: 0.7, plus_minus: 0.2}}, before: {axle_ratio: 5}}"
    )
    more, now, _ = one(case_of(text), knowledge, "finding.torque_change").results
    assert now.spread.high > 1.4 * now.spread.low
    assert (more.spread.low, more.spread.high) == pytest.approx((1.25, 1.25))


def test_the_range_of_a_product_is_that_of_chance_draws(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = (
        "vehicle: {engine: {peak_torque: {value: 2000 N m, plus_minus: 200 N m}}, gearbox: "
        "{first_gear: {value: 10, plus_minus: 0.5}, efficiency: {value: 0.95, plus_minus: 0.04}}}"
    )
    found = one(case_of(text), knowledge, "sum.torque").results[0]
    brute = draws(2000, 200) * draws(10, 0.5) * draws(0.95, 0.04)
    assert (found.spread.low, found.spread.high) == pytest.approx(tuple(np.quantile(brute, QUANTILES)), rel=0.004)
    parts = [(200 / 2000) ** 2, (0.5 / 10) ** 2, (0.04 / 0.95) ** 2]  # small errors: squares of relative widths add
    assert found.widened_by == "greatest engine torque"
    assert found.widened_share == pytest.approx(parts[0] / sum(parts), abs=0.05)


def test_a_life_in_distance_does_not_depend_on_the_road_speed(case_of: ReadCase, knowledge: Knowledge) -> None:
    cross = "{arm_radius: 60 mm, trunnion_diameter: 33 mm, needles: 38, needle_diameter: 3 mm, needle_length: 20 mm}"
    lives = []
    for speed in ("", "cruise_speed: 40 km/h, ", "cruise_speed: {value: 90 km/h, plus_minus: 30 km/h}, "):
        duty = f"duty: {{{speed}cruise_torque: 1200 N m, distance: 300 000 km}}"
        text = (
            f"vehicle: {{axle: {{ratio: 4}}, tyre: {{rolling_radius: 0.5 m}}, {duty}}}\n"
            f"driveline: {{shafts: [{{}}], joints: [{{angle: 4 deg, cross: {cross}}}, {{}}]}}"
        )
        lives.append(one(case_of(text), knowledge, "finding.joint_life").results[1].spread)
    assert lives[0] == lives[1] == lives[2]
