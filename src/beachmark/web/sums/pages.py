"""What the sums page shows: every sum at its place along the driveline."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from markupsafe import Markup

from beachmark.web.house import Worked
from beachmark.web.rendering import anchor
from beachmark.web.report.pages import report_content_of
from beachmark.web.spine import Frame, frame_of, part_link, place_title
from beachmark.web.sums.band import foot_picture, row_picture, scale_for
from beachmark.workflow.pages import Input, Quantity, Sum, Units, figures_of, link_to_field
from beachmark.workflow.places import Address, holder

UNITS = Units("metric")
FIGURES = ("torque", "speed", "excitation")


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
class SumCard:
    """One sum that could be done."""

    title: str
    speaks: str
    sentence: str
    drawn: tuple[tuple[ResultLine, Markup], ...]
    foot: Markup
    others: tuple[ResultLine, ...]
    limit: str
    limit_source: str
    inputs: tuple[InputLine, ...]
    method: str
    source: str
    valid: bool
    validity: str


@dataclass(frozen=True)
class PlaceSums:
    """The sums of one place."""

    title: str
    kind: str
    href: str
    cards: tuple[SumCard, ...]


@dataclass(frozen=True)
class Lacking:
    """A sum that could not be done, at which places, and what it lacks."""

    title: str
    places: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


@dataclass(frozen=True)
class SumsPage:
    """The whole page."""

    frame: Frame
    places: tuple[PlaceSums, ...]
    figures: tuple[tuple[str, str], ...]
    lacking: tuple[Lacking, ...]


def sums_page(worked: Worked) -> SumsPage:
    """The sums of a case, from the whole driveline to its parts in their order."""
    sums = worked.assessment.sums
    done: dict[Address, list[Sum]] = defaultdict(list)
    for one in sums:
        if one.computed:
            done[holder(one.at)].append(one)
    order = sorted(done, key=lambda at: (bool(at.number), at.rank))
    return SumsPage(
        frame=frame_of(worked, "sums"),
        places=tuple(_place(worked.number, at, done[at]) for at in order),
        figures=figures_of(worked.assessment, report_content_of(worked), keys=FIGURES),
        lacking=_lacking(worked.number, [one for one in sums if not one.computed]),
    )


def _place(number: int, at: Address, sums: list[Sum]) -> PlaceSums:
    title = {"train": "The whole driveline", "case": "The vehicle"}.get(at.unit, place_title(at))
    href = part_link(number, at) if at.number else ""
    return PlaceSums(title, at.unit, href, tuple(_card(number, one) for one in sums))


def _card(number: int, one: Sum) -> SumCard:
    lead, held = one.results[0], one.held_against
    limit = held.value if held and held.value.dimension == lead.dimension else None
    shown = [result for result in one.results if result.dimension == lead.dimension]
    scale = scale_for([result.spread for result in shown], limit)
    words = f"limit {UNITS.one(limit.si, limit.dimension)}" if limit else ""
    return SumCard(
        title=one.title,
        speaks=one.speaks,
        sentence=one.sentence,
        drawn=tuple(
            (_result(result), row_picture(scale, result.spread, limit, label=_told(result, words))) for result in shown
        ),
        foot=foot_picture(scale, limit, zero=UNITS.one(0.0, lead.dimension), limit_words=words),
        others=tuple(_result(result) for result in one.results if result not in shown),
        limit=f"{held.words}: {UNITS.value(held.value)}" if held else "",
        limit_source=held.value.source if held else "",
        inputs=tuple(_input(number, given) for given in one.inputs),
        method=one.method,
        source=one.source,
        valid=one.valid,
        validity=one.validity,
    )


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
        place = place_title(one.at) if one.at.number else ""
        by_title[one.title].append((place, links))
    return tuple(Lacking(title, tuple(places)) for title, places in by_title.items())
