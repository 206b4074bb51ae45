"""The replay in the report: only while it speaks of the case as it is, with its sentence, numbers and assumptions."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import pypdf
import pytest

from beachmark.cases.assessment import Assessment
from beachmark.driveline.positions import Address
from beachmark.findings.replay.reading import Band
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.topics import Topic
from beachmark.report.document import Replayed
from beachmark.report.replayed import CAUTION, checked, hundredths, of_hundred, percent, replayed, times, torques
from beachmark.report.words import Units
from tests.replay_readings import SENTENCE, small_reading
from tests.report.test_content import content_of, texts, worked
from tests.report.test_paper import flat, pages, paper_of

METRIC, US = Units("metric"), Units("us")


@cache
def with_replay(*, events: int = 6, stale: str = "", judged: bool = True) -> Assessment:
    """A case whose sums and replay hold the reading made by hand."""
    plain = worked("tide-and-fresh")
    finding = Sum(
        id="finding.replay_cross",
        title="Could the event as it was told have broken the cross?",
        at=Address("joint", 2),
        results=(Quantity("greatest torque over what a sound part bears", plain.sums[0].results[0].spread, "number"),),
        sentence="A sentence of the finding.",
        topic=Topic.REPLAY,
    )
    told = small_reading(events=events, stale=stale, judged=judged)
    reading = replace(told, sums=(finding,), about="cross@joint-1")
    order = list(Topic)
    sums = tuple(sorted((*plain.sums, finding), key=lambda one: order.index(one.topic)))
    return replace(plain, sums=sums, replay=reading)


def told(assessment: Assessment, units: Units = METRIC) -> Replayed:
    found = replayed(assessment, units)
    assert found is not None
    return found


def test_it_is_there_only_while_it_speaks_of_the_case() -> None:
    assert replayed(worked("tide-and-fresh"), METRIC) is None
    assert replayed(with_replay(stale="the vehicle has changed"), METRIC) is None
    empty = replace(with_replay(), replay=replace(small_reading(), events=()))
    assert replayed(empty, METRIC) is None
    assert content_of(with_replay()).replay == told(with_replay())


def test_it_tells_every_event_of_the_part_that_broke() -> None:
    found = told(with_replay())
    assert found.part == "cross of joint 1"
    assert [one.title for one in found.events] == [one.title for one in small_reading().events]
    first = found.events[0]
    peak = 21.0
    assert first.peak == "21.0 (16.8 to 26.2) kN\u00a0m"
    assert first.over_steady == f"{peak / 12:.2f} ({0.8 * peak / 12:.2f} to {1.25 * peak / 12:.2f})"
    assert first.needed == f"{100 * peak / 17 / 1.4:.0f} ({80 * peak / 17 / 1.4:.0f} to {125 * peak / 17 / 1.4:.0f})"
    assert (first.fits, first.breaks) == ("46", "30")
    assert "lbf\u00a0ft" in told(with_replay(), US).events[0].peak


def test_percent_signs_stay_out_of_the_report() -> None:
    content = content_of(with_replay())
    assert not [text for text in texts(content.replay) if "%" in text]
    assert "88 percent" in told(with_replay()).sentence


def test_what_was_taken_for_granted_is_said() -> None:
    text = " ".join(told(with_replay()).assumptions)
    assert "6 events of 1000 draws each, seed 1" in text
    assert "their differential stays open" in text
    assert "Rocked out of a hole: below 1 of 100" in text
    assert "by at most 0.4\u00a0percent" in text or "by at most 0.4 percent" in text
    assert text.endswith(CAUTION)
    assert "Do not repeat the event on a vehicle" in CAUTION
    slip = replace(with_replay(), observations=())
    assert "assumed" not in " ".join(told(slip).assumptions)  # the cross of joint 3 is known


def test_a_check_that_was_not_made_is_not_claimed() -> None:
    assert checked(small_reading(judged=False)) == "the peaks were not checked by the other solver"
    half = small_reading(events=2)
    bare = replace(half.events[1], typical_deviation=None, worst_deviation=None)
    part = checked(replace(half, events=(half.events[0], bare)))
    assert "not" in part
    assert "1 of 2 events" in part


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.0, "0"), (0.004, "below 1"), (0.01, "1"), (0.5, "50"), (0.994, "above 99"), (1.0, "100")],
)
def test_a_share_is_never_rounded_to_none_or_all(share: float, words: str) -> None:
    assert of_hundred(share) == words


def test_numbers_in_words() -> None:
    assert times(Band(0.938, 0.998, 1.063)) == "1.00 (0.94 to 1.06)"
    assert times(Band(2.0, 2.0, 2.0)) == "2.00"
    assert times(Band(9.0, 12.345, 20.0)) == "12.3 (9.00 to 20)"
    assert hundredths(Band(0.082, 0.17, 0.314)) == "17 (8 to 31)"
    assert torques(Band(13.6e3, 14.7e3, 15.8e3), METRIC) == "14.7 (13.6 to 15.8) kN\u00a0m"
    assert percent(2e-5) == "below 0.01\u00a0%"
    assert percent(0.0049) == "0.49\u00a0%"


@pytest.mark.parametrize("events", [1, 6, 12])
def test_the_paper_holds_it_on_at_most_a_page(events: int) -> None:
    before, after = (pages(paper_of(one)) for one in (worked("tide-and-fresh"), with_replay(events=events)))
    assert len(after) <= len(before) + 1 + 1  # the finding beside it takes its own few lines
    whole = "".join(flat(page) for page in after)
    assert flat(SENTENCE.replace(" %", " percent")) in whole
    for one in told(with_replay(events=events)).events:
        assert flat(f"{one.title}{one.fits}{one.peak}{one.over_steady}{one.needed}{one.breaks}") in whole
    for text in told(with_replay(events=events)).assumptions:
        assert flat(text) in whole
    assert flat(Topic.REPLAY.value) in whole


def test_an_outdated_replay_is_not_on_the_paper() -> None:
    whole = "".join(flat(page) for page in pages(paper_of(with_replay(stale="the vehicle has changed"))))
    assert flat(SENTENCE.replace(" %", " percent")) not in whole
    assert flat("Fits, of 100") not in whole
    assert pypdf.PdfReader(io.BytesIO(paper_of(with_replay()))).pages
