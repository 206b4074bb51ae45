"""A vehicle that shakes and of which nothing broke: what the phase proves, what is asked, what axle and wheels say."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from beachmark.cases.assessment import Assessment, assess
from beachmark.cases.case import Case
from beachmark.diagnosis.belief import Belief, believe
from beachmark.diagnosis.change import would_change
from beachmark.diagnosis.explain import contributions
from beachmark.diagnosis.hypotheses import Field
from beachmark.diagnosis.items import gather
from beachmark.diagnosis.likelihood import Tables
from beachmark.diagnosis.opinion import CauseOpinion, Opinion, diagnose
from beachmark.driveline.positions import Address, Layout
from beachmark.evidence.records import Observation, Sure
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge
from beachmark.knowledge.parting import only_of_breaks, parted

ReadCase = Callable[[str], Case]
SHAFT, SLIP = Address("shaft", 1), Address("shaft", 1, "slip")
RAN_ON = Observation("event.doing", ("found_parked",))
STORY = (
    RAN_ON,
    Observation("event.last_work", ("slip_apart",)),
    Observation("event.km_since_work", ("under_1000km",)),
    Observation("event.shake_when", ("under_load", "one_speed")),
    Observation("event.warning", ("vibration_grew",)),
)
OUT = Observation("geo.phase", ("one_or_two_teeth",), SHAFT, sure=Sure.CERTAIN)
MARKS = Observation("geo.slip_marks", ("disagree",), SLIP, sure=Sure.CERTAIN)
LINE = (
    "vehicle: {{engine: {{governed_speed: 2300 rpm}}, gearbox: {{top_gear: 1}}}}\n"
    "driveline: {{shafts: [{shaft}], joints: [{{angle: {front} deg}}, {{angle: {rear} deg}}]}}"
)
TOOTH = "{slip: {teeth: 16, teeth_out: 1}}"


def worked(case: Case, knowledge: Knowledge, *seen: Observation) -> Assessment:
    return assess(replace(case, observations=seen), knowledge)


def line(case_of: ReadCase, *, shaft: str = TOOTH, front: float = 5, rear: float = 5) -> Case:
    return case_of(LINE.format(shaft=shaft, front=front, rear=rear))


def cause(opinion: Opinion, id: str) -> CauseOpinion:
    return next(one for one in opinion.causes if one.id == id)


def share(found: Assessment, id: str = "phasing_wrong") -> float:
    return cause(found.opinion, id).share


# ---- teeth out are evidence -----------------------------------------------------------------------------------------


def test_teeth_out_speak_for_the_phase_at_their_shaft(case_of: ReadCase, knowledge: Knowledge) -> None:
    bare, typed, in_line = (
        case_of(f"driveline: {{shafts: [{{}}, {shaft}]}}") for shaft in ("{}", TOOTH, "{phase: 0 deg}")
    )
    nothing, out, straight = (share(worked(case, knowledge)) for case in (bare, typed, in_line))
    assert out > 3 * nothing
    assert straight < nothing
    found = cause(worked(typed, knowledge).opinion, "phasing_wrong")
    assert found.place == Address("shaft", 2)


def test_one_shaft_in_line_does_not_clear_the_other(case_of: ReadCase, knowledge: Knowledge) -> None:
    alone = case_of(f"driveline: {{shafts: [{{}}, {TOOTH}]}}")
    beside = case_of(f"driveline: {{shafts: [{{phase: 0 deg}}, {TOOTH}]}}")
    assert share(worked(beside, knowledge)) == pytest.approx(share(worked(alone, knowledge)), rel=0.25)


def test_typed_and_told_are_one_story(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Both together weigh what the stronger of them weighs alone."""
    bare, typed = (case_of(f"driveline: {{shafts: [{shaft}]}}") for shaft in ("{}", TOOTH))
    alone = [share(worked(typed, knowledge)), share(worked(bare, knowledge, OUT))]
    assert share(worked(typed, knowledge, OUT)) == pytest.approx(max(alone))


def test_the_classes_of_the_phase_leave_no_reading_two_answers(knowledge: Knowledge) -> None:
    texts = {id: answer.text for id, answer in knowledge.questions["geo.phase"].answers.items()}
    assert "less than 3 degrees" in texts["in_line"]
    assert texts["one_or_two_teeth"].startswith("3 to 45 degrees")
    assert texts["far_out"].startswith("More than 45 degrees")
    for teeth in (16, 32):
        one = {out: _degrees_out(out, teeth) for out in range(1, teeth // 2)}
        near, far = (_teeth_told(texts[answer], teeth) for answer in ("one_or_two_teeth", "far_out"))
        assert near == {out for out, degrees in one.items() if 3 <= degrees <= 45 and out < teeth / 4}
        assert far == {out for out, degrees in one.items() if degrees > 45}
    assert "no build record" in texts["one_or_two_teeth"]
    assert "no build record" in texts["far_out"]


def _degrees_out(out: int, teeth: int) -> float:
    """Degrees from line of so many teeth out; half a turn is in line again."""
    turned = 360.0 * out / teeth % 180.0
    return min(turned, 180.0 - turned)


def _teeth_told(text: str, teeth: int) -> set[int]:
    """The teeth that an answer names for a slip with so many."""
    found = re.search(rf"(\d+) (?:to|or) (\d+)(?: teeth)? of {teeth}", text)
    assert found is not None
    return set(range(int(found[1]), int(found[2]) + 1))


# ---- where lining up leaves most of it ------------------------------------------------------------------------------


@pytest.mark.parametrize("seen", [STORY, (*STORY, OUT, MARKS)], ids=["told", "and at the bench"])
def test_a_phase_that_explains_nothing_is_clearly_behind(
    seen: tuple[Observation, ...], case_of: ReadCase, knowledge: Knowledge
) -> None:
    cured, left = (worked(line(case_of, front=6, rear=rear), knowledge, *seen) for rear in (6, 1))
    assert cured.opinion.first.id == "phasing_wrong"
    assert left.opinion.first.id == "angles_unequal"
    assert share(left) < 0.2 * share(left, "angles_unequal")
    phase = cause(left.opinion, "phasing_wrong")
    assert phase.remedy.startswith("Check slopes and ride height first")
    assert not cause(cured.opinion, "phasing_wrong").remedy.startswith("Check slopes")


def test_why_the_phase_is_behind_is_said(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = worked(line(case_of, front=6, rear=1), knowledge, *STORY, OUT, MARKS)
    belief = belief_of(found, knowledge)
    index = belief.index("phasing_wrong")
    by_question = {item.question.id: belief.weights[row, index] for row, item in enumerate(belief.items)}
    assert by_question["geo.phase"] == by_question["geo.slip_marks"] == by_question["event.last_work"] == 0.0
    assert by_question["finding.excitation_in_phase"] < -1.1
    told = explained(belief, "phasing_wrong")
    assert any("lining them up leaves most of the shaking" in words for words in told)


def belief_of(found: Assessment, knowledge: Knowledge) -> Belief:
    field = Field(knowledge, found.train.layout)
    return believe(field, Tables(field), found.opinion.items)


def explained(belief: Belief, id: str) -> list[str]:
    return [one.words for one in contributions(belief, id)]


def test_what_speaks_against_an_idle_cause_stays(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = line(case_of, front=6, rear=1)
    agree = replace(MARKS, answers=("agree",))
    assert share(worked(case, knowledge, *STORY, agree)) < share(worked(case, knowledge, *STORY))


def test_turning_the_deciding_sum_brings_the_phase_back(case_of: ReadCase, knowledge: Knowledge) -> None:
    """The change that is named for the sum equals what a weighing with that answer gives."""
    found = worked(line(case_of, front=6, rear=1), knowledge, *STORY, OUT, MARKS)
    belief = belief_of(found, knowledge)
    items = [
        replace(item, chances={"cancels": 1.0}) if item.question.id == "finding.excitation_in_phase" else item
        for item in belief.items
    ]
    then = belief.with_items(items).shares
    [named] = [
        change for change in would_change(belief, most=50)
        if [answer.question.id for answer in change.answers] == ["finding.excitation_in_phase"]
    ]  # fmt: skip
    assert named.then_first == "phasing_wrong"
    assert named.share_left == pytest.approx(then["angles_unequal"])


# ---- nothing broke --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ([], None),
        ([("event.doing", ("steady_cruise",))], None),
        ([("event.doing", ("found_parked",))], False),
        ([("event.doing", ("found_parked", "steady_cruise"))], False),
        ([("cross.broken", ("one",))], True),
        ([("event.doing", ("found_parked",)), ("tube.state", ("torn",))], True),
        ([("event.doing", ("found_parked",)), ("tube.break_where", ("weld_toe",))], True),
        ([("event.doing", ("found_parked",)), ("tube.break_where", ("not_parted",))], False),
        ([("event.doing", ("not_looked",))], None),
    ],
)
def test_whether_anything_parted(told: list[Any], expected: bool | None, knowledge: Knowledge) -> None:
    assert parted(knowledge, told) is expected


def opinion(knowledge: Knowledge, *seen: Observation, sums: tuple[Sum, ...] = ()) -> Opinion:
    return diagnose(knowledge, Layout(2), seen, sums)


def test_where_nothing_broke_breaks_are_not_asked_about(knowledge: Knowledge) -> None:
    found = opinion(knowledge, *STORY)
    asked = [one.question for one in found.ask_next]
    assert asked
    assert not [question.id for question in asked if only_of_breaks(knowledge, question)]
    gates = {gate.question.id for gate in found.gates}
    assert not gates & {"event.parts_kept", "event.first_touch"}
    assert {"nb.pinion", "nb.mounts"} <= gates
    broken = opinion(knowledge, Observation("event.doing", ("steady_cruise",)))
    assert {"event.parts_kept", "event.first_touch"} <= {gate.question.id for gate in broken.gates}
    turned = [answer.question for change in found.would_change for answer in change.answers]
    assert not [question.id for question in turned if only_of_breaks(knowledge, question)]


def test_gates_take_turns_with_the_best_questions(knowledge: Knowledge) -> None:
    asked = opinion(knowledge, *STORY).ask_next
    assert [one.gate for one in asked[:4]] == [False, True, False, True]
    plain = [one.per_minute for one in asked if not one.gate]
    assert plain == sorted(plain, reverse=True)
    broken = opinion(knowledge, Observation("event.doing", ("steady_cruise",))).ask_next
    assert [one.gate for one in broken[:4]] == [True] * 4


def test_a_gate_gives_the_reason_that_fits(knowledge: Knowledge) -> None:
    because = {gate.question.id: gate.because for gate in opinion(knowledge, *STORY).gates}
    assert "victim" not in because["nb.pinion"]
    assert "run out of true" in because["nb.pinion"]


# ---- balancing ------------------------------------------------------------------------------------------------------


def weight(knowledge: Knowledge, see: str, answer: str, id: str, at: Address) -> float:
    """Weight of one answer under one cause."""
    field = Field(knowledge, Layout(1))
    belief = believe(field, Tables(field), gather(knowledge, [Observation(see, (answer,), at)], [], []))
    return float(belief.weights[0, belief.index(id)])


def test_what_balancing_did_tells_imbalance_from_the_rest(knowledge: Knowledge) -> None:
    def says(answer: str, id: str) -> float:
        return weight(knowledge, "tube.balance_tried", answer, id, SHAFT)

    assert says("no_change", "imbalance") < -1.0
    assert says("less_or_gone", "imbalance") > 0.3
    for other in ("phasing_wrong", "angles_unequal", "angles_large_equal", "torsional_resonance"):
        assert says("no_change", other) > 0.3
        assert says("less_or_gone", other) < -0.3
    for id in ("imbalance", "phasing_wrong", "angles_unequal"):
        assert abs(says("not_balanced", id)) < 0.05, "that nobody balanced it says nothing"
    assert knowledge.questions["tube.balance_tried"].source == "common practice, no source"


# ---- axle and wheels ------------------------------------------------------------------------------------------------


def test_free_wheels_do_not_clear_a_seized_pinion(knowledge: Knowledge) -> None:
    wheels = Address("wheels")
    for answer in ("free", "turned_fully", "dragging"):
        assert weight(knowledge, "nb.wheels", answer, "conseq_axle_locked", wheels) == pytest.approx(0.0)
    assert weight(knowledge, "nb.wheels", "free", "conseq_wheel_held", wheels) < -1.0
    assert weight(knowledge, "nb.wheels", "locked", "conseq_wheel_held", wheels) > 1.0


def test_the_root_of_an_axle_victim_says_why_and_not_what(knowledge: Knowledge) -> None:
    seen = (
        Observation("nb.pinion", ("no_movement",), Address("axle")),
        Observation("nb.axle_oil", ("empty", "burnt"), Address("axle")),
        Observation("nb.pinion_heat", ("blue_metal",), Address("axle")),
        Observation("nb.wheels", ("free",), Address("wheels")),
    )
    found = opinion(knowledge, *seen)
    assert found.first.id == "conseq_axle_locked"
    assert found.root_cause.root is not None
    assert found.root_cause.root.id == "axle_oil_lost"
    for victim in ("conseq_axle_locked", "conseq_wheel_held", "conseq_gearbox_or_mount"):
        roots = [root for root in knowledge.root_causes.values() if victim in root.of]
        assert len([root for root in roots if root.of[victim] == "main"]) >= 2
        assert not [root.title for root in roots if "stopped" in root.title]
