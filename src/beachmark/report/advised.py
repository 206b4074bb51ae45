"""What to do, kept apart from the finding: cautions first, then what settles the case, then what mends it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from beachmark.driveline.positions import Address
from beachmark.knowledge.model import Question
from beachmark.report.concluded import Concluding
from beachmark.report.document import CautionLine, SignLine, Step, StepGroup, ToDo
from beachmark.report.words import capital, ended, listed, place_words, plain

ADVICE = (
    "This report advises. A person with the training and the right to do so decides, and signs.",
    "The vehicle maker's procedure, local rules and licensed practice stand above it.",
)
ALWAYS = ("chock", "support", "no_shake_drive", "maker_procedure")  # whatever the case
_WORDS = ("danger", "warning", "caution", "notice")
_ASKED = 5
_NUMBERS = 6
_FIRST = 4
_SAYS_LITTLE = ("it tells the leading causes apart",)
SIGN_OFF = (
    SignLine("Written by", "answers for the facts, the reasoning and the words of this report"),
    SignLine("Read second by", "has read the record and the photos, and agrees or says where not"),
)


def to_do(of: Concluding) -> ToDo:
    """Cautions, then steps in groups; nothing here is part of the finding."""
    groups = [_gates(of), _settling(of), _numbers(of), *_mending(of)]
    return ToDo(
        advice=ADVICE,
        cautions=_cautions(of, _always(of)),
        first=_first(of),
        groups=tuple(group for group in groups if group.steps),
    )


def _always(of: Concluding) -> tuple[str, ...]:
    """The cautions that hold for every case, and that of the sister vehicles once a cause is named."""
    return (*ALWAYS[:-1], *(("sister",) if of.settled else ()), ALWAYS[-1])


def _cautions(of: Concluding, ids: Iterable[str]) -> tuple[CautionLine, ...]:
    known = [of.knowledge.cautions[id] for id in dict.fromkeys(ids) if id in of.knowledge.cautions]
    ordered = sorted(known, key=lambda caution: _WORDS.index(caution.word))
    return tuple(CautionLine(caution.word.upper(), plain(caution.text)) for caution in ordered)


def _step(of: Concluding, question: Question, at: Address | None, because: str) -> Step:
    own = [id for id in question.cautions if id not in _always(of)]
    minutes = f"about {question.minutes:.0f} min" if question.minutes else ""
    return Step(
        cautions=_cautions(of, own),
        text=question.question,
        place=place_words(at) if at else "",
        because="" if because in _SAYS_LITTLE else plain(because),
        how=question.how_to_look,
        minutes=minutes,
    )


def _open_gates(of: Concluding) -> list[Question]:
    return [gate.question for gate in of.opinion.gates if not gate.answered]


def _gates(of: Concluding) -> StepGroup:
    steps = [_step(of, gate.question, None, gate.because) for gate in of.opinion.gates if not gate.answered]
    return StepGroup("Clear the neighbours", of.starting.clear, tuple(steps))


def _settling(of: Concluding) -> StepGroup:
    """Questions that settle the root cause, then those that say most about the cause."""
    gates = {gate.id for gate in _open_gates(of)}
    reason = "it tells apart what may have brought it about"
    settle = [(of.knowledge.questions[id], None, reason) for id in of.opinion.root_cause.settle if of.known]
    asked = [(one.question, one.at, one.because) for one in of.opinion.ask_next]
    chosen: dict[str, Step] = {}
    for question, at, because in (*settle[:3], *asked):
        if question.id not in gates and question.effort and len(chosen) < _ASKED:
            chosen.setdefault(question.id, _step(of, question, at, because))
    return StepGroup("Settle what is still open", "", tuple(chosen.values()))


def _numbers(of: Concluding) -> StepGroup:
    """Missing numbers; those that allow the same sums in one step."""
    together: dict[tuple[str, ...], list[str]] = {}
    for one in of.opinion.numbers_next[:_NUMBERS]:
        together.setdefault(one.allows, []).append(one.words)
    steps = [
        Step((), capital(listed(names)), because=f"allows: {listed(title.rstrip('?') for title in allows)}")
        for allows, names in together.items()
    ]
    return StepGroup("Numbers to find", "Each completes a sum that could not be done.", tuple(steps))


def _mending(of: Concluding) -> list[StepGroup]:
    cause, root = of.opinion.first.cause, of.opinion.root_cause
    if not of.known or cause is None:
        return []
    confirm = [Step((), ended(plain(check))) for check in cause.checks]
    mend = [Step((), ended(plain(of.opinion.first.remedy)))] if cause.remedy else []
    if root.root:
        mend.append(Step((), ended(plain(root.root.act))))
    else:
        mend += [
            Step((), ended(plain(candidate.root.act)), because=f"only if this brought it about: {candidate.root.title}")
            for candidate in root.candidates
        ]
    note = "" if of.settled else f"Only once it is confirmed that this came first: {cause.title}."
    return [
        StepGroup("Confirm or refute by calculation and laboratory", "", tuple(confirm)),
        StepGroup("Mend it so that it does not come back", note, tuple(mend)),
    ]


def _first(of: Concluding) -> tuple[str, ...]:
    """The first page's short list: what is open, then what mends."""
    lines: list[str] = []
    gates = _open_gates(of)
    if gates:
        lines.append(f"Clear the neighbours first: {_some(gates)}")
    if not of.settled:
        asked = [one for one in of.opinion.ask_next if one.question not in gates]
        return tuple([*lines, *(_asked(one.question.question, one.at) for one in asked)][:_FIRST])
    cause, root = of.opinion.first.cause, of.opinion.root_cause
    if root.root:
        lines.append(plain(root.root.act))
    elif root.settle:
        questions = [of.knowledge.questions[id] for id in root.settle]
        lines.append(f"Settle what brought it about: {_some(questions)}")
    if cause and cause.remedy:
        lines.append(plain(of.opinion.first.remedy))
    return tuple(lines[:_FIRST])


def _asked(question: str, at: Address | None) -> str:
    place = place_words(at) if at else ""
    return f"{question} ({place})" if place else question


def _some(questions: Sequence[Question], most: int = 3) -> str:
    told = " ".join(question.question for question in questions[:most])
    return f"{told} And {len(questions) - most} more in section 8." if len(questions) > most else told
