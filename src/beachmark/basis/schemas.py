"""A document held against a JSON Schema: every fault at once, with its line, in plain words."""

from __future__ import annotations

from functools import cache
from typing import Any

from beachmark.basis.documents import Document, field_name
from beachmark.basis.errors import Fault, InputError

LONGEST_LIST = 14  # allowed words shown in a message before it says "and n more"


def check_document(document: Document, schema: dict[str, Any]) -> None:
    """Raise `InputError` with all faults of `document` against `schema` (draft 2020-12)."""
    faults = document_faults(document, schema)
    if faults:
        raise InputError(faults)


def document_faults(document: Document, schema: dict[str, Any]) -> list[Fault]:
    """All faults of `document` against `schema`, ordered by line."""
    validator = _validator(_Frozen(schema))
    faults = [_fault(document, error) for error in validator.iter_errors(document.data)]
    return sorted(faults, key=lambda fault: (fault.line or 0, fault.field))


class _Frozen:
    """A schema as a cache key: schemas are module constants, so identity is enough."""

    def __init__(self, schema: dict[str, Any]):
        self.schema = schema

    def __hash__(self) -> int:
        return id(self.schema)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Frozen) and other.schema is self.schema


@cache
def _validator(frozen: _Frozen) -> Any:
    from jsonschema import Draft202012Validator  # slow to import; only needed when a file is read

    return Draft202012Validator(frozen.schema)


def _fault(document: Document, error: Any) -> Fault:
    while error.context and error.validator in ("anyOf", "oneOf"):
        # The branch that got furthest says most clearly what is wrong.
        error = max(error.context, key=lambda branch: (len(branch.absolute_path), branch.validator != "type"))
    path = tuple(error.absolute_path)
    if error.validator == "additionalProperties":
        path = (*path, _unknown_keys(error)[0])
    wrong, allowed = _words(error)
    return Fault(document.name, field_name(path), wrong, allowed, document.line(path))


def _unknown_keys(error: Any) -> list[str]:
    known = set(error.schema.get("properties", {}))
    return sorted(str(key) for key in error.instance if key not in known)


def _words(error: Any) -> tuple[str, str]:
    value = _shown(error.instance)
    rule, demand = error.validator, error.validator_value
    if rule == "additionalProperties":
        unknown = ", ".join(_unknown_keys(error))
        return f"unknown field {unknown}", _listed(sorted(error.schema.get("properties", {})))
    if rule == "required":
        missing = [key for key in demand if key not in error.instance]
        return f"{', '.join(missing)} is missing", _listed(list(demand))
    if rule == "type":
        return f"{value} is not {_kind(demand)}", _kind(demand)
    if rule == "enum":
        return f"{value} is not known here", _listed([str(word) for word in demand])
    if rule == "const":
        return f"{value} cannot be read", f"{demand}"
    return f"{value} is not accepted ({error.message[:160]})", str(error.schema.get("description", ""))


def _shown(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 80 else text[:77] + "..."


def _listed(words: list[str]) -> str:
    if len(words) <= LONGEST_LIST:
        return ", ".join(words)
    return ", ".join(words[:LONGEST_LIST]) + f" and {len(words) - LONGEST_LIST} more"


def _kind(demand: Any) -> str:
    names = {
        "object": "a group of fields",
        "array": "a list",
        "string": "text",
        "number": "a number",
        "integer": "a whole number",
        "boolean": "true or false",
        "null": "nothing",
    }
    kinds = demand if isinstance(demand, list) else [demand]
    return " or ".join(names[kind] for kind in kinds)
