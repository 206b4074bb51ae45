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


def test_the_range_of_a_phase_reaches_the_excitation(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Two joints of angle b with the rear yoke turned by p: 2 b^2 w^2 |sin p|, derived."""
    text = (
        "driveline: {shafts: [{phase: {value: 20 deg, plus_minus: 20 deg}}], joints: [{angle: 5 deg}, {angle: 5 deg}]}"
    )
    found = one(case_of(f"{ENGINE}\n{text}"), knowledge, "finding.torsional_excitation").results[0].spread
    grid = np.linspace(0.0, math.radians(40), 401)
    speed = 2500 * math.pi / 30
    brute = 2 * math.radians(5) ** 2 * speed**2 * np.abs(np.sin(grid))
    assert found.low == pytest.approx(brute.min(), abs=1e-6)
    assert found.high == pytest.approx(brute.max(), rel=1e-6)


def test_the_error_of_points_reaches_the_angle(case_of: ReadCase, knowledge: Knowledge) -> None:
    def point(x: str, z: str) -> str:
        return f"{{at: {{x: {x}, y: 0 m, z: {{value: {z}, plus_minus: 20 mm}}}}}}"

    text = (
        "driveline: {gearbox_end: {slope: 0 deg}, axle_end: {slope: 0 deg}, shafts: [{}], "
        f"joints: [{point('0 m', '0 mm')}, {point('1 m', '-100 mm')}]}}"
    )
    found = one(case_of(text), knowledge, "finding.joint_angle").results[0].spread
    assert found.low == pytest.approx(math.atan(0.06), rel=1e-6)
    assert found.high == pytest.approx(math.atan(0.14), rel=1e-6)


@pytest.mark.parametrize("shaft", [1, 2])
def test_the_corners_of_partial_sums_hold_every_sample(shaft: int, case_of: ReadCase, knowledge: Knowledge) -> None:
    angles = "{angle: {value: 5 deg, plus_minus: 3 deg}}, {angle: {value: 5 deg, plus_minus: 3 deg}}, {angle: 3 deg}"
    case = case_of(f"{ENGINE}\ndriveline: {{shafts: [{{phase: 0 deg}}, {{phase: 0 deg}}], joints: [{angles}]}}")
    found = [s for s in assess(case, knowledge).sums if s.id == "finding.inertia_excitation" and s.at.number == shaft]
    drive = found[0].results[0].spread
    rng = np.random.default_rng(7)
    sampled = np.radians(rng.uniform(2, 8, (4000, 2)))
    speed = 2500 * math.pi / 30
    signs = np.array([1.0, -1.0])[:shaft]
    brute = speed**2 * np.abs((sampled[:, :shaft] ** 2 * signs).sum(axis=1))
    assert brute.max() <= drive.high * (1 + 1e-9)
    assert brute.max() > 0.9 * drive.high, "no wider than it must be"


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
