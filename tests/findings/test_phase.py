"""A phase or teeth out, as typed, are evidence by themselves; the speed of the complaint is told beside the top."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from beachmark.cases.assessment import compute
from beachmark.cases.case import Case
from beachmark.driveline.positions import Address
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge

ReadCase = Callable[[str], Case]


def phase_of(shaft: str, case_of: ReadCase, knowledge: Knowledge) -> list[Sum]:
    case = case_of(f"driveline: {{shafts: [{shaft}]}}")
    return [one for one in compute(case, knowledge) if one.id == "finding.phase"]


@pytest.mark.parametrize(
    ("shaft", "speaks", "degrees"),
    [
        ("{slip: {teeth: 16, teeth_out: 1}}", "for", 22.5),
        ("{slip: {teeth: 32, teeth_out: 1}}", "for", 11.25),
        ("{slip: {teeth: 16, teeth_out: 0}}", "against", 0.0),
        ("{slip: {teeth_out: 0}}", "against", 0.0),
        ("{slip: {teeth: 16, teeth_out: 8}}", "against", 0.0),  # half a turn is in line again
        ("{slip: {teeth: 16, teeth_out: 6}}", "for", 45.0),  # 135 degrees one way are 45 the other way
        ("{phase: 0 deg}", "against", 0.0),
        ("{phase: 2 deg}", "against", 2.0),  # a reading errs by more
        ("{phase: 15 deg}", "for", 15.0),
        ("{phase: -15 deg}", "for", 15.0),
    ],
)
def test_what_was_typed_speaks(
    shaft: str, speaks: str, degrees: float, case_of: ReadCase, knowledge: Knowledge
) -> None:
    [found] = phase_of(shaft, case_of, knowledge)
    assert found.at == Address("shaft", 1)
    assert found.speaks == speaks
    assert math.degrees(found.results[0].spread.nominal) == pytest.approx(degrees, abs=1e-9)


def test_teeth_out_of_a_slip_that_nobody_counted_still_speak(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = phase_of("{slip: {teeth_out: 1}}", case_of, knowledge)
    assert found.speaks == "for"
    assert "teeth" in found.results[0].words


@pytest.mark.parametrize("shaft", ["{}", "{slip: {teeth: 16}}"])
def test_what_nobody_typed_says_nothing(shaft: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    assert phase_of(shaft, case_of, knowledge) == []


def test_an_assumed_phase_is_no_evidence(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = phase_of("{phase: {value: 20 deg, known: assumed}}", case_of, knowledge)
    assert found.computed
    assert not found.chances
    assert found.speaks == "neither"


def test_a_reading_that_straddles_the_limit_decides_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = phase_of("{phase: {value: 3 deg, plus_minus: 2 deg}}", case_of, knowledge)
    assert found.speaks == "neither"
    assert 0.3 < found.chances["out"] < 0.7


# ---- the speed of the complaint -------------------------------------------------------------------------------------

VEHICLE = (
    "vehicle: {{engine: {{governed_speed: 2300 rpm}}, gearbox: {{top_gear: 1}}, axle: {{ratio: 4}}, "
    "tyre: {{rolling_radius: 0.5 m}}, duty: {{event_speed: {speed}}}}}\n"
    "driveline: {{shafts: [{{phase: 0 deg}}], joints: [{{angle: {front} deg}}, {{angle: {rear} deg}}]}}"
)


def excitation(case_of: ReadCase, knowledge: Knowledge, speed: str, front: float, rear: float) -> Sum:
    case = case_of(VEHICLE.format(speed=speed, front=front, rear=rear))
    return next(one for one in compute(case, knowledge) if one.id == "finding.torsional_excitation")


def result(found: Sum, words: str) -> float | None:
    return next((one.spread.nominal for one in found.results if one.words == words), None)


def test_excitation_at_the_complaint_goes_with_the_square_of_the_speed(case_of: ReadCase, knowledge: Knowledge) -> None:
    """54 km/h on a tyre of 0.5 m behind a ratio of 4 turn the shaft at 120 rad/s: hand arithmetic."""
    found = excitation(case_of, knowledge, "54 km/h", 7, 2)
    assert result(found, "shaft speed of the complaint") == pytest.approx(120.0)
    squares = math.radians(7) ** 2 - math.radians(2) ** 2  # both yokes in line: the squares of the angles differ
    assert result(found, "at the speed of the complaint, rad/s²") == pytest.approx(120.0**2 * squares, rel=0.02)
    assert found.answer == "above", "what weighs is the greatest speed"
    assert "at the speed of the complaint it is below the stricter limit" in found.sentence


def test_a_complaint_with_the_same_answer_adds_no_sentence(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = excitation(case_of, knowledge, "100 km/h", 9, 1)
    assert result(found, "at the speed of the complaint, rad/s²") is not None
    assert found.answer == "above"
    assert "speed of the complaint" not in found.sentence


def test_a_complaint_at_the_greatest_speed_is_not_told_twice(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = excitation(case_of, knowledge, "140 km/h", 7, 2)
    assert result(found, "at the speed of the complaint, rad/s²") is None


# ---- what lining up would do ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("front", "rear", "answer", "speaks"),
    [(6, 6, "cancels", "for"), (7, 2, "remains", "against"), (2, 2, "", "neither")],
)
def test_lining_up_counts_only_above_the_stricter_limit(
    front: float, rear: float, answer: str, speaks: str, case_of: ReadCase, knowledge: Knowledge
) -> None:
    text = VEHICLE.format(speed="90 km/h", front=front, rear=rear)
    case = case_of(text.replace("phase: 0 deg", "slip: {teeth: 16, teeth_out: 1}"))
    found = next(one for one in compute(case, knowledge) if one.id == "finding.excitation_in_phase")
    assert (found.answer, found.speaks) == (answer, speaks)
    if not answer:
        assert "within the stricter limit" in found.sentence


def test_without_a_speed_cancelling_is_no_evidence(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = "driveline: {shafts: [{slip: {teeth: 16, teeth_out: 1}}], joints: [{angle: 5 deg}, {angle: 5 deg}]}"
    found = next(one for one in compute(case_of(text), knowledge) if one.id == "finding.excitation_in_phase")
    assert not found.chances
    assert "without a speed" in found.sentence
