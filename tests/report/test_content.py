"""The report as data: complete, honest, every sentence of the reasoning tied to evidence that is printed."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from beachmark.basis.errors import InputError
from beachmark.cases.assessment import Assessment, assess
from beachmark.cases.case import Case
from beachmark.cases.codec import read_case
from beachmark.evidence.records import SILENT
from beachmark.report.content import report_content
from beachmark.report.document import ReportContent, Statement
from beachmark.report.marked import drawing_marks
from beachmark.workflow.packaged import knowledge

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("tide-and-fresh", "two-dry-two-full", "long-wheelbase", "one-tooth-out", "wash-bay")
BLAME = ("abuse", "neglect", "driver error", "careless", "negligen", "misuse", "fault of", "to blame", "defective")


def worked(name: str) -> Assessment:
    path = EXAMPLES / f"{name}.yaml"
    return assess(read_case(path.read_text(encoding="utf-8"), name=path.name, knowledge=knowledge()), knowledge())


def content_of(assessment: Assessment, units: str = "metric") -> ReportContent:
    return report_content(
        assessment,
        knowledge(),
        number="TR-2026-014",
        revision=2,
        issued="12 November 2026",
        units=units,
        document_hash="ab" * 32,
    )


@pytest.fixture(params=NAMES)
def case(request: pytest.FixtureRequest) -> tuple[Assessment, ReportContent]:
    assessment = worked(request.param)
    return assessment, content_of(assessment)


def texts(value: Any) -> Iterator[str]:
    """Every text inside a value of the report."""
    if isinstance(value, str):
        yield value
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from texts(getattr(value, field.name))
    elif isinstance(value, tuple):
        for one in value:
            yield from texts(one)


def spaced(text: str) -> str:
    """Text with plain spaces."""
    return text.replace("\u202f", " ").replace("\u00a0", " ")


def statements(content: ReportContent) -> Iterator[Statement]:
    """Every sentence of the reasoning."""
    yield from content.finding.statements
    yield from content.finding.consequences
    yield from content.considered.others
    yield content.considered.not_in_list
    for rival in content.considered.rivals:
        if rival.ranked_lower:
            yield rival.ranked_lower


def test_every_section_is_there(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    assert content.cover.number == "TR-2026-014"
    assert content.cover.revision == 2
    assert content.cover.question == assessment.case.account.question
    assert content.cover.document_hash == "ab" * 32
    assert assessment.opinion.first_failure.words in content.finding.headline
    assert content.told.story == assessment.case.account.story
    assert len(content.facts) == sum(seen.speaks for seen in assessment.observations)
    assert content.considered.first is not None
    assert content.considered.first.id == assessment.opinion.first.id
    assert content.to_do.groups
    assert len(content.sign_off) == 2
    assert sum(row.used_here for row in content.limits.scale) == 1
    assert f"confirmed cases so far: {assessment.opinion.confirmed_cases}" in content.limits.judgement


def test_the_strength_word_stands_with_its_meaning(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    strength = assessment.opinion.first.strength
    assert strength.word in content.finding.paragraph.lower()
    assert strength.meaning in content.finding.paragraph
    assert [row.meaning for row in content.limits.scale] == [word.meaning for word in knowledge().scales.strengths]


def test_every_sentence_of_the_reasoning_names_evidence_that_is_printed(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    keys = {item.key for item in assessment.opinion.items}
    printed = {fact.ref for fact in content.facts} | {sign.ref for sign in content.derived}
    printed |= {card.ref for group in content.computed for card in group.cards}
    for statement in statements(content):
        assert statement.evidence, statement.text
        assert set(statement.evidence) <= keys, statement.text
        assert statement.refs, statement.text
        assert set(statement.refs) <= printed, statement.text


def test_every_reason_names_a_printed_label(case: tuple[Assessment, ReportContent]) -> None:
    _, content = case
    facts = {fact.ref: fact.answer for fact in content.facts}
    views = [content.considered.first, *content.considered.rivals]
    reasons = [reason for view in views if view for reason in (*view.speaks_for, *view.speaks_against)]
    assert reasons
    for reason in reasons:
        assert reason.ref, reason
        for ref in reason.ref.split(", "):
            assert ref[0] != "F" or facts[ref] == reason.answer


def test_what_follows_names_the_facts_under_it(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    assert len(content.derived) == len(assessment.opinion.signs)
    facts = {fact.ref for fact in content.facts}
    for sign in content.derived:
        assert sign.basis
        assert set(sign.basis) <= facts


def test_nothing_that_was_not_looked_at_is_lost(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    told = [line.question for line in content.not_known]
    for gate in assessment.opinion.gates:
        assert gate.answered or gate.question.question in told
    for seen in assessment.observations:
        if set(seen.answers) <= SILENT:
            assert knowledge().questions[seen.see].question in told
    assert all(line.state in ("not looked at", "could not tell", "not asked yet") for line in content.not_known)


def test_percentages_stand_in_the_annex_only(case: tuple[Assessment, ReportContent]) -> None:
    _, content = case
    for field in dataclasses.fields(content):
        if field.name not in ("annex", "told"):
            for text in texts(getattr(content, field.name)):
                assert "%" not in text, (field.name, text)
    assert any("%" in text for text in texts(content.annex))


def test_no_share_is_ever_nought_or_a_hundred(case: tuple[Assessment, ReportContent]) -> None:
    _, content = case
    assert not {row.share for row in (*content.annex.causes, *content.annex.roots)} & {"0 %", "100 %"}


def test_nothing_of_ours_blames_anybody(case: tuple[Assessment, ReportContent]) -> None:
    _, content = case
    for field in dataclasses.fields(content):
        if field.name != "told":
            written = " ".join(texts(getattr(content, field.name))).lower()
            assert not [word for word in BLAME if word in written], field.name


def test_two_rivals_in_full_each_with_why_it_ranks_lower(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    by_share = [cause for cause in assessment.opinion.causes if cause.cause]
    assert [rival.id for rival in content.considered.rivals] == [cause.id for cause in by_share[1:3]]
    assert all(rival.ranked_lower for rival in content.considered.rivals)
    assert content.considered.not_in_list.text.startswith("Something that is not in the list")
    named = len(content.considered.others) + len(content.considered.far_behind)
    assert 3 + named == len(by_share)


def test_what_is_silent_is_what_nobody_answered(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    answered = {item.question.question.rstrip("?") for item in assessment.opinion.items}
    assert content.considered.first is not None
    assert not set(content.considered.first.silent) & answered


def test_what_would_change_our_mind_or_a_warning(case: tuple[Assessment, ReportContent]) -> None:
    _, content = case
    assert (len(content.would_change) >= 2) == (content.would_change_warning == "")
    titles = {cause.title for cause in knowledge().causes.values()} | {"Something that is not in the list"}
    assert all(line.then_first in titles for line in content.would_change)


def test_a_warning_stands_where_fewer_than_two_things_would_change_it() -> None:
    assessment = worked("tide-and-fresh")
    opinion = dataclasses.replace(assessment.opinion, would_change=assessment.opinion.would_change[:1])
    content = content_of(dataclasses.replace(assessment, opinion=opinion))
    assert content.would_change_warning.startswith("Warning")


def test_every_sum_is_a_card_or_says_what_it_lacks(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    cards = [card for group in content.computed for card in group.cards]
    assert len(cards) == sum(one.computed for one in assessment.sums)
    assert all(card.inputs and card.results and card.method and card.source for card in cards)
    for one in assessment.sums:
        if not one.computed:
            lacking = next(row for row in content.not_computed if row.title == one.title.rstrip("?"))
            for missing in one.missing:
                assert any(lack.startswith(missing.words) for lack in lacking.lacks)


def test_every_input_is_listed_with_its_origin(case: tuple[Assessment, ReportContent]) -> None:
    assessment, content = case
    listed = {line.ref: line for line in content.inputs}
    for group in content.computed:
        for card in group.cards:
            for given in card.inputs:
                assert listed[given.ref].value == given.value
                assert listed[given.ref].origin == given.origin
    assumed = {given.words for one in assessment.sums if one.computed for given in one.assumed}
    assert {line.words for line in content.limits.assumed} == assumed


def test_cautions_cover_every_step(case: tuple[Assessment, ReportContent]) -> None:
    """What a question warns of stands before all steps or before its own step."""
    _, content = case
    general = {line.text for line in content.to_do.cautions}
    by_question = {question.question: question for question in knowledge().questions.values()}
    steps = [step for group in content.to_do.groups for step in group.steps if step.text in by_question]
    assert steps
    for step in steps:
        shown = general | {line.text for line in step.cautions}
        for caution in by_question[step.text].cautions:
            assert knowledge().cautions[caution].text in shown, (step.text, caution)


def test_what_holds_always_is_said() -> None:
    content = content_of(worked("wash-bay"))
    said = " ".join(texts(content.to_do))
    for phrase in ("A person with the training", "vehicle maker's procedure", "before the last bolt", "chocked"):
        assert phrase in said
    assert [line.word for line in content.to_do.cautions] == sorted(
        (line.word for line in content.to_do.cautions), key=("DANGER", "WARNING", "CAUTION", "NOTICE").index
    )


def test_torque_is_shown_in_both_systems() -> None:
    """2300 N m × 11.7 × 0.95 = 25 565 N m; 1 lbf ft = 1.355 817 9 N m (NIST SP 811, appendix B.8): 18 855 lbf ft."""
    cards = {card.key: card for group in content_of(worked("tide-and-fresh")).computed for card in group.cards}
    engine = next(line for line in cards["sum.torque@train"].results if "engine" in line.words)
    assert spaced(engine.value) == "25 600 N m"
    assert spaced(engine.other) == "18 900 lbf ft"
    american = content_of(worked("tide-and-fresh"), units="us")
    cards = {card.key: card for group in american.computed for card in group.cards}
    engine = next(line for line in cards["sum.torque@train"].results if "engine" in line.words)
    assert (spaced(engine.value), spaced(engine.other)) == ("18 900 lbf ft", "25 600 N m")


def test_an_unknown_system_of_units_is_refused() -> None:
    with pytest.raises(InputError, match="metric, us"):
        content_of(worked("wash-bay"), units="imperial")


def test_directions_are_told_in_words_not_by_sign() -> None:
    text = """
beachmark_case: 1
title: slopes
vehicle: {engine: {governed_speed: 2000 rpm}, gearbox: {top_gear: 1.0}}
driveline:
  gearbox_end: {slope: {value: 3 deg nose up, plus_minus: 0.2 deg}}
  shafts: [{slope: 5 deg nose down}]
  axle_end: {slope: 3 deg nose up}
"""
    assessment = assess(read_case(text, name="slopes", knowledge=knowledge()), knowledge())
    values = [line.value for line in content_of(assessment).inputs if line.words.startswith("slope")]
    assert values == ["3.0° nose up ± 0.2°", "5.0° nose down", "3.0° nose up"]


def test_an_empty_case_makes_a_report_that_names_no_cause() -> None:
    assessment = assess(Case(title="Nothing known yet"), knowledge())
    content = content_of(assessment)
    assert not content.finding.known
    assert content.finding.headline.startswith("Nothing is known")
    assert content.considered.first is None
    assert not content.considered.rivals
    assert not content.finding.root_candidates
    assert content.told.empty
    assert len(content.not_known) == len(knowledge().gates)
    assert content.to_do.groups[0].title == "Clear the neighbours"
    written = " ".join(text for text in texts(content))
    assert not [cause.title for cause in knowledge().causes.values() if f"{cause.title}." in written]
    assert not drawing_marks(assessment)


def test_an_unsettled_case_says_so_and_proposes_no_remedy_as_certain() -> None:
    text = "beachmark_case: 1\ntitle: One call\nobservations: [{see: event.warning, answers: [clunk], how: told}]\n"
    content = content_of(assess(read_case(text, name="call", knowledge=knowledge()), knowledge()))
    assert content.finding.known
    assert not content.finding.settled
    assert content.finding.headline.startswith("Not settled")
    mending = [group for group in content.to_do.groups if group.title.startswith("Mend")]
    assert all(group.note.startswith("Only once it is confirmed") for group in mending)


def test_the_drawing_marks_the_first_failure(case: tuple[Assessment, ReportContent]) -> None:
    assessment, _ = case
    marks = drawing_marks(assessment)
    first = assessment.opinion.first_failure.at
    assert first is not None
    kind = "start" if assessment.opinion.parted is False else "first"
    assert [mark.kind for mark in marks[first]] == [kind]


def test_the_same_case_gives_the_same_report() -> None:
    assert content_of(worked("long-wheelbase")) == content_of(worked("long-wheelbase"))
