"""Collects the inputs of a sum: what is missing is named, what is typical is marked assumed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.findings.ranges import drawn
from beachmark.findings.results import HeldAgainst, Input, Missing, Quantity, Sum
from beachmark.knowledge.model import Knowledge, Limit


@dataclass
class Asking:
    """The inputs of one sum as they are asked for, by their names in the case file."""

    knowledge: Knowledge
    inputs: dict[str, Input] = field(default_factory=dict)
    missing: list[Missing] = field(default_factory=list)
    only_a_bound: bool = False  # the load is known as an upper bound only: it can clear a part, not accuse it
    columns: dict[str, int] = field(default_factory=dict)  # which draws belong to which input, within one sum

    def part(self) -> Asking:
        """A list of inputs of its own whose draws are those of this sum."""
        return Asking(self.knowledge, columns=self.columns)

    def need(self, name: str, words: str, value: Value | None, typical: str = "") -> Value | None:
        """An input that the sum cannot do without; `typical` names the value that may stand in for it."""
        value = value if value is not None else self.knowledge.typical.get(typical)
        if value is None:
            self.missing.append(Missing(name, words))
        return self.take(name, words, value)

    def take(self, name: str, words: str, value: Value | None) -> Value | None:
        """An input that is used when it is there."""
        if value is None:
            return None
        value = drawn(value, self.columns.setdefault(name, len(self.columns)))
        self.inputs[name] = Input(name, words, value)
        return value

    def lacking(self, id: str, title: str, at: Address) -> Sum:
        """The sum that could not be computed, with what it lacks."""
        return Sum(id, title, at, inputs=tuple(self.inputs.values()), missing=tuple(self.missing))


def chances_by_limits(spread: Spread, answers: Sequence[str], limits: Sequence[float]) -> dict[str, float]:
    """Chance of each class of a result; `limits` separate the `answers`, lowest class first."""
    above = [1.0, *(spread.chance_above(limit) for limit in limits), 0.0]
    return {answer: above[i] - above[i + 1] for i, answer in enumerate(answers)}


_BOUND = "Only one of engine path and tyre grip is known: the load is an upper bound, and it accuses nothing."


def judged(
    knowledge: Knowledge,
    asking: Asking,
    *,
    id: str,
    at: Address,
    results: Sequence[Quantity],
    chances: Mapping[str, float],
    limit: Limit | None,
    method: str,
    source: str,
    valid: bool = True,
    validity: str = "",
) -> Sum:
    """A computed sum with the sentence that the knowledge gives to its likeliest answer.

    When no answer of the finding holds most of the chance, the sum speaks neither for nor against and
    says that its inputs are known too loosely.
    """
    question = knowledge.questions[id]
    likeliest = max(chances, key=lambda answer: chances[answer])
    answer = question.answers[likeliest]
    decided = chances[likeliest] >= 0.6
    accuses = asking.only_a_bound and likeliest != next(iter(chances))
    if accuses:
        decided, chances = False, {}
    loose = (
        f"The inputs are known too loosely to decide; likeliest, not surely: {answer.text[0].lower()}{answer.text[1:]}"
    )
    return Sum(
        id=id,
        title=question.question,
        at=at,
        inputs=tuple(asking.inputs.values()),
        results=tuple(results),
        held_against=HeldAgainst(limit.words, limit.value) if limit else None,
        chances=dict(chances),
        speaks=answer.speaks if decided and valid else "neither",
        sentence=_BOUND if accuses else (answer.says or answer.text) if decided else f"{loose}.",
        method=method,
        source=source,
        valid=valid,
        validity=validity,
    )
