"""What would change the answer; does it hold without each item."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from beachmark.diagnosis.ask import added, likely_place, makes_sense
from beachmark.diagnosis.belief import Belief, normalised, together
from beachmark.diagnosis.hypotheses import Reals
from beachmark.driveline.positions import Address
from beachmark.knowledge.model import Question

MOST_TOGETHER = 5  # more answers than this turning out otherwise is another case, not a change of mind
_FUTURE_MISTAKE = 0.02


@dataclass(frozen=True)
class OtherAnswer:
    """One question turning out otherwise than recorded, or being answered at last."""

    question: Question
    at: Address | None
    answer: str
    instead_of: str = ""  # what is recorded now, empty when nothing is
    whole_story: bool = False  # with everything that tells the same story

    @property
    def words(self) -> str:
        """The answer in a sentence."""
        text = self.question.answers[self.answer].text
        known = "computed" if self.question.type == "finding" else "recorded"
        now = f" ({known} now: {self.instead_of})" if self.instead_of else " (not looked at yet)"
        story = ", and what tells the same story with it" if self.whole_story else ""
        return f"{self.question.question.rstrip('?')}: “{text}”{story}{now}"


@dataclass(frozen=True)
class Change:
    """Answers that, together, would put another cause first."""

    answers: tuple[OtherAnswer, ...]
    then_first: str  # cause that would come first
    share_left: float  # what the present first cause would keep

    @property
    def minutes(self) -> float:
        """Work that it takes to find out."""
        return sum(answer.question.minutes for answer in self.answers)

    @property
    def words(self) -> str:
        """The change in a sentence, without the cause that would follow."""
        return "; and ".join(answer.words for answer in self.answers)


Try = tuple[OtherAnswer, Reals]  # an answer and what it adds to the log weight of each hypothesis


def would_change(belief: Belief, *, most: int = 8) -> tuple[Change, ...]:
    """What would put another cause first, single answers before several together, cheapest first.

    Every silent question is tried with each of its answers, every recorded or computed answer with each
    other one, and each story (all items of one dependence group) turned round. Where no single answer is enough, the
    fewest answers that are enough together are given for each near rival.
    """
    tries = [*_silent(belief), *_recorded(belief), *_stories(belief)]
    if not tries:
        return ()
    now = belief.field.causes.index(next(iter(belief.shares)))
    after = belief.field.shares(np.exp(normalised(belief.log_posterior + np.array([row for _, row in tries]))))
    first = after.argmax(axis=1)
    single = [
        Change((answer,), belief.field.causes[first[i]], float(after[i, now]))
        for i, (answer, _) in enumerate(tries)
        if first[i] != now
    ]
    single.sort(key=lambda change: (change.minutes, change.share_left))
    chosen = list({change.answers[0].question.id: change for change in reversed(single)}.values())[::-1]
    if len(chosen) < 3:
        known = {change.words for change in chosen}
        chosen += [change for change in _sets(belief, tries) if change.words not in known]
    return tuple(chosen[:most])


def _sets(belief: Belief, tries: Sequence[Try]) -> list[Change]:
    """For each near rival the fewest answers, of different stories, that put it first together."""
    lead, *rivals = list(belief.shares)[:6]
    found: dict[frozenset[str], Change] = {}
    for rival in rivals:
        change = _set(belief, tries, lead, rival, barred=frozenset())
        if change is None:
            continue
        found.setdefault(_stories_of(change), change)
        # the same again without its strongest answer: is there another way?
        other = _set(belief, tries, lead, rival, barred=frozenset({change.answers[0].question.group}))
        if other is not None:
            found.setdefault(_stories_of(other), other)
    return sorted(found.values(), key=lambda change: (len(change.answers), change.minutes))


def _stories_of(change: Change) -> frozenset[str]:
    return frozenset(answer.question.group for answer in change.answers)


def _set(belief: Belief, tries: Sequence[Try], lead: str, rival: str, *, barred: frozenset[str]) -> Change | None:
    ours, theirs = belief.index(lead), belief.index(rival)
    best: dict[str, tuple[float, int]] = {}
    for i, (answer, row) in enumerate(tries):
        gain = float(row[theirs] - row[ours])
        group = answer.question.group
        if group not in barred and gain > best.get(group, (0.0, -1))[0]:
            best[group] = (gain, i)
    chosen: list[int] = []
    total = belief.log_posterior
    for _, i in sorted(best.values(), reverse=True)[:MOST_TOGETHER]:
        chosen.append(i)
        total = total + tries[i][1]
        shares = belief.field.shares(np.exp(normalised(total)))
        first = belief.field.causes[int(shares.argmax())]
        if first != lead:
            return Change(tuple(tries[j][0] for j in chosen), first, float(shares[belief.field.causes.index(lead)]))
    return None


def _silent(belief: Belief) -> list[Try]:
    known = {item.question.id for item in belief.items}
    tries: list[Try] = []
    for question in belief.field.knowledge.questions.values():
        if not question.weighs or not question.effort or question.id in known:
            continue
        at = likely_place(belief, question)
        if not makes_sense(belief, question, at):
            continue
        rows = belief.group_rows.get(question.group)
        weights = belief.answer_weights(question, at, _FUTURE_MISTAKE)
        change = added(weights, None if rows is None else belief.weights[rows])
        tries += [(OtherAnswer(question, at, answer), change[i]) for i, answer in enumerate(question.answers)]
    return tries


def _recorded(belief: Belief) -> list[Try]:
    tries: list[Try] = []
    for index, item in enumerate(belief.items):
        if item.kind == "sign":  # follows from what was seen, which is tried itself
            continue
        group = belief.group_rows[item.question.group]
        others = belief.weights[group[group != index]]
        loss = together(others) - belief.by_group[item.question.group]
        weights = belief.answer_weights(item.question, item.at, item.mistake)
        change = loss + added(weights, others if len(others) else None)
        if belief.turns(item):
            change = np.array([_turned(belief, index, answer) for answer in item.question.answers])
        tries += [
            (OtherAnswer(item.question, item.at, answer, _told(belief, index)), change[i])
            for i, answer in enumerate(item.question.answers)
            if answer not in item.answers
        ]
    return tries


def _turned(belief: Belief, index: int, answer: str) -> Reals:
    """What another answer changes where it decides whether other items count: everything is weighed again."""
    items = list(belief.items)
    items[index] = replace(items[index], chances={answer: 1.0})
    return np.asarray(belief.with_items(items).log_posterior - belief.log_posterior)


def _stories(belief: Belief) -> list[Try]:
    """Each group replaced by the one answer to its leading question that speaks most against the first cause."""
    ours = belief.index(next(iter(belief.shares)))
    tries: list[Try] = []
    for group, rows in belief.group_rows.items():
        seen = [int(i) for i in rows if belief.items[i].kind == "seen"]
        if len(rows) < 2 or not seen:
            continue
        leading = max(seen, key=lambda i: float(belief.weights[i, ours]))
        item = belief.items[leading]
        weights = belief.answer_weights(item.question, item.at, item.mistake)
        worst = int(weights[:, ours].argmin())
        answer = list(item.question.answers)[worst]
        if answer not in item.chances:
            turned = OtherAnswer(item.question, item.at, answer, _told(belief, leading), whole_story=True)
            tries.append((turned, weights[worst] - belief.by_group[group]))
    return tries


def _told(belief: Belief, index: int) -> str:
    item = belief.items[index]
    return " / ".join(item.question.answers[answer].text for answer in item.answers)


@dataclass(frozen=True)
class Robustness:
    """Does the first cause stay first when each item is left out?"""

    holds: bool
    weakest_item: str  # the item whose loss takes most
    share_without: float
    tried: int


def leave_one_out(belief: Belief) -> Robustness:
    """Leave each item out in turn and see what is left of the first cause."""
    now = belief.field.causes.index(next(iter(belief.shares)))
    kept = []
    for index, item in enumerate(belief.items):
        if belief.turns(item):
            kept.append(belief.with_items([*belief.items[:index], *belief.items[index + 1 :]]).log_posterior)
            continue
        group = belief.group_rows[item.question.group]
        others = together(belief.weights[group[group != index]])
        kept.append(belief.log_posterior - belief.by_group[item.question.group] + others)
    if not kept:
        return Robustness(True, "", float(belief.field.shares(belief.posterior)[now]), 0)
    shares = belief.field.shares(np.exp(normalised(np.array(kept))))
    weakest = int(shares[:, now].argmin())
    holds = bool((shares.argmax(axis=1) == now).all())
    return Robustness(holds, belief.items[weakest].words, float(shares[weakest, now]), len(kept))
