"""What the causes page shows: one row a cause, in words; shares stand in a folded part only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beachmark.web.house import Worked
from beachmark.web.spine import Frame, frame_of, part_link, place_title, question_link
from beachmark.workflow.pages import (
    CauseOpinion,
    Change,
    Contribution,
    Item,
    Opinion,
    StartWords,
    capital,
    ended,
    listed_causes,
    plain,
    start_words,
)
from beachmark.workflow.places import (
    answer_words,
    asking_place,
    cause_title,
    in_words,
    question_of,
    question_title,
    shown_at,
    strength_scale,
)

MOST_SILENT = 8


@dataclass(frozen=True)
class Reason:
    """One piece of evidence and what it says about a cause."""

    answer: str
    question: str
    place: str
    words: str
    href: str


@dataclass(frozen=True)
class Reasons:
    """What counts on one side, and what tells the same story again."""

    counted: tuple[Reason, ...]
    again: tuple[Reason, ...]


@dataclass(frozen=True)
class CauseRow:
    """One cause."""

    id: str
    title: str
    place: str
    href: str
    strength: str
    speaks_for: Reasons
    speaks_against: Reasons
    silent: tuple[str, ...]
    ranked_lower: str
    mechanism: str
    first_failure: str
    remedy: str
    caution: str
    source: str
    consequence_of_first: bool
    share: float


@dataclass(frozen=True)
class ChangeRow:
    """What would change our mind."""

    answers: tuple[str, ...]
    then_first: str
    href: str


@dataclass(frozen=True)
class RootRow:
    """A root cause that may have brought it about."""

    title: str
    origin: str
    because: tuple[str, ...]
    share: float


@dataclass(frozen=True)
class CausesPage:
    """The whole page."""

    frame: Frame
    starting: StartWords
    known: bool
    first_words: str
    strength: str
    meaning: str
    causes: tuple[CauseRow, ...]
    rest: int
    root: str
    roots: tuple[RootRow, ...]
    settle: tuple[tuple[str, str], ...]
    consequences: tuple[tuple[str, str], ...]
    changes: tuple[ChangeRow, ...]
    robust: str
    scale: tuple[tuple[str, str], ...]
    confirmed: int


def causes_page(worked: Worked) -> CausesPage:
    """The causes of a case, weighed."""
    opinion = worked.assessment.opinion
    listed = listed_causes(opinion)
    items = {item.key: item for item in opinion.items}
    return CausesPage(
        frame=frame_of(worked, "causes"),
        starting=start_words(opinion),
        known=bool(opinion.items),
        first_words=ended(capital(opinion.first_failure.words)),
        strength=opinion.first_failure.strength.word,
        meaning=opinion.first_failure.strength.meaning,
        causes=tuple(_row(worked.number, cause, items) for cause in listed),
        rest=len(opinion.causes) - len(listed),
        root=opinion.root_cause.root.title if opinion.root_cause.root else "",
        roots=tuple(
            RootRow(one.root.title, one.root.origin.replace("_", " "), one.because, one.share)
            for one in opinion.root_cause.candidates
        ),
        settle=tuple(_question_link(worked.number, id) for id in opinion.root_cause.settle),
        consequences=tuple((one.text, one.evidence) for one in opinion.consequences),
        changes=tuple(_change(worked.number, change) for change in opinion.would_change),
        robust=_robust(opinion),
        scale=strength_scale(),
        confirmed=opinion.confirmed_cases,
    )


def _row(number: int, cause: CauseOpinion, items: Mapping[str, Item]) -> CauseRow:
    told, known = cause.contributions, cause.cause
    silent = [question_title(id) for id in cause.unanswered]
    shown = shown_at(cause.place)
    return CauseRow(
        id=cause.id,
        title=cause.title,
        place=place_title(cause.place) if cause.place else "place not known yet",
        href=part_link(number, shown) if shown and shown.number else "",
        strength=cause.strength.word,
        speaks_for=_reasons(number, [one for one in told if one.side == "for"], items),
        speaks_against=_reasons(number, [one for one in told if one.side == "against"], items),
        silent=tuple(silent[:MOST_SILENT]),
        ranked_lower=ended(capital(plain(cause.ranked_lower))) if cause.ranked_lower else "",
        mechanism=known.mechanism if known else "",
        first_failure=known.first_failure if known else "",
        remedy=cause.remedy,
        caution=known.caution if known else "",
        source=known.source if known else "",
        consequence_of_first=cause.consequence_of_first,
        share=cause.share,
    )


def _reasons(number: int, told: Sequence[Contribution], items: Mapping[str, Item]) -> Reasons:
    counted = tuple(_reason(number, one, items[one.item]) for one in told if one.counted)
    return Reasons(counted, tuple(_reason(number, one, items[one.item]) for one in told if not one.counted))


def _reason(number: int, one: Contribution, item: Item) -> Reason:
    at = shown_at(one.at)
    return Reason(
        answer=" / ".join(answer_words(item.question, answer) for answer in item.answers),
        question=item.question.question,
        place=in_words(one.at) if one.at and one.at.number else "",
        words=capital(one.words),
        href=f"/case/{number}/sums" if one.kind == "sum" else part_link(number, at) if at else "",
    )


def _question_link(number: int, id: str) -> tuple[str, str]:
    question = question_of(id)
    if question is None:
        return question_title(id), f"/case/{number}/facts#missing"
    return question.question, question_link(number, id, asking_place(question, None))


def _change(number: int, change: Change) -> ChangeRow:
    first = change.answers[0]
    answers = tuple(
        plain(answer.words) + (f" ({in_words(answer.at)})" if answer.at else "") for answer in change.answers
    )
    if question_of(first.question.id) is None:
        return ChangeRow(answers, cause_title(change.then_first), f"/case/{number}/sums")
    href = question_link(number, first.question.id, asking_place(first.question, first.at))
    return ChangeRow(answers, cause_title(change.then_first), href)


def _robust(opinion: Opinion) -> str:
    found = opinion.robustness
    if not found.tried:
        return ""
    weakest = ended(plain(found.weakest_item))
    if found.holds:
        return f"Leaving out any one piece of evidence keeps the same cause first. It leans most on: {weakest}"
    return f"Leaving out one piece of evidence would put another cause first: {weakest}"
