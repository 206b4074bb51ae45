"""The store: cases added, changed, found and listed. Every write is one transaction."""

from __future__ import annotations

import builtins
import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NoReturn

from sqlalchemy import URL, Connection, Engine, Row, Select, delete, func, insert, select, update

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
    KeptReplay,
    RevisionLine,
    StoredCase,
    StoreError,
    stamp,
)
from beachmark.store.tables import cases, replays, revisions

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
        self._closed = False

    @property
    def home(self) -> Path:
        """The folder that the database file stands in."""
        return Path(str(self._engine.url.database)).parent

    @property
    def closed(self) -> bool:
        """True once the database file was given back: whoever works for this store in a thread of its own stops."""
        return self._closed

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
            row = _current_line(connection, number)
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
            rows = connection.execute(_of_list()).all()
        return [CaseLine(r.number, r.title, r.reference, r.revision, r.created, r.written, r.state) for r in rows]

    def history(self, number: int) -> builtins.list[RevisionLine]:
        """Every revision of a case, the oldest first. Raises `NotFoundError`."""
        with transaction(self._engine, writes=False) as connection:
            _check_number(connection, number)
            return [_line(row) for row in connection.execute(_lines(number).order_by(revisions.c.revision))]

    def keep_replay(
        self, number: int, *, block: bytes, seed: int, draws: int, digest: str, instead_of: str = ""
    ) -> str:
        """Keep the replay of a case in place of the one before, and give its mark. Raises `NotFoundError`.

        With `instead_of` only in place of the one of that mark: else nothing is kept and the mark is empty.
        """
        stored_text("digest", digest)
        mark = hashlib.sha256(block).hexdigest()
        row = {"number": number, "seed": seed, "draws": draws, "digest": digest, "mark": mark, "block": block}
        with transaction(self._engine, writes=True) as connection:
            _check_number(connection, number)
            here = replays.c.number == number
            if instead_of and connection.scalar(select(replays.c.mark).where(here)) != instead_of:
                return ""
            connection.execute(delete(replays).where(here))
            connection.execute(insert(replays).values(**row, made=stamp(self._clock())))
        return mark

    def replay_of(self, number: int) -> KeptReplay | None:
        """The replay that is kept with a case, if there is one. Raises `NotFoundError`."""
        with transaction(self._engine, writes=False) as connection:
            _check_number(connection, number)
            row = connection.execute(select(replays).where(replays.c.number == number)).first()
        return KeptReplay(**row._mapping) if row else None

    def replay_mark(self, number: int) -> str:
        """The mark of the replay that is kept with a case, empty when there is none; quick, it reads no block."""
        with transaction(self._engine, writes=False) as connection:
            return connection.scalar(select(replays.c.mark).where(replays.c.number == number)) or ""

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
        self._closed = True
        self._engine.dispose()


def _content(title: str, reference: str, document: Mapping[str, Any], who: str, why: str) -> dict[str, Any]:
    """What a person gave, as the columns of a revision; checked before the write lock is taken."""
    texts = {"title": title, "reference": reference, "who": who, "why": why}
    for field, text in texts.items():
        stored_text(field, text)
    if not title.strip():
        raise refuse("case", "title", "the title is missing", "a line of text")
    return {**texts, "document": canonical(document)}


def _linked(
    content: Mapping[str, Any], number: int, revision: int, previous_hash: str, state: str, written: str
) -> dict[str, Any]:
    """A whole row of `revisions`, its hash included."""
    row = {
        **content,
        "number": number,
        "revision": revision,
        "previous_hash": previous_hash,
        "state": state,
        "written": written,
    }
    return {**row, "hash": link_hash(row)}


def _of_list() -> Select[Any]:
    r = revisions.c
    at_head = (r.number == cases.c.number) & (r.revision == cases.c.revision)
    at_start = (first.c.number == cases.c.number) & (first.c.revision == 1)
    columns = select(r.number, r.title, r.reference, r.revision, first.c.written.label("created"), r.written, r.state)
    return columns.select_from(cases).join(revisions, at_head).join(first, at_start).order_by(cases.c.number)


def _lines(number: int) -> Select[Any]:
    r = revisions.c
    return select(r.revision, r.who, r.written, r.why, r.hash, r.previous_hash, r.state).where(r.number == number)


def _line(row: Row[Any]) -> RevisionLine:
    return RevisionLine(row.revision, row.who, row.written, row.why, row.hash, row.previous_hash)


def _current_line(connection: Connection, number: int) -> Row[Any]:
    _check_number(connection, number)
    row = connection.execute(_lines(number).order_by(revisions.c.revision.desc()).limit(1)).first()
    return row if row is not None else _tampered(f"case {number}: its revisions are gone")


def _stored(connection: Connection, number: int, revision: int | None) -> StoredCase:
    newest = _current_line(connection, number).revision
    wanted = newest if revision is None else revision
    if not 1 <= wanted <= newest:
        known = "1" if newest == 1 else f"1 to {newest}"
        raise NotFoundError(f"case {number} has no revision {wanted}; revisions: {known}")
    at = (revisions.c.number == number) & (revisions.c.revision == wanted)
    row = connection.execute(select(revisions).where(at)).first()
    if row is None:
        _tampered(f"case {number}: revision {wanted} is gone")
    created = connection.scalar(select(first.c.written).where(first.c.number == number, first.c.revision == 1))
    document = _document(row)
    return StoredCase(number, wanted, row.title, row.reference, document, created or "", row.written, row.state)


def _document(row: Row[Any]) -> dict[str, Any]:
    try:
        return dict(json.loads(row.document))
    except (ValueError, TypeError):
        _tampered(f"case {row.number}, revision {row.revision}: its document cannot be read")


def _tampered(what: str) -> NoReturn:
    raise StoreError(f"{what}; the database was changed by something else. Put the newest copy of it in its place")


def _check_number(connection: Connection, number: int) -> None:
    """Raise `NotFoundError` for a number that no case has, naming those there are."""
    known = cases.c.number == number
    if 1 <= number <= LARGEST and connection.scalar(select(cases.c.number).where(known)) is not None:
        return
    last = connection.scalar(select(func.max(cases.c.number)))
    there = "no case is stored yet" if last is None else f"cases: 1 to {last}" if last > 1 else "cases: 1"
    raise NotFoundError(f"there is no case {number}; {there}")
