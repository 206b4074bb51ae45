"""Properties of the model that must hold whatever the tables say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.diagnosis.belief import believe, together
from beachmark.diagnosis.hypotheses import Field
from beachmark.diagnosis.items import gather
from beachmark.diagnosis.likelihood import Tables
from beachmark.diagnosis.opinion import Opinion, diagnose
from beachmark.driveline.positions import Address, Layout
from beachmark.evidence.records import How, Observation, Sure
from beachmark.knowledge.model import Knowledge
from beachmark.workflow.packaged import knowledge as packaged

LAYOUT = Layout(2)
KNOWLEDGE = packaged()
FIELD = Field(KNOWLEDGE, LAYOUT)
TABLES = Tables(FIELD)
WEIGHING = sorted(q.id for q in KNOWLEDGE.questions.values() if q.weighs and q.effort)


def opinion(*seen: Observation) -> Opinion:
    return diagnose(KNOWLEDGE, LAYOUT, seen, ())


def shares(found: Opinion) -> dict[str, float]:
    return {cause.id: cause.share for cause in found.causes}


def place_of(question: str) -> Address | None:
    places = LAYOUT.places(KNOWLEDGE.questions[question].place)
    return places[0] if places and places[0].number else None


@st.composite
def observations(draw: st.DrawFn) -> tuple[Observation, ...]:
    asked = draw(st.lists(st.sampled_from(WEIGHING), max_size=12, unique=True))
    return tuple(
        Observation(
            see=see,
            answers=(draw(st.sampled_from(sorted(KNOWLEDGE.questions[see].answers))),),
            at=draw(st.sampled_from([None, place_of(see)])),
            sure=draw(st.sampled_from(list(Sure))),
        )
        for see in asked
    )


@given(observations())
@settings(max_examples=60, deadline=None)
def test_shares_add_to_one_and_nothing_is_certain(seen: tuple[Observation, ...]) -> None:
    found = shares(opinion(*seen))
    assert sum(found.values()) == pytest.approx(1.0)
    assert all(0.0 < share < 1.0 for share in found.values())


@given(observations())
@settings(max_examples=40, deadline=None)
def test_copies_of_what_was_seen_change_nothing(seen: tuple[Observation, ...]) -> None:
    once, thrice = opinion(*seen), opinion(*seen, *seen, *seen)
    assert shares(thrice) == pytest.approx(shares(once))


@given(observations(), st.sampled_from(WEIGHING), st.sampled_from(["not_looked", "cannot_tell"]))
@settings(max_examples=40, deadline=None)
def test_silence_changes_nothing(seen: tuple[Observation, ...], question: str, silence: str) -> None:
    silent = Observation(see=question, answers=(silence,))
    assert shares(opinion(*seen, silent)) == shares(opinion(*seen))


@given(observations())
@settings(max_examples=40, deadline=None)
def test_the_order_of_recording_changes_nothing(seen: tuple[Observation, ...]) -> None:
    assert shares(opinion(*reversed(seen))) == pytest.approx(shares(opinion(*seen)))


@pytest.mark.parametrize("question", WEIGHING)
def test_answers_of_a_question_add_to_one_under_every_hypothesis(question: str) -> None:
    asked = KNOWLEDGE.questions[question]
    chances = TABLES.chances(asked, place_of(question))
    assert chances.shape == (len(FIELD.hypotheses), len(asked.answers))
    assert chances.sum(axis=1) == pytest.approx(np.ones(len(chances)))
    assert (chances > 0).all()


def test_no_evidence_gives_back_the_prior() -> None:
    belief = believe(FIELD, TABLES, ())
    assert belief.posterior == pytest.approx(np.exp(FIELD.log_prior))
    assert belief.posterior.sum() == pytest.approx(1.0)


def test_items_of_one_story_count_once() -> None:
    weights = np.array([[2.0, -1.0, 0.5], [1.5, -3.0, -0.5]])
    assert together(weights) == pytest.approx([2.0, -3.0, 0.0])
    assert together(np.vstack([weights, weights])) == pytest.approx(together(weights))


def test_an_unsure_answer_weighs_less() -> None:
    told = Observation(see="cap.grease", at=Address("joint", 1), answers=("milky",), sure=Sure.CERTAIN)
    certain, unsure, phone = (
        shares(opinion(one))["contamination_water"]
        for one in (told, replace(told, sure=Sure.UNSURE), replace(told, how=How.TOLD))
    )
    none = shares(opinion())["contamination_water"]
    assert certain > phone > unsure > none


def test_a_face_is_evidence_for_its_own_arm() -> None:
    old = Observation(see="cross.face", at=Address("joint", 2, "trunnion-G2"), answers=("mixed",))
    found = opinion(old)
    fatigue = next(cause for cause in found.causes if cause.id == "cross_fatigue_fillet")
    assert fatigue.place == Address("joint", 2, "trunnion-G2")


def test_a_sound_part_clears_its_place_only() -> None:
    sound = Observation(see="cross.broken", at=Address("joint", 1), answers=("none",))
    belief = believe(FIELD, TABLES, gather(KNOWLEDGE, [sound], [], []))
    at_joint = [belief.posterior[_index("cross_shock_overload", joint)] for joint in (1, 2, 3)]
    assert at_joint[0] < 0.3 * at_joint[1]
    assert at_joint[1] == pytest.approx(at_joint[2])


def _index(cause: str, joint: int) -> int:
    return next(i for i, h in enumerate(FIELD.hypotheses) if h.id == cause and h.at == Address("joint", joint))


def test_contributions_are_the_belief(knowledge: Knowledge) -> None:
    """The counted contributions of a cause at its place add up to its weight in the posterior, bar none."""
    seen: Sequence[Observation] = (
        Observation(see="cap.grease", at=Address("joint", 1), answers=("milky",)),
        Observation(see="event.water", answers=("pressure_wash",)),
        Observation(see="cap.bore_marks", at=Address("joint", 1), answers=("rust_pits",)),
        Observation(see="cross.heat", at=Address("joint", 1), answers=("blue_black",)),
    )
    belief = believe(FIELD, TABLES, gather(knowledge, seen, [], []))
    index = belief.index("contamination_water")
    told = diagnose(knowledge, LAYOUT, seen, ()).causes[0].contributions
    counted = sum(one.weight for one in told if one.counted)
    joint = sum(group[index] for group in belief.by_group.values())
    assert counted == pytest.approx(joint, abs=0.05 * len(seen))  # weights under 0.05 are not listed


def test_worth_of_a_question_is_expected_information() -> None:
    """The stated worth equals the mutual information computed by brute force, answer by answer."""
    seen = (Observation(see="event.doing", answers=("steady_cruise",)),)
    asked = next(one for one in opinion(*seen).ask_next if not one.gate)
    belief = believe(FIELD, TABLES, gather(KNOWLEDGE, seen, [], []))
    now = belief.field.shares(belief.posterior)
    total = 0.0
    chances = TABLES.mixed(asked.question, asked.at, 0.06)
    for i, answer in enumerate(asked.question.answers):
        new = Observation(see=asked.question.id, at=asked.at, answers=(answer,))
        after = believe(FIELD, TABLES, gather(KNOWLEDGE, (*seen, new), [], []))
        then = belief.field.shares(after.posterior)
        total += float(chances[:, i] @ belief.posterior) * float((then * np.log2(then / now)).sum())
    assert asked.worth == pytest.approx(total, rel=1e-6)


def test_while_open_nobody_is_named_and_nothing_followed() -> None:
    found = opinion(Observation(see="event.warning", answers=("clunk",), sure=Sure.UNSURE))
    assert found.first.strength.word == "open"
    assert found.first_failure.words.startswith("not settled; nearest so far: ")
    assert found.consequences == ()
    assert found.root_cause.root is None
