"""What was computed, grouped by kind of sum, and what could not be computed for want of which input."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import groupby

from beachmark.cases.assessment import Assessment
from beachmark.findings.results import Input, Quantity, Sum
from beachmark.report.document import InputLine, NotComputed, ResultLine, SumCard, SumGroup
from beachmark.report.words import References, Units, listed, part_of, plain
from beachmark.report.words import place_words as words_for

_SHARE_OF_RANGE = re.compile(r",\s*\d+\s?% of its range")  # stands in the annex


def computed(assessment: Assessment, references: References, units: Units) -> tuple[SumGroup, ...]:
    """Every sum that was done, one group for each kind, parts from the gearbox rearward."""
    done = [result for result in assessment.sums if result.computed]
    kinds = list(dict.fromkeys(result.id for result in done))
    ordered = sorted(done, key=lambda result: (kinds.index(result.id), result.at.rank))
    return tuple(
        _group([_card(result, references, units) for result in members])
        for _, members in groupby(ordered, key=lambda result: result.id)
    )


def _group(cards: list[SumCard]) -> SumGroup:
    first = cards[0]
    inputs = {given.name: given for card in cards for given in card.inputs}
    return SumGroup(
        title=first.title,
        method=first.method,
        source=first.source,
        validity=listed(dict.fromkeys(card.validity for card in cards)),
        inputs=tuple(inputs.values()),
        cards=tuple(cards),
    )


def _card(result: Sum, references: References, units: Units) -> SumCard:
    key = f"{result.id}@{result.at}"
    return SumCard(
        ref=references.add("C", key),
        key=key,
        title=result.title,
        place=words_for(result.at),
        inputs=tuple(input_line(given, units) for given in result.inputs),
        results=tuple(_result(quantity, units) for quantity in result.results),
        limit=_limit(result, units),
        speaks=result.speaks,
        sentence=plain(_SHARE_OF_RANGE.sub("", result.sentence)),
        method=result.method,
        source=plain(result.source),
        valid=result.valid,
        validity=plain(result.validity),
    )


def input_line(given: Input, units: Units) -> InputLine:
    """An input in words: of which part, how large, from where."""
    part = part_of(given.name)
    known = part in given.words or not part
    return InputLine(
        name=given.name,
        words=given.words if known else f"{given.words}, {part}",
        value=units.value(given.value),
        origin=str(given.value.known),
        source=plain(given.value.source),
    )


def _result(quantity: Quantity, units: Units) -> ResultLine:
    value, band = units.spread(quantity.spread, quantity.dimension)
    return ResultLine(quantity.words, value, band, units.in_other(quantity.spread.nominal, quantity.dimension))


def _limit(result: Sum, units: Units) -> str:
    held = result.held_against
    return f"{units.value(held.value)}: {plain(held.words)}" if held else ""


def not_computed(sums: Iterable[Sum]) -> tuple[NotComputed, ...]:
    """Sums that lack inputs; those that lack the same are told together."""
    lacking: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for result in sums:
        if not result.computed:
            lacks = tuple(missing.words for missing in result.missing)
            lacking.setdefault((result.title, lacks), []).append(words_for(result.at))
    return tuple(
        NotComputed(title.rstrip("?"), tuple(place for place in places if place), lacks)
        for (title, lacks), places in lacking.items()
    )
