"""The report of a case: as data in words, its figures, and as PDF."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime

from beachmark.cases.assessment import Assessment
from beachmark.cases.codec import plain_case
from beachmark.report.content import report_content as build_content
from beachmark.report.document import ReportContent
from beachmark.workflow.drawing import driveline_drawing
from beachmark.workflow.loading import Loaded
from beachmark.workflow.packaged import knowledge
from beachmark.workflow.working import weigh

SIDE_WIDTH = 860  # pixels of the side view on the first page: its letters print at about 8 points


def report_content(
    loaded: Loaded, *, assessment: Assessment | None = None, issued: datetime | None = None, units: str = "metric"
) -> ReportContent:
    """The whole report as data in words; `issued` is now unless another moment is given."""
    moment = issued or datetime.now(UTC)
    return build_content(
        assessment or weigh(loaded),
        knowledge(),
        number=str(loaded.number) if loaded.number else loaded.origin,
        revision=loaded.revision or 0,
        issued=moment.strftime("%Y-%m-%d"),
        units=units,
        document_hash=document_hash(loaded),
    )


def report_figures(assessment: Assessment, content: ReportContent, *, units: str = "metric") -> dict[str, str]:
    """The figures of a case as SVG by their keys; those that lack their sums are left out."""
    from beachmark.report.figures import figure_svg  # late: the chart engine is heavy
    from beachmark.report.figures import report_figures as figure_specs

    specs = figure_specs(assessment, knowledge(), content, units=units)
    return {key: figure_svg(spec) for key, spec in specs.items()}


def report_pdf(
    loaded: Loaded, *, assessment: Assessment | None = None, issued: datetime | None = None, units: str = "metric"
) -> bytes:
    """The report as PDF."""
    from beachmark.report.paper import report_pdf as set_pdf

    worked = assessment or weigh(loaded)
    content = report_content(loaded, assessment=worked, issued=issued, units=units)
    figures = {"driveline": driveline_drawing(worked, seen=True)} | report_figures(worked, content, units=units)
    # the first page shows the side view alone, large enough to be read; the whole drawing is the first figure
    return set_pdf(content, drawing_svg=driveline_drawing(worked, width=SIDE_WIDTH, plan=False), figures=figures)


def document_hash(loaded: Loaded) -> str:
    """SHA-256 of the case document that the report is made from."""
    text = json.dumps(plain_case(loaded.case), ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
