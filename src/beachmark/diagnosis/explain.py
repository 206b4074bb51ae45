"""Contributions with words; the strength of the belief in words."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.diagnosis.belief import Belief
from beachmark.diagnosis.hypotheses import Hypothesis
from beachmark.diagnosis.items import Item
from beachmark.driveline.positions import Address, Relation, in_words, relation
from beachmark.knowledge.model import Scales, StrengthWord

SILENT_BELOW = 0.05  # natural log; less than five percent either way says nothing

# natural log of the ratio -> words; the ratio itself goes into the annex
WEIGHT_WORDS = ((2.3, "speaks strongly"), (1.1, "speaks clearly"), (0.4, "speaks"), (0.0, "speaks weakly"))
_MATCHES = {
    "expected": "this is what the cause leaves",
    "fits": "this fits the cause",
    "unexpected": "not expected with this cause",
    "against": "this cause hardly ever leaves that",
}
_NOT_NAMED = {"for": "nothing that this cause rules out", "against": "the cause would rather have left something else"}
PARTS_EFFORTS = frozenset({"hand", "tools", "strip", "lab"})  # somebody had the part before them


@dataclass(frozen=True)
class Contribution:
    """What one piece of evidence says about one cause, in its own words."""

    item: str  # key of the item
    evidence: str  # the evidence in words
    at: Address | None
    kind: str  # seen, sign, sum
    weight: float  # natural log of the likelihood ratio against an average case, alone
    counted: bool  # False: another item of the same story says it more strongly
    match: str  # expected, fits, unexpected, against, or nothing when not named
    words: str  # "speaks clearly for: ..."
    source: str
    group: str

    @property
    def side(self) -> str:
        """for, against or neither."""
        if abs(self.weight) < SILENT_BELOW:
            return "neither"
        return "for" if self.weight > 0 else "against"


def contributions(belief: Belief, cause: str) -> tuple[Contribution, ...]:
    """Every item that says something about a cause at its likeliest place, strongest first."""
    index = belief.index(cause)
    hypothesis = belief.field.hypotheses[index]
    if hypothesis.cause is None:
        return ()
    column = belief.weights[:, index]
    ends = {group: (column[rows].min(), column[rows].max()) for group, rows in belief.group_rows.items()}
    told = [
        _contribution(item, hypothesis, float(weight), float(ends[item.question.group][int(weight > 0)]))
        for item, weight in zip(belief.items, column, strict=True)
        if abs(weight) >= SILENT_BELOW
    ]
    return tuple(sorted(told, key=lambda one: -abs(one.weight)))


def _contribution(item: Item, of: Hypothesis, weight: float, strongest: float) -> Contribution:
    match = _match(item, of)
    return Contribution(
        item=item.key,
        evidence=item.words,
        at=item.at,
        kind=item.kind,
        weight=weight,
        counted=weight == strongest,
        match=match,
        words=_words(weight, match, item, of),
        source=of.cause.source if of.cause else "",
        group=item.question.group,
    )


def _match(item: Item, of: Hypothesis) -> str:
    table = of.cause.expects.get(item.question.id, {}) if of.cause else {}
    answer = item.answers[0] if item.answers else ""
    return next((word for word, answers in table.items() if answer in answers), "")


def _words(weight: float, match: str, item: Item, of: Hypothesis) -> str:
    strength = next(words for least, words in WEIGHT_WORDS if abs(weight) >= least)
    side = "for" if weight > 0 else "against"
    return f"{strength} {side}: {_MATCHES.get(match) or _NOT_NAMED[side]}{_where(item, of)}{_idle(item, of)}"


def _idle(item: Item, of: Hypothesis) -> str:
    """What does not count for a cause because of this item."""
    every = of.cause.explains_nothing if of.cause else ()
    told = [one.because for one in every if one.see == item.question.id and set(one.answers) & set(item.answers[:1])]
    return "".join(f"; {because}" for because in told)


def _where(item: Item, of: Hypothesis) -> str:
    related = relation(item.at, of.at)
    if related is Relation.UNPLACED:
        return ", if it was there (place not said)"
    if related in (Relation.UPSTREAM, Relation.DOWNSTREAM, Relation.SAME_JOINT):
        return f", seen at another place ({in_words(item.at)})"
    return ""


def strength_word(
    scales: Scales, *, share: float, rival: float, parts_seen: bool, gates_answered: bool
) -> StrengthWord:
    """The word for a belief: the first on the scale whose demands are all met."""
    ratio = share / max(rival, 1e-9)
    for word in scales.strengths:
        enough = share >= word.least_share and ratio >= word.least_ratio
        if enough and (parts_seen or not word.needs_parts) and (gates_answered or not word.needs_gates):
            return word
    return scales.strengths[-1]


def parts_seen(belief: Belief, cause: str) -> bool:
    """True when something seen on a part itself, not told, speaks for the cause."""
    index = belief.index(cause)
    return any(
        item.kind == "seen"
        and not item.told
        and item.question.effort in PARTS_EFFORTS
        and belief.weights[row, index] > SILENT_BELOW
        for row, item in enumerate(belief.items)
    )
