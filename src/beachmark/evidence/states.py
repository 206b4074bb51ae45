"""What was seen of a part after the event: broken, left with a set, or looked at and without a mark.

Only what was looked at counts: a part that nobody spoke of is neither sound nor broken.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from beachmark.driveline.positions import Address
from beachmark.evidence.records import Observation


class State(StrEnum):
    """What the event left of a part, worst first."""

    BROKEN = "broken"
    SET = "set"  # bent or twisted for good
    UNMARKED = "unmarked"


# kind of part -> question -> answer -> what it says of the part
_SAID: Mapping[str, Mapping[str, Mapping[str, State]]] = {
    "cross": {
        "cross.broken": {
            "none": State.UNMARKED,
            **dict.fromkeys(("one", "two_opposite", "two_adjacent", "three_plus", "body"), State.BROKEN),
        },
        "cross.bent": {"true": State.UNMARKED, "bent_one_way": State.SET},
    },
    "tube": {
        "tube.state": {"straight": State.UNMARKED, "spiral_buckle": State.SET, "torn": State.BROKEN},
    },
    "slip": {
        "slip.state": {
            "good": State.UNMARKED,
            "twisted": State.SET,
            "teeth_sheared": State.BROKEN,
            "broken_across": State.BROKEN,
        },
        "slip.twist": {"straight": State.UNMARKED, "slight": State.SET, "strong": State.SET},
    },
}


@dataclass(frozen=True)
class Seen:
    """The state of one part and the observation that says so."""

    kind: str
    at: Address
    state: State
    by: Observation


def questions() -> Mapping[str, frozenset[str]]:
    """Every question that tells of a state, with the answers that do."""
    return {question: frozenset(answers) for kind in _SAID.values() for question, answers in kind.items()}


def part_states(observations: Iterable[Observation]) -> tuple[Seen, ...]:
    """The worst state seen of each part, in the order in which parts were looked at."""
    worst: dict[tuple[str, Address], Seen] = {}
    order = list(State)
    for one in observations:
        for seen in _states(one):
            key = (seen.kind, seen.at)
            if key not in worst or order.index(seen.state) < order.index(worst[key].state):
                worst[key] = seen
    return tuple(worst.values())


def _states(one: Observation) -> list[Seen]:
    if one.at is None:
        return []
    return [
        Seen(kind, _part_of(kind, one.at), answers[answer], one)
        for kind, asked in _SAID.items()
        for question, answers in asked.items()
        if question == one.see
        for answer in one.answers
        if answer in answers
    ]


def _part_of(kind: str, at: Address) -> Address:
    """The address of the part itself: an answer at an arm is about the cross of its joint."""
    return Address(at.unit, at.number, "slip") if kind == "slip" else at.holder
