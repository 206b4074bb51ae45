"""The driveline and the cross of a case as drawings, marked with what was seen and concluded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from importlib import resources
from importlib.resources.abc import Traversable

from beachmark.cases.assessment import Assessment
from beachmark.driveline.positions import Address
from beachmark.report.drawing import Mark, cross_svg, driveline_svg, driveline_table
from beachmark.report.drawing.views import Link
from beachmark.report.marked import PAPER_WIDTH, drawing_marks

Marks = Mapping[Address, Sequence[Mark]]
_DRAWN = ("gearbox", "axle")  # parts without a number that the drawing has a place for


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

    With `link`, every part leads somewhere; `seen` counts what was recorded at each part.
    """
    marks: dict[Address, list[Mark]] = drawing_marks(assessment)
    for at, count in _seen(assessment).items() if seen else ():
        marks.setdefault(at, []).extend([Mark("seen")] * count)
    return driveline_svg(
        assessment.train, marks=_with_chosen(marks, chosen), link=link, title=title, width=width, plan=plan
    )


def cross_drawing(
    assessment: Assessment, *, joint: int, link: Link | None = None, chosen: Address | None = None
) -> str:
    """The cross of joint `joint`, counted from 1 at the gearbox, as SVG text with everything seen on it."""
    return cross_svg(marks=_with_chosen(drawing_marks(assessment, seen=True), chosen), link=link, joint=joint)


def driveline_words(assessment: Assessment) -> list[tuple[str, str, str]]:
    """The drawing in words: part, what is known, how it is known."""
    return driveline_table(assessment.train)


def _seen(assessment: Assessment) -> Counter[Address]:
    """How much was seen at each drawn part: what was seen on its arms and caps is counted with the joint."""
    places = [seen.at for seen in assessment.observations if seen.speaks and seen.at is not None]
    drawn = [at if at.part == "slip" else at.holder for at in places]
    return Counter(at for at in drawn if at.number or at.unit in _DRAWN)


def _with_chosen(marks: Marks, chosen: Address | None) -> Marks:
    if chosen is None or not (chosen.number or chosen.unit in _DRAWN):
        return marks
    return {**marks, chosen: [*marks.get(chosen, ()), Mark("chosen")]}


def fonts() -> Traversable:
    """The folder with the letters that drawings, pages and paper are set in."""
    return resources.files("beachmark.report") / "fonts"


__all__ = ["Address", "Assessment", "cross_drawing", "driveline_drawing", "driveline_words", "fonts"]
