"""Which marks the drawing of a case carries: what failed first, what followed, and where something was seen."""

from __future__ import annotations

from collections import defaultdict

from beachmark.cases.assessment import Assessment
from beachmark.driveline.positions import Address
from beachmark.report.drawing import Mark

PAPER_WIDTH = 960  # pixels: at this width the drawing's letters are as large on A4 as the text around them


def drawing_marks(assessment: Assessment, *, seen: bool = False) -> dict[Address, list[Mark]]:
    """Marks by place for `driveline_svg`. With `seen`, every place with an answered observation is marked too."""
    opinion, marks = assessment.opinion, defaultdict[Address, list[Mark]](list)
    first = opinion.first_failure.at
    if first is not None and opinion.items and opinion.first.cause is not None:
        marks[first].append(Mark("first", opinion.first.title))
    for consequence in opinion.consequences:
        if consequence.at is not None and consequence.at != first and opinion.items:
            marks[consequence.at].append(Mark("consequence", consequence.text))
    for observation in assessment.observations if seen else ():
        if observation.at is not None and observation.speaks:
            marks[observation.at].append(Mark("seen"))
    return dict(marks)
