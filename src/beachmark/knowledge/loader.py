"""Texts in, `Knowledge` out: every fault of every file, with file, line, field and what is allowed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from beachmark.basis.documents import Document, Path, field_name, read_document
from beachmark.basis.errors import Fault, InputError
from beachmark.basis.schemas import document_faults
from beachmark.basis.values import Known, Value
from beachmark.knowledge import model
from beachmark.knowledge.event_reading import event_kind, vehicle_class
from beachmark.knowledge.quantities import ranged
from beachmark.knowledge.references import reference_faults
from beachmark.knowledge.schemas import schema_for

Texts = Mapping[str, str]
REQUIRED = tuple(
    f"{name}.yaml"
    for name in [
        "signs",
        "findings",
        "root_causes",
        "groups",
        "cautions",
        "limits",
        "typical",
        "scales",
        "aliases",
        "events",
        "trains",
    ]
)


def load_knowledge(texts: Texts) -> model.Knowledge:
    """Build the knowledge from file texts keyed by their path inside the data folder.

    Raises `InputError` with every fault: of YAML, of shape, of a quantity, of a reference.
    """
    documents, faults = _read_all(texts)
    if faults:
        raise InputError(faults)
    knowledge = _build(documents)
    faults = reference_faults(knowledge, documents)
    if faults:
        raise InputError(faults)
    return knowledge


def _read_all(texts: Texts) -> tuple[dict[str, Document], list[Fault]]:
    documents: dict[str, Document] = {}
    faults = [Fault(name, "", "the file is missing", "a knowledge file") for name in REQUIRED if name not in texts]
    for name, text in sorted(texts.items()):
        try:
            document = read_document(text, name=name)
        except InputError as error:
            faults += error.faults
            continue
        schema = schema_for(name)
        if schema is None:
            faults.append(Fault(name, "", "this file is not known here", "vocabulary/, causes/ and the named files"))
            continue
        found = document_faults(document, schema)
        faults += found or _twice(document, documents)
        documents[name] = document
    return documents, faults


def entries(document: Document) -> Iterator[tuple[Path, dict[str, Any]]]:
    """Every entry with an id in a document, with its path."""
    for key, content in document.data.items():
        if isinstance(content, list):
            for index, entry in enumerate(content):
                if isinstance(entry, dict) and "id" in entry:
                    yield (key, index), entry


def _twice(document: Document, others: Mapping[str, Document]) -> list[Fault]:
    """Ids that stand twice, in this file or across files of the same kind."""
    kind = document.name.rpartition("/")[0] or document.name
    seen = {
        entry["id"]: other.name
        for other in others.values()
        if (other.name.rpartition("/")[0] or other.name) == kind
        for _, entry in entries(other)
    }
    faults = []
    for path, entry in entries(document):
        if entry["id"] in seen:
            wrong = f"the id {entry['id']!r} stands already in {seen[entry['id']]}"
            line = document.line((*path, "id"))
            faults.append(Fault(document.name, field_name((*path, "id")), wrong, "each id once", line))
        seen[entry["id"]] = document.name
    return faults


def _build(documents: Mapping[str, Document]) -> model.Knowledge:
    questions: dict[str, model.Question] = {}
    causes: dict[str, model.Cause] = {}
    for name, document in documents.items():
        if name.startswith("vocabulary/"):
            component = name.split("/")[1].removesuffix(".yaml")
            questions |= {e["id"]: _observation(e, component) for _, e in entries(document)}
        elif name.startswith("causes/"):
            causes |= {e["id"]: _cause(e) for _, e in entries(document)}
    for kind in ("sign", "finding"):
        questions |= {e["id"]: _derived(e, kind) for _, e in entries(documents[f"{kind}s.yaml"])}
    aliases = {key: value for key, value in documents["aliases.yaml"].data.items() if key != "version"}
    return model.Knowledge(
        questions=questions,
        causes=causes,
        root_causes={e["id"]: _root_cause(e) for _, e in entries(documents["root_causes.yaml"])},
        groups=documents["groups.yaml"].data["groups"],
        cautions={k: model.Caution(**v) for k, v in documents["cautions.yaml"].data["cautions"].items()},
        limits={e["id"]: _limit(e, documents["limits.yaml"], p) for p, e in entries(documents["limits.yaml"])},
        typical={e["id"]: _typical(e, documents["typical.yaml"], p) for p, e in entries(documents["typical.yaml"])},
        scales=_scales(documents["scales.yaml"].data),
        aliases=model.Aliases(**aliases),
        events={e["id"]: event_kind(e, documents["events.yaml"], p) for p, e in entries(documents["events.yaml"])},
        classes={e["id"]: vehicle_class(e, documents["trains.yaml"], p) for p, e in entries(documents["trains.yaml"])},
    )


def _answers(entry: dict[str, Any]) -> dict[str, model.Answer]:
    return {key: model.Answer(**value) for key, value in entry["answers"].items()}


SPECIAL_OF_QUESTION = ("answers", "fields", "cautions", "gate", "asked_when")


def _observation(entry: dict[str, Any], component: str) -> model.Question:
    plain = {key: value for key, value in entry.items() if key not in SPECIAL_OF_QUESTION}
    return model.Question(
        **plain,
        component=component,
        answers=_answers(entry),
        fields=tuple(model.MeasuredField(**field) for field in entry.get("fields", ())),
        cautions=tuple(entry.get("cautions", ())),
        gate=model.Gate(**entry["gate"]) if "gate" in entry else None,
        asked_when=_asked_when(entry),
    )


def _asked_when(entry: dict[str, Any]) -> model.AskedWhen | None:
    when = entry.get("asked_when")
    return model.AskedWhen(when["see"], tuple(when["answers"])) if when else None


def _derived(entry: dict[str, Any], kind: str) -> model.Question:
    return model.Question(
        id=entry["id"],
        place=entry["place"],
        group=entry["group"],
        question=entry["title"],
        answers=_answers(entry),
        type=kind,
        component=kind,
        source=entry["source"],
    )


def _expects(entry: dict[str, Any]) -> dict[str, model.Expectation]:
    return {
        question: {word: tuple(answers) for word, answers in table.items()}
        for question, table in entry.get("expects", {}).items()
    }


def _cause(entry: dict[str, Any]) -> model.Cause:
    special = ("expects", "consequences", "explains", "look_alikes", "checks", "explains_nothing", "before_remedy")
    plain = {key: value for key, value in entry.items() if key not in special}
    return model.Cause(
        **plain,
        expects=_expects(entry),
        consequences=tuple(
            model.Consequence(c["see"], tuple(c["answers"]), c["where"], c["text"])
            for c in entry.get("consequences", ())
        ),
        explains=tuple(entry.get("explains", ())),
        look_alikes=tuple(model.LookAlike(**other) for other in entry.get("look_alikes", ())),
        checks=tuple(entry.get("checks", ())),
        explains_nothing=tuple(
            model.ExplainsNothing(e["see"], tuple(e["answers"]), tuple(e["groups"]), e["because"])
            for e in entry.get("explains_nothing", ())
        ),
        before_remedy=tuple(
            model.BeforeRemedy(b["see"], tuple(b["answers"]), b["text"]) for b in entry.get("before_remedy", ())
        ),
    )


def _root_cause(entry: dict[str, Any]) -> model.RootCause:
    plain = {key: value for key, value in entry.items() if key not in ("expects", "settle")}
    return model.RootCause(**plain, expects=_expects(entry), settle=tuple(entry.get("settle", ())))


def _limit(entry: dict[str, Any], document: Document, path: Path) -> model.Limit:
    return model.Limit(entry["id"], ranged(entry, document, path, Known.TABLE), entry["words"])


def _typical(entry: dict[str, Any], document: Document, path: Path) -> Value:
    return ranged(entry, document, path, Known.ASSUMED)


def _scales(data: dict[str, Any]) -> model.Scales:
    plain = {key: value for key, value in data.items() if key not in ("version", "strengths")}
    return model.Scales(**plain, strengths=tuple(model.StrengthWord(**word) for word in data["strengths"]))
