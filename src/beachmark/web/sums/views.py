"""The sums page."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from beachmark.web.house import TheCase
from beachmark.web.rendering import json_answer, page
from beachmark.web.sums.pages import sums_page
from beachmark.workflow.pages import sums_page_object

router = APIRouter()


@router.get("/case/{n}/sums.json")
def sums_json(worked: TheCase) -> Response:
    """The sums as JSON."""
    return json_answer(sums_page_object(worked.loaded, worked.assessment))


@router.get("/case/{n}/sums")
def sums(request: Request, worked: TheCase) -> Response:
    """The sums of a case."""
    return page(request.scope, "sums.html", sums_page(worked))
