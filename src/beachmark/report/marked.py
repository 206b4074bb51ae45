"""Which marks the drawing of a case carries: what failed first, what followed, and where something was seen."""

from __future__ import annotations

from collections import defaultdict

from beachmark.cases.assessment import Assessment
from beachmark.driveline.positions import Address
from beachmark.report.drawing import Mark

PAPER_WIDTH = 1120  # pixels: about the shape of the room that a first page has for the drawing
_ROOM = 40  # letters; a longer label would be cut


def drawing_marks(assessment: Assessment, *, seen: bool = False) -> dict[Address, list[Mark]]:
    """Marks by place for `driveline_svg`. With `seen`, every place with an answered observation is marked too."""
    opinion, marks = assessment.opinion, defaultdict[Address, list[Mark]](list)
    first = opinion.first_failure.at
    if first is not None and opinion.items and opinion.first.cause is not None:
        marks[first].append(Mark("first"))
    for consequence in opinion.consequences:
        if consequence.at is not None and consequence.at != first and opinion.items:
            marks[consequence.at].append(Mark("consequence", _label(consequence.text)))
    for observation in assessment.observations if seen else ():
        if observation.at is not None and observation.speaks:
            marks[observation.at].append(Mark("seen"))
    return dict(marks)


def _label(text: str) -> str:
    return text if len(text) <= _ROOM else ""
