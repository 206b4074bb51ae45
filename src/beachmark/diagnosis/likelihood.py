"""How likely each answer is under each hypothesis.

The chance of answer a under a cause, at the cause's own place, is proportional to

    background(a) * factor(word of a in the cause's table) ** power(place)

and the answers of a question add to one. Any answer may be mistaken: then it falls as the background
does. What follows from this: an answer that was expected and did not come lowers the cause by itself,
and no single answer can exclude a cause.
"""

from __future__ import annotations

import numpy as np

from beachmark.diagnosis.hypotheses import Field, Reals
from beachmark.diagnosis.items import Item
from beachmark.driveline.positions import Address
from beachmark.knowledge.model import Expectation, Knowledge, Question


class Tables:
    """The knowledge as arrays: backgrounds and factors, worked out once per question."""

    def __init__(self, field: Field):
        self.field = field
        self._backgrounds: dict[str, Reals] = {}
        self._log_factors: dict[str, Reals] = {}
        self._chances: dict[tuple[str, Address | None], Reals] = {}

    def background(self, question: Question) -> Reals:
        """Chance of each answer when no cause made it; adds to one."""
        if question.id not in self._backgrounds:
            self._backgrounds[question.id] = background(self.field.knowledge, question)
        return self._backgrounds[question.id]

    def chances(self, question: Question, at: Address | None) -> Reals:
        """(hypotheses, answers) chance of each answer at a place, before mistakes."""
        key = (question.id, at)
        if key not in self._chances:
            power = self.field.powers(at)[:, None]
            raw = self.background(question) * np.exp(power * self._factors(question))
            self._chances[key] = raw / raw.sum(axis=1, keepdims=True)
        return self._chances[key]

    def _factors(self, question: Question) -> Reals:
        if question.id not in self._log_factors:
            per_cause = {
                h.id: log_factors(self.field.knowledge, question, h.cause.expects.get(question.id, {}))
                if h.cause
                else np.zeros(len(question.answers))
                for h in self.field.hypotheses
            }
            self._log_factors[question.id] = np.array([per_cause[h.id] for h in self.field.hypotheses])
        return self._log_factors[question.id]

    def weights(self, item: Item) -> Reals:
        """Log likelihood ratio of an item under each hypothesis against the background."""
        rows: Reals = self.answer_weights(item.question, item.at, item.mistake)
        index = {answer: i for i, answer in enumerate(item.question.answers)}
        told = np.array([index[answer] for answer in item.chances])
        share = np.array(list(item.chances.values()))
        if item.several:
            return np.asarray(rows[:, told].mean(axis=1))
        ground = share * self.background(item.question)[told]
        return np.asarray(np.log((np.exp(rows[:, told]) * ground).sum(axis=1) / ground.sum()))

    def answer_weights(self, question: Question, at: Address | None, mistake: float) -> Reals:
        """(hypotheses, answers) log likelihood ratio of each answer against the background."""
        ground = self.background(question)
        mixed = (1.0 - mistake) * self.chances(question, at) + mistake * ground
        return np.asarray(np.log(mixed / ground))


def background(knowledge: Knowledge, question: Question) -> Reals:
    """Chance of each answer of a question when no cause made it."""
    levels = np.array([knowledge.scales.backgrounds[answer.seen] for answer in question.answers.values()])
    return np.asarray(levels / levels.sum())


def log_factors(knowledge: Knowledge, question: Question, table: Expectation) -> Reals:
    """Log of the factor of each answer of a question in one table; 0 for an answer not named."""
    factors = {answer: knowledge.scales.factors[word] for word, told in table.items() for answer in told}
    return np.asarray(np.log([factors.get(answer, 1.0) for answer in question.answers]))
