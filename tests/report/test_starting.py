"""On a driveline of which nothing broke, no page and no paper speaks of what broke or failed first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from beachmark.cases.assessment import Assessment, assess
from beachmark.cases.case import Case
from beachmark.evidence.records import Observation
from beachmark.knowledge.model import Knowledge
from beachmark.report.content import report_content
from beachmark.report.document import ReportContent
from beachmark.report.starting import start_words

ReadExample = Callable[[str], Case]


def worked(case: Case, knowledge: Knowledge, *more: Observation) -> Assessment:
    return assess(replace(case, observations=(*case.observations, *more)), knowledge)


def content(found: Assessment, knowledge: Knowledge) -> ReportContent:
    return report_content(found, knowledge, number="1", revision=1, issued="x")


def test_a_shake_is_told_as_a_shake(example: ReadExample, knowledge: Knowledge) -> None:
    found = worked(example("one-tooth-out"), knowledge)
    told = content(found, knowledge)
    assert start_words(found.opinion).heading == "What makes it shake"
    assert told.finding.headline.startswith("What makes it shake: ")
    assert told.cover.kind == "Driveline report"
    sentences = [told.finding.headline, *(group.note for group in told.to_do.groups)]
    assert not [text for text in sentences if "failed first" in text or "First to fail" in text]


def test_what_does_not_shake_is_told_as_failing(example: ReadExample, knowledge: Knowledge) -> None:
    assert start_words(worked(example("wash-bay"), knowledge).opinion).heading == "What makes it fail"


def test_a_break_keeps_its_words(example: ReadExample, knowledge: Knowledge) -> None:
    found = worked(example("tide-and-fresh"), knowledge)
    assert start_words(found.opinion).heading == "What broke first"
    assert content(found, knowledge).finding.headline.startswith("First to fail: ")
    assert content(found, knowledge).cover.kind == "Driveline failure report"


def test_a_part_seen_broken_stands_above_the_word_that_nothing_broke(
    example: ReadExample, knowledge: Knowledge
) -> None:
    torn = Observation("tube.state", ("torn",))
    found = worked(example("one-tooth-out"), knowledge, torn)
    assert start_words(found.opinion).heading == "What broke first"


def test_an_unsettled_shake_says_what_is_not_settled(case_of: Callable[[str], Case], knowledge: Knowledge) -> None:
    case = case_of("observations: [{see: event.doing, answers: [found_parked]}]")
    found = worked(case, knowledge, Observation("event.shake_when", ("take_off",)))
    assert found.opinion.first.strength.word == "open"
    assert content(found, knowledge).finding.headline.startswith("Not settled what makes it shake. Nearest so far: ")


def test_nothing_of_a_break_is_called_unanswered(example: ReadExample, knowledge: Knowledge) -> None:
    told = content(worked(example("one-tooth-out"), knowledge), knowledge).considered
    silent = [line for view in (told.first, *told.rivals) if view for line in view.silent]
    assert silent
    assert not [line for line in silent if "break" in line.lower() or "broke" in line.lower()]
