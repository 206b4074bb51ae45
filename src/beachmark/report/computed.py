"""What was computed, grouped by kind of sum, and what could not be computed for want of which input."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import groupby

from beachmark.cases.assessment import Assessment
from beachmark.findings.ranges import mostly
from beachmark.findings.results import Input, Quantity, Sum
from beachmark.findings.topics import Topic
from beachmark.report.document import InputLine, NotComputed, ResultLine, SumCard, SumGroup
from beachmark.report.drawing.angles import plan_words, slope_words
from beachmark.report.words import References, Units, part_of, plain, together
from beachmark.report.words import place_words as words_for

_SHARE_OF_RANGE = re.compile(r",\s*\d+\s?% of its range")  # stands in the annex


def computed(assessment: Assessment, references: References, units: Units) -> tuple[SumGroup, ...]:
    """Every sum that was done: by question, one group for each kind, parts from the gearbox rearward."""
    order = list(Topic)
    done = sorted((one for one in assessment.sums if one.computed), key=lambda one: order.index(one.topic))
    kinds = list(dict.fromkeys(result.id for result in done))
    ordered = sorted(done, key=lambda result: (kinds.index(result.id), result.at.rank))
    return tuple(
        _group(list(members), references, units) for _, members in groupby(ordered, key=lambda result: result.id)
    )


def _group(sums: list[Sum], references: References, units: Units) -> SumGroup:
    cards = [_card(result, references, units) for result in sums]
    first = cards[0]
    inputs = {given.ref: given for card in cards for given in card.inputs}
    return SumGroup(
        topic=sums[0].topic.value,
        title=first.title,
        method=first.method,
        source=first.source,
        validity=_once(card.validity for card in cards),
        inputs=tuple(inputs.values()),
        cards=tuple(cards),
    )


def _once(texts: Iterable[str]) -> str:
    """What the validities say, each part once; the paper ends the sentence."""
    return "; ".join(dict.fromkeys(part for text in texts for part in text.split("; ") if part)).removesuffix(".")


def _card(result: Sum, references: References, units: Units) -> SumCard:
    key = f"{result.id}@{result.at}"
    return SumCard(
        ref=references.add("C", key),
        key=key,
        title=result.title,
        place=words_for(result.at),
        inputs=tuple(_input(given, references, units) for given in result.inputs),
        results=tuple(_result(quantity, units) for quantity in result.results),
        limit=_limit(result, units),
        speaks=result.speaks,
        sentence=plain(_SHARE_OF_RANGE.sub("", result.sentence)),
        method=result.method,
        source=plain(result.source),
        valid=result.valid,
        validity=plain(result.validity),
    )


def _input(given: Input, references: References, units: Units) -> InputLine:
    """An input in words: of which part, how large, from where. Equal inputs of several parts share a label."""
    part = part_of(given.name)
    part = "" if part in given.words else part
    told = _value(given, units)
    alike = f"{given.words}|{told}|{given.value.known}|{given.value.source}"
    return InputLine(
        ref=references.label(alike) or references.add("I", alike),
        words=given.words,
        part=part,
        value=told,
        origin=str(given.value.known),
        source=plain(given.value.source),
        assumed=given.value.is_assumed,
    )


def _value(given: Input, units: Units) -> str:
    """The value with its range; directions in words, because a sign alone says nothing."""
    tell = {"slope": slope_words, "plan": plan_words}.get(given.name.rpartition(".")[2])
    if tell is None:
        return units.value(given.value)
    half = (given.value.high - given.value.low) / 2
    return tell(given.value.si) + (f" ± {units.one(half, 'angle')}" if half else "")


def all_inputs(groups: Iterable[SumGroup]) -> tuple[InputLine, ...]:
    """Every input once, in the order of its label, with all the parts that share it."""
    parts: dict[str, list[str]] = {}
    lines: dict[str, InputLine] = {}
    for given in (given for group in groups for card in group.cards for given in card.inputs):
        lines.setdefault(given.ref, given)
        held = parts.setdefault(given.ref, [])
        if given.part and given.part not in held:
            held.append(given.part)
    return tuple(replace(line, part=together(parts[ref])) for ref, line in lines.items())


def _result(quantity: Quantity, units: Units) -> ResultLine:
    value, band = units.spread(quantity.spread, quantity.dimension)
    other = units.in_other(quantity.spread.nominal, quantity.dimension)
    return ResultLine(quantity.words, value, band, other, mostly(quantity))


def _limit(result: Sum, units: Units) -> str:
    held = result.held_against
    return f"{units.value(held.value)}: {plain(held.words)}" if held else ""


def not_computed(sums: Iterable[Sum]) -> tuple[NotComputed, ...]:
    """Kinds of sums that lack inputs, each with the places where it could not be done."""
    by_title: dict[str, list[Sum]] = {}
    for result in sums:
        if not result.computed:
            by_title.setdefault(result.title.rstrip("?"), []).append(result)
    return tuple(_lacking(title, results) for title, results in by_title.items())


def _lacking(title: str, results: Sequence[Sum]) -> NotComputed:
    """What is lacking, the same thing of several parts told once: `arm diameter (joint 1, joint 2)`."""
    parts: dict[str, list[str]] = {}
    for missing in (missing for result in results for missing in result.missing):
        part = part_of(missing.name)
        held = parts.setdefault(missing.words, [])
        if part and part not in missing.words and part not in held:
            held.append(part)
    lacks = (f"{words} ({together(held)})" if held else words for words, held in parts.items())
    places = tuple(dict.fromkeys(place for result in results if (place := words_for(result.at))))
    return NotComputed(title, together(places), tuple(lacks))
