"""Faults that only show across files: a term that nobody defines, a place that a cause cannot have."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from beachmark.basis.documents import Document, Path, field_name
from beachmark.basis.errors import Fault
from beachmark.evidence.signs import SIGN_IDS
from beachmark.knowledge.event_references import class_faults, event_faults
from beachmark.knowledge.model import Knowledge

Place = tuple[Document, Path]


def reference_faults(knowledge: Knowledge, documents: Mapping[str, Document]) -> list[Fault]:
    """Every reference of every file to something that is not there."""
    faults: list[Fault] = []
    for name, document in documents.items():
        for key, content in document.data.items():
            if isinstance(content, list):
                for index, entry in enumerate(content):
                    faults += _entry_faults(knowledge, document, (key, index), entry)
        if name == "signs.yaml":
            faults += _sign_faults(document)
        if name == "aliases.yaml":
            faults += _alias_faults(knowledge, document)
        if name == "events.yaml":
            faults += event_faults(knowledge.events, document)
        if name == "trains.yaml":
            faults += class_faults(knowledge.classes, knowledge.typical, document)
    return faults


def _fault(document: Document, path: Path, wrong: str, allowed: str) -> Fault:
    return Fault(document.name, field_name(path), wrong, allowed, document.line(path))


def _entry_faults(knowledge: Knowledge, document: Document, path: Path, entry: dict[str, object]) -> Iterator[Fault]:
    group = entry.get("group")
    if group is not None and group not in knowledge.groups:
        yield _fault(document, (*path, "group"), f"the group {group!r} is not defined", "a key of groups.yaml")
    yield from _named(document, path, entry, "cautions", knowledge.cautions, "a key of cautions.yaml")
    yield from _named(document, path, entry, "explains", knowledge.causes, "a cause id")
    yield from _named(document, path, entry, "settle", knowledge.questions, "an observation id")
    yield from _keyed(document, path, entry, "of", knowledge.causes, "a cause id")
    for key in ("expects", "leaves"):
        yield from _expectation_faults(knowledge, document, (*path, key), entry.get(key))
    if isinstance(when := entry.get("asked_when"), dict):
        table = {str(when["see"]): {"answers": when["answers"]}}
        yield from _expectation_faults(knowledge, document, (*path, "asked_when"), table)
    for key in ("consequences", "explains_nothing", "before_remedy"):
        for index, told in enumerate(_listed(entry.get(key))):
            where = (*path, key, index)
            table = {str(told["see"]): {"answers": told["answers"]}}
            yield from _expectation_faults(knowledge, document, where, table)
            yield from _named(document, where, told, "groups", knowledge.groups, "a key of groups.yaml")
    for index, other in enumerate(_listed(entry.get("look_alikes"))):
        if other["cause"] not in knowledge.causes:
            where = (*path, "look_alikes", index, "cause")
            yield _fault(document, where, f"the cause {other['cause']!r} is not defined", "a cause id")


def _listed(content: object) -> list[dict[str, object]]:
    return content if isinstance(content, list) else []


def _named(
    document: Document,
    path: Path,
    entry: dict[str, object],
    key: str,
    known: Mapping[str, object],
    allowed: str,
) -> Iterator[Fault]:
    content = entry.get(key)
    for index, term in enumerate(content if isinstance(content, list) else []):
        if term not in known:
            yield _fault(document, (*path, key, index), f"{term!r} is not defined", allowed)


def _keyed(
    document: Document,
    path: Path,
    entry: dict[str, object],
    key: str,
    known: Mapping[str, object],
    allowed: str,
) -> Iterator[Fault]:
    content = entry.get(key)
    for term in content if isinstance(content, dict) else {}:
        if term not in known:
            yield _fault(document, (*path, key, term), f"{term!r} is not defined", allowed)


def _expectation_faults(knowledge: Knowledge, document: Document, path: Path, tables: object) -> Iterator[Fault]:
    for term, table in tables.items() if isinstance(tables, dict) else ():
        question = knowledge.questions.get(term)
        if question is None:
            yield _fault(document, (*path, term), f"{term!r} is not defined", "an observation, sign or finding id")
            continue
        placed: dict[str, str] = {}
        for word, answers in table.items():
            for answer in answers:
                if answer not in question.answers:
                    wrong = f"{term} has no answer {answer!r}"
                    yield _fault(document, (*path, term, word), wrong, ", ".join(question.answers))
                if answer in placed:
                    wrong = f"{answer!r} stands under {placed[answer]} and under {word}"
                    yield _fault(document, (*path, term, word), wrong, "each answer under one word")
                placed[answer] = word


def _sign_faults(document: Document) -> Iterator[Fault]:
    stated = {entry["id"] for entry in document.data["signs"]}
    for sign in sorted(stated ^ set(SIGN_IDS)):
        wrong = f"{sign} is " + ("not derived by any rule" if sign in stated else "derived but not described here")
        yield _fault(document, ("signs",), wrong, ", ".join(SIGN_IDS))


def _alias_faults(knowledge: Knowledge, document: Document) -> Iterator[Fault]:
    known = {
        "observations": knowledge.questions,
        "causes": knowledge.causes,
        "root_causes": knowledge.root_causes,
    }
    for kind, targets in known.items():
        for old, new in document.data.get(kind, {}).items():
            if new not in targets:
                yield _fault(document, (kind, old), f"{new!r} is not defined", f"an id of {kind}")
    for term, renamed in document.data.get("answers", {}).items():
        question = knowledge.questions.get(term)
        for old, new in renamed.items():
            if question is None or new not in question.answers:
                yield _fault(document, ("answers", term, old), f"{term} has no answer {new!r}", "an answer id")
