"""The documented objects that `--json` prints and the pages answer with: stable ids, SI with units named."""

from __future__ import annotations

from typing import Any

from beachmark.basis.units import UNITS
from beachmark.basis.values import Spread, Value
from beachmark.cases.assessment import Assessment
from beachmark.cases.case import Case
from beachmark.diagnosis.ask import NextQuestion
from beachmark.diagnosis.change import Change
from beachmark.diagnosis.explain import Contribution
from beachmark.diagnosis.opinion import CauseOpinion, Opinion
from beachmark.diagnosis.origin import RootFinding
from beachmark.driveline.positions import Address, in_words
from beachmark.findings.ranges import mostly
from beachmark.findings.results import Quantity, Sum
from beachmark.knowledge.model import Knowledge

VERSION = 1
LEAST_SHARE = 0.005  # causes below it are left out of the list, but never fewer than five are given
Plain = dict[str, Any]


def si_unit(dimension: str) -> str:
    """Name of the SI unit of a dimension; `1` for a pure number."""
    return next(unit for unit, factor in UNITS[dimension].items() if factor == 1.0) or "1"


def case_object(case: Case, *, number: int | None = None, revision: int | None = None) -> Plain:
    """Which case an object speaks of."""
    return {"number": number, "revision": revision, "title": case.title, "reference": case.reference}


def sums_object(case: Plain, sums: tuple[Sum, ...]) -> Plain:
    """The object of `beachmark sums`."""
    return {
        "object": "beachmark.sums",
        "version": VERSION,
        "case": case,
        "sums": [sum_object(one) for one in sums],
    }


def sum_object(one: Sum) -> Plain:
    """One sum."""
    return {
        "id": one.id,
        "topic": one.topic.value,
        "title": one.title,
        **_place(one.at),
        "computed": one.computed,
        "results": [_quantity(result) for result in one.results],
        "held_against": (
            {"words": one.held_against.words, **_value(one.held_against.value)} if one.held_against else None
        ),
        "answer": one.answer or None,
        "chances": dict(one.chances),
        "speaks": one.speaks,
        "sentence": one.sentence,
        "inputs": [{"name": i.name, "words": i.words, **_value(i.value)} for i in one.inputs],
        "missing": [{"name": lack.name, "words": lack.words} for lack in one.missing],
        "method": one.method,
        "source": one.source,
        "valid": one.valid,
        "validity": one.validity,
    }


def _quantity(result: Quantity) -> Plain:
    widened = (
        {"input": result.widened_by, "share": result.widened_share, "words": mostly(result)}
        if result.widened_by
        else None
    )
    return {
        "words": result.words,
        **_spread(result.spread),
        "unit": si_unit(result.dimension),
        "widened_by": widened,
    }


def _spread(spread: Spread) -> Plain:
    return {"value": spread.nominal, "low": spread.low, "high": spread.high}


def _value(value: Value) -> Plain:
    return {
        "value": value.si,
        "low": value.low,
        "high": value.high,
        "unit": si_unit(value.dimension),
        "known": value.known.value,
        "source": value.source,
        "typed": value.typed,
    }


def _place(at: Address | None) -> Plain:
    return {"position": str(at) if at else None, "place": in_words(at)}


def weigh_object(case: Plain, assessment: Assessment, knowledge: Knowledge) -> Plain:
    """The object of `beachmark weigh`."""
    opinion = assessment.opinion
    return {
        "object": "beachmark.weigh",
        "version": VERSION,
        "case": case,
        "causes": [_cause(cause) for cause in listed_causes(opinion)],
        "first_failure": {
            **_place(opinion.first_failure.at),
            "words": opinion.first_failure.words,
            "strength": opinion.first_failure.strength.word,
        },
        "parted": opinion.parted,
        "root_cause": _root_cause(opinion.root_cause),
        "consequences": [
            {"item": seen.item, **_place(seen.at), "text": seen.text, "evidence": seen.evidence}
            for seen in opinion.consequences
        ],
        "gates": [
            {
                "id": gate.question.id,
                "question": gate.question.question,
                "answered": gate.answered,
                "answers": list(gate.answers),
                "because": gate.because,
            }
            for gate in opinion.gates
        ],
        "ask_next": [_next_question(one) for one in opinion.ask_next],
        "numbers_next": [
            {"name": one.name, "words": one.words, "allows": list(one.allows)} for one in opinion.numbers_next
        ],
        "would_change": [_change(change) for change in opinion.would_change],
        "robustness": {
            "holds_without_each_item": opinion.robustness.holds,
            "weakest_item": opinion.robustness.weakest_item,
            "share_without_it": opinion.robustness.share_without,
        },
        "signs": [{"id": sign.id, "answer": sign.answer, **_place(sign.at)} for sign in opinion.signs],
        "strength_scale": [{"word": word.word, "meaning": word.meaning} for word in knowledge.scales.strengths],
        "confirmed_cases": opinion.confirmed_cases,
    }


def listed_causes(opinion: Opinion) -> list[CauseOpinion]:
    """The causes worth listing: those with a share, at least five, and always what is not in the list."""
    shown = [cause for i, cause in enumerate(opinion.causes) if i < 5 or cause.share >= LEAST_SHARE]
    return shown + [cause for cause in opinion.causes if cause.cause is None and cause not in shown]


def _cause(cause: CauseOpinion) -> Plain:
    return {
        "id": cause.id,
        "title": cause.title,
        **_place(cause.place),
        "share": cause.share,
        "strength": cause.strength.word,
        "consequence_of_first": cause.consequence_of_first,
        "ranked_lower": cause.ranked_lower,
        "contributions": [_contribution(one) for one in cause.contributions],
    }


def _contribution(one: Contribution) -> Plain:
    return {
        "item": one.item,
        **_place(one.at),
        "kind": one.kind,
        "side": one.side,
        "weight": one.weight,
        "counted": one.counted,
        "match": one.match or None,
        "evidence": one.evidence,
        "words": one.words,
        "group": one.group,
        "source": one.source,
    }


def _root_cause(found: RootFinding) -> Plain:
    return {
        "id": found.root.id if found.root else None,
        "title": found.root.title if found.root else "open",
        "origin": found.root.origin if found.root else None,
        "open": found.root is None,
        "candidates": [
            {
                "id": candidate.root.id,
                "title": candidate.root.title,
                "origin": candidate.root.origin,
                "share": candidate.share,
                "because": list(candidate.because),
            }
            for candidate in found.candidates
        ],
        "settle": list(found.settle),
    }


def _next_question(one: NextQuestion) -> Plain:
    return {
        "id": one.question.id,
        **_place(one.at),
        "question": one.question.question,
        "gate": one.gate,
        "because": one.because,
        "worth_bits": one.worth,
        "minutes": one.question.minutes,
        "effort": one.question.effort,
        "alters_evidence": one.question.alters_evidence,
        "cautions": list(one.question.cautions),
    }


def _change(change: Change) -> Plain:
    return {
        "all_of": [
            {
                "id": answer.question.id,
                **_place(answer.at),
                "answer": answer.answer,
                "recorded_now": answer.instead_of or None,
                "with_its_whole_story": answer.whole_story,
                "words": answer.words,
            }
            for answer in change.answers
        ],
        "then_first": change.then_first,
        "share_left": change.share_left,
    }
