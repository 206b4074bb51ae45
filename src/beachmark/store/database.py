"""The store: cases added, changed, found and listed. Every write is one transaction."""

from __future__ import annotations

import builtins
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, Select, func, insert, select, update

from beachmark.basis.errors import NotFoundError, refuse
from beachmark.store.canonical import FIRST, canonical, link_hash, stored_text
from beachmark.store.chain import broken_links
from beachmark.store.engine import engine_for, transaction
from beachmark.store.migrate import bring_up_to_date
from beachmark.store.records import (
    OPEN,
    CaseLine,
    Clock,
    ConflictError,
    RevisionLine,
    StoredCase,
    StoreError,
    stamp,
)
from beachmark.store.tables import cases, revisions

FILE = "beachmark.db"
LARGEST = 2**31 - 1  # of an INTEGER on PostgreSQL

first = revisions.alias("first")


def open_home(home: Path, clock: Clock) -> Store:
    """Open the store in a folder. Raises `StoreError`."""
    try:
        home.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        raise StoreError(f"{home}: a file stands where the folder should be; name another folder") from None
    except OSError as error:
        raise StoreError(f"{home}: the folder cannot be made: {error.strerror}; name another folder") from None
    return open_url(URL.create("sqlite", database=str(home / FILE)), clock)


def open_url(url: URL, clock: Clock) -> Store:
    """Open the store at a database address. Raises `StoreError`."""
    engine = engine_for(url)
    try:
        bring_up_to_date(engine, moment=stamp(clock()))
    except BaseException:
        engine.dispose()
        raise
    return Store(engine, clock)


class Store:
    """Cases and their revisions. May be used by several threads and processes at once.

    Every method raises `StoreError` when the database cannot be read or written.
    """

    def __init__(self, engine: Engine, clock: Clock):
        self._engine, self._clock = engine, clock

    def add(self, *, title: str, reference: str, document: Mapping[str, Any], who: str, why: str) -> StoredCase:
        """Store a new case under the next number. Raises `InputError` for what cannot be stored."""
        content = _content(title, reference, document, who, why)
        with transaction(self._engine, writes=True) as connection:
            number = (connection.scalar(select(func.max(cases.c.number))) or 0) + 1
            row = _linked(content, number, 1, FIRST, OPEN, stamp(self._clock()))
            connection.execute(insert(cases).values(number=number, revision=1, hash=row["hash"]))
            connection.execute(insert(revisions).values(row))
            return _stored(connection, number, 1)

    def change(
        self,
        number: int,
        *,
        title: str,
        reference: str,
        document: Mapping[str, Any],
        who: str,
        why: str,
        base_revision: int | None = None,
    ) -> StoredCase:
        """Store a new revision; `base_revision` is the one that the change was made from.

        Raises `ConflictError` when it is no longer the current one, `NotFoundError`, `InputError`.
        """
        content = _content(title, reference, document, who, why)
        with transaction(self._engine, writes=True) as connection:
            row = connection.execute(_at(number, None)).first() or _missing(connection, number, None)
            current = _line(row)
            if base_revision is not None and base_revision != current.revision:
                raise ConflictError(number, base=base_revision, current=current)
            new = _linked(content, number, current.revision + 1, current.hash, row.state, stamp(self._clock()))
            connection.execute(insert(revisions).values(new))
            head = update(cases).where(cases.c.number == number)
            connection.execute(head.values(revision=new["revision"], hash=new["hash"]))
            return _stored(connection, number, new["revision"])

    def get(self, number: int, revision: int | None = None) -> StoredCase:
        """One case, at its current revision unless another is asked for. Raises `NotFoundError`."""
        with transaction(self._engine, writes=False) as connection:
            return _stored(connection, number, revision)

    def list(self) -> list[CaseLine]:
        """Every case at its current revision, by number."""
        with transaction(self._engine, writes=False) as connection:
            rows = connection.execute(_current().order_by(revisions.c.number)).all()
        return [CaseLine(r.number, r.title, r.reference, r.revision, r.created, r.written, r.state) for r in rows]

    def history(self, number: int) -> builtins.list[RevisionLine]:
        """Every revision of a case, the oldest first. Raises `NotFoundError`."""
        with transaction(self._engine, writes=False) as connection:
            rows = connection.execute(_lines(number)).all() if _possible(number) else []
            return [_line(row) for row in rows or _missing(connection, number, None)]

    def verify(self) -> builtins.list[str]:
        """Every break of the hash chain in words; empty when nothing was changed behind the store's back."""
        with transaction(self._engine, writes=False) as connection:
            return broken_links(connection)

    def empty(self) -> bool:
        """True while no case is stored."""
        with transaction(self._engine, writes=False) as connection:
            return connection.execute(select(cases.c.number).limit(1)).first() is None

    def close(self) -> None:
        """Give the database file back."""
        self._engine.dispose()
