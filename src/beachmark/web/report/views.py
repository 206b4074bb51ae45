"""The report as a page, as PDF, and its figures."""

from __future__ import annotations

from dataclasses import asdict

from fastapi import APIRouter, Request, Response

from beachmark.web.house import TheCase
from beachmark.web.rendering import json_answer, page
from beachmark.web.report.pages import report_content_of, report_page
from beachmark.workflow import pages, reporting

router = APIRouter()


@router.get("/case/{n}/report.json")
def report_json(worked: TheCase) -> Response:
    """The report as JSON."""
    content = asdict(report_content_of(worked))
    return json_answer({"object": "beachmark.report", "version": 1, **content})


@router.get("/case/{n}/report.pdf")
def report_pdf(worked: TheCase) -> Response:
    """The report as PDF."""
    name = f"case-{worked.number}-revision-{worked.revision}.pdf"
    made = reporting.report_pdf(worked.loaded, assessment=worked.assessment)
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return Response(made, media_type="application/pdf", headers=headers)


@router.get("/case/{n}/figures/{key}.svg")
def figure(worked: TheCase, key: str) -> Response:
    """One figure of the report."""
    drawn = pages.figure(worked.assessment, report_content_of(worked), key)
    return Response(drawn, media_type="image/svg+xml")


@router.get("/case/{n}/report")
def report(request: Request, worked: TheCase) -> Response:
    """The report of a case."""
    return page(request.scope, "report.html", report_page(worked))
