"""The questions that can be answered at a part, in groups of like work, those asked next first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beachmark.web.case.forms import Asking, Typed
from beachmark.web.house import Worked
from beachmark.workflow.pages import Observation, capital, ended
from beachmark.workflow.places import (
    ANSWERS_OF_NONE,
    Address,
    NextQuestion,
    Question,
    answer_words,
    asking_place,
    cautions_of,
    finer_places,
    in_words,
    questions_at,
    shown_at,
)

EFFORTS = {
    "phone": "By phone", "hand": "With hands and eyes", "tools": "With tools", "strip": "Taking apart",
    "lab": "In a laboratory",
}  # fmt: skip
PART_WORDS = {
    "trunnion": "arm", "cap": "cap", "yoke": "yoke", "fasteners": "fasteners", "weld": "weld", "joint": "whole joint",
}  # fmt: skip
ALTERS = "This step alters evidence: photograph first, and take a grease sample where there is grease."
USUAL_HOW = {"phone": "told", "hand": "hand", "tools": "tools", "strip": "hand", "lab": "laboratory"}


@dataclass(frozen=True)
class AnswerChoice:
    """One answer to choose."""

    id: str
    text: str
    none: bool  # not looked at, cannot tell
    chosen: bool


@dataclass(frozen=True)
class QuestionForm:
    """One question with everything that its form shows."""

    id: str
    question: str
    how_to_look: str
    picture: str
    cautions: tuple[tuple[str, tuple[str, ...]], ...]
    alters: bool
    minutes: float
    several: bool
    measures: str
    answers: tuple[AnswerChoice, ...]
    places: tuple[tuple[str, str, bool], ...]
    place_question: str
    part_word: str
    answered: str
    because: str
    opened: bool
    faulty: bool
    by: str
    how: str
    when: str
    sure: str
    note: str


@dataclass(frozen=True)
class QuestionGroup:
    """Questions of like work."""

    title: str
    next: bool
    questions: tuple[QuestionForm, ...]


def question_groups(
    worked: Worked, at: Address, seen: Sequence[Observation], asking: Asking
) -> tuple[QuestionGroup, ...]:
    """The questions of a part. On an arm or a cap only those that fit it."""
    asked = {one.question.id: one for one in worked.assessment.opinion.ask_next if _is_at(one, at)}
    forms = {question.id: _form(question, at, asked.get(question.id), seen, asking) for question in questions_at(at)}
    efforts = {question.id: question.effort or "hand" for question in questions_at(at)}
    groups = [QuestionGroup("Asked next", True, tuple(forms[id] for id in asked if id in forms))]
    for effort, title in EFFORTS.items():
        rest = tuple(form for id, form in forms.items() if id not in asked and efforts[id] == effort)
        groups.append(QuestionGroup(title, False, rest))
    return tuple(group for group in groups if group.questions)


def _is_at(one: NextQuestion, at: Address) -> bool:
    """Asked at this part; a question whose place nobody knows is asked at every part that it fits."""
    if one.at is None and asking_place(one.question, None).number:
        return True
    return shown_at(asking_place(one.question, one.at)) == shown_at(at)


def _form(
    question: Question,
    at: Address,
    next_: NextQuestion | None,
    seen: Sequence[Observation],
    asking: Asking,
) -> QuestionForm:
    mine = asking.typed if asking.typed.see == question.id else Typed()
    places = _places(question, at, mine)
    told = [one for one in seen if one.see == question.id]
    return QuestionForm(
        id=question.id,
        question=question.question,
        how_to_look=question.how_to_look,
        picture=question.picture,
        cautions=_cautions(question),
        alters=question.alters_evidence,
        minutes=question.minutes,
        several=question.several,
        measures=", ".join(field.name.replace("_", " ") for field in question.fields),
        answers=_answers(question, mine),
        places=places,
        place_question=_place_question(question),
        part_word=PART_WORDS.get(question.place, "") if at.number else "",
        answered=_answered(question, told),
        because=ended(capital(next_.because)) if next_ else "",
        opened=bool(mine.see) or question.id == asking.ask,
        faulty=bool(mine.see),
        by=mine.by or asking.name,
        how=mine.how if mine.see else USUAL_HOW.get(question.effort, ""),
        when=mine.when,
        sure=mine.sure or "fairly",
        note=mine.note,
    )


def _cautions(question: Question) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The cautions under their signal words, the gravest first; a step that alters evidence always has a notice."""
    found: dict[str, list[str]] = {}
    for caution in cautions_of(question):
        found.setdefault(caution.word.upper(), []).append(caution.text)
    if question.alters_evidence and "NOTICE" not in found:
        found["NOTICE"] = [ALTERS]
    return tuple((word, tuple(texts)) for word, texts in found.items())


def _answers(question: Question, mine: Typed) -> tuple[AnswerChoice, ...]:
    own = [AnswerChoice(id, answer.text, False, id in mine.answers) for id, answer in question.answers.items()]
    none = [AnswerChoice(id, text, True, id in mine.answers) for id, text in ANSWERS_OF_NONE.items()]
    return (*own, *none)


def _places(question: Question, at: Address, mine: Typed) -> tuple[tuple[str, str, bool], ...]:
    """The finer places to choose from, the whole part last; nothing when there is no choice."""
    part = shown_at(at) or at
    finer = finer_places(question, part)
    if not finer:
        return ()
    chosen = mine.at if mine.see else str(at)
    listed = [(str(one), in_words(one).partition(", ")[2], str(one) == chosen) for one in finer]
    if chosen == str(part) and at != part:
        listed = [(one, words, False) for one, words, _ in listed]
    if question.place == "fasteners":
        return ((str(finer[0]), "fasteners", True),)
    return ((str(part), f"{in_words(part)}, not said which", chosen == str(part)), *listed)


def _place_question(question: Question) -> str:
    words = {"trunnion": "Which arm?", "cap": "Which cap?", "yoke": "Which yoke?", "weld": "Which weld?"}
    return words.get(question.place, "Which part?")


def _answered(question: Question, told: Sequence[Observation]) -> str:
    parts = []
    for one in told:
        place = f"{in_words(one.at).partition(', ')[2]}: " if one.at and one.at.part else ""
        parts.append(place + " / ".join(answer_words(question, answer) for answer in one.answers))
    return "; ".join(parts)
