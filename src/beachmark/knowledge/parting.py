"""Whether anything broke or came off; what makes no sense to ask where nothing did."""

from __future__ import annotations

from collections.abc import Iterable

from beachmark.knowledge.model import Knowledge, Question

Told = tuple[str, tuple[str, ...]]  # a question and the answers that were given to it


def parted(knowledge: Knowledge, told: Iterable[Told]) -> bool | None:
    """True when an answer says that something broke or came off, False when one says that nothing did, else None.

    A part that was seen broken stands above the word that nothing let go.
    """
    said = {_said(knowledge, see, answer) for see, answers in told for answer in answers}
    return True if True in said else False if False in said else None


def _said(knowledge: Knowledge, see: str, answer: str) -> bool | None:
    question = knowledge.questions.get(see)
    known = question.answers.get(answer) if question else None
    if question is None or known is None:
        return None
    if known.parted is None and follows_a_break(knowledge, question) and known.seen != "usual":
        return True  # nobody can describe the face of a break that is not there
    return known.parted


def follows_a_break(knowledge: Knowledge, question: Question) -> bool:
    """True for a question that only makes sense once another one said that something parted."""
    when = question.asked_when
    if when is None or when.see not in knowledge.questions:
        return False
    answers = knowledge.questions[when.see].answers
    return all(answers[answer].parted for answer in when.answers if answer in answers)


def only_of_breaks(knowledge: Knowledge, question: Question) -> bool:
    """True for a question that has nothing to ask where nothing parted: which piece broke, how its face looks."""
    others = [answer for answer in question.answers.values() if answer.seen != "usual"]
    return follows_a_break(knowledge, question) or (bool(others) and all(answer.parted for answer in others))
