"""The report on paper: complete, vector only, numbered, and safe from what people type."""

from __future__ import annotations

import dataclasses
import io
import re
from functools import cache

import pypdf
import pytest

from beachmark.basis.errors import BeachmarkError
from beachmark.cases.assessment import Assessment, assess
from beachmark.cases.case import Account, Case
from beachmark.report.content import report_content
from beachmark.report.document import ReportContent
from beachmark.report.drawing import driveline_svg
from beachmark.report.figures import figure_svg, report_figures
from beachmark.report.marked import PAPER_WIDTH, drawing_marks
from beachmark.report.paper import printable_text, report_pdf, spans
from beachmark.workflow.packaged import knowledge
from tests.report.test_content import NAMES, worked

HOSTILE = (
    '#import "x": * #panic() $x^2$ *bold* _it_ `raw` <label> @ref "double" \'single\' \\ // c /* d */ = H #sys.inputs'
)

FOOTER = re.compile(r"ReportTR-2026-014,revision1,issued12November2026page\d+of\d+")


def content_of(assessment: Assessment) -> ReportContent:
    return report_content(
        assessment, knowledge(), number="TR-2026-014", revision=1, issued="12 November 2026", document_hash="9f" * 32
    )


def paper_of(assessment: Assessment, *, charts: bool = True) -> bytes:
    content = content_of(assessment)
    specs = report_figures(assessment, knowledge(), content) if charts else {}
    drawing = driveline_svg(assessment.train, marks=drawing_marks(assessment), width=PAPER_WIDTH)
    return report_pdf(content, drawing_svg=drawing, figures={key: figure_svg(spec) for key, spec in specs.items()})


@cache
def paper(name: str) -> bytes:
    return paper_of(worked(name))


def pages(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def flat(text: str) -> str:
    """Text without line breaks, spaces and break marks, so that setting cannot hide a difference."""
    return re.sub(r"[\s\u200b]+", "", text)


def said(pdf: bytes) -> str:
    """All text but the footers, page by page: else the next page's section number reads as the end of a footer."""
    return "".join(FOOTER.sub("", flat(page)) for page in pages(pdf))


@pytest.mark.parametrize("name", NAMES)
def test_the_paper_holds_what_the_report_says(name: str) -> None:
    content, text = content_of(worked(name)), said(paper(name))
    for piece in (
        content.finding.headline,
        *(statement.text for statement in content.finding.statements),
        content.told.story,
        content.cover.question,
        *(fact.answer for fact in content.facts),
        *(line.question for line in content.not_known),
        *(rival.title for rival in content.considered.rivals),
        *(line.text for line in content.would_change),
        *(line.text for line in content.to_do.cautions),
        *(step.text for group in content.to_do.groups for step in group.steps),
        *(row.meaning for row in content.limits.scale),
        *(lack for row in content.not_computed for lack in row.lacks),
        content.cover.document_hash,
    ):
        assert flat(printable_text(piece)) in text, piece


@pytest.mark.parametrize("name", NAMES)
def test_the_numbers_are_on_the_paper(name: str) -> None:
    content, text = content_of(worked(name)), said(paper(name))
    for group in content.computed:
        for card in group.cards:
            assert flat(card.sentence) in text
            for line in card.results:
                assert flat(f"{line.words}: {line.value}") in text
    for given in content.inputs:
        assert flat(given.value) in text


@pytest.mark.parametrize("name", NAMES)
def test_every_page_is_numbered_and_names_the_report(name: str) -> None:
    found = pages(paper(name))
    assert 4 <= len(found) <= 10
    for number, text in enumerate(found, start=1):
        assert f"page {number} of {len(found)}" in text
        assert "TR-2026-014" in text


def test_the_first_page_stands_alone() -> None:
    content, first = content_of(worked("tide-and-fresh")), flat(pages(paper("tide-and-fresh"))[0])
    assert flat(content.finding.headline) in first
    assert flat(content.finding.statements[0].text) in first
    assert "FIRST" in first  # the mark on the drawing
    assert all(flat(line) in first for line in content.to_do.first)
    assert first.index("DANGER") < first.index(flat(content.to_do.first[0]))


@pytest.mark.parametrize("name", NAMES)
def test_cautions_come_before_their_steps(name: str) -> None:
    content, text = content_of(worked(name)), said(paper(name))
    advice = text[text.rindex(flat("8 What to do")) :]
    assert advice.index(flat(content.to_do.cautions[0].text)) < advice.index(flat(content.to_do.groups[0].title))
    at = 0
    for group in content.to_do.groups:
        at = advice.index(flat(group.title), at)
        for step in group.steps:
            for caution in step.cautions:
                at = advice.index(flat(caution.text), at)
            at = advice.index(flat(step.text), at)


def test_no_percent_sign_before_the_annex() -> None:
    for name in NAMES:
        text = said(paper(name))
        assert "%" not in text[: text.rindex("Annex:technicalnumbers")]


@pytest.mark.parametrize("name", NAMES)
def test_everything_is_drawn_in_vectors_with_our_letters(name: str) -> None:
    for page in pypdf.PdfReader(io.BytesIO(paper(name))).pages:
        assert not list(page.images)
        fonts = page["/Resources"]["/Font"]  # type: ignore[index]
        for font in fonts.values():
            assert "Barlow" in str(font.get_object()["/BaseFont"])


def test_the_same_report_gives_the_same_bytes() -> None:
    assert paper_of(worked("wash-bay")) == paper_of(worked("wash-bay"))


def test_hostile_text_comes_through_as_text() -> None:
    base = worked("tide-and-fresh")
    account = Account(driver_words=HOSTILE, mechanic_words=HOSTILE, story=HOSTILE, question=HOSTILE, asked_by=HOSTILE)
    case = dataclasses.replace(base.case, title=HOSTILE, reference=HOSTILE, account=account)
    text = said(paper_of(dataclasses.replace(base, case=case), charts=False))
    assert text.count(flat(HOSTILE)) == 7  # title, reference, question, asked by, driver, workshop, story


def test_twenty_kilobytes_of_words_are_printed_to_the_last() -> None:
    words = " ".join(f"word{number}" for number in range(2500)) + " " + "x" * 400 + " the end"
    assert len(words) > 20_000
    base = worked("tide-and-fresh")
    noted = dataclasses.replace(base.observations[0], note=words.replace("word", "note"))
    case = dataclasses.replace(base.case, account=Account(driver_words=words, question=words.replace("word", "ask")))
    long = dataclasses.replace(base, case=case, observations=(noted, *base.observations[1:]))
    text = said(paper_of(long, charts=False))
    assert flat(words) in text
    assert flat(case.account.question) in text
    assert all(flat(note) in text for note in noted.note.split())  # the head of the table stands between pages


def test_an_empty_case_makes_an_honest_paper() -> None:
    pdf = paper_of(assess(Case(title="Nothing known yet"), knowledge()))
    text = said(pdf)
    assert flat("Nothing is known yet about what failed first.") in text
    assert flat("No cause is put before another") in text
    assert flat("Nothing was told.") in text
    assert "FIRST" not in text
    assert "Annex" not in text


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("brakes 😀🔥 hot", "brakes [grinning face][fire] hot"),
        ("a\u202eb\u0000c", "a[U+202E]b[U+0000]c"),
        ("Gelenkwelle über Öl, eñe, łódź, Привет", "Gelenkwelle über Öl, eñe, łódź, Привет"),
        ("12\u202f400", "12\u00a0400"),
        ("漢", "[U+6F22]"),
        ("e\u0301te\u0301", "été"),
        ("✔\ufe0f done", "[heavy check mark] done"),
        ("x" * 60, "x" * 28 + "\u200b" + "x" * 28 + "\u200b" + "x" * 4),
    ],
)
def test_signs_that_no_font_has_are_named(typed: str, printed: str) -> None:
    assert printable_text(typed) == printed


def test_labels_are_drawn_together() -> None:
    assert spans(["I1", "I2", "I3", "I7", "I9", "I10"]) == "I1–I3, I7, I9–I10"
    assert spans(["C10", "C2"]) == "C2, C10"
    assert spans([]) == ""


@pytest.mark.parametrize("svg", ['<svg width="10" height="10"><g', "<svg></svg>", ""])
def test_a_broken_picture_is_refused_in_words(svg: str) -> None:
    with pytest.raises(BeachmarkError, match=r"report"):
        report_pdf(content_of(worked("wash-bay")), drawing_svg=svg, figures={})


def test_the_paper_of_a_shake_says_so() -> None:
    text = said(paper("one-tooth-out"))
    assert flat("What makes it shake:") in text
    assert flat("DRIVELINE REPORT") in text
    assert flat("FAILURE REPORT") not in text
    assert flat("First to fail") not in text
    assert flat("1 of 16 teeth out") in text
