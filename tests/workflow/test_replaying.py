"""A replay as a job beside the pages: one at a time, stopped, failed, kept; and at once for the command line."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from beachmark.basis.errors import InputError, NotFoundError, refuse
from beachmark.workflow import keeping, kept_replay, replaying
from beachmark.workflow.home import open_store
from beachmark.workflow.kept_replay import keep_record, kept_record
from beachmark.workflow.loading import case_from_text, from_file, from_store
from beachmark.workflow.packaged import demo_names, demo_text
from beachmark.workflow.replaying import Job, Order, Progress, State, StoppedError, replay_now
from tests.conftest import EXAMPLES
from tests.workflow.replays import PATIENCE_S, Engine, a_record, judged, put_in

if TYPE_CHECKING:
    from beachmark.store.database import Store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A house with two blank cases."""
    store = open_store(tmp_path)
    for title in ("One", "Two"):
        keeping.new_case(store, title=title, shafts=1)
    yield store
    store.close()


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> Iterator[Engine]:
    engine = put_in(Engine(), monkeypatch)
    yield engine
    engine.let_on(50)  # whatever a failed test left waiting


def job(store: Store, number: int = 1) -> Job:
    found = replaying.job_of(store, number)
    assert found is not None
    return found


def until(told: Callable[[], bool], patience_s: float = PATIENCE_S) -> None:
    """Wait for something that another thread brings about."""
    give_up = time.monotonic() + patience_s
    while not told():
        assert time.monotonic() < give_up
        time.sleep(0.005)


def ended(store: Store, number: int = 1) -> Job:
    until(lambda: job(store, number).ended)
    return job(store, number)


def test_a_job_runs_keeps_judges_and_keeps_again(store: Store, engine: Engine, tmp_path: Path) -> None:
    assert replaying.job_of(store, 1) is None
    first = replaying.start(store, 1, Order(seed=7))
    assert (first.number, first.order.seed, first.ended) == (1, 7, False)
    engine.reached()
    assert (job(store).state, job(store).share, job(store).words) == (State.RUNNING, 0.25, "clutch dropped")
    assert kept_record(store, 1) is None
    engine.let_on()
    engine.reached()
    assert (job(store).state, job(store).kept) == (State.JUDGING, True)
    before = kept_record(store, 1)
    assert before is not None
    assert before.seed == 7
    assert np.isnan(before.events[0].deviation).all()
    engine.let_on()
    done = ended(store)
    assert (done.state, done.share, done.error) == (State.DONE, 1.0, "")
    after = kept_record(store, 1)
    assert after is not None
    assert after.events[0].deviation == pytest.approx([0.001, 0.002])
    assert engine.how["cache_folder"] == str(tmp_path / "compiled")


def test_a_second_request_for_a_case_returns_the_job_that_runs(store: Store, engine: Engine) -> None:
    replaying.start(store, 1, Order(seed=1))
    engine.reached()
    assert replaying.start(store, 1, Order(seed=2)).order.seed == 1
    engine.let_on(2)
    assert ended(store).state is State.DONE
    engine.reached()  # the halt of the referee, passed meanwhile
    assert replaying.start(store, 1, Order(seed=2)).order.seed == 2, "one that has ended makes room"
    engine.let_on(2)
    assert ended(store).state is State.DONE
    assert engine.ran == [1, 2]


def test_another_case_waits_its_turn(store: Store, engine: Engine) -> None:
    replaying.start(store, 1, Order(seed=1))
    engine.reached()
    assert replaying.start(store, 2, Order(seed=2)).state is State.WAITING
    engine.let_on(4)
    assert (ended(store, 1).state, ended(store, 2).state) == (State.DONE, State.DONE)
    assert engine.ran == [1, 2]
    assert engine.most_at_once == 1


def test_a_waiting_job_is_cancelled_at_once_and_never_runs(store: Store, engine: Engine) -> None:
    replaying.start(store, 1, Order(seed=1))
    engine.reached()
    replaying.start(store, 2, Order(seed=2))
    stopped = replaying.cancel(store, 2)
    assert stopped is not None
    assert (stopped.state, stopped.kept) == (State.CANCELLED, False)
    engine.let_on(2)
    assert ended(store, 1).state is State.DONE
    assert engine.ran == [1]
    assert kept_record(store, 2) is None


def test_a_cancelled_run_keeps_nothing_and_leaves_what_was_kept(store: Store, engine: Engine) -> None:
    mark = keep_record(store, 1, a_record(seed=5))
    replaying.start(store, 1, Order(seed=6))
    engine.reached()
    replaying.cancel(store, 1)
    assert job(store).state is State.RUNNING, "it stops when it next tells how far it is"
    engine.let_on()
    assert ended(store).state is State.CANCELLED
    assert store.replay_mark(1) == mark


def test_cancelled_while_judged_the_replay_is_kept_unjudged(store: Store, engine: Engine) -> None:
    replaying.start(store, 1, Order(seed=6))
    engine.let_on()
    until(lambda: job(store).state is State.JUDGING)
    replaying.cancel(store, 1)
    engine.let_on()
    stopped = ended(store)
    assert (stopped.state, stopped.kept, stopped.words) == (State.CANCELLED, True, "the replay is kept, not checked")
    record = kept_record(store, 1)
    assert record is not None
    assert np.isnan(record.events[0].deviation).all()


def test_cancelling_what_never_ran_and_what_has_ended(store: Store, engine: Engine) -> None:
    assert replaying.cancel(store, 1) is None
    replaying.start(store, 1, Order())
    engine.let_on(2)
    ended(store)
    assert replaying.cancel(store, 1) == job(store)
    assert job(store).state is State.DONE


def test_what_cannot_be_run_fails_with_its_sentence(store: Store, engine: Engine) -> None:
    engine.fault = refuse("replay", "draws", "2 is not possible", "8 to 20000")
    replaying.start(store, 1, Order(draws=2))
    engine.let_on()
    failed = ended(store)
    assert (failed.state, failed.kept) == (State.FAILED, False)
    assert failed.error == "replay, draws: 2 is not possible. Allowed: 8 to 20000."


def test_our_own_fault_is_one_sentence_and_the_next_job_runs(store: Store, engine: Engine) -> None:
    engine.fault = RuntimeError("list index out of range")
    replaying.start(store, 1, Order())
    engine.let_on()
    failed = ended(store)
    assert failed.state is State.FAILED
    assert failed.error.startswith("That is a fault of this program, not of yours (RuntimeError: list index")
    assert "\n" not in failed.error
    engine.fault = None
    replaying.start(store, 2, Order())
    engine.let_on(2)
    assert ended(store, 2).state is State.DONE


def test_a_referee_that_does_not_get_through_leaves_a_note(store: Store, engine: Engine) -> None:
    engine.fault_of_referee = ArithmeticError("the step became too small")
    replaying.start(store, 1, Order())
    engine.let_on(2)
    assert ended(store).state is State.DONE
    record = kept_record(store, 1)
    assert record is not None
    assert record.notes[-1] == "The peaks could not be checked by the referee: the step became too small."


def test_a_case_that_is_not_there_starts_nothing(store: Store, engine: Engine) -> None:
    with pytest.raises(NotFoundError, match="there is no case 3"):
        replaying.start(store, 3, Order())
    assert replaying.job_of(store, 3) is None


def test_a_job_stops_when_its_store_is_closed(store: Store, engine: Engine, tmp_path: Path) -> None:
    replaying.start(store, 1, Order())
    engine.reached()
    replaying.start(store, 2, Order())
    store.close()
    engine.let_on()
    assert ended(store, 1).state is State.CANCELLED
    assert ended(store, 2).state is State.CANCELLED
    again = open_store(tmp_path)
    assert kept_record(again, 1) is None
    again.close()


def test_two_houses_do_not_see_each_others_jobs(store: Store, engine: Engine, tmp_path: Path) -> None:
    other = open_store(tmp_path / "other")
    keeping.new_case(other, title="Elsewhere", shafts=1)
    replaying.start(store, 1, Order())
    assert replaying.job_of(other, 1) is None
    engine.let_on(2)
    ended(store)
    other.close()


def test_a_newer_replay_is_not_overwritten_by_an_older_ones_referee(store: Store, engine: Engine) -> None:
    replaying.start(store, 1, Order(seed=1))
    engine.let_on()
    until(lambda: job(store).state is State.JUDGING)
    mark = keep_record(store, 1, a_record(seed=99))  # as the command line does in another process
    engine.let_on()
    assert ended(store).state is State.DONE
    assert store.replay_mark(1) == mark


# ---- what is kept ---------------------------------------------------------------------------------------------


def test_a_kept_replay_is_read_once_and_comes_back_whole(store: Store) -> None:
    keep_record(store, 1, judged(a_record(seed=4)))
    first = kept_record(store, 1)
    assert first is not None
    assert kept_record(store, 1) is first
    assert from_store(store, 1).replay is first
    assert (first.seed, first.events[0].event, first.parts[0].at) == (4, "clutch_dropped", "joint-1")
    keep_record(store, 1, a_record(seed=5))
    second = kept_record(store, 1)
    assert second is not None
    assert second.seed == 5


def test_a_replay_kept_within_the_same_second_is_told_from_the_one_before(tmp_path: Path) -> None:
    store = open_store(tmp_path, clock=lambda: datetime(2031, 4, 5, 6, 7, 8, tzinfo=UTC))
    keeping.new_case(store, title="One", shafts=1)
    keep_record(store, 1, a_record())
    before = kept_record(store, 1)
    keep_record(store, 1, judged(a_record()))
    after = kept_record(store, 1)
    assert before is not None
    assert after is not None
    assert np.isnan(before.events[0].deviation).all()
    assert not np.isnan(after.events[0].deviation).any()
    store.close()


@pytest.mark.parametrize("block", [b"", b"no archive at all", b"PK\x03\x04 torn"])
def test_a_replay_that_cannot_be_read_counts_as_none(store: Store, block: bytes) -> None:
    store.keep_replay(1, block=block, seed=1, draws=4, digest="d")
    assert from_store(store, 1).replay is None


def test_a_replay_of_another_format_counts_as_none(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("beachmark.findings.replay.record.FORMAT", 99)
    keep_record(store, 1, a_record(seed=11))
    monkeypatch.undo()
    assert kept_record(store, 1) is None


def test_a_replay_whose_block_was_changed_counts_as_none(store: Store, tmp_path: Path) -> None:
    import sqlite3

    keep_record(store, 1, a_record(seed=12))
    keep_record(store, 2, a_record(seed=13))
    with sqlite3.connect(tmp_path / "beachmark.db") as connection:
        connection.execute("UPDATE replays SET block = (SELECT block FROM replays WHERE number = 2) WHERE number = 1")
    connection.close()
    assert kept_record(store, 1) is None
    assert kept_record(store, 2) is not None


def test_only_so_many_records_are_remembered(store: Store) -> None:
    for seed in range(kept_replay.REMEMBERED + 5):
        keep_record(store, 1, a_record(seed=1000 + seed))
        assert kept_record(store, 1) is not None
    assert len(kept_replay._records) <= kept_replay.REMEMBERED


def test_threads_that_read_together_get_one_object(store: Store) -> None:
    keep_record(store, 1, a_record(seed=21))
    found: list[int] = []
    together = threading.Barrier(4)

    def read() -> None:
        together.wait()
        found.append(id(kept_record(store, 1)))

    threads = [threading.Thread(target=read) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(found)) == 1


# ---- at once --------------------------------------------------------------------------------------------------


def test_a_stored_case_keeps_its_replay_and_a_file_keeps_none(store: Store, engine: Engine, tmp_path: Path) -> None:
    engine.let_on(4)
    found = replay_now(from_store(store, 1), Order(seed=3), lambda _: True, home=tmp_path)
    assert found.seed == 3
    kept = kept_record(store, 1)
    assert kept is not None
    assert kept.events[0].deviation == pytest.approx(found.events[0].deviation)
    house = tmp_path / "untouched"
    replay_now(from_file(EXAMPLES / "tide-and-fresh.yaml"), Order(seed=4), lambda _: True, home=house)
    assert [path.name for path in house.iterdir()] == ["compiled"]


def test_without_the_referee_nothing_is_judged(store: Store, engine: Engine, tmp_path: Path) -> None:
    engine.let_on()
    found = replay_now(from_store(store, 1), Order(), lambda _: True, home=tmp_path, referee=False)
    assert np.isnan(found.events[0].deviation).all()
    assert store.replay_mark(1)


def test_stopped_before_it_is_complete_raises_and_after_that_keeps(
    store: Store, engine: Engine, tmp_path: Path
) -> None:
    engine.let_on(3)
    with pytest.raises(StoppedError):
        replay_now(from_store(store, 1), Order(), lambda _: False, home=tmp_path)
    assert store.replay_mark(1) == ""
    found = replay_now(
        from_store(store, 1), Order(), lambda told: not told.words.startswith("the referee"), home=tmp_path
    )
    assert np.isnan(found.events[0].deviation).all()
    assert store.replay_mark(1)


def test_a_cache_folder_that_cannot_be_made_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    assert replaying.cache_folder(tmp_path / "taken") is None
    made = replaying.cache_folder(tmp_path / "home")
    assert made.is_dir()
    assert replaying.cache_folder(tmp_path / "home") == made


# ---- with the real engine -------------------------------------------------------------------------------------


def test_a_real_replay_of_the_demo_through_a_job(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    keeping.add_case(store, case_from_text(demo_text(demo_names()[0]) or "", name="demo"), why="test")
    events = [event.id for event in replaying.events_of(from_store(store, 1))]
    assert {"clutch_dropped", "steady_pull"} <= set(events)
    replaying.start(store, 1, Order(events=("steady_pull",), draws=8, seed=2))
    until(lambda: job(store).ended, patience_s=300.0)  # the referee takes its time on a busy machine
    assert (job(store).state, job(store).error) == (State.DONE, "")
    record = kept_record(store, 1)
    assert record is not None
    assert (record.seed, record.draws, [one.event for one in record.events]) == (2, 8, ["steady_pull"])
    assert (record.events[0].deviation < 0.01).all(), "two ways of solving agree on the peaks"
    assert list((tmp_path / "compiled").glob("replay_*.py"))
    store.close()


def test_an_unknown_event_names_those_there_are(tmp_path: Path) -> None:
    loaded = from_file(EXAMPLES / "tide-and-fresh.yaml")
    heard: list[Progress] = []

    def watch(progress: Progress) -> bool:
        heard.append(progress)
        return True

    with pytest.raises(InputError, match=r"'meteor' is not an event\..*clutch_dropped"):
        replay_now(loaded, Order(events=("meteor",)), watch, home=tmp_path)
    assert [told.words for told in heard] == ["preparing the equations of this driveline"]
