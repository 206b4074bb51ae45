"""The technical annex: the only place where shares and ratios are printed."""

from __future__ import annotations

import math

from beachmark.basis.units import tidy
from beachmark.report.concluded import Concluding, answer_words
from beachmark.report.document import Annex, ShareRow, WeightRow
from beachmark.report.words import listed

_LEAST_SHARE = 0.02  # causes with less are added up
_LEAST_CHANCE = 0.005
_NOTE = (
    "Shares are degrees of belief that follow from the authors' weights; they are not measured frequencies. "
    "A ratio says how many times likelier the evidence is if the cause is true than in an average case; items of "
    "one story count once, with the strongest for and the strongest against."
)


def annex(of: Concluding) -> Annex:
    """Shares of the causes and root causes, ratios of the first cause's evidence, chances of the sums."""
    opinion = of.opinion
    named = [ShareRow(cause.title, share(cause.share)) for cause in opinion.causes if cause.share >= _LEAST_SHARE]
    rest = sum(cause.share for cause in opinion.causes if cause.share < _LEAST_SHARE)
    roots = [ShareRow(one.root.title, share(one.share)) for one in opinion.root_cause.candidates]
    return Annex(
        note=f"{_NOTE} Confirmed cases so far: {opinion.confirmed_cases}.",
        causes=(*named, ShareRow("All others together", share(rest))) if of.known else (),
        roots=tuple(roots) if of.known else (),
        weights=_weights(of),
        chances=_chances(of),
        robustness=_robustness(of),
    )


def share(number: float) -> str:
    """A share as a percentage, never 0 or 100."""
    if number > 0.99:
        return "> 99 %"
    return f"{number:.0%}".replace("%", " %") if number >= 0.01 else "< 1 %"


def _weights(of: Concluding) -> tuple[WeightRow, ...]:
    first = of.opinion.first
    items = {item.key: item for item in of.opinion.items}
    return tuple(
        WeightRow(
            ref=of.references.label(one.item),
            answer=answer_words(items[one.item]),
            ratio=_ratio(one.weight),
            counted=one.counted,
            story=of.knowledge.groups.get(one.group, one.group),
        )
        for one in first.contributions
    )


def _ratio(weight: float) -> str:
    """`3.2` for, `1/3.2` against."""
    ratio = tidy(math.exp(abs(weight)), 2)
    return ratio if weight > 0 else f"1/{ratio}"


def _chances(of: Concluding) -> tuple[ShareRow, ...]:
    """How results that straddle a limit are shared out over the answers; sums that are alike in one row."""
    rows: dict[tuple[str, str], list[str]] = {}
    for result in of.assessment.sums:
        held = {answer: chance for answer, chance in result.chances.items() if chance > _LEAST_CHANCE}
        if len(held) > 1:
            answers = of.knowledge.questions[result.id].answers
            told = listed(f"{answers[answer].text} {share(chance)}" for answer, chance in held.items())
            ref = of.references.label(f"{result.id}@{result.at}")
            rows.setdefault((result.title.rstrip("?"), told), []).append(ref)
    return tuple(ShareRow(f"{', '.join(refs)} {title}", told) for (title, told), refs in rows.items())


def _robustness(of: Concluding) -> str:
    found = of.opinion.robustness
    if not of.known or not found.tried:
        return ""
    return f"Without “{found.weakest_item}” the first cause would keep {share(found.share_without)}."
