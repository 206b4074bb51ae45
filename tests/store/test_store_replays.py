"""The replay that is kept with a case: the newest one, whole, beside a history that it leaves alone."""

from __future__ import annotations

import hashlib
import sqlite3
import threading
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from beachmark.basis.errors import NotFoundError
from beachmark.store import KeptReplay, StoreError, open_store
from beachmark.store.tables import replays

if TYPE_CHECKING:
    from beachmark.store.database import Store

BLOCK = bytes(range(256)) * 5_000  # larger than a page, with every byte in it


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = open_store(tmp_path, clock=lambda: datetime(2031, 4, 5, 6, 7, 8, tzinfo=UTC))
    for title in ("One", "Two"):
        store.add(title=title, reference="", document={}, who="A", why="first")
    return store


def keep(store: Store, number: int = 1, block: bytes = BLOCK, seed: int = 3) -> str:
    return store.keep_replay(number, block=block, seed=seed, draws=1000, digest="d1")


def test_kept_whole_and_there_after_reopening(store: Store, tmp_path: Path) -> None:
    assert (store.replay_of(1), store.replay_mark(1)) == (None, "")
    mark = keep(store)
    assert mark == hashlib.sha256(BLOCK).hexdigest() == store.replay_mark(1)
    kept = KeptReplay(1, "2031-04-05T06:07:08Z", 3, 1000, "d1", mark, BLOCK)
    assert store.replay_of(1) == kept
    store.close()
    again = open_store(tmp_path)
    assert again.replay_of(1) == kept
    assert (again.replay_of(2), again.replay_mark(2)) == (None, "")


def test_the_newest_takes_the_place_of_the_one_before(store: Store, tmp_path: Path) -> None:
    keep(store)
    keep(store, block=b"newer", seed=2**32 - 1)
    found = store.replay_of(1)
    assert found is not None
    assert (found.block, found.seed) == (b"newer", 2**32 - 1)
    keep(store, number=2, block=b"")
    assert [row[0] for row in rows(tmp_path, "SELECT number FROM replays ORDER BY number")] == [1, 2]


def test_the_history_of_a_case_knows_nothing_of_it(store: Store) -> None:
    before = (store.get(1), store.history(1), store.list())
    keep(store)
    assert (store.get(1), store.history(1), store.list()) == before
    assert store.verify() == []


def test_a_case_that_is_not_there_keeps_none(store: Store) -> None:
    for number in (3, 0, -1, 2**40):
        with pytest.raises(NotFoundError, match=rf"^there is no case {number}; cases: 1 to 2$"):
            keep(store, number)
        with pytest.raises(NotFoundError):
            store.replay_of(number)
        assert store.replay_mark(number) == ""


def test_a_failed_keeping_leaves_the_one_before(store: Store) -> None:
    keep(store)
    with pytest.raises(StoreError, match="it refused the change; nothing was stored"):
        store.keep_replay(1, block=b"x", seed=1, draws=None, digest="d2")  # type: ignore[arg-type]
    found = store.replay_of(1)
    assert found is not None
    assert found.digest == "d1"


def test_whoever_removes_a_case_removes_its_replay(store: Store, tmp_path: Path) -> None:
    """No verb removes a case; the tables are ready for one."""
    keep(store)
    store.close()
    with sqlite3.connect(tmp_path / "beachmark.db") as connection:
        connection.execute("PRAGMA foreign_keys = 1")
        connection.execute("DROP TRIGGER revisions_never_removed")
        connection.execute("DELETE FROM revisions WHERE number = 1")
        connection.execute("DELETE FROM cases WHERE number = 1")
    connection.close()
    assert rows(tmp_path, "SELECT count(*) FROM replays") == [(0,)]


def test_two_threads_keep_one(store: Store, tmp_path: Path) -> None:
    together = threading.Barrier(2)

    def work(seed: int) -> None:
        together.wait()
        for _ in range(10):
            keep(store, block=str(seed).encode(), seed=seed)

    threads = [threading.Thread(target=work, args=(seed,)) for seed in (1, 2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    found = store.replay_of(1)
    assert found is not None
    assert found.block == str(found.seed).encode()
    assert rows(tmp_path, "SELECT count(*) FROM replays") == [(1,)]


def test_a_closed_store_says_so(store: Store, tmp_path: Path) -> None:
    assert (store.closed, store.home) == (False, tmp_path)
    store.close()
    assert store.closed


def test_the_table_is_one_of_postgresql_too() -> None:
    written = str(CreateTable(replays).compile(dialect=postgresql.dialect()))  # type: ignore[no-untyped-call]
    assert "block BYTEA NOT NULL" in written
    assert "seed BIGINT NOT NULL" in written
    assert "ON DELETE CASCADE" in written


def rows(home: Path, sql: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(home / "beachmark.db")
    try:
        return connection.execute(sql).fetchall()
    finally:
        connection.close()
