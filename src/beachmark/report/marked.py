"""Which marks the drawing of a case carries: what failed first, what followed, and where something was seen."""

from __future__ import annotations

from collections import defaultdict

from beachmark.cases.assessment import Assessment
from beachmark.driveline.positions import Address
from beachmark.report.drawing import Mark
from beachmark.report.starting import start_words

PAPER_WIDTH = 1120  # pixels: about the shape of the room that a first page has for the drawing
_ROOM = 40  # letters; a longer label would be cut


def drawing_marks(assessment: Assessment, *, seen: bool = False) -> dict[Address, list[Mark]]:
    """Marks by place for `driveline_svg`. With `seen`, every place with an answered observation is marked too."""
    opinion, marks = assessment.opinion, defaultdict[Address, list[Mark]](list)
    first = opinion.first_failure.at
    if first is not None and opinion.items and opinion.first.cause is not None:
        marks[first].append(Mark(start_words(opinion).mark))
    for place, texts in _followed(assessment).items():
        marks[place].append(Mark("consequence", texts[0] if len(texts) == 1 and len(texts[0]) <= _ROOM else ""))
    for observation in assessment.observations if seen else ():
        if observation.at is not None and observation.speaks:
            marks[observation.at].append(Mark("seen"))
    return dict(marks)


def _followed(assessment: Assessment) -> dict[Address, list[str]]:
    """What followed at each place but that of the first failure."""
    followed: dict[Address, list[str]] = {}
    for consequence in assessment.opinion.consequences:
        if consequence.at is not None and consequence.at != assessment.opinion.first_failure.at:
            followed.setdefault(consequence.at, []).append(consequence.text)
    return followed
