"""Cases added, changed, found and listed; nothing lost between threads, processes and kills."""

from __future__ import annotations

import math
import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import event

from beachmark.basis.errors import InputError, NotFoundError
from beachmark.store import ConflictError, StoreError, open_store

if TYPE_CHECKING:
    from beachmark.store.database import Store

START = datetime(2031, 4, 5, 6, 7, 8, tzinfo=UTC)


class Ticking:
    """A clock that moves on one day with every look."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        self.now += timedelta(days=1)
        return self.now


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path, clock=Ticking())


def add(store: Store, title: str = "Vibration", document: dict[str, Any] | None = None) -> int:
    return store.add(title=title, reference="WO-1", document=document or {}, who="A", why="first").number


def change(store: Store, number: int, document: dict[str, Any], base: int | None = None) -> int:
    changed = store.change(
        number, title="Vibration", reference="WO-1", document=document, who="B", why="more", base_revision=base
    )
    return changed.revision


def test_add_change_get_list_history(store: Store) -> None:
    assert store.empty()
    assert store.list() == []
    assert (add(store, "One", {"a": 1}), add(store, "Two", {"a": 2})) == (1, 2)
    assert not store.empty()
    changed = store.change(1, title="One, looked at", reference="WO-9", document={"a": [3]}, who="B", why="looked")
    assert store.get(1) == changed
    assert (changed.revision, changed.title, changed.reference) == (2, "One, looked at", "WO-9")
    assert changed.document == {"a": [3]}
    assert (changed.created, changed.changed) == ("2031-04-07T06:07:08Z", "2031-04-09T06:07:08Z")
    before = store.get(1, 1)
    assert (before.revision, before.title, before.document, before.changed) == (1, "One", {"a": 1}, before.created)
    assert [(line.number, line.title, line.reference, line.revision) for line in store.list()] == [
        (1, "One, looked at", "WO-9", 2),
        (2, "Two", "WO-1", 1),
    ]
    assert [(line.created, line.changed, line.state) for line in store.list()] == [
        ("2031-04-07T06:07:08Z", "2031-04-09T06:07:08Z", "open"),
        ("2031-04-08T06:07:08Z", "2031-04-08T06:07:08Z", "open"),
    ]
    assert [(line.revision, line.who, line.why) for line in store.history(1)] == [(1, "A", "first"), (2, "B", "looked")]


def test_everything_is_there_after_reopening(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    add(store, document={"a": 1})
    change(store, 1, {"a": 2})
    before = (store.get(1), store.list(), store.history(1))
    store.close()
    again = open_store(tmp_path)
    assert (again.get(1), again.list(), again.history(1)) == before


def test_times_are_utc_whatever_the_clock_says(tmp_path: Path) -> None:
    store = open_store(tmp_path, clock=lambda: datetime(2031, 4, 5, 1, 30, tzinfo=timezone(timedelta(hours=5))))
    add(store)
    assert store.get(1).created == "2031-04-04T20:30:00Z"


@pytest.mark.parametrize(
    "title",
    [
        "Kreuzgelenk gebrochen – ø 27 mm, 45°",
        "十字軸の破損 🛠️ \u202eabc",
        """it's "quoted" `so`; DROP TABLE cases; -- %s :name ? {x}""",
        "two\nlines\tand a tab",
        "x" * 10_240,
        "é 🛠" * 2_000,
    ],
)
def test_odd_titles_survive(tmp_path: Path, title: str) -> None:
    store = open_store(tmp_path)
    store.add(title=title, reference=title, document={title: [title]}, who=title, why=title)
    store.close()
    case = open_store(tmp_path).get(1)
    assert (case.title, case.reference, case.document) == (title, title, {title: [title]})
    assert open_store(tmp_path).history(1)[0].who == title
    assert open_store(tmp_path).list()[0].title == title
    assert open_store(tmp_path).verify() == []


def test_documents_come_back_equal_and_of_the_same_kind(store: Store) -> None:
    numbers = [True, False, None, 1, 1.0, -0.0, 2**70, 5e-324, 0.1 + 0.2]
    document: dict[str, Any] = {"b": "", "a": numbers, "ü": {"": "\u0000", "z": {}}}
    add(store, document=document)
    found = store.get(1).document
    assert found == document
    assert [repr(item) for item in found["a"]] == [repr(item) for item in numbers]


def test_equal_documents_give_equal_text(store: Store) -> None:
    from beachmark.store.canonical import canonical

    assert canonical({"b": 1, "a": {"d": 2, "c": "ü"}}) == canonical({"a": {"c": "ü", "d": 2}, "b": 1})
    assert canonical({"b": 1, "a": {"d": 2, "c": "ü"}}) == '{"a":{"c":"ü","d":2},"b":1}'


def nested(levels: int) -> dict[str, Any]:
    inner: dict[str, Any] = {}
    for _ in range(levels):
        inner = {"a": inner}
    return inner


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"document": {"sizes": {1710: {}}}}, r"document\.sizes: the key 1710 is not text"),
        ({"document": {"a": [1, math.inf]}}, r"document\.a\[1\]: inf cannot be stored"),
        ({"document": {"a": math.nan}}, r"document\.a: nan cannot be stored"),
        ({"document": {"a": (1, 2)}}, r"document\.a: \(1, 2\) is not plain data"),
        ({"document": {"a": b"x"}}, r"document\.a: b'x' is not plain data"),
        ({"document": {"a": "\ud800"}}, "document: .* is half of a character"),
        ({"document": {"a": 10**5000}}, "document: "),
        ({"document": nested(5000)}, "document: it is nested too deep"),
        ({"title": " \n"}, "title: the title is missing"),
        ({"title": "a\0b"}, "title: it holds a character with the code 0"),
        ({"who": "\udfff"}, "who: .* is half of a character"),
    ],
)
def test_what_cannot_be_kept_whole_is_refused(store: Store, given: dict[str, Any], words: str) -> None:
    content: dict[str, Any] = {"title": "t", "reference": "", "document": {"a": 1}, "who": "A", "why": ""}
    with pytest.raises(InputError, match=words):
        store.add(**{**content, **given})
    assert store.empty()
    store.add(**content)
    with pytest.raises(InputError, match=words):
        store.change(1, **{**content, **given})
    assert store.get(1).revision == 1


def test_not_found_names_what_is_there(store: Store) -> None:
    with pytest.raises(NotFoundError, match=r"^there is no case 12; no case is stored yet$"):
        store.get(12)
    add(store)
    with pytest.raises(NotFoundError, match=r"^there is no case 12; cases: 1$"):
        store.history(12)
    for _ in range(4):
        add(store)
    for number in (12, 0, -1, 6, 2**31, 10**30):
        for ask in (store.get, store.history, lambda n: change(store, n, {})):
            with pytest.raises(NotFoundError, match=rf"^there is no case {number}; cases: 1 to 5$"):
                ask(number)
    with pytest.raises(NotFoundError, match=r"^case 3 has no revision 9; revisions: 1$"):
        store.get(3, 9)
    change(store, 3, {})
    for revision in (0, -1, 3, 10**30):
        with pytest.raises(NotFoundError, match=rf"^case 3 has no revision {revision}; revisions: 1 to 2$"):
            store.get(3, revision)


def test_conflict_names_both_revisions_and_stores_nothing(store: Store) -> None:
    add(store)
    change(store, 1, {"from": "B"}, base=1)
    with pytest.raises(
        ConflictError, match=r"made from revision 1, .* now at revision 2, stored by B at 2031"
    ) as caught:
        change(store, 1, {"from": "C"}, base=1)
    assert (caught.value.number, caught.value.base, caught.value.current) == (1, 1, 2)
    assert store.get(1).document == {"from": "B"}
    with pytest.raises(ConflictError, match="made from revision 7"):
        change(store, 1, {}, base=7)
    assert change(store, 1, {"from": "C"}, base=2) == 3
    assert change(store, 1, {"from": "D"}) == 4


def in_threads(threads: int, work: Callable[[int], None]) -> None:
    """Run `work` in so many threads that start together; the first failure is raised here."""
    together = threading.Barrier(threads)

    def run(index: int) -> None:
        together.wait()
        work(index)

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(run, range(threads)))


def test_six_threads_lose_no_read_modify_write(store: Store) -> None:
    add(store, document={"done": []})

    def work(thread: int) -> None:
        for step in range(40):
            while True:
                case = store.get(1)
                try:
                    change(store, 1, {"done": [*case.document["done"], [thread, step]]}, base=case.revision)
                    break
                except ConflictError:
                    continue

    in_threads(6, work)
    case = store.get(1)
    assert sorted(case.document["done"]) == [[thread, step] for thread in range(6) for step in range(40)]
    assert case.revision == 241
    assert store.verify() == []


def test_six_threads_with_stores_of_their_own_lose_nothing(tmp_path: Path) -> None:
    """Also the first opening is a race here: six stores find no database and one makes it."""
    home = tmp_path / "home"

    def work(thread: int) -> None:
        own = open_store(home)
        for step in range(20):
            change(own, add(own, f"{thread}"), {"step": step})
        own.close()

    in_threads(6, work)
    store = open_store(home)
    assert [line.number for line in store.list()] == list(range(1, 121))
    assert {line.revision for line in store.list()} == {2}
    assert sorted(line.title for line in store.list()) == ["Vibration"] * 120
    assert store.verify() == []


def test_opening_waits_for_whoever_makes_the_database(tmp_path: Path) -> None:
    """SQLite itself refuses at once when the write-ahead log is turned on during another's write; we wait."""
    other = sqlite3.connect(tmp_path / "beachmark.db", isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    done = threading.Timer(0.3, other.execute, ["ROLLBACK"])
    done.start()
    assert open_store(tmp_path).empty()
    done.join()


DIES = """
import os, signal, sys
from pathlib import Path
from sqlalchemy import Engine, event
from beachmark.store import open_store
store = open_store(Path(sys.argv[1]))
@event.listens_for(Engine, "after_cursor_execute")
def die(connection, cursor, statement, *rest):
    if statement.startswith(sys.argv[3]):
        os.kill(os.getpid(), signal.SIGKILL)
content = dict(title="Half", reference="", document={"long": "x" * 3_000_000}, who="A", why="")
if sys.argv[2] == "add":
    store.add(**content)
else:
    store.change(1, **content)
print("alive")
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system has no SIGKILL")
@pytest.mark.parametrize(
    ("action", "after"),
    [
        ("add", "INSERT INTO cases"),
        ("add", "INSERT INTO revisions"),
        ("change", "INSERT INTO revisions"),
        ("change", "UPDATE cases"),
    ],
)
def test_killed_in_the_middle_leaves_nothing_half_stored(tmp_path: Path, action: str, after: str) -> None:
    store = open_store(tmp_path)
    add(store, "Whole", {"a": 1})
    store.close()
    died = subprocess.run([sys.executable, "-c", DIES, str(tmp_path), action, after], capture_output=True, check=False)
    assert died.returncode == -signal.SIGKILL, died.stderr.decode()
    again = open_store(tmp_path)
    assert [(line.number, line.revision, line.title) for line in again.list()] == [(1, 1, "Whole")]
    assert again.verify() == []
    assert add(again, "Next") == 2
    assert change(again, 1, {"a": 2}) == 2
    assert again.verify() == []


def test_failure_in_the_middle_stores_nothing(store: Store) -> None:
    def fail(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if statement.startswith("INSERT INTO revisions"):
            raise RuntimeError("in the middle")

    event.listen(store._engine, "after_cursor_execute", fail)
    with pytest.raises(RuntimeError):
        add(store)
    event.remove(store._engine, "after_cursor_execute", fail)
    assert store.empty()
    assert add(store) == 1


def test_a_writer_that_waits_too_long_is_told_so(store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store.close()
    monkeypatch.setattr("beachmark.store.engine.WAIT_MS", 50)
    other = sqlite3.connect(tmp_path / "beachmark.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreError, match="another program is writing to it; try again"):
        add(store)
    assert store.list() == []  # readers do not wait for a writer
    other.execute("ROLLBACK")
    assert add(store) == 1
