"""What the facts page shows: every field that is not a size of one part, and what is missing."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.web.form_data import FormFaults
from beachmark.web.house import Worked
from beachmark.web.rendering import anchor
from beachmark.web.spine import Frame, frame_of
from beachmark.workflow.fields import KNOWN_CHOICES, FieldGroup, facts_groups
from beachmark.workflow.pages import link_to_field


@dataclass(frozen=True)
class MissingLine:
    """One number that nobody gave yet, and the sums that it would allow."""

    words: str
    allows: str
    href: str
    part: str


@dataclass(frozen=True)
class FactsPage:
    """The whole page."""

    frame: Frame
    groups: tuple[FieldGroup, ...]
    missing: tuple[MissingLine, ...]
    allows: dict[str, str]
    typed: dict[str, str]
    known: str
    source: str
    by: str
    faults: FormFaults
    stored: bool
    known_choices: tuple[str, ...] = KNOWN_CHOICES


def facts_page(
    worked: Worked,
    *,
    name: str = "",
    typed: dict[str, str] | None = None,
    known: str = "",
    source: str = "",
    faults: FormFaults | None = None,
    stored: bool = False,
) -> FactsPage:
    """The facts of a case; `typed` is what could not be stored and stays in the form."""
    numbers = worked.assessment.opinion.numbers_next
    return FactsPage(
        frame=frame_of(worked, "facts"),
        groups=facts_groups(worked.loaded.case),
        missing=tuple(_missing(worked.number, one.name, one.words, one.allows) for one in numbers),
        allows={one.name: _some(one.allows) for one in numbers},
        typed=typed or {},
        known=known,
        source=source,
        by=name,
        faults=faults or FormFaults(),
        stored=stored,
    )


def _some(titles: tuple[str, ...]) -> str:
    """The first sums by name, the others by their number."""
    named = "; ".join(titles[:2])
    return named if len(titles) <= 2 else f"{named} and {len(titles) - 2} more"


def _missing(number: int, name: str, words: str, allows: tuple[str, ...]) -> MissingLine:
    part = link_to_field(name)
    href = f"/case/{number}?at={part}#{anchor(name)}" if part else f"#{anchor(name)}"
    return MissingLine(words, _some(allows), href, part)
