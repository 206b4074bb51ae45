"""Connections and transactions that lose no update, and database errors in plain words.

SQLite, as Python's driver opens it, starts no transaction before a read: two writers can then read the same
state and one update is lost without an error. So the driver's own transactions are turned off, and a writer
takes the write lock before it reads.

On PostgreSQL a writer would do the same with `SELECT pg_advisory_xact_lock(1)` as its first statement, and a
reader would need REPEATABLE READ to see one state throughout; a later version turns it on.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from beachmark.store.records import StoreError

WAIT_MS = 15_000  # how long a writer waits for another one
WRITES = "beachmark_writes"

WORDS = {
    "SQLITE_NOTADB": "it is not a database; move the file away, or name another folder",
    "SQLITE_CORRUPT": "the database is damaged; put the newest copy of it in its place",
    "SQLITE_CANTOPEN": "it cannot be opened; is the folder there, and may you write in it?",
    "SQLITE_READONLY": "it may not be written; ask for the right to write in its folder",
    "SQLITE_PERM": "it may not be written; ask for the right to write in its folder",
    "SQLITE_BUSY": "another program is writing to it; try again in a moment",
    "SQLITE_LOCKED": "another program is writing to it; try again in a moment",
    "SQLITE_FULL": "the disk is full; nothing was stored",
    "SQLITE_IOERR": "the disk cannot be read or written; nothing was stored",
    "SQLITE_CONSTRAINT": "it refused the change; nothing was stored",
}


def engine_for(url: URL, *, foreign_keys: bool = True) -> Engine:
    """An engine for a database address. `foreign_keys` off is for migrations, which rebuild tables."""
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", partial(_on_connect, foreign_keys))
        event.listen(engine, "begin", _on_begin)
    return engine


def _on_connect(foreign_keys: bool, connection: Any, _record: Any) -> None:
    connection.isolation_level = None
    connection.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
    _write_ahead(connection)
    connection.execute(f"PRAGMA foreign_keys = {int(foreign_keys)}")


def _write_ahead(connection: Any) -> None:
    """Turn the write-ahead log on, once per file. SQLite does not wait here when others open the same new file."""
    give_up = time.monotonic() + WAIT_MS / 1000
    while True:
        try:
            if connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
                connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if not error.sqlite_errorname.startswith("SQLITE_BUSY") or time.monotonic() > give_up:
                raise
            time.sleep(0.01)


def _on_begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def transaction(engine: Engine, *, writes: bool) -> Iterator[Connection]:
    """One transaction, stored whole at the end or not at all. Raises `StoreError` for what the database refuses."""
    try:
        with engine.connect().execution_options(**{WRITES: writes}) as connection, connection.begin():
            yield connection
    except (DBAPIError, PoolTimeoutError) as error:
        raise StoreError(f"{engine.url.database}: {in_words(error)}") from error


def in_words(error: Exception) -> str:
    """What a database error means for the person who meets it."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    code = getattr(cause, "sqlite_errorname", "")
    known = next((words for name, words in WORDS.items() if code.startswith(name)), "the database cannot be used")
    return f"{known} ({cause})"
