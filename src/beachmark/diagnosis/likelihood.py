"""How likely each answer is under each hypothesis.

The chance of an answer under a cause, at the cause's own place, is a mixture: with a declared share it is
one of the answers that the cause's table expects; else it falls as the background (how often the answer is
met when no cause made it) times the factor of its word. At another place the table holds with a power below
one. Any answer may be mistaken: then it falls as the background does. Groups of evidence still lean on one
another, so every log ratio is multiplied by `trust`, a number below one.

What follows: an answer that was expected and did not come lowers the cause by itself, a rare answer that was
expected raises it by its rarity, and no single answer can exclude a cause.
"""

from __future__ import annotations

import numpy as np

from beachmark.diagnosis.hypotheses import Field, Reals
from beachmark.diagnosis.items import Item
from beachmark.driveline.positions import Address
from beachmark.knowledge.chances import background, expected, log_factors, mixture
from beachmark.knowledge.model import Question


class Tables:
    """The knowledge as arrays: backgrounds and factors, worked out once per question."""

    def __init__(self, field: Field):
        self.field = field
        self.trust = field.knowledge.scales.trust
        self._backgrounds: dict[str, Reals] = {}
        self._tables: dict[str, tuple[Reals, Reals]] = {}
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
            self._chances[key] = mixture(self.background(question), *self._rows(question), power)
        return self._chances[key]

    def _rows(self, question: Question) -> tuple[Reals, Reals]:
        """(hypotheses, answers) log factors, and chances within the expected answers."""
        if question.id not in self._tables:
            knowledge = self.field.knowledge
            tables = [h.cause.expects.get(question.id, {}) if h.cause else {} for h in self.field.hypotheses]
            self._tables[question.id] = (
                np.array([log_factors(knowledge, question, table) for table in tables]),
                np.array([expected(knowledge, question, table) for table in tables]),
            )
        return self._tables[question.id]

    def mixed(self, question: Question, at: Address | None, mistake: float) -> Reals:
        """(hypotheses, answers) chance that each answer is given, mistakes included."""
        return np.asarray((1.0 - mistake) * self.chances(question, at) + mistake * self.background(question))

    def answer_weights(self, question: Question, at: Address | None, mistake: float) -> Reals:
        """(hypotheses, answers) weight of each answer: log likelihood ratio to the background, times trust."""
        ratio = self.mixed(question, at, mistake) / self.background(question)
        return np.asarray(self.trust * np.log(ratio))

    def weights(self, item: Item) -> Reals:
        """Weight of an item under each hypothesis; a finding that straddles a limit counts by its chances."""
        index = {answer: i for i, answer in enumerate(item.question.answers)}
        told = np.array([index[answer] for answer in item.chances])
        if item.several:
            rows = self.answer_weights(item.question, item.at, item.mistake)
            return np.asarray(rows[:, told].mean(axis=1))
        ground = np.array(list(item.chances.values())) * self.background(item.question)[told]
        ratio = self.mixed(item.question, item.at, item.mistake)[:, told] / self.background(item.question)[told]
        return np.asarray(self.trust * np.log((ratio * ground).sum(axis=1) / ground.sum()))
