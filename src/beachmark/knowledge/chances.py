"""How often each answer of a question is given, where nothing made it and where a table of expectations holds.

A table is that of a cause, or of an event that a replay simulates. Expected answers have a declared share; the rest
falls as the background times the factor of each answer's word.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from beachmark.evidence.records import How, Observation
from beachmark.knowledge.model import Expectation, Knowledge, Question, Scales

Reals = npt.NDArray[np.float64]


def mistake(scales: Scales, observation: Observation) -> float:
    """The chance that an answer is mistaken, by how sure the person was and how it was looked at."""
    told = scales.told_mistake if observation.how is How.TOLD else 0.0
    return min(0.5, scales.mistakes[observation.sure.value] + told)


def background(knowledge: Knowledge, question: Question) -> Reals:
    """Chance of each answer of a question when no cause made it."""
    levels = np.array([knowledge.scales.backgrounds[answer.seen] for answer in question.answers.values()])
    return np.asarray(levels / levels.sum())


def mixture(ground: Reals, factors: Reals, expected_rows: Reals, power: Reals | float) -> Reals:
    """Chances of the answers: expected ones with their share, the rest as background times factor.

    All arrays have the answers on the last axis; `power` tempers both parts (0 gives the background).
    """
    rest = ground * np.exp(power * factors)
    rest = rest / rest.sum(axis=-1, keepdims=True)
    share = power * expected_rows.sum(axis=-1, keepdims=True)
    return np.asarray((1.0 - share) * rest + power * expected_rows)


def log_factors(knowledge: Knowledge, question: Question, table: Expectation) -> Reals:
    """Log of the factor of each answer of a question in one table; 0 for an answer not named or expected."""
    factors = {
        answer: knowledge.scales.factors[word] for word, told in table.items() if word != "expected" for answer in told
    }
    return np.asarray(np.log([factors.get(answer, 1.0) for answer in question.answers]))


def expected(knowledge: Knowledge, question: Question, table: Expectation) -> Reals:
    """Chance of each expected answer; adds to the declared share, or to 0 when the table expects none.

    Within the expected answers the chance goes with the root of the background: rarer ones are rarer
    here too, but less so.
    """
    told = set(table.get("expected", ()))
    raw = np.sqrt(background(knowledge, question)) * [answer in told for answer in question.answers]
    return np.asarray(knowledge.scales.expected_share * raw / raw.sum()) if told else np.zeros(len(raw))


def answer_chances(knowledge: Knowledge, question: Question, table: Expectation) -> Reals:
    """Chance of each answer of a question under one table, at its own place."""
    return mixture(
        background(knowledge, question),
        log_factors(knowledge, question, table),
        expected(knowledge, question, table),
        1.0,
    )
