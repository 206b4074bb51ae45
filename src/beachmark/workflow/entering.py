"""What was typed into a form, stored whole or not at all."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from beachmark.workflow.fields import FieldGroup, FormField, Plain, field_path
from beachmark.workflow.keeping import changed
from beachmark.workflow.loading import Loaded

if TYPE_CHECKING:
    from beachmark.store.database import Store


@dataclass(frozen=True)
class Entered:
    """One field that somebody changed."""

    field: FormField
    text: str


def changed_fields(groups: Sequence[FieldGroup], typed: Mapping[str, str]) -> tuple[Entered, ...]:
    """The fields of these groups whose text is not what is stored."""
    every = [field for group in groups for field in group.fields]
    return tuple(
        Entered(field, text)
        for field in every
        if (text := typed.get(field.name, field.typed).replace("\r\n", "\n").strip()) != field.typed.strip()
    )


def enter(
    store: Store,
    number: int,
    entered: Sequence[Entered],
    *,
    known: str = "",
    source: str = "",
    base_revision: int | None = None,
    who: str = "",
) -> Loaded:
    """Store what was typed into a form, all of it or nothing. An empty text removes a field.

    `known` and `source` say for every quantity among them how it is known and from where. A quantity may
    carry its margin: `3.4 ± 0.2 mm`. Raises `InputError` naming each faulty field, `ConflictError`.
    """

    def change(plain: Plain) -> None:
        for one in entered:
            _put(plain, one, known, source.strip())
        for name in ("fleet", "history"):
            plain[name] = [entry for entry in plain.get(name, []) if entry]

    words = [one.field.words for one in entered]
    why = f"set {', '.join(words[:4])}" + (f" and {len(words) - 4} more" if len(words) > 4 else "")
    return changed(store, number, change, base_revision, who, why)


def _put(plain: Plain, one: Entered, known: str, source: str) -> None:
    holder, key = _holder(plain, field_path(one.field.name))
    text = one.text
    if not text:
        holder.pop(key, None)
    elif one.field.kind == "quantity":
        told = {"known": known, "source": source}
        holder[key] = _with_margin(text) | {name: value for name, value in told.items() if value}
    elif one.field.kind == "yes":
        holder[key] = text == "true"
    elif one.field.kind == "whole" and re.fullmatch(r"-?[0-9]{1,9}", text):
        holder[key] = int(text)
    else:
        holder[key] = text


def _holder(plain: Plain, path: list[str | int]) -> tuple[Any, Any]:
    """The group that a field stands in, made on the way, with room for every joint of the driveline."""
    driveline = plain.get("driveline", {})
    shafts, joints = driveline.get("shafts", []), driveline.setdefault("joints", []) if driveline else []
    joints += [{} for _ in range(len(shafts) + 1 - len(joints))]
    here: Any = plain
    for step, following in pairwise(path):
        if isinstance(here, list):
            here += [{} for _ in range(int(step) + 1 - len(here))]
            here = here[int(step)]
        else:
            here = here.setdefault(step, [] if isinstance(following, int) else {})
    return here, path[-1]


def _with_margin(text: str) -> dict[str, str]:
    """`3.4 ± 0.2 mm` as value and margin; the unit may stand once, at the end."""
    value, sign, margin = (part.strip() for part in text.replace("+-", "±").replace("+/-", "±").partition("±"))
    if not sign:
        return {"value": text}
    unit = re.sub(r"^[-+0-9.,eE\s]+", "", margin)
    if re.fullmatch(r"[-+0-9.,\s]+", value) and unit:
        value = f"{value} {unit}"
    return {"value": value, "plus_minus": margin}
