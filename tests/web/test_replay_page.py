"""The replay page before, while and after a run: what it says, what it keeps, and what it never claims."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from fastapi.testclient import TestClient

from beachmark.findings.replay.reading import Reading
from beachmark.web.house import House, Worked
from beachmark.workflow import replaying
from beachmark.workflow.replaying import Job, Order, State
from tests.replay_readings import BRACKET, SENTENCE, small_reading, small_record
from tests.web.test_pages import read
from tests.workflow.replays import Engine, put_in
from tests.workflow.test_replaying import until

FORM = {"event": ["clutch_dropped", "steady_pull"], "draws": "200", "seed": "7"}
Told = Callable[..., str]


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> Iterator[Engine]:
    """A replay that waits where it is told to."""
    engine = put_in(Engine(), monkeypatch)
    yield engine
    engine.let_on(50)


@pytest.fixture
def told(demo: TestClient, monkeypatch: pytest.MonkeyPatch) -> Told:
    """The page of case 1 as if it had a replay with this reading."""
    plain = House.at

    def page(reading: Reading, path: str = "/case/1/replay") -> str:
        def at(self: House, number: int, revision: int) -> Worked:
            worked = plain(self, number, revision)
            loaded = replace(worked.loaded, replay=small_record(reading))
            return Worked(loaded, replace(worked.assessment, replay=reading))

        monkeypatch.setattr(House, "at", at)
        answer = demo.get(path)
        assert answer.status_code == 200
        return html.unescape(answer.text)

    return page


def job(client: TestClient) -> Job:
    found = replaying.job_of(client.app.state.house.store, 1)  # type: ignore[attr-defined]
    assert found is not None
    return found


def page(client: TestClient, query: str = "") -> str:
    answer = client.get(f"/case/1/replay{query}")
    assert answer.status_code == 200
    return html.unescape(answer.text)


def ticked(text: str) -> list[str]:
    return re.findall(r'name="event" value="([a-z_]+)" checked', text)


# ---- before a run ---------------------------------------------------------------------------------------------


def test_before_a_run_it_says_what_it_does_and_what_is_not_known(fresh: TestClient) -> None:
    text = page(fresh)
    assert "A replay drives this vehicle’s own driveline" in text
    assert "Not known of this vehicle" in text
    assert "Do not repeat the event on a vehicle to try it" in text
    assert "a person decides" in text
    assert len(ticked(text)) == len(re.findall('name="event"', text)) >= 8
    assert 'name="draws" value="1000"' in text
    assert 'name="seed" value="1"' in text
    assert "Replay the events</button>" in text
    assert 'http-equiv="refresh"' not in text
    assert '<a href="/case/1/replay" aria-current="page">Replay</a>' in text


def test_what_is_not_known_leads_to_the_field_that_takes_it(fresh: TestClient) -> None:
    text = page(fresh)
    part = text[text.index('class="lacks"') :]
    addresses = [at for at in read(part).addresses if at.startswith("/case/1")]
    assert len(addresses) > 10
    for address in addresses:
        path, _, field = address.partition("#")
        assert field in read(fresh.get(path).text).ids, address


def test_a_stated_number_is_not_asked_for(fresh: TestClient) -> None:
    assert "Ratio of the highest gear" in page(fresh)
    typed = {"base_revision": "1", "vehicle.gearbox.top_gear": "0.8", "known": "stated", "by": "Clerk"}
    assert fresh.post("/case/1/facts", data=typed).status_code == 303
    assert "Ratio of the highest gear" not in page(fresh)


# ---- asking for a run -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"draws": "many"}, "'many' cannot be the number of draws"),
        ({"draws": ""}, "the number of draws is missing"),
        ({"draws": "7"}, "a whole number from 8 to 20000"),
        ({"draws": "99999999999999999999"}, "a whole number from 8 to 20000"),
        ({"draws": "1e3"}, "'1e3' cannot be the number of draws"),
        ({"seed": "-1"}, "'-1' cannot be the seed"),
        ({"seed": "4294967296"}, "a whole number from 0 to 4294967295"),
        ({"event": []}, "no event was chosen"),
        ({"event": ["flood"]}, "this vehicle cannot meet the event 'flood'"),
        ({"event": ["<script>"]}, "cannot meet the event"),
    ],
)
def test_what_cannot_be_run_is_said_and_stays_in_the_form(
    fresh: TestClient, wrong: dict[str, object], words: str
) -> None:
    sent = {**FORM, **wrong}
    answer = fresh.post("/case/1/replay", data=sent)
    text = html.unescape(answer.text)
    assert answer.status_code == 422
    assert words.lower() in text.lower()
    assert "<script>" not in answer.text
    assert f'name="draws" value="{sent["draws"]}"' in text
    assert f'name="seed" value="{sent["seed"]}"' in text
    known = [id for id in sent["event"] if id in FORM["event"]]  # type: ignore[attr-defined]
    assert sorted(ticked(text)) == sorted(known)
    assert replaying.job_of(fresh.app.state.house.store, 1) is None  # type: ignore[attr-defined]
    inside = {at[1:] for at in read(answer.text).addresses if at.startswith("#") and len(at) > 1}
    assert inside <= set(read(answer.text).ids)


def test_every_event_ticked_asks_for_all_and_some_for_these(fresh: TestClient, engine: Engine) -> None:
    events = ticked(page(fresh))
    fresh.post("/case/1/replay", data={**FORM, "event": events, "draws": "1 000"})
    engine.reached()
    assert job(fresh).order == Order((), 1000, 7)
    fresh.post("/case/1/replay/cancel")
    engine.let_on()
    until(lambda: job(fresh).ended)
    fresh.post("/case/1/replay", data=FORM)
    assert job(fresh).order == Order(("clutch_dropped", "steady_pull"), 200, 7)


def test_a_form_of_another_site_is_refused(fresh: TestClient) -> None:
    for path in ("/case/1/replay", "/case/1/replay/cancel"):
        answer = fresh.post(path, data=FORM, headers={"Origin": "https://elsewhere.example"})
        assert answer.status_code == 403
    assert replaying.job_of(fresh.app.state.house.store, 1) is None  # type: ignore[attr-defined]
    assert fresh.post("/case/7/replay", data=FORM).status_code == 404
    assert fresh.post("/case/7/replay/cancel").status_code == 404


# ---- while it runs --------------------------------------------------------------------------------------------


def test_while_it_runs_the_page_renews_itself_and_can_be_held_or_stopped(fresh: TestClient, engine: Engine) -> None:
    sent = fresh.post("/case/1/replay", data=FORM)
    assert (sent.status_code, sent.headers["location"]) == (303, "/case/1/replay")
    engine.reached()
    text = page(fresh)
    assert '<meta http-equiv="refresh" content="1">' in text
    assert '<progress max="100" value="25" aria-labelledby="run-title">25 %</progress>' in text
    assert "Clutch dropped" in text
    assert "<button autofocus>Cancel</button>" in text  # each time the page comes, the key still meets it
    assert "Replay the events</button>" not in text
    held = page(fresh, "?hold=1")
    assert 'http-equiv="refresh"' not in held
    assert "autofocus" not in held
    assert "Let it renew itself" in held

    stopped = fresh.post("/case/1/replay/cancel")
    assert stopped.headers["location"] == "/case/1/replay?stopping=1"
    assert "It stops as soon as it has finished the step" in page(fresh, "?stopping=1")
    engine.let_on()
    until(lambda: job(fresh).ended)
    text = page(fresh, "?stopping=1")
    assert "The last run was stopped before it ended; nothing of it was kept." in text
    assert "It stops as soon" not in text
    assert 'http-equiv="refresh"' not in text
    assert sorted(ticked(text)) == sorted(FORM["event"])
    assert 'name="draws" value="200"' in text


def test_a_failed_run_says_why_and_keeps_the_form(fresh: TestClient, engine: Engine) -> None:
    engine.fault = ZeroDivisionError("by <b>zero</b>")
    fresh.post("/case/1/replay", data=FORM)
    engine.let_on()
    until(lambda: job(fresh).ended)
    answer = fresh.get("/case/1/replay")
    text = html.unescape(answer.text)
    assert "The last run could not be finished." in text
    assert "fault of this program" in text
    assert "Traceback" not in text
    assert "<b>zero" not in answer.text
    assert sorted(ticked(text)) == sorted(FORM["event"])
    assert 'name="seed" value="7"' in text


def test_the_result_is_there_while_the_referee_still_works(fresh: TestClient, engine: Engine) -> None:
    fresh.post("/case/1/replay", data=FORM)
    engine.let_on()
    until(lambda: job(fresh).state is State.JUDGING)
    text = page(fresh)
    assert 'http-equiv="refresh"' not in text  # somebody reads already
    assert "The replay is kept and shown below." in text
    assert "Stop the check</button>" in text
    assert "The events, the one that fits best first" in text
    assert "The peaks were not checked by the other solver." in text
    engine.let_on()
    until(lambda: job(fresh).ended)
    text = page(fresh)
    assert 'class="run' not in text
    assert "differ by at most 0.2" in text
    assert "Run it again" in text


def test_a_run_that_waits_says_for_what(demo: TestClient, engine: Engine) -> None:
    demo.post("/cases", data={"title": "Another", "reference": "", "shafts": "1"})
    demo.post("/case/1/replay", data=FORM)
    engine.reached()
    demo.post("/case/2/replay", data=FORM)
    waiting = html.unescape(demo.get("/case/2/replay").text)
    assert "Waiting its turn" in waiting
    assert "Waiting for another replay to end" in waiting
    assert demo.post("/case/2/replay/cancel").headers["location"] == "/case/2/replay"


# ---- what it told ---------------------------------------------------------------------------------------------


def test_the_sentence_comes_first_then_the_events_in_their_order(told: Told) -> None:
    reading = small_reading()
    text = told(reading)
    assert text.index(SENTENCE) < text.index("The events, the one that fits best first")
    places = [text.index(f'<span class="event-title">{event.title}</span>') for event in reading.events]
    assert places == sorted(places)
    for event in reading.events:
        assert event.story in text
    assert text.index("Load against strength") > places[-1]


def test_an_event_tells_load_strength_and_what_was_left(told: Told) -> None:
    first = told(small_reading()).split('<details class="event"')[1]
    assert "<b>46</b> of 100" in first
    peak = 21.0 * 1.03
    assert f"{peak:.1f} (17.3 to 27.0) kN\u00a0m" in first
    assert f"{peak / 12:.2f} ({0.8 * peak / 12:.2f} to {1.25 * peak / 12:.2f}) times" in first
    assert "91 (73 to 114)\u00a0% of its strength" in first
    assert "yields in 100, breaks in 30 of 100 draws" in first
    assert "<dd>pulling</dd>" in first
    assert "pulling away: clutch working" in first
    assert "<details open" not in first
    assert told(small_reading()).count('<details class="event" open>') == 1


def test_the_pictures_stand_on_the_page_and_answer(told: Told, demo: TestClient) -> None:
    text = told(small_reading())
    pictures = re.findall(r'src="(/case/1/replay/[a-z_-]+\.svg\?r=[0-9a-f]+)" alt="([^"]+)"', text)
    assert len(pictures) == 2 + 6  # loads, what was left, and each event over time
    assert len({path for path, _ in pictures}) == 8
    for path, alt in pictures:
        assert re.search(r"\d", alt)
        answer = demo.get(path)
        assert answer.headers["content-type"] == "image/svg+xml"
        assert "font-family:Barlow" in answer.text
    assert demo.get("/case/1/replay/history-flood.svg").status_code == 404
    assert demo.get("/case/1/replay/driveline.svg").status_code == 404


def test_a_new_run_shows_new_pictures(told: Told) -> None:
    marks = [set(re.findall(r"\.svg\?r=([0-9a-f]+)", told(replace(small_reading(), seed=seed)))) for seed in (1, 2)]
    assert len(marks[0]) == len(marks[1]) == 1
    assert marks[0] != marks[1]


def test_an_assumed_strength_is_shown_and_said_to_weigh_nothing(told: Told) -> None:
    reading = small_reading()
    parts = tuple(replace(one, known=False, because="the hardness of its core") for one in reading.events[0].parts)
    text = told(replace(reading, events=(replace(reading.events[0], parts=parts), *reading.events[1:])))
    assert "Assumed strength." in text
    assert "it weighs nothing. Wanted: the hardness of its core." in text
    assert "(strength assumed)" in told(reading)


def test_bracket_votes_notes_and_what_to_measure(told: Told) -> None:
    reading = small_reading()
    text = told(reading)
    assert BRACKET.sentence in text
    assert 'aria-label="least torque that twisted the tube' in text
    assert reading.position_words in text
    assert "self-consistent and no more" in text
    assert "validated" not in text
    for words in reading.wanted:
        assert words[1:] in text
    nothing = told(replace(reading, bracket=None, wanted=()))
    assert "Nobody has looked yet at a part" in nothing
    assert "Nothing on the list would change this answer much." in nothing
    unclear = told(replace(reading, bracket=replace(BRACKET, results=())))
    assert BRACKET.sentence in unclear


def test_what_to_measure_leads_to_question_field_or_part(told: Told, demo: TestClient) -> None:
    reading = small_reading()
    question = "What marks are on the ground where the driven wheels stood?"
    core = "the hardness of the stub's core"
    wanted = (question, "arm diameter (makes 48% of the range)", f"{core} (slip of shaft 2)", "drag of the pinion")
    text = told(replace(reading, wanted=wanted))
    part = text[text.index('class="wanted"') : text.index("How far the place")]
    addresses = read(part).addresses
    assert [at.partition("#")[2] for at in addresses] == [
        "q-event.tyre_marks", "f-driveline-joints-1-cross-trunnion-diameter", "part",
    ]  # fmt: skip
    assert "at=shaft-2/slip" in addresses[2]
    for address in addresses:
        path, _, id = address.partition("#")
        assert id in read(demo.get(path).text).ids


def test_inputs_stand_with_origin_and_mark_of_the_assumed(told: Told) -> None:
    text = told(small_reading())
    assert "Its 3 inputs, 1 of them assumed" in text
    table = text[text.index("Its 3 inputs") : text.index("solved again by another solver")]
    assert '<tr class="assumed"><th scope="row">Drag of the pinion</th>' in table
    assert '<a href="/case/1?at=joint-2#f-driveline-joints-1-cross-trunnion-diameter">Arm diameter</a>' in table
    assert "<td>calliper</td>" in table


def test_referee_step_seed_draws_and_versions(told: Told) -> None:
    text = told(small_reading())
    assert "differ by at most 0.4\u00a0%" in text
    assert "<td>below 0.01\u00a0%</td><td>0.4\u00a0%</td><td>120 µs</td>" in text
    assert "1000 draws of each event, seed 1." in text
    assert "numba 0.68.1" in text
    assert "<td>not yet</td><td>not yet</td>" in told(small_reading(judged=False))


def test_an_outdated_replay_says_so_and_offers_a_run(told: Told) -> None:
    text = told(small_reading(stale="the vehicle has changed since"))
    assert "This replay is out of date" in text
    assert "The vehicle has changed since." in text
    assert '<a class="button" href="#again">Run it again</a>' in text
    assert text.index("out of date") < text.index(SENTENCE)
    assert "out of date" not in told(small_reading())


def test_the_kept_order_is_in_the_form_to_run_again(demo: TestClient, engine: Engine) -> None:
    demo.post("/case/1/replay", data=FORM)
    engine.let_on(2)
    until(lambda: job(demo).ended)
    text = page(demo)
    assert ticked(text) == ["clutch_dropped"]  # what the kept replay holds
    assert 'name="draws" value="4"' in text
    assert 'name="seed" value="7"' in text


def test_a_replay_without_events_does_not_break_the_page(told: Told) -> None:
    text = told(replace(small_reading(), events=(), sentence="No event was replayed."))
    assert "No event was replayed." in text


def test_numbers_that_cannot_be_run_with_are_named(fresh: TestClient) -> None:
    typed = {
        "part": "shaft-1",
        "base_revision": "1",
        "driveline.shafts[0].tube.outer_diameter": "60 mm",
        "driveline.shafts[0].tube.wall": "29 mm ± 2 mm",
        "driveline.shafts[0].length": "1500 mm",
    }
    fresh.post("/case/1/fields", data=typed)
    answer = fresh.get("/case/1/replay")
    assert answer.status_code == 200
    assert "Traceback" not in answer.text


# ---- its twin, and the pages beside it ------------------------------------------------------------------------


def test_the_twin_tells_what_can_run_what_runs_and_what_was_told(demo: TestClient, engine: Engine) -> None:
    before = demo.get("/case/1/replay.json").json()
    assert (before["object"], before["version"]) == ("beachmark.replay_page", 1)
    assert before["job"] is before["replay"] is None
    assert "clutch_dropped" in [one["id"] for one in before["events"]]
    assert before["assumed"]
    demo.post("/case/1/replay", data=FORM)
    engine.reached()
    at_work = demo.get("/case/1/replay.json").json()["job"]
    assert (at_work["state"], at_work["share"]) == ("running", 0.25)
    assert at_work["order"] == {"events": FORM["event"], "draws": 200, "seed": 7}
    engine.let_on(2)
    until(lambda: job(demo).ended)
    after = json.loads(demo.get("/case/1/replay.json").text)
    assert after["replay"]["object"] == "beachmark.replay"
    assert after["replay"]["sentence"].split(".")[0] in page(demo)


def test_sums_and_report_show_the_load_picture_while_it_holds(told: Told) -> None:
    for path in ("/case/1/sums", "/case/1/report"):
        # the sums of a reading made by hand are none: the picture stands where the question has its sums
        assert "Traceback" not in told(small_reading(), path)
    assert "replay_loads" in told(small_reading(), "/case/1/sums")
