"""The replay that is kept with a case: written whole, read once and remembered."""

from __future__ import annotations

import hashlib
import logging
import threading
import zipfile
from collections import OrderedDict
from typing import TYPE_CHECKING

from beachmark.findings.replay.record import Record, from_bytes, to_bytes

if TYPE_CHECKING:
    from beachmark.store.database import Store

REMEMBERED = 4  # records; one of a thousand draws takes a few MB, of the most draws some tens
log = logging.getLogger(__name__)

_records: OrderedDict[str, Record | None] = OrderedDict()
_lock = threading.Lock()


def keep_record(store: Store, number: int, record: Record, *, instead_of: str = "") -> str:
    """Keep a replay with its case, in place of the one before (of that mark, if one is given); gives its mark."""
    return store.keep_replay(
        number,
        block=to_bytes(record),
        seed=record.seed,
        draws=record.draws,
        digest=record.digest,
        instead_of=instead_of,
    )


def kept_record(store: Store, number: int) -> Record | None:
    """The replay of a case; None without one, or when it was written in another format than today's.

    The same kept replay gives the same object, so that what is read out of it need not be worked out anew.
    """
    mark = store.replay_mark(number)
    if not mark:
        return None
    with _lock:
        if mark in _records:
            _records.move_to_end(mark)
            return _records[mark]
    kept = store.replay_of(number)
    if kept is None:
        return None
    return _remember(kept.mark, _read(kept.block, kept.mark, number))


def _remember(mark: str, record: Record | None) -> Record | None:
    with _lock:
        record = _records.setdefault(mark, record)  # another thread may have been faster; its object is the one
        while len(_records) > REMEMBERED:
            _records.popitem(last=False)
    return record


def _read(block: bytes, mark: str, number: int) -> Record | None:
    """A replay that cannot be read is as good as none: it can be run again, and the case must open."""
    try:
        if hashlib.sha256(block).hexdigest() != mark:
            raise ValueError("its block is not the one that was stored")
        return from_bytes(block)
    except (OSError, EOFError, ValueError, KeyError, TypeError, zipfile.BadZipFile) as error:
        log.warning("case %s: its kept replay cannot be read: %s", number, error)
        return None
