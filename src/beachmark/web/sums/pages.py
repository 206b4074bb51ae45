"""What the sums page shows: every sum under the question that it answers, place by place along the driveline."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from markupsafe import Markup

from beachmark.basis.values import Spread, Value
from beachmark.web.house import Worked
from beachmark.web.rendering import anchor
from beachmark.web.report.pages import report_content_of
from beachmark.web.spine import Frame, frame_of, part_link, place_title
from beachmark.web.sums.band import Scale, foot_picture, row_picture, scale_for
from beachmark.workflow.pages import (
    FIGURES_OF,
    Figure,
    Input,
    Quantity,
    Sum,
    Topic,
    Units,
    figures_of,
    link_to_field,
    mostly,
)
from beachmark.workflow.places import holder

UNITS = Units("metric")
LOADS = ("torque", "force")  # what a result of these dimensions is held against is a load, not a limit
_CLAUSE = re.compile(r"[:;.](?=\s|\Z)")


@dataclass(frozen=True)
class ResultLine:
    """One result in words."""

    words: str
    value: str
    reach: str
    other: str


@dataclass(frozen=True)
class InputLine:
    """One input with its origin."""

    words: str
    value: str
    known: str
    source: str
    assumed: bool
    href: str


@dataclass(frozen=True)
class PlaceRow:
    """What one sum says of one place."""

    place: str  # empty for the whole driveline or the vehicle
    href: str
    speaks: str
    sentence: str  # empty when the place above says the same
    drawn: tuple[tuple[ResultLine, Markup], ...]
    others: tuple[ResultLine, ...]
    widened: str  # which input makes most of the range; empty when the place above says the same
    valid: bool


@dataclass(frozen=True)
class KindCard:
    """One kind of sum with the places it was done for: they share scale, limit, method and source."""

    id: str
    title: str
    weighs: bool  # a finding that the causes are weighed with; the others inform
    rows: tuple[PlaceRow, ...]
    foot: Markup
    limits: tuple[tuple[str, str], ...]  # words and source of what results are held against
    inputs: tuple[InputLine, ...]
    method: str
    source: str
    validity: tuple[str, ...]
    folded: bool  # it informs, holds, and is held against nothing
    brief: str  # its first result, beside the title of a folded card


@dataclass(frozen=True)
class TopicSection:
    """One question that is argued, with the sums that answer it."""

    id: str
    title: str
    figures: tuple[Figure, ...]
    cards: tuple[KindCard, ...]


@dataclass(frozen=True)
class Lacking:
    """A sum that could not be done, at which places, and what it lacks."""

    title: str
    places: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


@dataclass(frozen=True)
class SpokenLine:
    """One sum that speaks: where, what in short, and its card."""

    place: str
    clause: str
    href: str


@dataclass(frozen=True)
class SumsPage:
    """The whole page."""

    frame: Frame
    spoken: tuple[tuple[str, tuple[SpokenLine, ...]], ...]  # what speaks for, what speaks against
    topics: tuple[TopicSection, ...]
    lacking: tuple[Lacking, ...]


def sums_page(worked: Worked) -> SumsPage:
    """The sums of a case under the questions that are argued, in the order of the argument."""
    sums = worked.assessment.sums
    keys = tuple(key for topic in FIGURES_OF.values() for key in topic)
    figures = {one.key: one for one in figures_of(worked.assessment, report_content_of(worked), keys=keys)}
    done = [one for one in sums if one.computed]
    sections = (_section(worked.number, topic, done, figures) for topic in Topic)
    return SumsPage(
        frame=frame_of(worked, "sums"),
        spoken=(("Speaks for", _spoken(done, "for")), ("Speaks against", _spoken(done, "against"))),
        topics=tuple(section for section in sections if section.cards or section.figures),
        lacking=_lacking(worked.number, [one for one in sums if not one.computed]),
    )


def _spoken(done: list[Sum], side: str) -> tuple[SpokenLine, ...]:
    """The sums that the causes are weighed with and that speak on one side, in the order of the page."""
    topics = list(Topic)
    spoken = [one for one in done if _weighs(one) and one.speaks == side]
    spoken.sort(key=lambda one: topics.index(one.topic))
    return tuple(SpokenLine(_place(one), first_clause(one.sentence), f"#{_card_id(one)}") for one in spoken)


def first_clause(sentence: str) -> str:
    """A sentence up to its first colon, semicolon or full stop: `The shaft reaches its bending critical speed`."""
    return _CLAUSE.split(sentence, maxsplit=1)[0]


def _weighs(one: Sum) -> bool:
    return one.id.startswith("finding.")


def _card_id(one: Sum) -> str:
    return f"{one.topic.name.lower()}-{one.id}".replace("_", "-").replace(".", "-")


def _place(one: Sum) -> str:
    return place_title(one.at) if one.at.number else ""


def _held_words(held: Value) -> str:
    """A limit is named so; a load that a result is held against is none."""
    return f"{'against' if held.dimension in LOADS else 'limit'} {UNITS.one(held.si, held.dimension)}"


def _section(number: int, topic: Topic, done: list[Sum], figures: Mapping[str, Figure]) -> TopicSection:
    kinds: dict[str, list[Sum]] = defaultdict(list)
    for one in done:
        if one.topic is topic:
            kinds[one.id].append(one)
    shown = tuple(figures[key] for key in FIGURES_OF.get(topic, ()) if key in figures)
    cards = tuple(kind_card(number, sorted(sums, key=lambda one: one.at.rank)) for sums in kinds.values())
    return TopicSection(topic.name.lower().replace("_", "-"), topic.value, shown, cards)


def kind_card(number: int, sums: list[Sum]) -> KindCard:
    """One kind of sum with all places that it was done for."""
    first = sums[0]
    held = [one.held_against for one in sums if one.held_against]
    dimension = first.results[0].dimension
    limits = [limit.value for limit in held if limit.value.dimension == dimension]
    spreads = [result.spread for one in sums for result in one.results if result.dimension == dimension]
    # one scale for all places; with two limits in play (least and large) each row shows its own
    scale = scale_for([*spreads, *(Spread(limit.si, limit.low, limit.high) for limit in limits)], None)
    common = limits[0] if limits and all(limit == limits[0] for limit in limits) else None
    words = _held_words(common) if common else ""
    inputs = {(given.name, UNITS.value(given.value)): _input(number, given) for one in sums for given in one.inputs}
    rows = [_row(number, one, scale) for one in sums]
    return KindCard(
        id=_card_id(first),
        title=first.title,
        weighs=_weighs(first),
        rows=tuple(_said_once(rows)),
        foot=foot_picture(scale, common, zero=UNITS.one(0.0, dimension), limit_words=words),
        limits=tuple({f"{limit.words}: {UNITS.value(limit.value)}": limit.value.source for limit in held}.items()),
        inputs=tuple(inputs.values()),
        method=first.method,
        source=first.source,
        validity=tuple(dict.fromkeys(one.validity for one in sums if one.validity)),
        folded=not (_weighs(first) or held) and all(one.valid for one in sums),
        brief=_brief(sums),
    )


def _brief(sums: list[Sum]) -> str:
    """The first result of a card in one line, and how many places have theirs."""
    first = sums[0].results[0]
    value, _ = UNITS.spread(first.spread, first.dimension)
    place = f"{_place(sums[0])}: " if _place(sums[0]) else ""
    more = f"; {len(sums) - 1} more" if len(sums) > 1 else ""
    return f"{place}{first.words} {value}{more}"


def _row(number: int, one: Sum, scale: Scale) -> PlaceRow:
    dimension, held = one.results[0].dimension, one.held_against
    limit = held.value if held and held.value.dimension == dimension else None
    words = _held_words(limit) if limit else ""
    shown = [result for result in one.results if result.dimension == dimension]
    return PlaceRow(
        place=_place(one),
        href=part_link(number, holder(one.at)) if one.at.number else "",
        speaks=one.speaks,
        sentence=one.sentence,
        drawn=tuple((_result(result), _pictured(scale, result, limit, words)) for result in shown),
        others=tuple(_result(result) for result in one.results if result not in shown),
        widened=f"Its range: {told}" if (told := mostly(one.results[0])) else "",
        valid=one.valid,
    )


def _pictured(scale: Scale, result: Quantity, limit: Value | None, words: str) -> Markup:
    held = limit if result.held else None
    return row_picture(scale, result.spread, held, label=_told(result, words if held else ""))


def _said_once(rows: list[PlaceRow]) -> Iterator[PlaceRow]:
    """A sentence that only repeats the one above is left out."""
    said, widened = ("", ""), ""
    for row in rows:
        again = (row.speaks, row.sentence) == said
        shown = replace(row, sentence="" if again else row.sentence)
        yield replace(shown, widened="" if row.widened == widened else row.widened)
        said, widened = (row.speaks, row.sentence), row.widened


def _told(result: Quantity, limit: str) -> str:
    value, reach = UNITS.spread(result.spread, result.dimension)
    return ", ".join(part for part in (f"{result.words} {value}", reach, limit) if part)


def _result(result: Quantity) -> ResultLine:
    value, reach = UNITS.spread(result.spread, result.dimension)
    return ResultLine(result.words, value, reach, UNITS.in_other(result.spread.nominal, result.dimension))


def _input(number: int, given: Input) -> InputLine:
    value = given.value
    own = given.name.startswith(("vehicle.", "driveline."))
    return InputLine(
        words=given.words,
        value=UNITS.value(value),
        known=value.known.value,
        source=value.source,
        assumed=value.is_assumed,
        href=_field_href(number, given.name) if own else "",
    )


def _field_href(number: int, name: str) -> str:
    part = link_to_field(name)
    return f"/case/{number}?at={part}#{anchor(name)}" if part else f"/case/{number}/facts#{anchor(name)}"


def _lacking(number: int, sums: list[Sum]) -> tuple[Lacking, ...]:
    by_title: dict[str, list[tuple[str, tuple[tuple[str, str], ...]]]] = defaultdict(list)
    for one in sums:
        links = tuple((lack.words, _field_href(number, lack.name)) for lack in one.missing)
        by_title[one.title].append((_place(one), links))
    return tuple(Lacking(title, tuple(places)) for title, places in by_title.items())
