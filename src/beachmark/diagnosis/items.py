"""Evidence in one form: what was seen, what follows from it, what was computed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beachmark.driveline.positions import WHOLE, Address, in_words
from beachmark.evidence.records import SILENT, How, Observation
from beachmark.evidence.signs import Sign
from beachmark.findings.results import Sum
from beachmark.knowledge.chances import mistake
from beachmark.knowledge.model import Knowledge, Question

_COMPUTED_MISTAKE = 0.02  # a sum is not better than its model; its inputs' ranges are in the chances


@dataclass(frozen=True)
class Item:
    """One piece of evidence: chances over the answers of a question at a place.

    A plain observation has one answer with chance 1; a computed finding may straddle a limit.
    Several true answers of one observation share its weight.
    """

    question: Question
    at: Address | None
    chances: Mapping[str, float]
    mistake: float
    kind: str  # seen, sign, sum
    several: bool = False
    told: bool = False  # somebody said so; nobody who recorded it looked

    @property
    def key(self) -> str:
        """A stable id: `cross.face@joint-1/trunnion-A1`."""
        return f"{self.question.id}@{self.at}" if self.at else self.question.id

    @property
    def words(self) -> str:
        """The evidence in a sentence."""
        told = [self.question.answers[answer].text for answer in self.answers]
        answers = " / ".join(told)
        if self.kind == "sum" and len(told) > 1:
            answers = f"{told[0]}; within its range also: {told[1][0].lower()}{told[1][1:]}"
        place = f" ({in_words(self.at)})" if self.at is not None and self.at.unit != "case" else ""
        return f"{self.question.question.rstrip('?')}{place}: {answers}"

    @property
    def answers(self) -> tuple[str, ...]:
        """The answers it gives, likeliest first."""
        told = [answer for answer in self.chances if self.chances[answer] > 0.005]
        return tuple(sorted(told, key=lambda answer: -self.chances[answer]))


def gather(
    knowledge: Knowledge, observations: Iterable[Observation], signs: Iterable[Sign], sums: Iterable[Sum]
) -> tuple[Item, ...]:
    """Everything that may weigh, in one form; silent answers and weightless questions are left out."""
    items = [_seen(knowledge, observation) for observation in observations if observation.speaks]
    items += [_sign(knowledge, sign) for sign in signs]
    items += [_sum(knowledge, result) for result in sums if result.chances and result.computed]
    return tuple(item for item in items if item.question.weighs)


def _seen(knowledge: Knowledge, observation: Observation) -> Item:
    answers = [answer for answer in observation.answers if answer not in SILENT]
    question = knowledge.questions[observation.see]
    return Item(
        question=question,
        # what can only be in one place needs nobody to say where
        at=observation.at or (Address(question.place) if question.place in WHOLE else None),
        chances=dict.fromkeys(answers, 1.0),
        mistake=mistake(knowledge.scales, observation),
        kind="seen",
        several=len(answers) > 1,
        told=observation.how is How.TOLD,
    )


def _sign(knowledge: Knowledge, sign: Sign) -> Item:
    weakest = max(mistake(knowledge.scales, observation) for observation in sign.basis)
    return Item(knowledge.questions[sign.id], sign.at, {sign.answer: 1.0}, weakest, "sign")


def _sum(knowledge: Knowledge, result: Sum) -> Item:
    return Item(knowledge.questions[result.id], result.at, dict(result.chances), _COMPUTED_MISTAKE, "sum")
