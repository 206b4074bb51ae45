"""The driveline and the cross of a case as drawings, marked with what was seen and concluded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import resources
from importlib.resources.abc import Traversable

from beachmark.cases.assessment import Assessment
from beachmark.driveline.positions import Address
from beachmark.report.drawing import Mark, cross_svg, driveline_svg, driveline_table
from beachmark.report.drawing.views import Link
from beachmark.report.marked import PAPER_WIDTH, drawing_marks

Marks = Mapping[Address, Sequence[Mark]]


def driveline_drawing(
    assessment: Assessment,
    *,
    link: Link | None = None,
    chosen: Address | None = None,
    seen: bool = False,
    width: int = PAPER_WIDTH,
    title: str = "",
    plan: bool = True,
) -> str:
    """The driveline of a case in side and plan view as SVG text; `width` in pixels, below 640 for a phone.
    Without `plan` the side view stands alone.

    With `link`, every part leads somewhere; `seen` marks every place where something was recorded.
    """
    marks = _marks(assessment, chosen, seen=seen)
    return driveline_svg(assessment.train, marks=marks, link=link, title=title, width=width, plan=plan)


def cross_drawing(
    assessment: Assessment, *, joint: int, link: Link | None = None, chosen: Address | None = None
) -> str:
    """The cross of joint `joint`, counted from 1 at the gearbox, as SVG text with everything seen on it."""
    return cross_svg(marks=_marks(assessment, chosen, seen=True), link=link, joint=joint)


def driveline_words(assessment: Assessment) -> list[tuple[str, str, str]]:
    """The drawing in words: part, what is known, how it is known."""
    return driveline_table(assessment.train)


def _marks(assessment: Assessment, chosen: Address | None, *, seen: bool) -> Marks:
    marks: dict[Address, Sequence[Mark]] = dict(drawing_marks(assessment, seen=seen))
    if chosen is not None and chosen.number:
        marks[chosen] = [*marks.get(chosen, ()), Mark("chosen")]
    return marks


def fonts() -> Traversable:
    """The folder with the letters that drawings, pages and paper are set in."""
    return resources.files("beachmark.report") / "fonts"


__all__ = ["Address", "Assessment", "cross_drawing", "driveline_drawing", "driveline_words", "fonts"]
