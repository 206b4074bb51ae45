"""Weaknesses of the knowledge that are not faults: it loads, but an expert should look."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from beachmark.knowledge.events import EventKind
from beachmark.knowledge.model import Cause, Expectation, Knowledge

WEAKNESSES = {
    "cause-without-root": "a cause that no root cause leads to",
    "cause-hard-to-see": "a cause that fewer than two questions speak clearly for",
    "causes-alike": "two causes that no question tells apart",
    "question-without-use": "a weighing question that no cause and no root cause asks about",
    "question-without-usual": "a question about a part without a usual answer",
    "root-without-act": "a root cause that says nothing about what to do",
    "event-hard-to-tell": "an event that fewer than two questions speak clearly for",
    "events-alike": "two events that no question tells apart",
}


@dataclass(frozen=True)
class Weakness:
    """One weak spot: which kind, which entry, in words."""

    kind: str
    entry: str
    words: str


def lint(knowledge: Knowledge) -> tuple[Weakness, ...]:
    """Every weakness, in the order of `WEAKNESSES`."""
    found = [
        *_causes_without_root(knowledge),
        *_hard_to_see(knowledge),
        *_alike(knowledge),
        *_unused(knowledge),
        *_without_usual(knowledge),
        *_without_act(knowledge),
        *_hard_to_tell(knowledge),
        *_events_alike(knowledge),
    ]
    order = list(WEAKNESSES)
    return tuple(sorted(found, key=lambda weakness: (order.index(weakness.kind), weakness.entry)))


def _causes_without_root(knowledge: Knowledge) -> Iterator[Weakness]:
    led = {cause for root in knowledge.root_causes.values() for cause in root.of}
    for cause in knowledge.causes.keys() - led:
        yield Weakness("cause-without-root", cause, "no root cause names it under `of`")


def _hard_to_see(knowledge: Knowledge) -> Iterator[Weakness]:
    for cause in knowledge.causes.values():
        clear = _asked_for(cause.expects)
        if len(clear) < 2:
            yield Weakness("cause-hard-to-see", cause.id, f"expected answers only at: {', '.join(clear) or 'none'}")


def _alike(knowledge: Knowledge) -> Iterator[Weakness]:
    for one, other in combinations(knowledge.causes.values(), 2):
        if one.component == other.component and not _told_apart(one, other):
            yield Weakness(
                "causes-alike",
                f"{one.id}, {other.id}",
                "no question that one expects speaks against the other",
            )


def _hard_to_tell(knowledge: Knowledge) -> Iterator[Weakness]:
    for event in knowledge.events.values():
        clear = _asked_for(event.leaves)
        if len(clear) < 2:
            words = f"expected answers only at: {', '.join(clear) or 'none'}"
            yield Weakness("event-hard-to-tell", event.id, words)


def _events_alike(knowledge: Knowledge) -> Iterator[Weakness]:
    for one, other in combinations(knowledge.events.values(), 2):
        if not (_never_both(one, other) or _told_apart(one, other)):
            words = "no question that one leaves speaks against the other"
            yield Weakness("events-alike", f"{one.id}, {other.id}", words)


def _never_both(one: EventKind, other: EventKind) -> bool:
    """True for two events of which no vehicle can have both: it has a clutch or a converter."""
    return {"clutch", "converter"} <= {*one.needs, *other.needs}


def _asked_for(tables: Mapping[str, Expectation]) -> list[str]:
    return [term for term, table in tables.items() if table.get("expected")]


def _told_apart(one: Cause | EventKind, other: Cause | EventKind) -> bool:
    mine, theirs = _tables(one), _tables(other)
    if any(_clash(mine[term], theirs[term]) for term in mine.keys() & theirs.keys()):
        return True
    return bool(_clear(mine) - _clear(theirs) and _clear(theirs) - _clear(mine))


def _tables(one: Cause | EventKind) -> Mapping[str, Expectation]:
    return one.leaves if isinstance(one, EventKind) else one.expects


def _clear(tables: Mapping[str, Expectation]) -> set[tuple[str, str]]:
    return {(term, answer) for term, table in tables.items() for answer in table.get("expected", ())}


def _clash(one: Expectation, other: Expectation) -> bool:
    return any(
        set(a.get("expected", ())) & (set(b.get("against", ())) | set(b.get("unexpected", ())))
        for a, b in ((one, other), (other, one))
    )


def _unused(knowledge: Knowledge) -> Iterator[Weakness]:
    used = {term for cause in knowledge.causes.values() for term in cause.expects}
    used |= {term for root in knowledge.root_causes.values() for term in root.expects}
    used |= {term for event in knowledge.events.values() for term in event.leaves}
    for question in knowledge.questions.values():
        if question.weighs and not question.gate and question.id not in used:
            yield Weakness("question-without-use", question.id, "no table asks about it")


def _without_usual(knowledge: Knowledge) -> Iterator[Weakness]:
    for question in knowledge.questions.values():
        broken_part = question.id.endswith((".face", ".face_age", ".origin", ".origin_flank", ".smooth_share"))
        usual = any(answer.seen == "usual" for answer in question.answers.values())
        if question.type == "sight" and question.weighs and not broken_part and not usual:
            yield Weakness("question-without-usual", question.id, "a sound part cannot be recorded")


def _without_act(knowledge: Knowledge) -> Iterator[Weakness]:
    for root in knowledge.root_causes.values():
        if root.origin != "open" and not root.act:
            yield Weakness("root-without-act", root.id, "`act` is missing")
