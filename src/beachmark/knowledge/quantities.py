"""A quantity of a knowledge file with its range, refused with file, line and field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from beachmark.basis.documents import Document, Path, field_name
from beachmark.basis.errors import Fault, InputError
from beachmark.basis.units import parse_quantity
from beachmark.basis.values import Known, Value


def quantity(text: object, dimension: str, document: Document, path: Path) -> float:
    """One number in SI; raises `InputError` with its line."""
    try:
        return parse_quantity(text, dimension, where=document.name, field=field_name(path)).si
    except InputError as error:
        raise InputError([replace(fault, line=document.line(path)) for fault in error.faults]) from None


def ranged(entry: Mapping[str, Any], document: Document, path: Path, known: Known, *, dimension: str = "") -> Value:
    """A value with its low and high end; `dimension` where the entry does not state its own."""
    dimension = dimension or entry["dimension"]
    si = {
        end: quantity(entry[end], dimension, document, (*path, end)) for end in ("value", "low", "high") if end in entry
    }
    low, high = si.get("low", si["value"]), si.get("high", si["value"])
    if not low <= si["value"] <= high:
        wrong = f"the value does not lie between low and high ({low} to {high})"
        raise InputError([Fault(document.name, field_name(path), wrong, "low <= value <= high", document.line(path))])
    return Value(si["value"], low, high, dimension, known, entry["source"], str(entry["value"]))
