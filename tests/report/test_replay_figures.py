"""The pictures of a replay: their numbers are those of the reading, assumed strengths look different, all fits."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from beachmark.basis.units import UNITS
from beachmark.findings.replay.reading import Band, EventReading, Reading
from beachmark.findings.topics import Topic
from beachmark.report.charts.replay import NAMED, replay_loads, replay_needed
from beachmark.report.charts.replay_history import replay_history
from beachmark.report.figures import CAPTIONS, figure_svg
from beachmark.report.look import FIGURES_OF, INK, PAPER, WIDTH, Spec
from beachmark.report.words import Units
from tests.replay_readings import EVENTS, OVER, small_reading, small_record
from tests.report.test_content import worked
from tests.report.test_figures import figures, rows_of

METRIC, US = Units("metric"), Units("us")
FOCUS = "cross@joint-2"


def history(event: EventReading, reading: Reading, units: Units = METRIC) -> Spec:
    return replay_history(event, small_record(reading).parts, units)


def used(reading: Reading, number: int, part: str) -> Band:
    return next(one.used for one in reading.events[number].parts if one.part == part)


def with_band(reading: Reading, number: int, part: str, **bands: Band) -> Reading:
    """The same, with bands of one part in one event changed."""
    event = reading.events[number]
    parts = tuple(replace(one, **bands) if one.part == part else one for one in event.parts)  # type: ignore[arg-type]
    events = list(reading.events)
    events[number] = replace(event, parts=parts)
    return replace(reading, events=tuple(events))


def marks(spec: Spec, kind: str) -> list[tuple[Spec, dict[str, Any]]]:
    """Every mark of one kind with each of its rows."""
    found = [part for part in spec.get("layer", ()) if part["mark"]["type"] == kind]
    return [(part["mark"], row) for part in found for row in part["data"]["values"]]


# ---- loads ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("events", [1, NAMED, 6, 12])
@pytest.mark.parametrize("shafts", [1, 2, 4])
def test_the_likeliest_events_are_bars_along_the_driveline_and_fit_the_page(events: int, shafts: int) -> None:
    reading = small_reading(events=events, shafts=shafts)
    spec = replay_loads(reading)
    bars = [row for _, row in marks(spec, "bar")]
    named, parts = min(events, NAMED), len(reading.events[0].parts)
    assert len(bars) == named * parts
    assert [row["part"] for row in bars[:parts]] == [part.words for part in reading.events[0].parts]
    for rank in range(named):
        places = [row["x"] for row in bars if row["rank"] == str(rank + 1)]
        assert places == sorted(places)
    svg = figure_svg(spec)
    assert float(svg.split('width="')[1].split('"')[0]) <= 1.02 * WIDTH
    assert "Barlow" in svg
    assert "NaN" not in svg


def test_a_bar_ends_where_the_band_ends() -> None:
    reading = small_reading()
    for _, row in marks(replay_loads(reading), "bar"):
        event = next(one for one in reading.events if one.title == row["event"])
        part = next(one for one in event.parts if one.words == row["part"])
        assert (row["low"], row["middle"], row["high"]) == (part.used.low, part.used.middle, part.used.high)


def test_bars_of_one_column_stand_apart() -> None:
    spec = replay_loads(small_reading(events=12, shafts=4))
    places = sorted(row["x"] for _, row in marks(spec, "bar"))
    width = marks(spec, "bar")[0][0]["width"]
    assert min(np.diff(places)) > width


def test_assumed_strength_is_hollow_dashed_and_named_so() -> None:
    for mark, row in marks(replay_loads(small_reading()), "bar"):
        hollow = row["part"].startswith("slip")
        assert mark["fill"] == (PAPER if hollow else INK)
        assert ("strokeDash" in mark) is hollow
    assert replay_loads(small_reading())["description"].count("assumed") == 0  # the most used parts are known
    words = [row["text"] for _, row in marks(replay_loads(small_reading()), "text") if "text" in row]
    assert words.count("assumed") == 2


def test_the_others_are_one_thin_line_over_the_reach_of_all() -> None:
    reading = small_reading(events=9)
    spec = replay_loads(reading)
    spans = [row for _, row in marks(spec, "rule") if "high" in row]
    others = [used(reading, n, FOCUS) for n in range(NAMED, 9)]
    found = spans[[part.part for part in reading.events[0].parts].index(FOCUS)]
    assert (found["low"], found["high"]) == (min(b.low for b in others), max(b.high for b in others))
    notches = {row["other"] for row in rows_of(spec) if "other" in row}
    assert notches == {event.title for event in reading.events[NAMED:]}
    assert f"{9 - NAMED} less likely events, thin" in str(spec)
    assert "less likely" not in str(replay_loads(small_reading(events=NAMED)))


def test_first_yield_is_a_line_with_its_name_whatever_the_loads() -> None:
    for factor in (0.05, 1.0, 4.0):
        reading = small_reading(events=1)
        for part in reading.events[0].parts:
            band = Band(*(factor * end for end in (part.used.low, part.used.middle, part.used.high)))
            reading = with_band(reading, 0, part.part, used=band)
        spec = replay_loads(reading)
        [line] = [row for _, row in marks(spec, "rule") if row.get("y") == 1.0]
        assert line["x2"] > line["x"]
        assert line["y2"] > 1.0
        assert "first yield" in str(spec)


def test_a_band_that_reaches_far_beyond_is_cut_and_marked() -> None:
    reading = with_band(small_reading(events=1), 0, FOCUS, used=Band(0.5, 1.0, 50.0))
    spec = replay_loads(reading)
    top = next(row["y2"] for _, row in marks(spec, "rule") if row.get("y") == 1.0)
    [bar] = [row for _, row in marks(spec, "bar") if row["part"] == "cross of joint 2"]
    assert bar["high"] == top < 5.0
    signs = {row["part"]: row["text"] for _, row in marks(spec, "text") if "top" in row}
    assert "▲" in signs["cross of joint 2"]
    assert "▲" not in signs["cross of joint 1"]


def test_the_loads_in_words_tell_each_named_event_and_its_most_used_part() -> None:
    told = replay_loads(small_reading(events=6))["description"]
    for event in small_reading(events=6).events:
        assert (event.title in told) is (event.title in [EVENTS[id][0] for id in list(EVENTS)[:NAMED]])
    assert "Clutch closed at once: up to 1.3 times (5 to 95 % of the draws: 1 to 1.6) of first yield" in told
    assert "at the cross of joint 3" in told


def test_nothing_is_drawn_of_nothing() -> None:
    empty = replace(small_reading(), events=())
    assert replay_loads(empty) == replay_needed(empty, FOCUS) == {}
    bare = replace(small_reading(events=1).events[0], parts=())
    assert replay_loads(replace(empty, events=(bare,))) == {}


# ---- what is left ---------------------------------------------------------------------------------------------


def test_what_was_left_is_the_load_over_fracture_in_percent() -> None:
    reading = small_reading(events=6)
    bars = {row["event"]: row for _, row in marks(replay_needed(reading, FOCUS), "bar")}
    assert list(bars) == [event.title for event in reading.events]
    for number, event in enumerate(reading.events):
        load = used(reading, number, FOCUS)
        row = bars[event.title]
        ends = [100 * end / OVER for end in (load.low, load.middle, load.high)]
        assert [row["low"], row["middle"], row["high"]] == pytest.approx(ends)
        assert row["label"] == f"{ends[1]:.0f} % ({ends[0]:.0f} to {ends[2]:.0f})"
        assert f"{event.title} {ends[1]:.0f} %" in replay_needed(reading, FOCUS)["description"]


def test_what_goes_beyond_the_scale_keeps_its_numbers() -> None:
    reading = with_band(small_reading(events=1), 0, FOCUS, breaks_below=Band(1.2, 2.0, 4.0))
    spec = replay_needed(reading, FOCUS)
    [(_, bar)] = marks(spec, "bar")
    assert (bar["low"], bar["high"], bar["label"]) == (pytest.approx(120), 150.0, "200 % (120 to 400)")
    assert not marks(spec, "tick")
    assert "200 % (120 to 400)" in spec["description"]


def test_an_assumed_strength_is_told() -> None:
    known, assumed = (replay_needed(small_reading(), part) for part in (FOCUS, "slip@shaft-2/slip"))
    assert "assumed" not in known["description"]
    assert "assumed" in assumed["description"]
    assert {mark["fill"] for mark, _ in marks(assumed, "bar")} == {PAPER}
    assert replay_needed(small_reading(), "ear@joint-9") == {}


# ---- over time ------------------------------------------------------------------------------------------------


def curves(panel: Spec) -> list[np.ndarray[Any, Any]]:
    lines = [part for part in panel["layer"] if part["mark"]["type"] == "line"]
    return [np.array([row["y"] for row in part["data"]["values"]]) for part in lines]


@pytest.mark.parametrize("units", [METRIC, US], ids=["metric", "us"])
def test_no_peak_is_lost_over_time(units: Units) -> None:
    reading = small_reading()
    factor = UNITS["torque"]["kN m" if units is METRIC else "lbf ft"]
    for event in reading.events:
        spec = history(event, reading, units)
        joints = [row for row, load in enumerate(event.loads) if load.startswith("joint")]
        assert len(spec["vconcat"]) == len(joints)
        for panel, row in zip(spec["vconcat"], joints, strict=True):
            worst, typical = curves(panel)
            for drawn, draw in ((typical, 0), (worst, 1)):
                torques = event.history.loads[draw, row] / factor
                assert np.abs(drawn).max() == pytest.approx(np.abs(torques).max(), rel=1e-3)


def test_a_long_history_is_thinned_without_losing_its_peak() -> None:
    reading = small_reading(events=1)
    event = reading.events[0]
    times = np.linspace(0, 3, 5000)
    loads = np.zeros((2, len(event.loads), 5000))
    loads[0, :, 3217] = -17e3  # one sample wide
    spec = history(replace(event, history=replace(event.history, times_s=times, loads=loads)), reading)
    worst, typical = curves(spec["vconcat"][0])
    assert len(typical) <= 500
    assert typical.min() == pytest.approx(-17.0)
    assert not worst.any()
    assert "up to 17\u00a0kN\u00a0m (overrun or reverse)" in spec["description"]


def test_first_yield_of_the_weakest_part_is_a_band_in_the_sense_of_the_load() -> None:
    reading = small_reading(events=7)
    yields = small_record(reading).parts[0].yields_nm
    low, middle, high = np.quantile(yields, (0.05, 0.5, 0.95)) / 1e3
    for event in (reading.events[0], reading.events[6]):  # pulling, overrun
        sign = 1.0 if EVENTS[event.id][2] > 0 else -1.0
        for panel in history(event, reading)["vconcat"]:
            rows = [row for row in rows_of(panel) if "mid" in row]
            assert {row["mid"] for row in rows} == {rows[0]["mid"]}
            assert [rows[0][key] for key in ("y", "mid", "y2")] == pytest.approx(
                [sign * end for end in (low, middle, high)]
            )
    told = history(reading.events[0], reading)["description"]
    assert f"the cross of joint 1 first yields at {middle:.1f}" in told


def test_what_lies_far_beyond_is_told_not_drawn() -> None:
    reading = small_reading(events=12)
    weak = reading.events[-1]  # 2 kN m against 17
    spec = history(weak, reading)
    assert not [row for row in rows_of(spec) if "mid" in row]
    assert str(spec).count("beyond this picture") == 3
    assert str(history(reading.events[0], reading)).count("beyond this picture") == 0


def test_every_history_fits_the_page_and_names_both_draws() -> None:
    reading = small_reading(events=12, shafts=4)
    for event in (reading.events[0], reading.events[4]):
        svg = figure_svg(history(event, reading))
        assert float(svg.split('width="')[1].split('"')[0]) <= 1.02 * WIDTH
        assert "typical draw" in svg
        assert "worst draw" in svg
        assert "NaN" not in svg
    assert replay_history(reading.events[0], (), METRIC) == {}


# ---- with the others ------------------------------------------------------------------------------------------


def test_the_loads_belong_to_the_question_of_the_replay() -> None:
    assert FIGURES_OF[Topic.REPLAY] == ("replay_loads",)
    assert "replay_loads" in CAPTIONS
    plain = worked("tide-and-fresh")
    assert "replay_loads" not in figures(plain)
    assert "replay_loads" in figures(replace(plain, replay=small_reading()))
    assert "replay_loads" not in figures(replace(plain, replay=small_reading(stale="the vehicle has changed")))
