"""The facts page and its form."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from beachmark.web.facts.pages import facts_page
from beachmark.web.form_data import text_of
from beachmark.web.house import TheCase, TheForm, TheHouse, TheName, TheNumber
from beachmark.web.merging import store_form
from beachmark.web.rendering import gone_to, json_answer, page
from beachmark.workflow.fields import facts_groups
from beachmark.workflow.pages import facts_object

router = APIRouter()


@router.get("/case/{n}/facts.json")
def facts_json(worked: TheCase) -> Response:
    """The facts as JSON."""
    return json_answer(facts_object(worked.loaded, worked.assessment))


@router.get("/case/{n}/facts")
def facts(request: Request, worked: TheCase, name: TheName, stored: str = "") -> Response:
    """The facts of a case."""
    return page(request.scope, "facts.html", facts_page(worked, name=name, stored=bool(stored)))


@router.post("/case/{n}/facts")
def store_facts(request: Request, house: TheHouse, number: TheNumber, form: TheForm, name: TheName) -> Response:
    """Store what was changed, all of it or nothing."""
    who = text_of(form, "by") or name
    refused = store_form(house, number, form, lambda loaded: facts_groups(loaded.case), who=who)
    if refused is None:
        return gone_to(request.scope, f"/case/{number}/facts?stored=1")
    context = facts_page(
        house.case(number),
        name=who,
        typed=refused.shown,
        known=text_of(form, "known"),
        source=text_of(form, "source"),
        faults=refused.faults,
    )
    return page(request.scope, "facts.html", context, status=refused.status)
