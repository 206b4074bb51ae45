"""Numbers that are legal one by one and impossible together are said, never computed with, and never a traceback."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from beachmark.basis.errors import InputError
from beachmark.cases.assessment import assess
from beachmark.cases.case import Case
from beachmark.knowledge.model import Knowledge

ENGINE = "vehicle: {engine: {governed_speed: 2000 rpm, peak_torque: 2000 N m}, gearbox: {top_gear: 1, first_gear: 12}}"
RUN = (
    "vehicle: {duty: {cruise_torque: 100 N m, cruise_speed: 80 km/h, distance: 1 km}, axle: {ratio: 4}, "
    "tyre: {rolling_radius: 0.5 m}, engine: {peak_torque: 2000 N m}, gearbox: {first_gear: 12}}"
)
FAT = "{arm_radius: 50 mm, trunnion_diameter: 25 mm, needles: 3, needle_diameter: 20 mm, needle_length: 20 mm}"
NONE = "{arm_radius: 50 mm, trunnion_diameter: 25 mm, needles: 0, needle_diameter: 2 mm, needle_length: 20 mm}"


@pytest.mark.parametrize(
    "text",
    [
        f"{ENGINE}\ndriveline: {{shafts: [{{slip: {{root_diameter: 50 mm, bore: 60 mm}}}}]}}",
        f"{ENGINE}\ndriveline: {{shafts: [{{length: 2 m, tube: {{outer_diameter: 100 mm, wall: 60 mm}}}}]}}",
        f"{ENGINE}\ndriveline: {{shafts: [{{slope: 89.9 deg}}, {{slope: -89.9 deg}}], gearbox_end: {{slope: 0 deg}}, "
        "axle_end: {slope: 0 deg}}",
        f"{RUN}\ndriveline: {{shafts: [{{}}], joints: [{{angle: 5 deg, cross: {FAT}}}, {{angle: 5 deg}}]}}",
        f"{RUN}\ndriveline: {{shafts: [{{}}], joints: [{{angle: 5 deg, cross: {NONE}}}, {{angle: 0 deg}}]}}",
        "fleet: [{name: a, failed: 0, of: 0, exposed: true}, {name: b, failed: 0, of: 0}]",
    ],
)
def test_impossible_together_is_named_as_lacking(
    text: str, case_of: Callable[[str], Case], knowledge: Knowledge
) -> None:
    found = assess(case_of(text), knowledge)
    assert sum(cause.share for cause in found.opinion.causes) == pytest.approx(1.0)
    assert any(one.missing for one in found.sums)


@pytest.mark.parametrize(
    "text",
    [
        "vehicle: {tyre: {rolling_radius: {value: 0.5 m, plus_minus: 0.6 m}}}",
        "vehicle: {gearbox: {efficiency: {value: 0.95, plus_minus: 0.2}}}",
        "driveline: {shafts: [{length: {value: 2 m, plus_minus: 3 m}}]}",
    ],
)
def test_a_range_must_lie_within_the_bounds_too(text: str, case_of: Callable[[str], Case]) -> None:
    with pytest.raises(InputError, match="cannot be"):
        case_of(text)


def test_lining_up_the_yokes_is_judged_without_a_speed(case_of: Callable[[str], Case], knowledge: Knowledge) -> None:
    """Three joints of 7.0, 6.2 and 6.2 degrees, one tooth out: the angles themselves do not cancel."""
    text = (
        "driveline: {gearbox_end: {slope: 4 deg nose down}, axle_end: {slope: 3 deg nose up}, shafts: "
        "[{slope: 3 deg nose up}, {slope: 3.2 deg nose down, slip: {teeth: 16, teeth_out: 1}}]}"
    )
    found = [one for one in assess(case_of(text), knowledge).sums if one.id == "finding.excitation_in_phase"]
    assert found[0].answer == "remains"
    assert found[0].speaks == "against"


def test_an_unmeasured_phase_is_no_evidence(case_of: Callable[[str], Case], knowledge: Knowledge) -> None:
    """Taken as in line the angles cancel; that must not speak against a wrong phase that nobody looked at."""
    text = f"{ENGINE}\ndriveline: {{shafts: [{{}}], joints: [{{angle: 5 deg}}, {{angle: 5 deg}}]}}"
    found = [one for one in assess(case_of(text), knowledge).sums if one.id == "finding.torsional_excitation"]
    assert found[0].computed
    assert found[0].speaks == "neither"
    assert not found[0].chances
    assert "nobody measured" in found[0].validity
