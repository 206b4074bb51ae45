"""What was told and what was seen, what follows from it, and what nobody looked at."""

from __future__ import annotations

from collections.abc import Mapping

from beachmark.cases.assessment import Assessment
from beachmark.cases.case import Case, Photo
from beachmark.driveline.positions import WHOLE, Address
from beachmark.evidence.records import CANNOT_TELL, SILENT, How, Observation, Sure
from beachmark.evidence.signs import Sign
from beachmark.knowledge.model import Knowledge, Question
from beachmark.report.document import Derived, Fact, NotKnown, Picture, Told, WorkLine
from beachmark.report.words import References, place_words

_HOW: Mapping[How, str] = {
    How.TOLD: "told",
    How.PHOTO: "on a photo",
    How.EYE: "by eye",
    How.HAND: "by hand",
    How.TOOLS: "with tools",
    How.LABORATORY: "laboratory",
}
_SURE: Mapping[Sure, str] = {Sure.CERTAIN: "certain", Sure.FAIRLY: "fairly sure", Sure.UNSURE: "unsure"}


def told(case: Case) -> Told:
    """The account verbatim and the work history."""
    account = case.account
    return Told(
        driver_words=account.driver_words,
        mechanic_words=account.mechanic_words,
        happened=account.happened,
        story=account.story,
        history=tuple(WorkLine(work.what, work.when, work.odometer, work.by) for work in case.history),
    )


def place_of(seen: Observation, question: Question) -> Address | None:
    """Where it was seen; what can only be in one place needs nobody to say where."""
    return seen.at or (Address(question.place) if question.place in WHOLE else None)


def key_of(see: str, at: Address | None) -> str:
    """The key of the item that an observation or a sign becomes."""
    return f"{see}@{at}" if at else see


def facts(assessment: Assessment, knowledge: Knowledge, references: References) -> tuple[Fact, ...]:
    """Every observation that has an answer, each with its label."""
    return tuple(_fact(seen, knowledge, references) for seen in assessment.observations if seen.speaks)


def _fact(seen: Observation, knowledge: Knowledge, references: References) -> Fact:
    question = knowledge.questions[seen.see]
    at = place_of(seen, question)
    key = key_of(seen.see, at)
    answers = [question.answers[answer].text for answer in seen.answers if answer not in SILENT]
    return Fact(
        ref=references.add("F", key),
        key=key,
        place=place_words(at),
        question=question.question,
        answer=" / ".join(answers),
        how=_how(seen),
        note=seen.note,
        photos=seen.photos,
    )


def _how(seen: Observation) -> str:
    parts = [_HOW[seen.how] if seen.how else "", _SURE[seen.sure], seen.by, seen.when]
    return ", ".join(part for part in parts if part)


def derived(assessment: Assessment, knowledge: Knowledge, references: References) -> tuple[Derived, ...]:
    """What follows from several facts, each with its label and the facts under it."""
    return tuple(_derived(sign, knowledge, references) for sign in assessment.opinion.signs)


def _derived(sign: Sign, knowledge: Knowledge, references: References) -> Derived:
    question = knowledge.questions[sign.id]
    key = key_of(sign.id, sign.at)
    basis = references.of(key_of(seen.see, place_of(seen, knowledge.questions[seen.see])) for seen in sign.basis)
    return Derived(
        ref=references.add("D", key),
        key=key,
        place=place_words(sign.at),
        question=question.question,
        answer=question.answers[sign.answer].text,
        basis=basis,
    )


def not_known(assessment: Assessment, knowledge: Knowledge) -> tuple[NotKnown, ...]:
    """Open gates with their reason, then what was not looked at or could not be told."""
    gates = [_gate(gate.question, gate.because, assessment) for gate in assessment.opinion.gates if not gate.answered]
    asked_first = {gate.question.id for gate in assessment.opinion.gates}
    silent = [seen for seen in assessment.observations if not seen.speaks and seen.see not in asked_first]
    return (*gates, *(_silent(seen, knowledge) for seen in silent))


def _gate(gate: Question, because: str, assessment: Assessment) -> NotKnown:
    tried = [seen for seen in assessment.observations if seen.see == gate.id]
    state, said = (_state(tried[-1]), tried[-1].note) if tried else ("not asked yet", "")
    return NotKnown(gate.question, "", state, True, because, said)


def _silent(seen: Observation, knowledge: Knowledge) -> NotKnown:
    question = knowledge.questions[seen.see]
    place = place_words(seen.at) if seen.at else ""
    return NotKnown(question.question, place, _state(seen), False, note=seen.note)


def _state(seen: Observation) -> str:
    return "could not tell" if CANNOT_TELL in seen.answers else "not looked at"


def pictures(case: Case) -> tuple[Picture, ...]:
    """The list of photos by number."""
    return tuple(_picture(photo) for photo in case.photos)


def _picture(photo: Photo) -> Picture:
    place = place_words(photo.at) if photo.at else ""
    return Picture(photo.id, photo.shows, place, photo.taken, photo.by, photo.file, photo.sha256)
