"""Root cause and consequences of the first failure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from beachmark.diagnosis.belief import group_rows, normalised, together
from beachmark.diagnosis.hypotheses import Hypothesis, Reals
from beachmark.diagnosis.items import Item
from beachmark.driveline.positions import Address, Relation, relation
from beachmark.knowledge.chances import answer_chances, background
from beachmark.knowledge.model import Consequence, Knowledge, RootCause

CANDIDATE_SHARE = 0.15  # root causes with less are not named as candidates


@dataclass(frozen=True)
class RootCandidate:
    """A root cause with its share among those that lead to the mechanism."""

    root: RootCause
    share: float
    because: tuple[str, ...]  # evidence that speaks for it, in words


@dataclass(frozen=True)
class RootFinding:
    """The root cause, or `root=None`: open, with its candidates and the questions that would settle it."""

    root: RootCause | None
    candidates: tuple[RootCandidate, ...]
    settle: tuple[str, ...]  # ids of questions


@dataclass(frozen=True)
class ConsequenceSeen:
    """Something that was seen and that the first failure explains."""

    item: str
    at: Address | None
    text: str
    evidence: str


def root_finding(knowledge: Knowledge, first: Hypothesis, items: Sequence[Item], *, settled: bool) -> RootFinding:
    """Weigh the root causes that lead to the first failure, by what belongs to its place.

    Open unless one is clearly ahead and `settled`, which is False while the mechanism itself is not at least
    moderately supported.
    """
    cause = first.id
    leading = [root for root in knowledge.root_causes.values() if cause in root.of]
    if not leading:
        return RootFinding(None, (), ())
    prior = np.log([knowledge.scales.links[root.of[cause]] for root in leading])
    weights = np.array([[_weight(knowledge, root, item, first.at) for root in leading] for item in items])
    total = prior + sum((together(weights[rows]) for rows in group_rows(items).values()), np.zeros(len(leading)))
    shares = np.exp(normalised(total))
    candidates = tuple(
        RootCandidate(leading[i], float(shares[i]), _because(items, weights[:, i]))
        for i in np.argsort(-shares, kind="stable")
        if shares[i] >= CANDIDATE_SHARE
    )
    lead = candidates[0] if candidates else None
    named = lead.root if lead and lead.share >= knowledge.scales.open_below and settled else None
    return RootFinding(named, candidates, _settling(candidates, items))


def _weight(knowledge: Knowledge, root: RootCause, item: Item, first_at: Address) -> float:
    """As for a cause: log ratio times trust, and nothing where the table does not hold."""
    table = root.expects.get(item.question.id)
    power = knowledge.scales.relations[relation(item.at, first_at).value] * knowledge.scales.trust
    if not table or not power:
        return 0.0
    ground = background(knowledge, item.question)
    chances = answer_chances(knowledge, item.question, table)
    mixed = (1 - item.mistake) * chances + item.mistake * ground
    index = list(item.question.answers)
    told = [index.index(answer) for answer in item.chances]
    share = np.array(list(item.chances.values()))
    if item.several:
        return power * float(np.log(mixed[told] / ground[told]).mean())
    return power * float(np.log((share * mixed[told]).sum() / (share * ground[told]).sum()))


def _because(items: Sequence[Item], weights: Reals) -> tuple[str, ...]:
    order = [i for i in np.argsort(-weights) if weights[i] > 0.1] if len(weights) else []
    return tuple(items[i].words for i in order[:4])


def _settling(candidates: Sequence[RootCandidate], items: Sequence[Item]) -> tuple[str, ...]:
    answered = {item.question.id for item in items}
    asked = [question for candidate in candidates for question in candidate.root.settle]
    return tuple(dict.fromkeys(question for question in asked if question not in answered))


def consequences_seen(first: Hypothesis, items: Sequence[Item]) -> tuple[ConsequenceSeen, ...]:
    """What was seen that the first failure explains, by its declared consequences."""
    if first.cause is None:
        return ()
    found: dict[tuple[str, str], ConsequenceSeen] = {}
    for consequence in first.cause.consequences:
        for item in items:
            if _explains(consequence, item, first):
                seen = ConsequenceSeen(item.key, item.at, consequence.text, item.words)
                found.setdefault((item.key, consequence.text), seen)
    return tuple(found.values())


def _explains(consequence: Consequence, item: Item, first: Hypothesis) -> bool:
    if item.question.id != consequence.see or not set(item.answers) & set(consequence.answers):
        return False
    related = relation(item.at, first.at)
    if consequence.where == "any":
        return True
    if consequence.where == "train":
        return related not in (Relation.HERE, Relation.HOLDS)
    if consequence.where == "here":
        return related in (Relation.HERE, Relation.HOLDS, Relation.CASE, Relation.UNPLACED)
    return related.value == consequence.where or related is Relation.UNPLACED
