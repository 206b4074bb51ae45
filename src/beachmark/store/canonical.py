"""A document as canonical JSON text, and the hash that links a revision to the one before.

The hash is SHA-256 (FIPS 180-4) over the JSON list of the fields in `HASHED`, in that order, written without
spaces in ASCII. Whoever holds one hash on paper can tell whether anything before it was changed. It is no
signature: somebody who rewrites a whole case, hashes and all, is only found by a hash that was kept elsewhere.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping
from typing import Any

from beachmark.basis.errors import InputError, refuse

FIRST = "0" * 64  # stands as the previous hash of a first revision
HASHED = (
    "previous_hash", "number", "revision", "who", "written", "why", "title", "reference", "state", "document",
)  # fmt: skip


def canonical(document: Mapping[str, Any]) -> str:
    """The document as JSON text with sorted keys and no spaces, equal for equal documents.

    Raises `InputError` for what JSON would change on the way (a key that is not text, a tuple, an infinity).
    """
    try:
        _check(dict(document), "document")
        text = json.dumps(dict(document), ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
        text.encode("utf-8")
    except RecursionError:
        raise refuse("case", "document", "it is nested too deep", "fewer levels") from None
    except UnicodeEncodeError as error:
        raise _not_text("document", error) from None
    except ValueError as error:  # a whole number of more digits than Python writes
        raise refuse("case", "document", str(error), "numbers, text, lists and groups of fields") from None
    return text


def _check(value: Any, field: str) -> None:
    if isinstance(value, dict):
        for key, content in value.items():
            if not isinstance(key, str):
                raise refuse("case", field, f"the key {key!r} is not text", f"{str(key)!r} in quotes")
            _check(content, f"{field}.{key}")
    elif isinstance(value, list):
        for index, content in enumerate(value):
            _check(content, f"{field}[{index}]")
    elif isinstance(value, float) and not math.isfinite(value):
        raise refuse("case", field, f"{value} cannot be stored", "a finite number")
    elif not (value is None or isinstance(value, str | int | float)):
        raise refuse("case", field, f"{value!r} is not plain data", "numbers, text, lists and groups of fields")


def stored_text(field: str, text: str) -> str:
    """The text unchanged. Raises `InputError` when a database cannot keep it whole."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise _not_text(field, error) from None
    if "\0" in text:  # PostgreSQL keeps no such text, and SQLite's own functions stop at it
        raise refuse("case", field, "it holds a character with the code 0", "text without it")
    return text


def _not_text(field: str, error: UnicodeEncodeError) -> InputError:
    broken = error.object[error.start]
    return refuse("case", field, f"{broken!r} is half of a character", "text in which every character is whole")


def link_hash(revision: Mapping[Any, Any]) -> str:
    """SHA-256 of one revision, the previous hash included, as 64 hexadecimal digits."""
    content = [revision[name] for name in HASHED]
    # `default` only meets what somebody put into the file from outside, and then the hash must differ, not fail
    return hashlib.sha256(json.dumps(content, separators=(",", ":"), default=repr).encode("ascii")).hexdigest()
