"""Case file text to `Case` and back; a parts catalogue file to `Catalogue`.

Everything may be missing but the title. Every fault is reported with file, line and field, and nothing
is half taken: either the whole file is good or none of it is used.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import yaml

from beachmark.basis.documents import Path, json_text, read_document, reads_as_text
from beachmark.basis.errors import InputError
from beachmark.basis.values import Known
from beachmark.cases.case import Account, Case, Photo, Work
from beachmark.cases.plain import Reader, to_plain
from beachmark.cases.schema import VERSION
from beachmark.driveline.catalogue import Catalogue
from beachmark.driveline.fields import known_values
from beachmark.driveline.parts import Cross, End, Joint, Shaft, Slip, Tube
from beachmark.driveline.positions import MOST_SHAFTS, Layout
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.evidence.records import SILENT, Observation
from beachmark.findings.population import FleetGroup
from beachmark.knowledge.model import Knowledge, Question

CASE_KEYS = (
    "beachmark_case", "title", "reference", "vehicle", "driveline", "account", "observations", "photos",
    "history", "fleet", "catalogue",
)  # fmt: skip
LARGEST_FLEET = 100_000  # vehicles in one group
TRAIN_KEYS = ("gearbox_end", "shafts", "joints", "axle_end")
LookUp = Callable[[str], str]  # catalogue reference -> its text


def read_case(text: str | bytes, *, name: str, knowledge: Knowledge, catalogue_text: LookUp | None = None) -> Case:
    """Read a case file. `catalogue_text` fetches a catalogue that the file names by reference.

    Raises `InputError` with every fault of the file.
    """
    document = read_document(text, name=name)
    reader = Reader(document)
    data = _top(reader)
    case = _case(reader, data, knowledge, catalogue_text) if data else None
    if reader.faults or case is None:
        raise InputError(sorted(reader.faults, key=lambda fault: fault.line or 0))
    return case


def _top(reader: Reader) -> dict[str, Any] | None:
    data = reader.document.data
    if not isinstance(data, dict):
        reader.fault((), "this is not a case file", "a group of fields that starts with beachmark_case: 1")
        return None
    if data.get("beachmark_case") != VERSION:
        found = data.get("beachmark_case", "nothing")
        reader.fault(("beachmark_case",), f"the version is {found!r}", f"beachmark_case: {VERSION}")
        return None
    for key in data.keys() - set(CASE_KEYS):
        reader.fault((key,), f"unknown field {key}", ", ".join(CASE_KEYS))
    if not isinstance(data.get("title"), str) or not data["title"].strip():
        reader.fault(("title",), "the title is missing", "a line of text")
        return None
    return data


def _case(reader: Reader, data: dict[str, Any], knowledge: Knowledge, catalogue_text: LookUp | None) -> Case | None:
    catalogue = _catalogue_of(reader, data.get("catalogue"), catalogue_text)
    train = _train(reader, data.get("driveline") or {}, catalogue)
    layout = train.layout if train else None
    case = Case(
        title=data["title"].strip(),
        reference=str(data.get("reference") or ""),
        vehicle=_part(reader, Vehicle, data, "vehicle") or Vehicle(),
        account=_part(reader, Account, data, "account") or Account(),
        photos=reader.typed(tuple[Photo, ...], data.get("photos") or [], ("photos",)) or (),
        history=reader.typed(tuple[Work, ...], data.get("history") or [], ("history",)) or (),
        fleet=reader.typed(tuple[FleetGroup, ...], data.get("fleet") or [], ("fleet",)) or (),
        catalogue=catalogue,
    )
    _check_fleet(reader, case.fleet)
    observations = _observations(reader, data.get("observations") or [], knowledge, layout)
    _check_photos(reader, observations, case.photos)
    if train:
        case = replace(case, train=train, layout_known=True)
    return replace(case, observations=tuple(seen for _, seen in observations))


def _part(reader: Reader, kind: type[Any], data: dict[str, Any], key: str) -> Any:
    return reader.make(kind, data[key], (key,)) if data.get(key) is not None else None


def _train(reader: Reader, data: Any, catalogue: Catalogue) -> Train | None:
    path: Path = ("driveline",)
    if not isinstance(data, dict):
        reader.fault(path, f"{data!r} is not a group of fields", ", ".join(TRAIN_KEYS))
        return None
    for key in data.keys() - set(TRAIN_KEYS):
        reader.fault((*path, key), f"unknown field {key}", ", ".join(TRAIN_KEYS))
    if not data.get("shafts"):
        if data.get("joints"):
            reader.fault((*path, "joints"), "joints without shafts: no joint has neighbours", "shafts: a list")
        for end in ("gearbox_end", "axle_end"):
            if data.get(end):
                reader.fault((*path, end), "an end without shafts", "shafts: a list, [{}] while nothing is known")
        return None
    shafts = reader.typed(tuple[Shaft, ...], data["shafts"], (*path, "shafts")) or ()
    joints = reader.typed(tuple[Joint, ...], data.get("joints") or [], (*path, "joints")) or ()
    joints = joints or (Joint(),) * (len(shafts) + 1)
    if not _counts_fit(reader, path, shafts, joints):
        return None
    _check_sizes(reader, path, shafts, joints, catalogue)
    return Train(
        shafts=shafts,
        joints=joints,
        gearbox_end=_end(reader, data, path, "gearbox_end"),
        axle_end=_end(reader, data, path, "axle_end"),
    )


def _end(reader: Reader, data: dict[str, Any], path: Path, key: str) -> End:
    made = reader.make(End, data[key], (*path, key)) if data.get(key) is not None else None
    return made or End()


def _counts_fit(reader: Reader, path: Path, shafts: tuple[Shaft, ...], joints: tuple[Joint, ...]) -> bool:
    if reader.faults and not shafts:
        return False
    if len(shafts) > MOST_SHAFTS:
        reader.fault((*path, "shafts"), f"{len(shafts)} shafts", f"at most {MOST_SHAFTS}")
        return False
    if len(joints) != len(shafts) + 1:
        wrong = f"{len(joints)} joints with {len(shafts)} shafts: a joint would have no neighbour"
        reader.fault((*path, "joints"), wrong, f"{len(shafts) + 1} joints, one more than shafts, or none listed")
        return False
    if shafts[-1].support:
        where = (*path, "shafts", len(shafts) - 1, "support")
        reader.fault(where, "the last shaft ends at the axle", "a centre bearing behind any shaft but the last")
        return False
    return True


def _check_sizes(
    reader: Reader, path: Path, shafts: tuple[Shaft, ...], joints: tuple[Joint, ...], catalogue: Catalogue
) -> None:
    named: list[tuple[Path, str, Mapping[str, object]]] = [
        (("joints", i, "size"), joint.size, catalogue.joints) for i, joint in enumerate(joints)
    ]
    named += [(("shafts", i, "tube_size"), shaft.tube_size, catalogue.tubes) for i, shaft in enumerate(shafts)]
    named += [(("shafts", i, "slip_size"), shaft.slip_size, catalogue.slips) for i, shaft in enumerate(shafts)]
    for where, size, known in named:
        if size and size not in known:
            wrong = f"the size {size!r} is not in the catalogue {catalogue.name or '(none is named)'}"
            reader.fault((*path, *where), wrong, ", ".join(known) or "a catalogue that has it")


def _check_fleet(reader: Reader, fleet: tuple[FleetGroup, ...]) -> None:
    for index, group in enumerate(fleet):
        if not 0 <= group.failed <= group.of:
            wrong = f"{group.failed} failed of {group.of}"
            reader.fault(("fleet", index), wrong, "0 <= failed <= of")
        if group.of > LARGEST_FLEET:
            reader.fault(("fleet", index, "of"), f"{group.of} vehicles", f"at most {LARGEST_FLEET}")


def _check_photos(reader: Reader, seen: list[tuple[int, Observation]], photos: tuple[Photo, ...]) -> None:
    known = [photo.id for photo in photos]
    for index, observation in seen:
        for photo in observation.photos:
            if photo not in known:
                where = ("observations", index, "photos")
                reader.fault(where, f"photo {photo!r} is not in the list of photos", ", ".join(known) or "none listed")


def _observations(
    reader: Reader, data: Any, knowledge: Knowledge, layout: Layout | None
) -> list[tuple[int, Observation]]:
    if not isinstance(data, list):
        reader.fault(("observations",), f"{data!r} is not a list", "a list")
        return []
    made = []
    for index, entry in enumerate(data):
        path: Path = ("observations", index)
        observation = reader.make(Observation, entry, path)
        if observation:
            made.append((index, checked_observation(reader, path, observation, knowledge, layout)))
    return made


def checked_observation(
    reader: Reader, path: Path, observation: Observation, knowledge: Knowledge, layout: Layout | None
) -> Observation:
    """The observation under today's ids, its question, answers and place checked; faults are noted."""
    observation = renamed(observation, knowledge)
    question = knowledge.questions.get(observation.see)
    if question is None or question.type in ("sign", "finding"):
        asked = [key for key, known in knowledge.questions.items() if known.type not in ("sign", "finding")]
        near = difflib.get_close_matches(observation.see, asked, n=3, cutoff=0.4)
        reader.fault(
            (*path, "see"),
            f"unknown observation {observation.see!r}",
            ", ".join(near) or "see the vocabulary",
        )
        return observation
    _check_answers(reader, path, observation, question)
    _check_place(reader, path, observation, question, layout)
    return observation


def renamed(observation: Observation, knowledge: Knowledge) -> Observation:
    """An observation of an earlier vocabulary under today's ids."""
    aliases = knowledge.aliases
    see = aliases.observations.get(observation.see, observation.see)
    answers = aliases.answers.get(see, {})
    return replace(observation, see=see, answers=tuple(answers.get(a, a) for a in observation.answers))


def _check_answers(reader: Reader, path: Path, observation: Observation, question: Question) -> None:
    where = (*path, "answers")
    if not observation.answers:
        reader.fault(where, "no answer is given", ", ".join(question.answers))
    for answer in observation.answers:
        if answer not in question.answers and answer not in SILENT:
            allowed = ", ".join([*question.answers, *sorted(SILENT)])
            reader.fault(where, f"{question.id} has no answer {answer!r}", allowed)
    if len(observation.answers) > 1 and not question.several:
        reader.fault(where, f"{question.id} takes one answer at one place", "one answer, or another place")


def _check_place(
    reader: Reader, path: Path, observation: Observation, question: Question, layout: Layout | None
) -> None:
    at = observation.at
    if at is None:
        return
    if layout and not layout.holds(at):
        reader.fault((*path, "at"), f"this driveline has no {at}", f"joint-1 to joint-{layout.joints} and their parts")
    if not accepts(question, at.kind, at.unit):
        reader.fault((*path, "at"), f"{question.id} is looked at on a {question.place}, not on {at}", question.place)


def accepts(question: Question, kind: str, unit: str) -> bool:
    """True when a question may be answered at a place of this kind: the part itself, or what holds it."""
    holders = {
        "trunnion": "joint", "cap": "joint", "yoke": "joint", "fasteners": "joint", "weld": "shaft",
        "slip": "shaft", "tube": "shaft",
    }  # fmt: skip
    place = question.place
    if place in ("any", kind) or (place == "shaft" and kind == "tube"):
        return True
    return kind == unit and holders.get(place) == unit


def _catalogue_of(reader: Reader, data: Any, catalogue_text: LookUp | None) -> Catalogue:
    if data is None:
        return Catalogue()
    if isinstance(data, dict):
        return _catalogue(reader, data, ("catalogue",))
    try:
        if catalogue_text is None:
            raise LookupError("a catalogue by reference cannot be read here")
        return read_catalogue(catalogue_text(str(data)), name=str(data))
    except LookupError as error:
        reader.fault(("catalogue",), f"the catalogue {data!r} cannot be read: {error}", "a file beside the case file")
    except InputError as error:
        reader.faults += error.faults
    return Catalogue()


def read_catalogue(text: str | bytes, *, name: str) -> Catalogue:
    """Read a parts catalogue file. Raises `InputError` with every fault."""
    reader = Reader(read_document(text, name=name))
    catalogue = _catalogue(reader, reader.document.data, ())
    if reader.faults:
        raise InputError(reader.faults)
    return catalogue


def _catalogue(reader: Reader, data: Any, path: Path) -> Catalogue:
    keys = ("beachmark_catalogue", "name", "joints", "tubes", "slips")
    if not isinstance(data, dict) or data.get("beachmark_catalogue") != VERSION:
        reader.fault(path, "this is not a parts catalogue", f"beachmark_catalogue: {VERSION}")
        return Catalogue()
    for key in data.keys() - set(keys):
        reader.fault((*path, key), f"unknown field {key}", ", ".join(keys))
    name = str(data.get("name") or "").strip()
    if not name:
        reader.fault((*path, "name"), "the catalogue has no name", "a name, which results give as their source")
    for key in ("joints", "tubes", "slips"):
        if not isinstance(data.get(key) or {}, dict):
            reader.fault((*path, key), f"{data[key]!r} is not a group of sizes", "sizes by name")
            return Catalogue()
    return Catalogue(
        name=name,
        joints=_sizes(reader, Cross, data, path, "joints", name),
        tubes=_sizes(reader, Tube, data, path, "tubes", name),
        slips=_sizes(reader, Slip, data, path, "slips", name),
    )


def _sizes(reader: Reader, kind: type[Any], data: dict[str, Any], path: Path, key: str, name: str) -> dict[str, Any]:
    sizes = {}
    for size, content in (data.get(key) or {}).items():
        part = reader.make(kind, content, (*path, key, size))
        if part is not None:
            sizes[size] = _from_table(part, name)
    return sizes


def _from_table(part: Any, name: str) -> Any:
    """The part with every value marked as coming from this catalogue unless it says otherwise."""
    marked = {
        field_name: replace(value, known=Known.TABLE, source=value.source or name)
        for field_name, value, _ in known_values(part)
    }
    return replace(part, **marked)


def plain_case(case: Case) -> dict[str, Any]:
    """The case as the plain data of its file; what was typed is kept."""
    plain: dict[str, Any] = {"beachmark_case": VERSION, "title": case.title}
    for key in ("reference", "vehicle", "account", "observations", "photos", "history", "fleet"):
        content = to_plain(getattr(case, key))
        if content:
            plain[key] = content
    if case.layout_known:
        plain["driveline"] = {"shafts": to_plain(case.train.shafts), "joints": to_plain(case.train.joints)}
        for end in ("gearbox_end", "axle_end"):
            content = to_plain(getattr(case.train, end))
            if content:
                plain["driveline"][end] = content
    if case.catalogue.name:
        plain["catalogue"] = {"beachmark_catalogue": VERSION, **to_plain(case.catalogue)}
    return plain


def write_case(case: Case, *, as_json: bool = False) -> str:
    """The case file of a case, YAML by default."""
    plain = plain_case(case)
    if as_json:
        return json_text(plain, indent=2) + "\n"
    return str(yaml.dump(plain, Dumper=_Dumper, allow_unicode=True, sort_keys=False, width=110))


class _Dumper(yaml.SafeDumper):
    """Quotes every text that our strict reader would take for a number or a word of its own."""


def _text(dumper: yaml.SafeDumper, text: str) -> yaml.Node:
    style = None if reads_as_text(text) else "'"
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _text)
