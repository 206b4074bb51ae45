"""The fields of a case as a form shows them: words, kind, units, what is stored now as it was typed, how that
was read, and what is asked back about it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, get_args, get_origin

from beachmark.basis.errors import InputError
from beachmark.basis.units import UNITS, parse_quantity, sense_of, show
from beachmark.basis.values import Known, Value
from beachmark.cases.case import Account, Case, Work
from beachmark.cases.codec import plain_case
from beachmark.cases.plain import hints
from beachmark.driveline.fields import About, about
from beachmark.driveline.fields import choices as choices_of
from beachmark.driveline.fitting import cannot_fit
from beachmark.driveline.parts import CentreBearing, Cross, End, Joint, Shaft, Slip, Yoke
from beachmark.driveline.positions import Address
from beachmark.driveline.usual import AskedBack, usual
from beachmark.driveline.usual import asked_back as unusual
from beachmark.driveline.vehicle import (
    Axle,
    Before,
    Duty,
    DutyLoad,
    Engine,
    Gear,
    Gearbox,
    RideHeight,
    Suspension,
    Tyre,
    Vehicle,
)
from beachmark.findings.population import FleetGroup
from beachmark.workflow.packaged import knowledge

Plain = dict[str, Any]
KNOWN_CHOICES = tuple(known.value for known in Known if known is not Known.COMPUTED)
_LINE = {"title", "description", "happened", "what"}  # one line across the whole form
_LONG = {"driver_words", "mechanic_words", "story", "question"}
_WORDS = {
    "size": "size in the parts catalogue", "tube_size": "tube size in the parts catalogue",
    "slip_size": "slip size in the parts catalogue", "material": "material", "teeth": "number of teeth",
    "teeth_out": "teeth off the line-up mark, as found", "needles": "needles in one cap",
    "straight_sides": "teeth with straight sides", "support": "centre bearing at its rear end",
    "converter": "a torque converter instead of a clutch", "kind": "kind of vehicle",
    "power_take_off": "a power take-off that can be loaded while the vehicle drives",
    "driver_words": "the driver's words, as spoken",
    "mechanic_words": "the mechanic's words, as spoken", "story": "what is known of the vehicle and its work",
    "happened": "when and where it happened", "asked_by": "who asks", "question": "the question to be answered",
    "what": "what was done", "when": "when", "odometer": "odometer", "by": "by whom", "name": "name",
    "failed": "how many failed", "of": "of how many", "exposed": "the group under suspicion",
    "cylinders": "number of cylinders", "bolts": "bolts that hold one cap",
    "fitting_between": "the two arms that the grease fitting sits between",
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
    titles: tuple[str, ...] = ()  # the choices in words, where they are not words themselves
    known: str = ""
    span: str = ""  # the range, where one is stored
    reading: str = ""  # how a slope or a plan angle was read
    origin: str = ""  # tool or document
    question: str = ""  # what is asked back, when the value is not a usual one or does not fit the others
    dimension: str = ""  # of a quantity

    @property
    def options(self) -> tuple[tuple[str, str], ...]:
        """Each choice as it is stored and as it is shown."""
        return tuple(zip(self.choices, self.titles or self.choices, strict=True))

    @property
    def reach(self) -> str:
        """The range and how it was read, behind the word that says how it is known."""
        return "; ".join(text for text in (self.span, self.reading) if text)

    @property
    def source(self) -> str:
        """Tool or document, and what is asked back."""
        return ". ".join(text for text in (self.origin, self.question) if text)


@dataclass(frozen=True)
class FieldGroup:
    """Fields that belong together."""

    id: str
    title: str
    fields: tuple[FormField, ...]


def fields_at(case: Case, address: Address) -> tuple[FieldGroup, ...]:
    """What is installed at a place, ready for a form; nothing for places without fields of their own."""
    return _with_questions(case, _groups_at(case, address))


def _with_questions(case: Case, groups: tuple[FieldGroup, ...]) -> tuple[FieldGroup, ...]:
    """The groups with what is asked back about values that do not fit together, beside the field it names."""
    asked: dict[str, str] = {}
    for one in cannot_fit(case.vehicle, case.installed()):
        asked[one.name] = " ".join((*filter(None, (asked.get(one.name),)), one.question))
    return tuple(
        replace(group, fields=tuple(_asked(field, asked.get(field.name, "")) for field in group.fields))
        for group in groups
    )


def _asked(field: FormField, question: str) -> FormField:
    return replace(field, question=" ".join((*filter(None, (field.question,)), question))) if question else field


def _groups_at(case: Case, address: Address) -> tuple[FieldGroup, ...]:
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
        return (_support(plain, f"driveline.shafts[{k}]"),)
    return _whole_groups(plain).get(address.unit, ())


def _support(plain: Plain, name: str) -> FieldGroup:
    there = _one(Shaft, name, "support", plain)
    return FieldGroup("support", "Centre bearing", (there, *_listed(CentreBearing, f"{name}.centre_bearing", plain)))


def _joint_groups(case: Case, plain: Plain, name: str) -> tuple[FieldGroup, ...]:
    size = _one(Joint, name, "size", plain, tuple(case.catalogue.joints))
    own = [field for field in _listed(Joint, name, plain, deep=False) if not field.name.endswith(".size")]
    return (
        FieldGroup("joint", "Joint", (*own, size)),
        FieldGroup("cross", "Cross and needles", tuple(_listed(Cross, f"{name}.cross", plain))),
        FieldGroup("yoke", "Yoke: ears and cap bolts", tuple(_listed(Yoke, f"{name}.yoke", plain))),
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
            *_many(plain, "vehicle.gearbox.gears", "Gear between the lowest and the highest", Gear),
        ),
        "axle": (
            group("axle", "Axle", Axle, "vehicle.axle"),
            group("axle_end", "Axle pinion", End, "driveline.axle_end"),
        ),
        "wheels": (group("tyre", "Tyres", Tyre, "vehicle.tyre"),),
        "suspension": (
            group("suspension", "Suspension of the driven axle", Suspension, "vehicle.suspension"),
            *_many(plain, "vehicle.suspension.measured", "Pinion measured at a ride height", RideHeight),
        ),
        "loads": tuple(_many(plain, "vehicle.duty.loads", "Step of the duty", DutyLoad)),
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
        _one(Vehicle, "vehicle", "kind", plain),
    )
    account, duty, before = whole["case"]
    ends = () if case.layout_known else ("gearbox_end", "axle_end")
    groups = (
        FieldGroup("case", "Case and vehicle", named), account, *whole["engine"], *whole["gearbox"],
        *whole["axle"], *whole["wheels"], *whole["suspension"], duty, *whole["loads"], before,
        *whole["history"], *whole["fleet"],
    )  # fmt: skip
    return _with_questions(case, tuple(group for group in groups if group.id not in ends))


def _many(plain: Plain, name: str, title: str, kind: type[Any]) -> Iterator[FieldGroup]:
    """A group for each entry of a list, and an empty one for the next."""
    have = len(_found(plain, name) or [])
    for i in range(have + 1):
        heading = f"{title}: entry {i + 1}" if i < have else f"{title}: add an entry"
        yield FieldGroup(f"{name.rpartition('.')[2]}-{i}", heading, tuple(_listed(kind, f"{name}[{i}]", plain)))


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
        return _quantity_field(kind, name, key, described, stored)
    hint = _bare(hints(kind)[key])
    if hint is bool:
        return FormField(name, _WORDS.get(key, key), "yes", "true" if stored is True else "")
    if hint is int:
        return FormField(name, _WORDS.get(key, key), "whole", "" if stored is None else str(stored))
    if choices:
        return FormField(name, _WORDS.get(key, key), "choice", str(stored or ""), choices=choices)
    if allowed := choices_of(of):
        titles = tuple(knowledge().classes[id].title for id in allowed)
        return FormField(name, _WORDS.get(key, key), "choice", str(stored or ""), choices=allowed, titles=titles)
    return _text(name, stored)


def _text(name: str, stored: Any, words: str = "") -> FormField:
    key = name.split(".")[-1]
    kind = "long" if key in _LONG else "line" if key in _LINE else "text"
    return FormField(name, words or _WORDS.get(key, key.replace("_", " ")), kind, "" if stored is None else str(stored))


def _quantity_field(kind: type[Any], name: str, key: str, described: About, stored: Any) -> FormField:
    units = tuple(unit for unit in UNITS[described.dimension] if unit not in ("um", "kg/m³", "°"))
    if stored is None:
        return FormField(name, described.words, "quantity", units=units, dimension=described.dimension)
    told: Mapping[str, Any] = stored if isinstance(stored, Mapping) else {"value": stored}
    typed, si = str(told["value"]), _si(told["value"], described.dimension)
    band = usual(kind, key)
    return FormField(
        name, described.words, "quantity", typed, units,
        known=str(told.get("known", Known.STATED.value)),
        span=" to ".join(_shown(told[end], described.dimension) for end in ("low", "high") if end in told),
        reading="" if si is None else read_as(key, typed, si),
        origin=str(told.get("source", "")),
        question=band.question(si, described) if band and si is not None else "",
        dimension=described.dimension,
    )  # fmt: skip


def _si(stored: Any, dimension: str) -> float | None:
    try:
        return parse_quantity(stored, dimension).si
    except InputError:
        return None  # what is stored was read before; if it cannot be read now, there is no reading to show


# field -> how its sense is said, and the words for a positive, a zero and a negative value
_READINGS = {
    "slope": ("height", "rising to the rear", "level", "falling to the rear", "rear down"),
    "pinion_slope": ("height", "rising to the rear", "level", "falling to the rear", "rear down"),
    "plan": ("side", "to the right at the rear", "straight on", "to the left at the rear", "to the left"),
}


def read_as(key: str, typed: str, si: float) -> str:
    """How the sense of a slope or plan angle was read, and what was assumed; empty for every other field."""
    if key not in _READINGS:
        return ""
    needed, positive, zero, negative, other = _READINGS[key]
    if si == 0:
        return f"read as: {zero}"
    degrees = f"{abs(math.degrees(si)):.2f}".removesuffix("0")
    reading = f"read as: {degrees}° {positive if si > 0 else negative}"
    if sense_of(typed) in (needed, "sign"):
        return reading
    words = "up and down" if needed == "height" else "left and right"
    return f"{reading}, which was assumed: “{typed}” does not tell {words} apart. If it is the other way, write {other}"


def asked_back(case: Case) -> tuple[AskedBack, ...]:
    """What is asked back about a case: sizes that are not usual, values that do not fit, slopes without a sense."""
    train = case.installed()
    return (*unusual(case.vehicle, train), *cannot_fit(case.vehicle, train), *_senses_assumed(case))


def _senses_assumed(case: Case) -> Iterator[AskedBack]:
    shafts = [(f"driveline.shafts[{i}]", shaft) for i, shaft in enumerate(case.train.shafts)]
    ends = (("driveline.gearbox_end", case.train.gearbox_end), ("driveline.axle_end", case.train.axle_end))
    for name, piece in (*ends, *shafts):
        for key in ("slope", "plan"):
            value: Value | None = getattr(piece, key)
            reading = read_as(key, value.typed, value.si) if value and value.typed else ""
            if value and "assumed" in reading:
                words = "Slope in side view" if key == "slope" else "Angle in plan view"
                yield AskedBack(f"{name}.{key}", value, f"{words} {reading}.", source="")


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


__all__ = [
    "KNOWN_CHOICES",
    "AskedBack",
    "FieldGroup",
    "FormField",
    "asked_back",
    "facts_groups",
    "field_path",
    "fields_at",
    "read_as",
]
