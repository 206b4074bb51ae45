"""What a form sent, and its faults beside the fields they belong to."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from starlette.datastructures import FormData

from beachmark.basis.errors import Fault, refuse

_INSIDE = re.compile(r"\.(value|plus_minus|low|high|known|source)\Z")  # of a quantity, which is one field of a form


def text_of(form: FormData, name: str) -> str:
    """One text of a form, trimmed; empty when it was not sent."""
    value = form.get(name)
    return value.strip() if isinstance(value, str) else ""


def texts_of(form: FormData, name: str) -> tuple[str, ...]:
    """Every text that was sent under one name."""
    return tuple(value for value in form.getlist(name) if isinstance(value, str) and value)


def every_text(form: FormData) -> dict[str, str]:
    """All texts of a form by their names."""
    return {name: value for name, value in form.items() if isinstance(value, str)}


def base_revision(form: FormData) -> int:
    """The revision that the form was made from. Raises `InputError`."""
    text = text_of(form, "base_revision")
    if not (text.isascii() and text.isdigit()) or len(text) > 9:
        raise refuse("form", "base_revision", "the form does not say which revision it was made from", "a new page")
    return int(text)


@dataclass(frozen=True)
class Clash:
    """A field that two people changed from the same text: what this one typed, and what is stored now."""

    name: str
    label: str
    typed: str
    stored: str
    gone: bool = False  # the field is not on the form any more


@dataclass(frozen=True)
class FormFaults:
    """Faults as the list on top of a page shows them, each beside its field as well."""

    faults: tuple[Fault, ...] = ()
    conflict: str = ""
    clashes: tuple[Clash, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.faults or self.conflict)

    def of(self, name: str) -> tuple[Fault, ...]:
        """The faults of one field."""
        return tuple(fault for fault in self.faults if _belongs(fault.field, name))

    def clash(self, name: str) -> Clash | None:
        """What somebody else stored in a field that was changed here too."""
        return next((one for one in self.clashes if one.name == name), None)


def _belongs(field: str, name: str) -> bool:
    return field == name or field.startswith((f"{name}.", f"{name}["))


def under_fields(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """The faults under the fields of the form: value, margin and origin of a quantity share one."""
    return tuple(replace(fault, field=_INSIDE.sub("", fault.field)) for fault in faults)


def under_names(faults: Iterable[Fault], names: dict[str, str]) -> tuple[Fault, ...]:
    """The faults under the names that the form uses: the last word of the field decides."""
    return tuple(
        Fault(fault.where, names.get(fault.field.split(".")[-1].split("[")[0], fault.field), fault.wrong, fault.allowed)
        for fault in faults
    )
