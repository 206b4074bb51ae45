"""The hash chain checked: what was changed, removed or slipped in behind the store's back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from sqlalchemy import Connection, Row, select

from beachmark.store.canonical import FIRST, link_hash
from beachmark.store.tables import cases, revisions


class End(NamedTuple):
    """Where a chain ends: its last revision and that one's hash."""

    revision: int
    hash: str


START = End(0, FIRST)


def broken_links(connection: Connection) -> list[str]:
    """Every break of the chains in words; empty when all is whole."""
    heads = {row.number: End(row.revision, row.hash) for row in connection.execute(select(cases))}
    ends: dict[int, End] = {}
    broken: list[str] = []
    stored = select(revisions).order_by(revisions.c.number, revisions.c.revision).execution_options(yield_per=100)
    for row in connection.execute(stored):
        broken += _link(ends.get(row.number, START), row)
        ends[row.number] = End(row.revision, row.hash)
    numbers = heads.keys() | ends.keys()
    broken += _gaps(numbers)
    for number in sorted(numbers):
        broken += _end(number, heads.get(number), ends.get(number))
    return broken


def _link(before: End, row: Row[Any]) -> Iterator[str]:
    name = f"case {row.number}, revision {row.revision}"
    if row.revision != before.revision + 1:
        yield f"{name}: revision {before.revision + 1} should come before it and is missing"
    elif row.previous_hash != before.hash:
        yield f"{name}: it does not follow from the revision before it, as that one reads now"
    if row.hash != link_hash(row._mapping):
        yield f"{name}: it was changed after it was stored, its content does not give its hash"


def _gaps(numbers: set[int]) -> Iterator[str]:
    for number in sorted(set(range(1, max(numbers, default=0) + 1)) - numbers):
        yield f"case {number}: it is missing, though later cases are there"


def _end(number: int, head: End | None, last: End | None) -> Iterator[str]:
    if head is None:
        yield f"case {number}: it has revisions, but it is not in the list of cases"
    elif last is None:
        yield f"case {number}: all its revisions are missing"
    elif head.revision != last.revision:
        yield f"case {number}: the list says revision {head.revision}, its history ends at {last.revision}"
    elif head.hash != last.hash:
        yield f"case {number}: the hash in the list is not the hash of its last revision"
