"""A kept replay goes along wherever its case is assessed: weighing, sums, report, pages."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from beachmark.basis.errors import NotFoundError
from beachmark.cases import assessment
from beachmark.cases.assessment import assess
from beachmark.findings.replay import reader
from beachmark.findings.replay.record import Record
from beachmark.findings.results import Sum
from beachmark.findings.topics import Topic
from beachmark.knowledge.model import Knowledge
from beachmark.web.house import House
from beachmark.workflow import keeping, reporting, working
from beachmark.workflow.home import open_store
from beachmark.workflow.kept_replay import keep_record
from beachmark.workflow.loading import Loaded, case_from_text, from_store
from beachmark.workflow.packaged import demo_names, demo_text
from beachmark.workflow.replaying import Order, replay_now
from tests.workflow.replays import a_record, judged

if TYPE_CHECKING:
    from beachmark.store.database import Store


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    """A real replay of the first demo case, with few draws."""
    case = case_from_text(demo_text(demo_names()[0]) or "", name="demo")
    order = Order(draws=200)  # fewer draws, or not all events, would weigh nothing
    home = tmp_path_factory.mktemp("replayed")
    return replay_now(Loaded(case, "demo"), order, lambda _: True, home=home, referee=False)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A house whose case 1 is the first demo case, without a replay."""
    store = open_store(tmp_path)
    keeping.add_case(store, case_from_text(demo_text(demo_names()[0]) or "", name="demo"), why="test")
    yield store
    store.close()


def ids(sums: Iterable[Sum]) -> set[str]:
    return {f"{one.id} {one.at}" for one in sums}


def take_back_the_first(store: Store) -> Loaded:
    seen = from_store(store, 1).case.observations[0]
    return keeping.take_back(store, 1, see=seen.see, at=str(seen.at) if seen.at else "", by=seen.by)


def test_the_sums_of_the_replay_stand_among_the_sums_and_are_weighed(store: Store, record: Record) -> None:
    before = working.weigh(from_store(store, 1))
    assert before.replay is None
    keep_record(store, 1, record)
    loaded = from_store(store, 1)
    after = working.weigh(loaded)
    assert after.replay is not None
    assert not after.replay.stale
    added = ids(after.sums) - ids(before.sums)
    assert added == ids(after.replay.sums)
    assert "finding.replay_cross joint-2" in added
    assert ids(working.sums(loaded)) == ids(after.sums)
    order = [list(Topic).index(one.topic) for one in after.sums]
    assert order == sorted(order)
    spoken = {item.key for item in after.opinion.items} - {item.key for item in before.opinion.items}
    assert spoken == {f"{one.id}@{one.at}" for one in after.replay.sums if one.chances}
    assert "finding.replay_cross@joint-1" in spoken, "the diagnosis takes it as evidence"


def test_a_replay_of_another_driveline_is_stale_and_weighs_nothing(store: Store, record: Record) -> None:
    keep_record(store, 1, record)
    keeping.changed(store, 1, lambda plain: plain["vehicle"]["axle"].update(ratio="5.1"), None, "", "another axle")
    after = working.weigh(from_store(store, 1))
    assert after.replay is not None
    assert after.replay.stale
    assert not any(item.key.startswith("finding.replay") for item in after.opinion.items)
    assert working.replay_object(from_store(store, 1))["stale"] == after.replay.stale


def test_the_reading_is_worked_out_once_for_the_same_observations(
    store: Store, record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []
    read = reader.read_replay

    def counted(knowledge: Knowledge, *given: Any) -> Any:
        asked.append(len(given[2]))
        return read(knowledge, *given)

    monkeypatch.setattr(reader, "read_replay", counted)
    assessment._read.cache_clear()
    keep_record(store, 1, record)
    for _ in range(3):
        working.weigh(from_store(store, 1))
        working.sums(from_store(store, 1))
    after = take_back_the_first(store)
    working.weigh(after)
    assert asked == [len(after.case.observations) + 1, len(after.case.observations)]
    assert after.replay is not None, "a change hands the kept replay on"


def test_a_stage_reads_the_replay_with_what_had_come_in(store: Store, record: Record) -> None:
    keep_record(store, 1, record)
    loaded = from_store(store, 1)
    call, whole = working.weigh(loaded, stages=("call",)).replay, working.weigh(loaded).replay
    assert call is not None
    assert whole is not None
    assert [len(event.told) for event in call.events] < [len(event.told) for event in whole.events]


def test_no_record_no_reading(knowledge: Knowledge, store: Store, record: Record) -> None:
    case = from_store(store, 1).case
    assert assess(case, knowledge).replay is None
    assert assess(case, knowledge, record=record).replay is not None


def test_the_house_works_a_case_out_anew_for_a_new_replay(store: Store, record: Record) -> None:
    house = House(store)
    blank = house.case(1)
    assert house.case(1) is blank
    keep_record(store, 1, record)
    replayed = house.case(1)
    assert replayed.assessment.replay is not None
    assert replayed.revision == blank.revision
    assert house.case(1) is replayed
    keep_record(store, 1, judged(record))
    checked = house.case(1).assessment.replay
    assert checked is not None
    assert [event.worst_deviation for event in checked.events] == pytest.approx([0.002] * len(checked.events))


def test_the_report_holds_the_sums_of_the_replay(store: Store, record: Record) -> None:
    keep_record(store, 1, record)
    told = json.dumps(reporting.report_content(from_store(store, 1)), default=lambda thing: vars(thing))
    without = json.dumps(
        reporting.report_content(replace(from_store(store, 1), replay=None)), default=lambda t: vars(t)
    )
    assert Topic.REPLAY.value in told
    assert Topic.REPLAY.value not in without


# ---- the documented object ------------------------------------------------------------------------------------


def test_a_case_without_a_replay_says_how_to_run_one(store: Store) -> None:
    with pytest.raises(NotFoundError, match="case 1 has no replay yet; beachmark replay runs one"):
        working.replay_object(from_store(store, 1))


def test_the_object_holds_what_a_record_made_by_hand_says(store: Store) -> None:
    """Peaks, shares and deviations as they follow by hand from the four draws of `a_record`."""
    keep_record(store, 1, judged(a_record(seed=3)))
    found = working.replay_object(from_store(store, 1))
    assert (found["object"], found["version"], found["case"]["number"]) == ("beachmark.replay", 1, 1)
    assert (found["seed"], found["draws"], found["versions"]) == (3, 4, {"model": "1"})
    (event,) = found["events"]
    assert (event["id"], event["draws"], event["sound"]) == ("clutch_dropped", 4, 1.0)
    assert event["chance"] + found["none_of_these"] == pytest.approx(1.0)
    assert event["referee"] == pytest.approx({"typical_deviation": 0.001, "worst_deviation": 0.002}, rel=1e-6)
    (part,) = event["parts"]
    assert (part["position"], part["known"], part["yields"], part["breaks"]) == ("joint-1", True, 0.25, 0.25)
    assert (part["first"], part["pull"]) == (0.25, 1.0)
    assert part["peak"]["middle"] == pytest.approx(11e3)  # between 10 and 12 kN m
    assert part["over_steady"]["middle"] == pytest.approx(11 / 8)
    assert part["used"]["middle"] == pytest.approx(11 / 16)
    assert part["peak"]["unit"] == "N m"
    assert found["inputs"][0]["name"] == "vehicle.axle.ratio"
    assert found["stale"]


def test_the_object_is_plain_json_with_finite_numbers(store: Store, record: Record) -> None:
    keep_record(store, 1, record)
    found = working.replay_object(from_store(store, 1))
    text = json.dumps(found, allow_nan=False)
    assert json.loads(text) == found
    assert {event["referee"] for event in found["events"]} == {None}, "nobody judged it"
    for event in found["events"]:
        assert 0.0 <= event["chance"] <= 1.0
        for part in event["parts"]:
            assert part["peak"]["low"] <= part["peak"]["middle"] <= part["peak"]["high"]
    assert math.isclose(sum(event["chance"] for event in found["events"]) + found["none_of_these"], 1.0)
    assert all(one["unit"] for one in found["inputs"])
