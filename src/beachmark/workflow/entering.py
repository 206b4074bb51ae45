"""What was typed into a form, stored whole or not at all."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from beachmark.basis.errors import Fault, InputError
from beachmark.basis.units import split_range, thread
from beachmark.workflow.fields import FieldGroup, FormField, Plain, field_path
from beachmark.workflow.keeping import changed
from beachmark.workflow.loading import Loaded

if TYPE_CHECKING:
    from beachmark.store.database import Store

_COUNTED = {"needles", "teeth", "bolts", "cylinders", "of"}  # at least one, where there is a count at all
_LISTS = ("fleet", "history", "vehicle.gearbox.gears", "vehicle.duty.loads", "vehicle.suspension.measured")


@dataclass(frozen=True)
class Entered:
    """One field that somebody changed, with the heading that it stands under."""

    field: FormField
    text: str
    heading: str = ""

    @property
    def label(self) -> str:
        """The field in the words of the form: `Wall thickness (tube)`."""
        words = self.field.words[:1].upper() + self.field.words[1:]
        return f"{words} ({self.heading[:1].lower()}{self.heading[1:]})" if self.heading else words


def changed_fields(groups: Sequence[FieldGroup], typed: Mapping[str, str]) -> tuple[Entered, ...]:
    """The fields of these groups whose text is not what is stored."""
    every = [(field, group.title) for group in groups for field in group.fields]
    return tuple(
        Entered(field, text, heading)
        for field, heading in every
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
    carry its margin, `3.4 ± 0.2 mm`, or be a range, `2250 to 2350 N m`. Raises `InputError` naming each
    faulty field in the words of the form, `ConflictError`.
    """

    def change(plain: Plain) -> None:
        for one in entered:
            _put(plain, one, known, source.strip())
        for name in _LISTS:
            _drop_empty_entries(plain, name.split("."))

    words = [one.field.words for one in entered]
    why = f"set {', '.join(words[:4])}" + (f" and {len(words) - 4} more" if len(words) > 4 else "")
    try:
        return changed(store, number, change, base_revision, who, why)
    except InputError as error:
        raise InputError([_in_words(fault, entered) for fault in error.faults]) from None


def _in_words(fault: Fault, entered: Sequence[Entered]) -> Fault:
    """The fault with the words of its field in front; `field` keeps the name that leads to the form's field."""
    mine = [one for one in entered if fault.field == one.field.name or fault.field.startswith(f"{one.field.name}.")]
    if not mine:
        return fault
    margin = ", its margin" if fault.field.endswith(".plus_minus") else ""
    said = f"{mine[0].field.words}: "  # a bound that was missed already names the field
    wrong, allowed = _own_fault(mine[0]) or (fault.wrong.removeprefix(said), fault.allowed)
    return replace(fault, where="form", line=None, wrong=f"{mine[0].label}{margin}: {wrong}", allowed=allowed)


def _own_fault(one: Entered) -> tuple[str, str] | None:
    """What is wrong and what is allowed, where the form knows more of it than the reader of the case file."""
    count, key = _count(one), one.field.name.rpartition(".")[2]
    if count is not None and count < 0 and key == "failed":
        return f"{one.text!r} cannot be", "a count of 0 or more"
    if count is not None and count < 1 and key in _COUNTED:
        return f"{one.text!r} cannot be", "a count of 1 or more"
    return _own_fault_of_a_number(one) if one.field.kind == "quantity" else None


def _own_fault_of_a_number(one: Entered) -> tuple[str, str] | None:
    scale = _scale(one.field)
    if scale and {named.casefold() for named in _HARDNESS.findall(one.text)} - _SCALES[scale]:
        example = "170 HBW" if scale == "Brinell" else "45 HRC"
        return f"{one.text!r} is on another scale than this field", f"{scale} hardness, as a number or as {example}"
    try:
        split_range(_without_scale(one), one.field.dimension)
    except InputError as error:
        return error.faults[0].wrong, error.faults[0].allowed
    return None


def _drop_empty_entries(plain: Plain, way: Sequence[str]) -> None:
    holder: Any = plain
    for step in way[:-1]:
        holder = holder.get(step, {})
    if way[-1] in holder:
        holder[way[-1]] = [entry for entry in holder[way[-1]] if entry]


def _put(plain: Plain, one: Entered, known: str, source: str) -> None:
    holder, key = _holder(plain, field_path(one.field.name))
    text = one.text
    if not text:
        holder.pop(key, None)
    elif one.field.kind == "quantity":
        told = {name: value for name, value in (("known", known), ("source", source)) if value}
        holder[key] = _number_and_reach(one) | told
        called = thread(text) if key == "bolt_diameter" else None
        if called and called.pitch_m:  # M12 x 1.25 says the pitch as well; one that is stated stays
            holder.setdefault("bolt_pitch", {"value": f"{called.pitch_m * 1e3:.10g} mm"} | told)
    elif one.field.kind == "yes":
        holder[key] = text == "true"
    elif one.field.kind == "whole" and (count := _count(one)) is not None and not _own_fault(one):
        holder[key] = count
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


_COUNT = re.compile(r"(?P<count>-?[0-9]{1,9})(?:\s+(?P<thing>[a-z]+))?", re.I)
# the name of a hardness scale, before or behind the number, with the ball and load of a Brinell test
_HARDNESS = re.compile(r"(?<![a-z])(HBW|HBS|HB|HRC|HRB|HRA|HV)(?![a-z])(?:\s*[0-9.]+/[0-9./]+)?", re.I)
_SCALES = {"Brinell": {"hb", "hbw", "hbs"}, "Rockwell C": {"hrc"}}


def _count(one: Entered) -> int | None:
    """`36` or `36 needles` as a count, when the word is the field's own; else None."""
    match = _COUNT.fullmatch(one.text) if one.field.kind == "whole" else None
    if not match:
        return None
    thing = (match["thing"] or "").casefold()
    own = {word.casefold() for word in re.findall("[A-Za-z]+", one.field.words)}
    fits = not thing or {thing, f"{thing}s", thing.replace("tooth", "teeth")} & own
    return int(match["count"]) if fits else None


def _scale(field: FormField) -> str:
    """The scale of a hardness that this field takes, by its words; nothing for every other field."""
    return next((scale for scale in _SCALES if f"{scale} hardness" in field.words), "")


def _without_scale(one: Entered) -> str:
    """The text without the name of a hardness scale, where the field says it already."""
    return " ".join(_HARDNESS.sub(" ", one.text).split()) if _scale(one.field) else one.text


def _number_and_reach(one: Entered) -> dict[str, str]:
    """The number with its margin or its range."""
    if _own_fault(one):
        return {"value": one.text}  # left as it is, for the reader to refuse
    text = _without_scale(one)
    found = split_range(text, one.field.dimension)
    return dict(zip(("value", "low", "high"), found, strict=True)) if found else _with_margin(text)


# a number as people write it; the 1 of 1/min is none
_BARE = re.compile(r"[-+]?(?:[0-9]+(?:\s[0-9]{3}(?![0-9]))*(?:[.,][0-9]+)*|[.,][0-9]+)(?!\s?/)")
_TO_THE_UNIT = re.compile(r"^[-+0-9.,eE\s]*?(?=(?<=\s)1\s?/\s?min|[^-+0-9.,eE\s])")


def _with_margin(text: str) -> dict[str, str]:
    """`3.4 ± 0.2 mm` or `3.4 mm ± 0.2` as value and margin; the unit may stand once."""
    value, sign, margin = (part.strip() for part in text.replace("+-", "±").replace("+/-", "±").partition("±"))
    if not sign:
        return {"value": text}
    if _BARE.fullmatch(value) and not _BARE.fullmatch(margin):
        value = f"{value} {_TO_THE_UNIT.sub('', margin)}"
    elif _BARE.fullmatch(margin) and len(_BARE.findall(value)) == 1:
        margin = " ".join(_BARE.sub(f"{margin} ", value).split())  # `rear down 3°` and `0.2` make `rear down 0.2 °`
    return {"value": value, "plus_minus": margin}
