"""The fields of a case as a form shows them: words, kind, units, and what is stored now as it was typed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, get_args, get_origin

from beachmark.basis.units import UNITS, show
from beachmark.basis.values import Known
from beachmark.cases.case import Account, Case, Work
from beachmark.cases.codec import plain_case
from beachmark.cases.plain import hints
from beachmark.driveline.fields import about
from beachmark.driveline.parts import Cross, End, Joint, Shaft, Slip
from beachmark.driveline.positions import Address
from beachmark.driveline.vehicle import Axle, Before, Duty, Engine, Gearbox, Tyre
from beachmark.findings.population import FleetGroup

Plain = dict[str, Any]
KNOWN_CHOICES = tuple(known.value for known in Known if known is not Known.COMPUTED)
_LINE = {"title", "description", "happened", "what"}  # one line across the whole form
_LONG = {"driver_words", "mechanic_words", "story", "question"}
_WORDS = {
    "size": "size in the parts catalogue", "tube_size": "tube size in the parts catalogue",
    "slip_size": "slip size in the parts catalogue", "material": "material", "teeth": "number of teeth",
    "teeth_out": "teeth off the line-up mark, as found", "needles": "needles in one cap",
    "support": "centre bearing at its rear end", "driver_words": "the driver's words, as spoken",
    "mechanic_words": "the mechanic's words, as spoken", "story": "what is known of the vehicle and its work",
    "happened": "when and where it happened", "asked_by": "who asks", "question": "the question to be answered",
    "what": "what was done", "when": "when", "odometer": "odometer", "by": "by whom", "name": "name",
    "failed": "how many failed", "of": "of how many", "exposed": "the group under suspicion",
    "description": "vehicle", "title": "title", "reference": "reference",
}  # fmt: skip


@dataclass(frozen=True)
class FormField:
    """One field by its name in the case file, with what is stored now as it was typed."""

    name: str
    words: str
    kind: str  # quantity, whole, text, line, long, yes, choice
    typed: str = ""
    units: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    known: str = ""
    reach: str = ""  # the range, where one is stored
    source: str = ""


@dataclass(frozen=True)
class FieldGroup:
    """Fields that belong together."""

    id: str
    title: str
    fields: tuple[FormField, ...]


def fields_at(case: Case, address: Address) -> tuple[FieldGroup, ...]:
    """What is installed at a place, ready for a form; nothing for places without fields of their own."""
    plain = plain_case(case)
    k = address.number - 1
    if address.unit == "joint":
        return _joint_groups(case, plain, f"driveline.joints[{k}]")
    if address.part == "slip":
        name = f"driveline.shafts[{k}]"
        size = _one(Shaft, name, "slip_size", plain, tuple(case.catalogue.slips))
        return (FieldGroup("slip", "Slip", (size, *_listed(Slip, f"{name}.slip", plain))),)
    if address.unit == "shaft":
        return _shaft_groups(case, plain, f"driveline.shafts[{k}]")
    if address.unit == "support":
        return (FieldGroup("support", "Centre bearing", (_one(Shaft, f"driveline.shafts[{k}]", "support", plain),)),)
    return _whole_groups(plain).get(address.unit, ())


def _joint_groups(case: Case, plain: Plain, name: str) -> tuple[FieldGroup, ...]:
    size = _one(Joint, name, "size", plain, tuple(case.catalogue.joints))
    own = [field for field in _listed(Joint, name, plain, deep=False) if not field.name.endswith(".size")]
    return (
        FieldGroup("joint", "Joint", (*own, size)),
        FieldGroup("cross", "Cross and needles", tuple(_listed(Cross, f"{name}.cross", plain))),
        FieldGroup("place", "Joint centre as a point in the vehicle", tuple(_points(name, plain))),
    )


def _points(name: str, plain: Plain) -> Iterator[FormField]:
    return (field for field in _listed(Joint, name, plain) if ".at." in field.name)


def _shaft_groups(case: Case, plain: Plain, name: str) -> tuple[FieldGroup, ...]:
    size = _one(Shaft, name, "tube_size", plain, tuple(case.catalogue.tubes))
    own = [field for field in _listed(Shaft, name, plain, deep=False) if not field.name.endswith("_size")]
    if not name.startswith(f"driveline.shafts[{len(case.train.shafts) - 1}]"):
        return FieldGroup("shaft", "Shaft", tuple(own)), _tube(name, plain, size)
    own = [field for field in own if not field.name.endswith(".support")]  # the last shaft ends at the axle
    return FieldGroup("shaft", "Shaft", tuple(own)), _tube(name, plain, size)


def _tube(name: str, plain: Plain, size: FormField) -> FieldGroup:
    found = [field for field in _listed(Shaft, name, plain) if ".tube." in field.name]
    return FieldGroup("tube", "Tube", (*found, size))


def _whole_groups(plain: Plain) -> dict[str, tuple[FieldGroup, ...]]:
    def group(id: str, title: str, kind: type[Any], name: str) -> FieldGroup:
        return FieldGroup(id, title, tuple(_listed(kind, name, plain)))

    return {
        "engine": (group("engine", "Engine", Engine, "vehicle.engine"),),
        "gearbox": (
            group("gearbox", "Gearbox", Gearbox, "vehicle.gearbox"),
            group("gearbox_end", "Gearbox output", End, "driveline.gearbox_end"),
        ),
        "axle": (
            group("axle", "Axle", Axle, "vehicle.axle"),
            group("axle_end", "Axle pinion", End, "driveline.axle_end"),
        ),
        "wheels": (group("tyre", "Tyres", Tyre, "vehicle.tyre"),),
        "case": (
            group("account", "Account", Account, "account"),
            group("duty", "Duty", Duty, "vehicle.duty"),
            group("before", "Before the last change", Before, "vehicle.before"),
        ),
        "fleet": tuple(_many(plain, "fleet", "Sister vehicles", FleetGroup)),
        "history": tuple(_many(plain, "history", "Work", Work)),
    }


def facts_groups(case: Case) -> tuple[FieldGroup, ...]:
    """Every field of the case that is not a size of one shaft or joint, in the order of the power's way."""
    plain = plain_case(case)
    whole = _whole_groups(plain)
    named = (
        _text("title", plain.get("title", "")),
        _text("reference", plain.get("reference", "")),
        _text("vehicle.description", _found(plain, "vehicle.description")),
        _text("vehicle.name", _found(plain, "vehicle.name"), "number or name of the vehicle"),
    )
    account, duty, before = whole["case"]
    ends = () if case.layout_known else ("gearbox_end", "axle_end")
    groups = (
        FieldGroup("case", "Case and vehicle", named), account, *whole["engine"], *whole["gearbox"],
        *whole["axle"], *whole["wheels"], duty, before, *whole["history"], *whole["fleet"],
    )  # fmt: skip
    return tuple(group for group in groups if group.id not in ends)


def _many(plain: Plain, name: str, title: str, kind: type[Any]) -> Iterator[FieldGroup]:
    """A group for each entry of a list, and an empty one for the next."""
    have = len(plain.get(name, []))
    for i in range(have + 1):
        heading = f"{title}: entry {i + 1}" if i < have else f"{title}: add an entry"
        yield FieldGroup(f"{name}-{i}", heading, tuple(_listed(kind, f"{name}[{i}]", plain)))


def _listed(kind: type[Any], name: str, plain: Plain, *, deep: bool = True) -> Iterator[FormField]:
    for of in fields(kind):
        full = f"{name}.{of.name}"
        hint = _bare(hints(kind)[of.name])
        if about(of) or not (is_dataclass(hint) or get_origin(hint) is tuple):
            yield _one(kind, name, of.name, plain)
        elif deep and isinstance(hint, type):
            yield from _listed(hint, full, plain)


def _one(kind: type[Any], prefix: str, key: str, plain: Plain, choices: tuple[str, ...] = ()) -> FormField:
    of = next(one for one in fields(kind) if one.name == key)
    described, stored = about(of), _found(plain, f"{prefix}.{key}")
    name = f"{prefix}.{key}"
    if described:
        units = tuple(unit for unit in UNITS[described.dimension] if unit not in ("um", "kg/m³", "°"))
        return _quantity_field(name, described.words, stored, described.dimension, units)
    hint = _bare(hints(kind)[key])
    if hint is bool:
        return FormField(name, _WORDS.get(key, key), "yes", "true" if stored is True else "")
    if hint is int:
        return FormField(name, _WORDS.get(key, key), "whole", "" if stored is None else str(stored))
    if choices:
        return FormField(name, _WORDS.get(key, key), "choice", str(stored or ""), choices=choices)
    return _text(name, stored)


def _text(name: str, stored: Any, words: str = "") -> FormField:
    key = name.split(".")[-1]
    kind = "long" if key in _LONG else "line" if key in _LINE else "text"
    return FormField(name, words or _WORDS.get(key, key.replace("_", " ")), kind, "" if stored is None else str(stored))


def _quantity_field(name: str, words: str, stored: Any, dimension: str, units: tuple[str, ...]) -> FormField:
    if not isinstance(stored, Mapping):
        known = "" if stored is None else Known.STATED.value
        return FormField(name, words, "quantity", "" if stored is None else str(stored), units, known=known)
    reach = " to ".join(_shown(stored[end], dimension) for end in ("low", "high") if end in stored)
    return FormField(
        name, words, "quantity", str(stored["value"]), units, known=str(stored.get("known", Known.STATED.value)),
        reach=reach, source=str(stored.get("source", "")),
    )  # fmt: skip


def _shown(si: Any, dimension: str) -> str:
    """An end of a range, which the case keeps in SI, in the unit of the screen."""
    return show(float(str(si).split(" ")[0]), dimension)


def _bare(hint: Any) -> Any:
    return next((arg for arg in get_args(hint) if arg is not type(None)), hint) if _optional(hint) else hint


def _optional(hint: Any) -> bool:
    return type(None) in get_args(hint)


def field_path(name: str) -> list[str | int]:
    """The steps of a field's name: `driveline.shafts[0].length`."""
    return [int(step) if step.isdigit() else step for step in re.findall(r"[a-z_]+|[0-9]+", name)]


def _found(plain: Any, name: str) -> Any:
    here = plain
    for step in field_path(name):
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here


__all__ = ["KNOWN_CHOICES", "FieldGroup", "FormField", "facts_groups", "field_path", "fields_at"]
