"""The published JSON Schema of the case file and of the parts catalogue, made from the same fields."""

from __future__ import annotations

from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from typing import Any, cast, get_args, get_origin

from beachmark.basis.units import UNITS
from beachmark.basis.values import Known
from beachmark.cases.case import Account, Photo, Work
from beachmark.cases.plain import QUANTITY_KEYS, _without_none, hints
from beachmark.driveline.fields import About, about, choices
from beachmark.driveline.parts import Cross, End, Joint, Shaft, Slip, Tube
from beachmark.driveline.positions import Address
from beachmark.driveline.vehicle import Vehicle
from beachmark.evidence.records import Observation
from beachmark.findings.population import FleetGroup

VERSION = 1
DRAFT = "https://json-schema.org/draft/2020-12/schema"
Schema = dict[str, Any]


def case_schema() -> Schema:
    """The JSON Schema (draft 2020-12) of a case file of this version."""
    return {
        "$schema": DRAFT,
        "title": "beachmark case file",
        "type": "object",
        "additionalProperties": False,
        "required": ["beachmark_case", "title"],
        "properties": {
            "beachmark_case": {"const": VERSION, "description": "version of this format"},
            "title": {"type": "string", "minLength": 1},
            "reference": _text("number or name of the vehicle or case"),
            "vehicle": _of(Vehicle),
            "driveline": _driveline(),
            "account": _of(Account),
            "observations": _list(_observation()),
            "photos": _list(_of(Photo)),
            "history": _list(_of(Work)),
            "fleet": _list(_of(FleetGroup)),
            "catalogue": {
                "description": "a catalogue file beside this file, or the catalogue itself",
                "anyOf": [{"type": "string"}, catalogue_schema(inline=True)],
            },
        },
        "$defs": {"quantity": _quantity()},
    }


def catalogue_schema(*, inline: bool = False) -> Schema:
    """The JSON Schema of a parts catalogue: named sizes of joints, tubes and slips."""
    parts = {
        key: {"type": "object", "additionalProperties": _of(kind)}
        for key, kind in (("joints", Cross), ("tubes", Tube), ("slips", Slip))
    }
    schema: Schema = {
        "type": "object",
        "additionalProperties": False,
        "required": ["beachmark_catalogue", "name"],
        "properties": {"beachmark_catalogue": {"const": VERSION}, "name": {"type": "string"}, **parts},
    }
    if inline:
        return schema
    return {
        "$schema": DRAFT,
        "title": "beachmark parts catalogue",
        **schema,
        "$defs": {"quantity": _quantity()},
    }


def _driveline() -> Schema:
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": {
            "gearbox_end": _of(End),
            "shafts": _list(_of(Shaft)) | {"minItems": 1, "maxItems": 6},
            "joints": _list(_of(Joint)),
            "axle_end": _of(End),
        },
    }


def _observation() -> Schema:
    schema = _of(Observation)
    schema["required"] = ["see", "answers"]
    return schema


def _of(kind: type[Any]) -> Schema:
    properties = {f.name: _field(kind, f) for f in fields(kind)}
    required = [f.name for f in fields(kind) if f.default is MISSING and f.default_factory is MISSING]
    schema: Schema = {"type": "object", "additionalProperties": False, "properties": properties}
    if kind.__doc__:
        schema["description"] = kind.__doc__.splitlines()[0]
    return schema | ({"required": required} if required else {})


def _field(kind: type[Any], of: Any) -> Schema:
    described: About | None = about(of)
    if described:
        units = ", ".join(unit for unit in UNITS[described.dimension] if unit) or "a plain number"
        return {
            "$ref": "#/$defs/quantity",
            "description": f"{described.words} ({described.dimension}: {units})",
        }
    if choices(of):
        return {"enum": ["", *choices(of)]}
    return _type(_without_none(hints(kind)[of.name]))


def _type(hint: Any) -> Schema:
    if get_origin(hint) is tuple:
        return _list(_type(get_args(hint)[0]))
    if hint is Address:
        return _text("a place such as joint-1/trunnion-A1, shaft-2/tube, axle")
    if isinstance(hint, type) and issubclass(hint, Enum):
        return {"enum": [word.value for word in hint]}
    if is_dataclass(hint):
        return _of(cast(type[Any], hint))
    return {"type": {str: ["string", "number"], int: "integer", bool: "boolean"}.get(hint, "string")}


def _list(items: Schema) -> Schema:
    return {"type": "array", "items": items}


def _text(description: str) -> Schema:
    return {"type": "string", "description": description}


def _quantity() -> Schema:
    plain = {"type": ["string", "number"]}
    properties: dict[str, Schema] = dict.fromkeys(sorted(QUANTITY_KEYS - {"known", "source"}), plain)
    properties |= {"known": {"enum": [word.value for word in Known]}, "source": {"type": "string"}}
    group = {
        "type": "object",
        "additionalProperties": False,
        "required": ["value"],
        "properties": properties,
    }
    return {"description": "a quantity as typed, such as 59 13/16 in", "anyOf": [plain, group]}
