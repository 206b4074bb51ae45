"""What the report page shows: the same content as the paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from beachmark.web.house import Worked
from beachmark.web.rendering import drawn
from beachmark.web.spine import Frame, frame_of
from beachmark.workflow import drawing, reporting
from beachmark.workflow.pages import FIGURES_OF, Figure, ReportContent, figures_of

FIGURES = (*(key for keys in FIGURES_OF.values() for key in keys), "weights")


@dataclass(frozen=True)
class ReportPage:
    """The whole page."""

    frame: Frame
    content: ReportContent
    wide: Markup
    narrow: Markup
    words: tuple[tuple[str, str, str], ...]
    figures: tuple[Figure, ...]
    figures_of: Mapping[str, tuple[str, ...]]  # question -> its figures


def report_content_of(worked: Worked) -> ReportContent:
    """The report of a case as data in words."""
    return reporting.report_content(worked.loaded, assessment=worked.assessment)


def report_page(worked: Worked) -> ReportPage:
    """The report of a case."""
    content, assessment = report_content_of(worked), worked.assessment
    return ReportPage(
        frame=frame_of(worked, "report"),
        content=content,
        wide=drawn(drawing.driveline_drawing(assessment, width=1120)),
        narrow=drawn(drawing.driveline_drawing(assessment, width=390)),
        words=tuple(drawing.driveline_words(assessment)),
        figures=figures_of(assessment, content, keys=FIGURES),
        figures_of={topic.value: keys for topic, keys in FIGURES_OF.items()},
    )
