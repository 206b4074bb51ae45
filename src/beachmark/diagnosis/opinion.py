"""The whole diagnosis of a case in one value: what broke first, why, what it left, what is still open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from beachmark.diagnosis.ask import (
    GateState,
    NextNumber,
    NextQuestion,
    gate_states,
    next_numbers,
    next_questions,
)
from beachmark.diagnosis.belief import Belief, believe
from beachmark.diagnosis.change import Change, Robustness, leave_one_out, would_change
from beachmark.diagnosis.explain import Contribution, contributions, parts_seen, strength_word
from beachmark.diagnosis.hypotheses import NOT_IN_LIST, Field
from beachmark.diagnosis.items import Item, gather
from beachmark.diagnosis.likelihood import Tables
from beachmark.diagnosis.origin import (
    ConsequenceSeen,
    RootFinding,
    consequences_seen,
    root_finding,
)
from beachmark.driveline.positions import Address, Layout, in_words
from beachmark.evidence.records import Observation
from beachmark.evidence.signs import Sign, read_signs
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Cause, Knowledge, StrengthWord
from beachmark.knowledge.parting import only_of_breaks

LISTED = 6  # causes explained in full; the rest are named with their share
NOT_IN_LIST_TITLE = "Something that is not in the list"


@dataclass(frozen=True)
class CauseOpinion:
    """One cause with where it would sit, how much is believed, and why."""

    id: str
    cause: Cause | None
    place: Address | None  # None: not known yet
    share: float
    strength: StrengthWord
    contributions: tuple[Contribution, ...]
    unanswered: tuple[str, ...] = ()  # questions of its table that nobody has answered and that make sense here
    remedy: str = ""  # what helps, with what has to be done before it in this case
    consequence_of_first: bool = False  # what speaks for it follows from the first failure
    ranked_lower: str = ""  # the sentence that ranks it below the first

    @property
    def title(self) -> str:
        """Title in plain words."""
        return self.cause.title if self.cause else NOT_IN_LIST_TITLE


@dataclass(frozen=True)
class FirstFailure:
    """What failed first, in words, at which place."""

    at: Address | None  # None: not known yet
    nearest: str  # what the leading cause would have broken first, settled or not
    strength: StrengthWord
    settled: bool

    @property
    def words(self) -> str:
        """What failed first; while the causes are not ordered, it says so before it names the nearest."""
        return self.nearest if self.settled else f"not settled; nearest so far: {self.nearest}"


@dataclass(frozen=True)
class Opinion:
    """The diagnosis of a case. First failure, root cause and consequences are three fields."""

    causes: tuple[CauseOpinion, ...]
    first_failure: FirstFailure
    root_cause: RootFinding
    consequences: tuple[ConsequenceSeen, ...]
    gates: tuple[GateState, ...]
    ask_next: tuple[NextQuestion, ...]
    numbers_next: tuple[NextNumber, ...]
    would_change: tuple[Change, ...]
    robustness: Robustness
    signs: tuple[Sign, ...]
    items: tuple[Item, ...]
    parted: bool | None = None  # whether anything broke or came off; None while nobody said
    confirmed_cases: int = 0  # closed cases that the scales were calibrated on

    @property
    def first(self) -> CauseOpinion:
        """The leading cause."""
        return self.causes[0]


@lru_cache(maxsize=32)
def _prepared(key: _Key) -> tuple[Field, Tables]:
    field = Field(key.knowledge, key.layout)
    return field, Tables(field)


class _Key:
    """One knowledge (by identity, it never changes once loaded) with one layout."""

    def __init__(self, knowledge: Knowledge, layout: Layout):
        self.knowledge, self.layout = knowledge, layout

    def __hash__(self) -> int:
        return hash((id(self.knowledge), self.layout))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and other.knowledge is self.knowledge and other.layout == self.layout


def diagnose(knowledge: Knowledge, layout: Layout, observations: Sequence[Observation], sums: Sequence[Sum]) -> Opinion:
    """Weigh every cause at every place of the driveline and say why, what follows and what is open."""
    field, tables = _prepared(_Key(knowledge, layout))
    signs = read_signs(observations)
    belief = believe(field, tables, gather(knowledge, observations, signs, sums))
    gates = gate_states(knowledge, observations)
    causes = _cause_opinions(belief, gates)
    first = causes[0]
    lead = belief.best(first.id)
    settled = first.strength is not knowledge.scales.strengths[-1] and first.cause is not None
    return Opinion(
        causes=_marked(causes),
        first_failure=_first_failure(first, settled),
        root_cause=root_finding(knowledge, lead, belief.items, settled=settled),
        consequences=consequences_seen(lead, belief.items) if settled else (),
        gates=gates,
        ask_next=next_questions(belief, observations),
        numbers_next=next_numbers(sums),
        would_change=would_change(belief) if belief.items else (),
        robustness=leave_one_out(belief),
        signs=signs,
        items=belief.items,
        parted=belief.parted,
    )


def _cause_opinions(belief: Belief, gates: Sequence[GateState]) -> tuple[CauseOpinion, ...]:
    shares = belief.shares
    ranked = list(shares)
    answered = all(gate.answered for gate in gates if gate.question.weighs)
    opinions = []
    for rank, cause in enumerate(ranked):
        rival = max((shares[other] for other in ranked if other != cause), default=0.0)
        word = strength_word(
            belief.field.knowledge.scales,
            share=shares[cause],
            rival=rival,
            parts_seen=rank == 0 and parts_seen(belief, cause),
            gates_answered=answered,
        )
        why = contributions(belief, cause) if rank < LISTED else ()
        opinions.append(
            CauseOpinion(
                id=cause,
                cause=belief.field.knowledge.causes.get(cause),
                place=belief.place(cause),
                share=shares[cause],
                strength=word,
                contributions=why,
                unanswered=_unanswered(belief, belief.field.knowledge.causes.get(cause)),
                remedy=_remedy(belief.field.knowledge.causes.get(cause), belief.items),
            )
        )
    return tuple(opinions)


def _unanswered(belief: Belief, cause: Cause | None) -> tuple[str, ...]:
    """What a cause predicts and nobody has answered; nothing about a break where nothing broke."""
    knowledge, answered = belief.field.knowledge, {item.question.id for item in belief.items}
    open_ = [see for see in (cause.expects if cause else ()) if see not in answered]
    whole = belief.parted is False
    return tuple(see for see in open_ if not (whole and only_of_breaks(knowledge, knowledge.questions[see])))


def _remedy(cause: Cause | None, items: Sequence[Item]) -> str:
    """The remedy of a cause, after what the evidence asks to be done before it."""
    if cause is None:
        return ""
    likeliest = {(item.question.id, answer) for item in items for answer in item.answers[:1]}
    before = [one.text for one in cause.before_remedy if {(one.see, answer) for answer in one.answers} & likeliest]
    return " ".join([*before, cause.remedy])


def _marked(causes: tuple[CauseOpinion, ...]) -> tuple[CauseOpinion, ...]:
    """Every cause but the first with the sentence that ranks it lower."""
    first = causes[0]
    explained = set(first.cause.explains) if first.cause else set()
    rest = [
        replace(
            other,
            consequence_of_first=other.id in explained,
            ranked_lower=_ranked_lower(first, other) if other.contributions or other.id == NOT_IN_LIST else "",
        )
        for other in causes[1:]
    ]
    return (first, *rest)


def _ranked_lower(first: CauseOpinion, other: CauseOpinion) -> str:
    alike = first.cause.look_alikes if first.cause else ()
    told = next((look.because for look in alike if look.cause == other.id), "")
    against = [one for one in other.contributions if one.side == "against" and one.counted]
    if against:
        return f"{against[0].evidence} {against[0].words.split(':')[0]} it" + (f"; it {told}" if told else "")
    if other.id == NOT_IN_LIST:
        return "what was seen is explained better by a known cause; it stays possible"
    return "nothing was seen that it explains better" + (f"; it {told}" if told else "")


def _first_failure(first: CauseOpinion, settled: bool) -> FirstFailure:
    if first.cause is None:
        return FirstFailure(first.place, "nothing in the list explains what was seen", first.strength, settled)
    place = in_words(first.place) if first.place else f"a {first.cause.place} not yet named"
    words = first.cause.first_failure
    whole = first.place is not None and not first.place.number
    if "{place}" in words:
        words = words.replace("{place}", place)
    elif not whole:
        words = f"{words} ({place})"
    return FirstFailure(first.place, words, first.strength, settled)
