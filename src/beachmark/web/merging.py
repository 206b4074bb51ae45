"""Two people at one case: what each changed of a form, and where both changed the same.

A form is made from one revision and may come back when the case is at a later one. What its sender left as it was
takes what is stored now; what only the sender changed is stored; what both changed is asked about, and nothing is
stored until then.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from starlette.datastructures import FormData

from beachmark.basis.errors import BeachmarkError, InputError
from beachmark.web.form_data import Clash, FormFaults, base_revision, every_text, text_of, under_fields
from beachmark.web.house import House
from beachmark.web.problems import status_of
from beachmark.web.rendering import day
from beachmark.workflow.entering import Entered, changed_fields, enter
from beachmark.workflow.fields import FieldGroup, FormField
from beachmark.workflow.pages import ConflictError, Loaded

GroupsOf = Callable[[Loaded], tuple[FieldGroup, ...]]
ATTEMPTS = 3  # somebody may store between our look at the case and our own storing
_ENTRY = re.compile(r"\A(?!driveline\.)(.+\[)[0-9]+\]\.")  # of a list that people add to and take from


@dataclass(frozen=True)
class Merged:
    """What one person changed: alone, or together with somebody else."""

    own: tuple[Entered, ...]
    both: tuple[Entered, ...]
    now: Mapping[str, FormField]  # the fields as they are stored now

    @property
    def shown(self) -> dict[str, str]:
        """What stands in the form when it comes back: the sender's own changes, over what is stored now."""
        return {one.field.name: one.text for one in (*self.own, *self.both)}

    @property
    def clashes(self) -> tuple[Clash, ...]:
        """What both changed, with what is stored now; `gone` where the form has no such field any more."""
        return tuple(
            Clash(one.field.name, one.label, one.text, found.typed if found else "", gone=found is None)
            for one in self.both
            for found in (self.now.get(one.field.name),)
        )


@dataclass(frozen=True)
class Refused:
    """What was not stored: what the form shows, what is wrong, and the status of the answer."""

    shown: dict[str, str]
    faults: FormFaults
    status: int


def merge(
    before: Sequence[FieldGroup], now: Sequence[FieldGroup], typed: Mapping[str, str], *, same_shafts: bool = True
) -> Merged:
    """What was typed into a form made from `before`, beside what is stored `now`.

    With another number of shafts a field of the driveline may belong to another part: then it is asked about.
    """
    then, found = _by_name(before), _by_name(now)
    own: list[Entered] = []
    both: list[Entered] = []
    for one in changed_fields(before, typed):
        name = one.field.name
        if name in found and found[name].typed.strip() == one.text:
            continue  # both say the same
        moved = not same_shafts and name.startswith("driveline.")
        (both if moved or _touched(name, then, found) else own).append(one)
    return Merged(tuple(own), tuple(both), found)


def _by_name(groups: Sequence[FieldGroup]) -> dict[str, FormField]:
    return {field.name: field for group in groups for field in group.fields}


def _touched(name: str, then: Mapping[str, FormField], now: Mapping[str, FormField]) -> bool:
    """Whether somebody else changed this field, or for an entry of a list that entry or the length of the list."""
    entry = _ENTRY.match(name)
    if entry is None:
        return _stored(then.get(name)) != _stored(now.get(name))
    of_list = [{one for one in fields if one.startswith(entry[1])} for fields in (then, now)]
    same = [one for one in of_list[0] if one.startswith(entry[0])]
    return of_list[0] != of_list[1] or any(_stored(then[one]) != _stored(now[one]) for one in same)


def _stored(field: FormField | None) -> tuple[str, ...] | None:
    return (field.typed, field.span, field.known, field.origin) if field else None


def store_form(house: House, number: int, form: FormData, groups: GroupsOf, *, who: str) -> Refused | None:
    """Store what the sender of a form changed, all of it or nothing; None once it is stored."""
    typed = every_text(form)
    try:
        base = base_revision(form)
    except InputError as error:
        return _refused(error, typed)
    before, left = house.at(number, base).loaded, ATTEMPTS
    while True:
        now, left = house.case(number).loaded, left - 1
        same_shafts = before.case.train.layout.shafts == now.case.train.layout.shafts
        merged = merge(groups(before), groups(now), typed, same_shafts=same_shafts)
        if merged.both:
            return Refused(merged.shown, FormFaults((), _between(house, number, base), merged.clashes), 409)
        try:
            _enter(house, number, form, merged.own, now=now.revision, who=who)
            return None
        except (InputError, ConflictError) as error:
            if left == 0 or isinstance(error, InputError):
                return _refused(error, merged.shown)


def _enter(house: House, number: int, form: FormData, own: Sequence[Entered], *, now: int | None, who: str) -> None:
    if own:
        known, source = text_of(form, "known"), text_of(form, "source")
        enter(house.store, number, own, known=known, source=source, base_revision=now, who=who)


def _between(house: House, number: int, base: int) -> str:
    last = house.store.history(number)[-1]
    by = f" by {last.who}" if last.who else ""
    told = f"revision {last.revision} was stored{by}, {day(last.when)}"
    return f"this case was changed in between: the form was made from revision {base}; {told}."


def _refused(error: BeachmarkError, shown: dict[str, str]) -> Refused:
    faults = under_fields(error.faults) if isinstance(error, InputError) else ()
    conflict = str(error) if isinstance(error, ConflictError) else ""
    return Refused(shown, FormFaults(faults, conflict), status_of(error))
