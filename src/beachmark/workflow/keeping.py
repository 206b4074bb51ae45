"""Cases made, imported, changed and exported. A change is taken whole or not at all."""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from beachmark.basis.errors import refuse
from beachmark.cases.case import Case
from beachmark.cases.codec import plain_case, write_case
from beachmark.driveline.positions import MOST_SHAFTS
from beachmark.workflow.kept_replay import kept_record
from beachmark.workflow.loading import Loaded, case_from_document, from_file

if TYPE_CHECKING:
    from beachmark.store.database import Store

Plain = dict[str, Any]


def new_case(store: Store, *, title: str, reference: str = "", shafts: int = 0, who: str = "") -> Loaded:
    """A new case with nothing but a title, and the number of shafts where it is known already."""
    plain: Plain = {"beachmark_case": 1, "title": title.strip()}
    if reference.strip():
        plain["reference"] = reference.strip()
    if shafts:
        plain["driveline"] = {"shafts": _blank_shafts(shafts)}
    return _added(store, case_from_document(plain, name="new case"), who, "new case")


def _blank_shafts(shafts: int) -> list[Plain]:
    if not 1 <= shafts <= MOST_SHAFTS:
        raise refuse("new case", "driveline.shafts", f"{shafts} shafts", f"1 to {MOST_SHAFTS}")
    return [{"support": True} if number < shafts - 1 else {} for number in range(shafts)]


def import_case(store: Store, path: Path, *, who: str = "") -> Loaded:
    """Store the case of a file. Raises `InputError` with every fault; then nothing is stored."""
    return _added(store, from_file(path).case, who, f"imported from {path.name}")


def add_case(store: Store, case: Case, *, who: str = "", why: str) -> Loaded:
    """Store a case that was read already."""
    return _added(store, case, who, why)


def _added(store: Store, case: Case, who: str, why: str) -> Loaded:
    stored = store.add(
        title=case.title, reference=case.reference, document=plain_case(case), who=who or "desk", why=why
    )
    return Loaded(case, f"case {stored.number}", stored.number, stored.revision, stored.changed)


def export_case(loaded: Loaded, *, as_json: bool = False) -> str:
    """The case file of a case."""
    return write_case(loaded.case, as_json=as_json)


@dataclass(frozen=True)
class Seen:
    """What somebody recorded at one place, as it comes from a form."""

    see: str
    answers: Sequence[str]
    at: str = ""
    by: str = ""
    how: str = ""
    when: str = ""
    sure: str = ""
    photos: Sequence[str] = ()
    note: str = ""
    stage: str = ""

    def plain(self) -> Plain:
        """The observation as it stands in a case file; fields left empty are left out."""
        listed: Plain = {"answers": list(self.answers)}
        if self.photos:
            listed["photos"] = list(self.photos)
        named = ("see", "at", "by", "how", "when", "sure", "note", "stage")
        return {name: value for name in named if (value := getattr(self, name).strip())} | listed


def record(store: Store, number: int, seen: Seen, *, base_revision: int | None = None, who: str = "") -> Loaded:
    """Record an observation. The same question at the same place by the same person is replaced."""

    def change(plain: Plain) -> None:
        new = seen.plain()
        key = _key(new)
        kept = [old for old in plain.get("observations", []) if _key(old) != key]
        before: Plain = next((old for old in plain.get("observations", []) if _key(old) == key), {})
        # photos and stage are not on every form; what was there before stays unless it is given anew
        carried = {name: before[name] for name in ("photos", "stage") if name in before and name not in new}
        plain["observations"] = [*kept, new | carried]

    return changed(store, number, change, base_revision, who or seen.by, f"recorded {seen.see}")


def _key(observation: Plain) -> tuple[str, str, str]:
    return observation.get("see", ""), observation.get("at", ""), observation.get("by", "")


def take_back(
    store: Store, number: int, *, see: str, at: str = "", by: str = "", base_revision: int | None = None, who: str = ""
) -> Loaded:
    """Take an observation back; the history keeps it."""

    def change(plain: Plain) -> None:
        kept = [old for old in plain.get("observations", []) if _key(old) != (see, at, by)]
        if len(kept) == len(plain.get("observations", [])):
            raise refuse(f"case {number}", "observations", f"{see} was not recorded there", "something recorded")
        plain["observations"] = kept

    return changed(store, number, change, base_revision, who, f"took back {see}")


def set_shafts(store: Store, number: int, shafts: int, *, base_revision: int | None = None, who: str = "") -> Loaded:
    """Set how many shafts the driveline has; parts that are there already stay."""

    def change(plain: Plain) -> None:
        driveline = plain.setdefault("driveline", {})
        have = driveline.get("shafts", [])
        new = [*have, *_blank_shafts(MOST_SHAFTS)][:shafts] if shafts else _blank_shafts(0)
        for shaft in have[len(have) - 1 : shafts - 1]:
            shaft["support"] = True
        new[-1].pop("support", None)
        driveline["shafts"] = new
        driveline["joints"] = [*driveline.get("joints", []), *({} for _ in range(shafts + 1))][: shafts + 1]

    return changed(store, number, change, base_revision, who, f"driveline of {shafts} shafts")


def changed(
    store: Store, number: int, change: Callable[[Plain], None], base_revision: int | None, who: str, why: str
) -> Loaded:
    """Apply `change` to the document of a case and store the result when it reads as a good case, else nothing."""
    before = store.get(number)
    plain = copy.deepcopy(before.document)
    change(plain)
    case = case_from_document(plain, name=f"case {number}")
    stored = store.change(
        number,
        title=case.title,
        reference=case.reference,
        document=plain_case(case),
        who=who or "desk",
        why=why,
        base_revision=before.revision if base_revision is None else base_revision,
    )
    return Loaded(case, f"case {number}", number, stored.revision, stored.changed, kept_record(store, number))
