"""Dataclasses to plain data and back, driven by their fields.

Reading never stops at the first fault: the `Reader` collects them with field and line, and what could
not be read is left out.
"""

from __future__ import annotations

import math
from dataclasses import MISSING, Field, dataclass, field, fields, is_dataclass
from enum import Enum
from types import UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from beachmark.basis.documents import Document, Path, field_name
from beachmark.basis.errors import Fault, InputError
from beachmark.basis.units import UNITS, parse_quantity, show
from beachmark.basis.values import Known, Value
from beachmark.driveline.fields import About, about, choices
from beachmark.driveline.positions import Address, parse_address

Made = TypeVar("Made")


@dataclass
class Reader:
    """Reads one document into dataclasses and keeps every fault."""

    document: Document
    faults: list[Fault] = field(default_factory=list)

    def fault(self, path: Path, wrong: str, allowed: str = "") -> None:
        """Note one fault at a path."""
        line = self.document.line(path)
        self.faults.append(Fault(self.document.name, field_name(path), wrong, allowed, line))

    def make(self, kind: type[Made], data: Any, path: Path) -> Made | None:
        """Build `kind` from a group of fields; faults are noted and the faulty field is left out."""
        known = {f.name: f for f in fields(cast(Any, kind))}
        if not isinstance(data, dict):
            self.fault(path, f"{data!r} is not a group of fields", ", ".join(known))
            return None
        for key in data.keys() - known.keys():
            self.fault((*path, key), f"unknown field {key}", ", ".join(known))
        made = {
            name: self._field(kind, f, data[name], (*path, name))
            for name, f in known.items()
            if data.get(name) is not None
        }
        required = [f.name for f in known.values() if f.default is MISSING and f.default_factory is MISSING]
        for name in required:
            if made.get(name) is None:
                self.fault((*path, name), f"{name} is missing", "a value")
                return None
        return kind(**{name: value for name, value in made.items() if value is not None})

    def _field(self, kind: type[Any], of: Field[Any], data: Any, path: Path) -> Any:
        described = about(of)
        if described:
            return self.quantity(data, described, path)
        return self._choice(choices(of), data, path) if choices(of) else self.typed(hints(kind)[of.name], data, path)

    def _choice(self, allowed: tuple[str, ...], data: Any, path: Path) -> str | None:
        if data == "" or data in allowed:
            return str(data)
        self.fault(path, f"{data!r} is not known here", ", ".join(allowed))
        return None

    def typed(self, hint: Any, data: Any, path: Path) -> Any:
        """Read `data` as the type of a field."""
        hint = _without_none(hint)
        if get_origin(hint) is tuple:
            return self._tuple(get_args(hint)[0], data, path)
        if hint is Address:
            return self.address(data, path)
        if isinstance(hint, type) and issubclass(hint, Enum):
            return self._word(hint, data, path)
        if is_dataclass(hint):
            return self.make(cast(type[Any], hint), data, path)
        return self._scalar(hint, data, path)

    def _tuple(self, item: Any, data: Any, path: Path) -> Any:
        if not isinstance(data, list):
            self.fault(path, f"{data!r} is not a list", "a list")
            return None
        made = [self.typed(item, entry, (*path, i)) for i, entry in enumerate(data)]
        return tuple(entry for entry in made if entry is not None)

    def _word(self, words: type[Enum], data: Any, path: Path) -> Enum | None:
        try:
            return words(data)
        except ValueError:
            self.fault(path, f"{data!r} is not known here", ", ".join(str(word.value) for word in words))
            return None

    def _scalar(self, hint: type, data: Any, path: Path) -> Any:
        if hint is str and isinstance(data, int | float) and not isinstance(data, bool):
            return str(data)
        if isinstance(data, hint) and (hint is bool or not isinstance(data, bool)):
            return data
        kind = {str: "text", int: "a whole number", bool: "true or false", float: "a number"}.get(hint, "a value")
        self.fault(path, f"{data!r} is not {kind}", kind)
        return None

    def address(self, data: Any, path: Path) -> Address | None:
        """Read a place such as `joint-1/trunnion-A1`."""
        try:
            return parse_address(str(data))
        except ValueError as error:
            self.fault(path, str(error))
            return None

    def quantity(self, data: Any, described: About, path: Path) -> Value | None:
        """Read a quantity: `8.6 in`, or a group with value, plus_minus or low and high, known, source."""
        group = data if isinstance(data, dict) else {"value": data}
        for key in group.keys() - QUANTITY_KEYS:
            self.fault((*path, key), f"unknown field {key}", ", ".join(sorted(QUANTITY_KEYS)))
        if group.get("value") is None:
            self.fault(path, "value is missing", "a quantity such as 8.6 in")
            return None
        number = {
            key: self._number(group[key], described, (*path, key) if data is group else path)
            for key in ("value", "plus_minus", "low", "high")
            if group.get(key) is not None
        }
        si = number["value"]
        if si is None or not self._in_bounds(si, described, path):
            return None
        return self._value(group, number, described, path)

    def _number(self, data: Any, described: About, path: Path) -> float | None:
        try:
            found = parse_quantity(data, described.dimension, where=self.document.name, field=field_name(path))
            return found.si
        except InputError as error:
            for fault in error.faults:
                self.fault(path, fault.wrong, fault.allowed)
            return None

    def _in_bounds(self, si: float, described: About, path: Path) -> bool:
        least, most, dimension = described.least, described.most, described.dimension
        if least is not None and si <= least:
            allowed = f"more than {show(least, dimension)}"
        elif most is not None and si > most:
            allowed = f"at most {show(most, dimension)}"
        elif least is None and most is not None and si < -most:
            allowed = f"at least {show(-most, dimension)}"
        else:
            return True
        self.fault(path, f"{described.words}: {show(si, dimension)} cannot be", allowed)
        return False

    def _value(
        self, group: dict[str, Any], number: dict[str, float | None], described: About, path: Path
    ) -> Value | None:
        si = number["value"] or 0.0
        margin = abs(number.get("plus_minus") or 0.0)
        low, high = number.get("low"), number.get("high")
        word = self._word(Known, group["known"], (*path, "known")) if "known" in group else Known.STATED
        known = word if isinstance(word, Known) else Known.STATED
        low, high = si - margin if low is None else low, si + margin if high is None else high
        if not low <= si <= high:
            self.fault(path, f"the value does not lie between {low} and {high}", "low <= value <= high")
            return None
        if not (self._in_bounds(low, described, path) and self._in_bounds(high, described, path)):
            return None
        typed = " ".join(str(group["value"]).split())
        return Value(
            si,
            low,
            high,
            described.dimension,
            known,
            str(group.get("source", "")),
            typed,
        )


QUANTITY_KEYS = {"value", "plus_minus", "low", "high", "known", "source"}


_HINTS: dict[Any, dict[str, Any]] = {}  # types never change while the program runs


def hints(kind: Any) -> dict[str, Any]:
    """Type hints of a dataclass, resolved once."""
    if kind not in _HINTS:
        _HINTS[kind] = get_type_hints(kind)
    return _HINTS[kind]


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in (UnionType, Union):
        return next(arg for arg in get_args(hint) if arg is not type(None))
    return hint


def to_plain(value: Any) -> Any:
    """A dataclass, tuple, mapping or word as plain data, leaving out everything that is at its default."""
    if isinstance(value, Value):
        return plain_quantity(value)
    if isinstance(value, Address):
        return str(value)
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        return _plain_fields(value)
    if isinstance(value, tuple | list):
        return [to_plain(item) for item in value]
    if isinstance(value, dict):
        return {key: to_plain(item) for key, item in value.items()}
    return value


def _plain_fields(value: Any) -> dict[str, Any]:
    plain: dict[str, Any] = {}
    for f in fields(value):
        current = getattr(value, f.name)
        default = f.default_factory() if f.default_factory is not MISSING else f.default
        if current != default:
            plain[f.name] = to_plain(current)
    return plain


def plain_quantity(value: Value) -> Any:
    """A value as it was typed, with its range and origin where it has any."""
    typed = value.typed or si_text(value.si, value.dimension)
    plain: dict[str, Any] = {"value": typed}
    if not math.isclose(value.low, value.high, rel_tol=0.0, abs_tol=0.0):
        plain |= {"low": si_text(value.low, value.dimension), "high": si_text(value.high, value.dimension)}
    if value.known is not Known.STATED:
        plain["known"] = value.known.value
    if value.source:
        plain["source"] = value.source
    return typed if len(plain) == 1 else plain


def si_text(si: float, dimension: str) -> str:
    """An SI number with its unit, without loss: `0.33000000000000002 m`."""
    unit = next(unit for unit, factor in UNITS[dimension].items() if factor == 1.0)
    return f"{si!r} {unit}".strip()
