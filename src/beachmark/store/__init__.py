"""Cases kept in a database: every change is a new revision, no revision is ever rewritten.

| module | what it holds |
|---|---|
| `records` | what the store hands out, and its errors |
| `canonical` | a document as canonical JSON text; the hash that links a revision to the one before |
| `tables` | the tables as they are today |
| `engine` | connections and transactions that lose no update; database errors in plain words |
| `migrate` | any earlier database brought up to date, after a copy was made |
| `chain` | the hash chain checked |
| `database` | the store itself |
| `migrations` | one file per version of the tables, run by Alembic |

Importing this package loads no database library; `open_store` does.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from beachmark.store.records import (
    CaseLine,
    Clock,
    ConflictError,
    KeptReplay,
    RevisionLine,
    StoredCase,
    StoreError,
    utc_now,
)

if TYPE_CHECKING:
    from beachmark.store.database import Store


def open_store(home: Path, *, clock: Clock = utc_now) -> Store:
    """Open the store in the folder `home`; the folder and the database are made when they are missing.

    A database of an earlier version is brought up to date, after a copy of it was put beside it.
    Raises `StoreError` when the folder or the database cannot be used, and says why.
    """
    from beachmark.store.database import open_home

    return open_home(home, clock)


__all__ = [
    "CaseLine",
    "Clock",
    "ConflictError",
    "KeptReplay",
    "RevisionLine",
    "StoreError",
    "StoredCase",
    "open_store",
    "utc_now",
]
