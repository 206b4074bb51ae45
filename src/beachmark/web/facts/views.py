"""The facts page and its form."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from beachmark.basis.errors import InputError
from beachmark.web.facts.pages import facts_page
from beachmark.web.form_data import FormFaults, base_revision, every_text, text_of, under_fields
from beachmark.web.house import TheCase, TheForm, TheHouse, TheName, TheNumber
from beachmark.web.problems import status_of
from beachmark.web.rendering import gone_to, json_answer, page
from beachmark.workflow import entering
from beachmark.workflow.fields import facts_groups
from beachmark.workflow.pages import ConflictError, facts_object

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
    typed, known, source = every_text(form), text_of(form, "known"), text_of(form, "source")
    who = text_of(form, "by") or name
    try:
        base = base_revision(form)
        entered = entering.changed_fields(facts_groups(house.at(number, base).loaded.case), typed)
        if entered:
            entering.enter(house.store, number, entered, known=known, source=source, base_revision=base, who=who)
    except (InputError, ConflictError) as error:
        faults = tuple(error.faults) if isinstance(error, InputError) else ()
        conflict = str(error) if isinstance(error, ConflictError) else ""
        context = facts_page(
            house.case(number),
            name=who,
            typed=typed,
            known=known,
            source=source,
            faults=FormFaults(under_fields(faults), conflict),
        )
        return page(request.scope, "facts.html", context, status=status_of(error))
    return gone_to(request.scope, f"/case/{number}/facts?stored=1")
