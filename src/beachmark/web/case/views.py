"""The first page of a case and its forms."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import quote

from fastapi import APIRouter, Request, Response

from beachmark.basis.errors import BeachmarkError, Fault, InputError
from beachmark.web.case.forms import Asking, Typed, seen_of, typed_answer, typed_fields
from beachmark.web.case.pages import case_page
from beachmark.web.desk.forms import number_of_shafts
from beachmark.web.form_data import FormFaults, base_revision, text_of, under_names
from beachmark.web.house import NAME_COOKIE, House, TheCase, TheForm, TheHouse, TheName, TheNumber
from beachmark.web.merging import store_form
from beachmark.web.problems import status_of
from beachmark.web.rendering import base_of, gone_to, json_answer, page
from beachmark.web.spine import part_link
from beachmark.workflow import keeping
from beachmark.workflow.fields import FieldGroup, fields_at
from beachmark.workflow.pages import ConflictError, Loaded, case_page_object
from beachmark.workflow.places import place, shown_at

router = APIRouter()
ANSWER_FIELDS = {name: name for name in ("see", "at", "answers", "by", "how", "when", "sure", "note")}


@router.get("/case/{n}.json")
def case_json(worked: TheCase) -> Response:
    """The case as JSON."""
    return json_answer(case_page_object(worked.loaded, worked.assessment))


@router.get("/case/{n}")
def case(request: Request, worked: TheCase, name: TheName, at: str = "", ask: str = "", done: str = "") -> Response:
    """The driveline of a case, with one part opened."""
    chosen = place(at, worked.loaded.case) if at else None
    context = case_page(worked, base=base_of(request.scope), at=chosen, asking=Asking(name=name, ask=ask), done=done)
    return page(request.scope, "case.html", context)


def _again(request: Request, house: House, number: int, part: str, typed: Typed, error: BeachmarkError) -> Response:
    """The page once more, with everything that was typed and what is wrong with it."""
    worked = house.case(number)
    faults = tuple(error.faults) if isinstance(error, InputError) else ()
    conflict = str(error) if isinstance(error, ConflictError) else ""
    shown = under_names(faults, ANSWER_FIELDS) if typed.see else faults
    context = case_page(
        worked,
        base=base_of(request.scope),
        at=place(part, worked.loaded.case) if part else None,
        asking=Asking(typed, typed.by),
        faults=FormFaults(shown, conflict),
    )
    return page(request.scope, "case.html", context, status=status_of(error))


def _known_part(house: House, number: int, text: str) -> str:
    """The part that a form belongs to. Raises `NotFoundError`."""
    at = place(text, house.case(number).loaded.case)
    return str(shown_at(at) or at)


@router.post("/case/{n}/record")
def record(request: Request, house: TheHouse, number: TheNumber, form: TheForm) -> Response:
    """Record what somebody saw."""
    typed = typed_answer(form)
    part = _known_part(house, number, text_of(form, "part"))
    try:
        seen = seen_of(typed)
        keeping.record(house.store, number, seen, base_revision=base_revision(form), who=typed.by)
    except (InputError, ConflictError) as error:
        return _again(request, house, number, part, typed, error)
    answer = gone_to(request.scope, f"/case/{number}?at={part}&done={quote(typed.see)}#part")
    return _remembering(answer, typed.by)


def _remembering(answer: Response, name: str) -> Response:
    """The name is not asked twice: the browser keeps it."""
    if name:
        answer.set_cookie(NAME_COOKIE, quote(name), max_age=30_000_000, httponly=True, samesite="strict")
    return answer


@router.post("/case/{n}/take-back")
def take_back(request: Request, house: TheHouse, number: TheNumber, form: TheForm, name: TheName) -> Response:
    """Take an observation back; the history keeps it."""
    part = text_of(form, "part")
    part = _known_part(house, number, part) if part else ""
    try:
        keeping.take_back(
            house.store,
            number,
            see=text_of(form, "see"),
            at=text_of(form, "at"),
            by=text_of(form, "by"),
            base_revision=base_revision(form),
            who=name,
        )
    except (InputError, ConflictError) as error:
        return _again(request, house, number, part, Typed(), error)
    return gone_to(request.scope, part_link(number, part) if part else f"/case/{number}#part")


@router.post("/case/{n}/fields")
def fields(request: Request, house: TheHouse, number: TheNumber, form: TheForm, name: TheName) -> Response:
    """Store what is installed at one part."""
    typed = typed_fields(form)
    part = _known_part(house, number, text_of(form, "part"))

    def groups(loaded: Loaded) -> tuple[FieldGroup, ...]:
        return fields_at(loaded.case, place(part, loaded.case))

    refused = store_form(house, number, form, groups, who=typed.by or name)
    if refused is None:
        return gone_to(request.scope, f"/case/{number}?at={part}#installed")
    context = case_page(
        house.case(number),
        base=base_of(request.scope),
        at=place(part, house.case(number).loaded.case),
        asking=Asking(replace(typed, fields=refused.shown), typed.by),
        faults=refused.faults,
    )
    return page(request.scope, "case.html", context, status=refused.status)


@router.post("/case/{n}/shafts")
def shafts(request: Request, house: TheHouse, number: TheNumber, form: TheForm, name: TheName) -> Response:
    """Say how many shafts the driveline has."""
    try:
        count = number_of_shafts(text_of(form, "shafts"))
        if not count:
            raise InputError([Fault("form", "shafts", "no number was chosen", "1 to 6")])
        keeping.set_shafts(house.store, number, count, base_revision=base_revision(form), who=name)
    except (InputError, ConflictError) as error:
        return _again(request, house, number, "", Typed(), error)
    return gone_to(request.scope, f"/case/{number}#driveline")
