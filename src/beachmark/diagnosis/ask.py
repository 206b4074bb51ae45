"""Gates and the next best questions.

A question's worth is the information that its answer is expected to give about the cause, per minute of
the mechanic's work; steps that alter evidence count as costlier and stand last among equals.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, zip_longest

import numpy as np

from beachmark.diagnosis.belief import Belief, normalised, together
from beachmark.diagnosis.hypotheses import Reals
from beachmark.driveline.positions import WHOLE, Address
from beachmark.evidence.records import CANNOT_TELL, Observation
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge, Question
from beachmark.knowledge.parting import only_of_breaks, parted

ALTERING_COST = 2.0  # a step that alters evidence must be worth this much more


@dataclass(frozen=True)
class GateState:
    """A question that is asked first, whether it was answered, and why it is asked."""

    question: Question
    answered: bool
    answers: tuple[str, ...]
    because: str


@dataclass(frozen=True)
class NextQuestion:
    """One question to ask next, at which place, what it would bring and why."""

    question: Question
    at: Address | None
    worth: float  # expected information about the cause, bits
    per_minute: float
    because: str
    gate: bool = False  # asked first whatever it is worth


@dataclass(frozen=True)
class NextNumber:
    """A number that is missing and the sums that it would allow."""

    name: str
    words: str
    allows: tuple[str, ...]


def gate_states(knowledge: Knowledge, observations: Iterable[Observation]) -> tuple[GateState, ...]:
    """Every gate in its order. An answer of "not looked at" or "cannot tell" leaves a gate open.

    Where nothing broke or came off, gates about broken parts are left out unless they were answered.
    """
    observations = tuple(observations)
    told: dict[str, list[str]] = {}
    for observation in observations:
        if observation.speaks:
            told.setdefault(observation.see, []).extend(observation.answers)
    whole = parted(knowledge, ((seen.see, seen.answers) for seen in observations)) is False
    return tuple(
        GateState(gate, gate.id in told, tuple(dict.fromkeys(told.get(gate.id, ()))), _gate_reason(gate, whole))
        for gate in knowledge.gates
        if gate.id in told or not (whole and gate.gate and gate.gate.after_break)
    )


def next_questions(belief: Belief, asked: Iterable[Observation], *, most: int = 10) -> tuple[NextQuestion, ...]:
    """Open gates in their order, then the questions whose answers should say most per minute, best first.

    Where nothing broke or came off, no neighbour can have made a victim of the shaft: the best questions and the
    gates then take turns.
    """
    asked = tuple(asked)
    gates = [
        NextQuestion(state.question, None, 0.0, 0.0, state.because, gate=True)
        for state in gate_states(belief.field.knowledge, asked)
        if not state.answered
    ]
    closed = {(seen.see, at) for seen in asked if _closed(seen) for at in (seen.at, None)}
    placed = {see for see, at in closed if at is None}
    candidates = [
        (question, at)
        for question in belief.field.knowledge.questions.values()
        if question.weighs and question.effort and not question.gate
        for at in [likely_place(belief, question)]
        if (question.id, at) not in closed
        and not (question.place in WHOLE and question.id in placed)
        and makes_sense(belief, question, at)
    ]
    worth = expected_information(belief, candidates)
    ranked = sorted(
        (_next(belief, question, at, bits) for (question, at), bits in zip(candidates, worth, strict=True)),
        key=lambda one: -one.per_minute,
    )
    best = [one for one in ranked[:most] if one.worth > _WORTHLESS]
    return tuple(_in_turn(best, gates) if belief.parted is False else [*gates, *best])


def _in_turn(best: Sequence[NextQuestion], gates: Sequence[NextQuestion]) -> list[NextQuestion]:
    """One of the best, one gate, and so on; what is left over of either stands last."""
    pairs = [one for pair in zip_longest(best, gates) for one in pair]
    return [one for one in pairs if one is not None]


def makes_sense(belief: Belief, question: Question, at: Address | None) -> bool:
    """False where another answer has already said that there is nothing to look at: no face without a break."""
    if belief.parted is False and only_of_breaks(belief.field.knowledge, question):
        return False
    when = question.asked_when
    if when is None:
        return True
    there = [
        item
        for item in belief.items
        if item.question.id == when.see and (at is None or item.at is None or item.at.holder == at.holder)
    ]
    return not there or any(set(item.answers) & set(when.answers) for item in there)


_WORTHLESS = 1e-4  # bits; not worth anybody's minute


def _closed(seen: Observation) -> bool:
    """Answered, or looked at without a result: asking again brings nothing. Not looked at stays open."""
    return seen.speaks or CANNOT_TELL in seen.answers


def _gate_reason(question: Question, whole: bool) -> str:
    if question.gate is None:
        return ""
    return question.gate.running if whole and question.gate.running else question.gate.because


def likely_place(belief: Belief, question: Question) -> Address | None:
    """Where to look: the part of that kind at, or nearest to, the likeliest place of the leading cause."""
    lead = belief.lead_place
    places = belief.field.layout.places(question.place)
    if question.place in ("case", "train", "any") or not places:
        return None
    if not places[0].number:
        return places[0]
    if lead is None or not lead.number:
        return None
    if lead in places:
        return lead
    inside = [at for at in places if at.holder == lead.holder]
    if len(inside) > 1:
        return inside[0].holder  # the whole joint: which arm is for the mechanic to say
    return inside[0] if inside else min(places, key=lambda at: abs(at.rank - lead.rank))


def expected_information(belief: Belief, candidates: Sequence[tuple[Question, Address | None]]) -> list[float]:
    """Mutual information in bits between each question's answer and the cause."""
    if not candidates:
        return []
    rows, chances, starts = [], [], [0]
    existing = {group: belief.weights[members] for group, members in belief.group_rows.items()}
    for question, at in candidates:
        weights = belief.answer_weights(question, at, _MISTAKE)
        rows.append(added(weights, existing.get(question.group)))
        chances.append(belief.tables.mixed(question, at, _MISTAKE).T)
        starts.append(starts[-1] + len(weights))
    after = belief.field.shares(np.exp(normalised(belief.log_posterior + np.concatenate(rows))))
    chance = np.concatenate(chances) @ belief.posterior
    now = belief.field.shares(belief.posterior)
    gain = chance * (after * np.log2(np.maximum(after, 1e-12) / np.maximum(now, 1e-12))).sum(axis=1)
    return [float(gain[a:b].sum()) for a, b in pairwise(starts)]


_MISTAKE = 0.06  # of an answer yet to come: somebody fairly sure


def added(weights: Reals, existing: Reals | None) -> Reals:
    """What each new row would add to a group that already holds `existing` rows."""
    if existing is None:
        return weights
    before = together(existing)
    high = np.maximum(np.maximum(existing.max(axis=0), 0.0), weights)
    low = np.minimum(np.minimum(existing.min(axis=0), 0.0), weights)
    return np.asarray(high + low - before)


def _next(belief: Belief, question: Question, at: Address | None, worth: float) -> NextQuestion:
    cost = question.minutes * belief.field.knowledge.scales.efforts[question.effort]
    cost *= ALTERING_COST if question.alters_evidence else 1.0
    return NextQuestion(question, at, worth, worth / max(cost, 0.5), because(belief, question))


def because(belief: Belief, question: Question) -> str:
    """Why a question is asked: what its answers would say about the likeliest causes that it speaks of."""
    parts: list[str] = []
    for cause_id in belief.shares:
        cause = belief.field.knowledge.causes.get(cause_id)
        table = cause.expects.get(question.id, {}) if cause else {}
        for word, phrase in (("expected", "would speak for"), ("against", "would speak against")):
            if cause and table.get(word):
                texts = " or ".join(f"“{question.answers[answer].text}”" for answer in table[word][:2])
                parts.append(f"{texts} {phrase}: {cause.title}")
        if len(parts) >= 2:
            break
    return "; ".join(parts[:2]) or "it tells the causes apart"


def next_numbers(sums: Iterable[Sum]) -> tuple[NextNumber, ...]:
    """Missing inputs by name, those first that complete a sum or allow the most."""
    allows: dict[tuple[str, str], list[str]] = {}
    worth: dict[tuple[str, str], float] = {}
    for result in sums:
        for missing in result.missing:
            key = (missing.name, missing.words)
            if result.title not in allows.setdefault(key, []):
                allows[key].append(result.title)
            worth[key] = worth.get(key, 0.0) + 1.0 / len(result.missing)
    order = sorted(allows, key=lambda key: -worth[key])
    return tuple(NextNumber(name, words, tuple(allows[name, words])) for name, words in order)
