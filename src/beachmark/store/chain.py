"""The hash chain checked: what was changed, removed or slipped in behind the store's back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, select

from beachmark.store.canonical import FIRST, link_hash
from beachmark.store.tables import cases, revisions


def broken_links(connection: Connection) -> list[str]:
    """Every break of the chains in words; empty when all is whole."""
    heads = {row.number: row for row in connection.execute(select(cases).order_by(cases.c.number))}
    broken: list[str] = []
    ends: dict[int, Mapping[str, Any]] = {}
    stored = connection.execution_options(yield_per=100).execute(
        select(revisions).order_by(revisions.c.number, revisions.c.revision)
    )
    for row in stored.mappings():
        broken += _link(ends.get(row["number"]), row)
        ends[row["number"]] = row
    broken += _gaps(heads.keys() | ends.keys())
    for number in sorted(heads.keys() | ends.keys()):
        broken += _end(number, heads.get(number), ends.get(number))
    return broken


def _link(before: Mapping[str, Any] | None, row: Mapping[str, Any]) -> Iterator[str]:
    name = f"case {row['number']}, revision {row['revision']}"
    expected = before["revision"] + 1 if before else 1
    if row["revision"] != expected:
        yield f"{name}: revision {expected} should come before it and is missing"
    elif row["previous_hash"] != (before["hash"] if before else FIRST):
        yield f"{name}: it does not follow from the revision before it, as that one reads now"
    if row["hash"] != link_hash(row):
        yield f"{name}: it was changed after it was stored, its content does not give its hash"


def _gaps(numbers: set[int]) -> Iterator[str]:
    for number in sorted(set(range(1, max(numbers, default=0) + 1)) - numbers):
        yield f"case {number}: it is missing, though later cases are there"


def _end(number: int, head: Any, last: Mapping[str, Any] | None) -> Iterator[str]:
    if head is None:
        yield f"case {number}: it has revisions, but it is not in the list of cases"
    elif last is None:
        yield f"case {number}: all its revisions are missing"
    elif head.revision != last["revision"]:
        yield f"case {number}: the list says revision {head.revision}, its history ends at {last['revision']}"
    elif head.hash != last["hash"]:
        yield f"case {number}: the hash in the list is not the hash of its last revision"
