"""The report as a page, as PDF, and its figures."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import asdict
from functools import cache

from fastapi import APIRouter, Request, Response

from beachmark.web.house import TheCase
from beachmark.web.rendering import json_answer, page
from beachmark.web.report.pages import report_content_of, report_page
from beachmark.workflow import drawing, pages, reporting

router = APIRouter()
FIGURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:"  # a picture, which holds no form


@cache
def _letters() -> str:
    font = drawing.fonts() / "Barlow_400Regular.ttf"
    text = b64encode(font.read_bytes()).decode("ascii")
    return f"<style>@font-face{{font-family:Barlow;src:url(data:font/ttf;base64,{text})}}</style>"


def with_letters(svg: str) -> str:
    """A figure with its letters inside: a picture in a page may fetch nothing."""
    opening = svg.index(">", svg.index("<svg")) + 1
    return svg[:opening] + _letters() + svg[opening:]


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
    headers = {"Content-Security-Policy": FIGURE_POLICY, "Cache-Control": "private, max-age=600"}
    return Response(with_letters(drawn), media_type="image/svg+xml", headers=headers)


@router.get("/case/{n}/report")
def report(request: Request, worked: TheCase) -> Response:
    """The report of a case."""
    return page(request.scope, "report.html", report_page(worked))
