"""The causes page."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from beachmark.web.causes.pages import causes_page
from beachmark.web.house import TheCase
from beachmark.web.rendering import json_answer, page
from beachmark.workflow.pages import causes_object

router = APIRouter()


@router.get("/case/{n}/causes.json")
def causes_json(worked: TheCase) -> Response:
    """The weighing as JSON."""
    return json_answer(causes_object(worked.loaded, worked.assessment))


@router.get("/case/{n}/causes")
def causes(request: Request, worked: TheCase) -> Response:
    """The causes of a case."""
    return page(request.scope, "causes.html", causes_page(worked))
