"""What would change the answer; does it hold without each item."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from beachmark.diagnosis.ask import added, likely_place
from beachmark.diagnosis.belief import Belief, group_rows, normalised, together
from beachmark.diagnosis.hypotheses import Reals
from beachmark.driveline.positions import Address
from beachmark.knowledge.model import Question


@dataclass(frozen=True)
class Change:
    """An answer that would put another cause first."""

    question: Question
    at: Address | None
    answer: str
    instead_of: str = ""  # what is recorded now, empty when nothing is
    whole_story: bool = False  # everything that tells the same story would have to turn out that way
    then_first: str = ""  # cause that would come first
    share_left: float = 1.0  # what the present first cause would keep

    @property
    def minutes(self) -> float:
        """Work that it takes to find out."""
        return self.question.minutes

    @property
    def words(self) -> str:
        """The change in a sentence, without the cause that would follow."""
        text = self.question.answers[self.answer].text
        now = f" (recorded now: {self.instead_of})" if self.instead_of else " (not looked at yet)"
        story = ", with all that tells the same story" if self.whole_story else ""
        return f"{self.question.question.rstrip('?')}: “{text}”{story}{now}"


def would_change(belief: Belief, *, most: int = 8) -> tuple[Change, ...]:
    """Answers that would put another cause first, cheapest first.

    Every silent question is tried with each of its answers, every recorded item with each other answer,
    and, since items of one story stand together, each whole story turned round. When none of these is
    enough, those that take most from the first cause are given instead.
    """
    now = next(iter(belief.cause_shares()))
    tries = [*_silent(belief), *_recorded(belief), *_stories(belief)]
    if not tries:
        return ()
    after = belief.field.shares(np.exp(normalised(np.array([row for _, row in tries]))))
    first = after.argmax(axis=1)
    mine = belief.field.causes.index(now)
    changes = [
        replace(change, then_first=belief.field.causes[first[i]], share_left=float(after[i, mine]))
        for i, (change, _) in enumerate(tries)
    ]
    flips = [change for change in changes if change.then_first != now]
    chosen = sorted(flips, key=lambda change: (change.minutes, change.share_left))
    if len(_distinct(chosen)) < 2:
        rest = sorted((c for c in changes if c.then_first == now), key=lambda change: change.share_left)
        chosen += rest
    return tuple(_distinct(chosen)[:most])


def _distinct(changes: Sequence[Change]) -> list[Change]:
    """One change per question: the first in the list."""
    return list({change.question.id: change for change in reversed(changes)}.values())[::-1]


Try = tuple[Change, Reals]


def _silent(belief: Belief) -> list[Try]:
    known = {item.question.id for item in belief.items}
    rows = group_rows(belief.items)
    tries: list[Try] = []
    for question in belief.field.knowledge.questions.values():
        if not question.weighs or not question.effort or question.id in known:
            continue
        at = likely_place(belief, question)
        existing = belief.weights[rows[question.group]] if question.group in rows else None
        weights = belief.tables.answer_weights(question, at, 0.02).T
        change = belief.log_posterior + added(weights, existing)
        tries += [(Change(question, at, answer), change[i]) for i, answer in enumerate(question.answers)]
    return tries


def _recorded(belief: Belief) -> list[Try]:
    rows = group_rows(belief.items)
    tries: list[Try] = []
    for index, item in enumerate(belief.items):
        if item.kind != "seen":
            continue
        group = rows[item.question.group]
        others = belief.weights[group[group != index]]
        without = belief.log_posterior - belief.by_group[item.question.group] + together(others)
        weights = belief.tables.answer_weights(item.question, item.at, item.mistake).T
        change = without + added(weights, others if len(others) else None)
        for i, answer in enumerate(item.question.answers):
            if answer not in item.chances:
                instead = " / ".join(item.question.answers[a].text for a in item.answers)
                tries.append((Change(item.question, item.at, answer, instead), change[i]))
    return tries


def _stories(belief: Belief) -> list[Try]:
    """Each group turned round: every item of it replaced by the one answer that is most against the first."""
    index = belief.index(next(iter(belief.cause_shares())))
    tries: list[Try] = []
    for group, rows in group_rows(belief.items).items():
        seen = [belief.items[i] for i in rows if belief.items[i].kind == "seen"]
        if not seen:
            continue
        without = belief.log_posterior - belief.by_group[group]
        lead = max(seen, key=lambda item: float(belief.tables.weights(item)[index]))
        weights = belief.tables.answer_weights(lead.question, lead.at, lead.mistake).T
        worst = int(weights[:, index].argmin())
        answer = list(lead.question.answers)[worst]
        if answer in lead.chances:
            continue
        instead = " / ".join(lead.question.answers[a].text for a in lead.answers)
        turned = Change(lead.question, lead.at, answer, instead, whole_story=len(rows) > 1)
        tries.append((turned, without + weights[worst]))
    return tries


@dataclass(frozen=True)
class Robustness:
    """Does the first cause stay first when each item is left out?"""

    holds: bool
    weakest_item: str  # the item whose loss takes most
    share_without: float
    tried: int


def leave_one_out(belief: Belief) -> Robustness:
    """Leave each item out in turn and see what is left of the first cause."""
    now = belief.field.causes.index(next(iter(belief.cause_shares())))
    rows = group_rows(belief.items)
    kept = []
    for index, item in enumerate(belief.items):
        group = rows[item.question.group]
        others = together(belief.weights[group[group != index]])
        kept.append(belief.log_posterior - belief.by_group[item.question.group] + others)
    if not kept:
        return Robustness(True, "", float(belief.field.shares(belief.posterior)[now]), 0)
    shares = belief.field.shares(np.exp(normalised(np.array(kept))))
    weakest = int(shares[:, now].argmin())
    holds = bool((shares.argmax(axis=1) == now).all())
    return Robustness(holds, belief.items[weakest].words, float(shares[weakest, now]), len(kept))
