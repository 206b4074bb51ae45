"""The desk and its two forms."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from beachmark.basis.errors import InputError
from beachmark.web.desk.forms import case_file, new_case_fields, number_of_shafts
from beachmark.web.desk.pages import desk_object, desk_page
from beachmark.web.form_data import text_of
from beachmark.web.house import TheForm, TheHouse
from beachmark.web.rendering import gone_to, json_answer, page
from beachmark.workflow import keeping, loading

router = APIRouter()


def _sheet(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 1


@router.get("/")
def desk(request: Request, house: TheHouse, search: str = "", sheet: str = "1") -> Response:
    """The list of cases."""
    return page(request.scope, "desk.html", desk_page(house, search=search.strip()[:200], sheet=_sheet(sheet)))


@router.get("/.json")
@router.get("/cases.json")
def desk_json(house: TheHouse, search: str = "", sheet: str = "1") -> Response:
    """The list of cases as JSON."""
    return json_answer(desk_object(desk_page(house, search=search.strip()[:200], sheet=_sheet(sheet))))


@router.post("/cases")
def add(request: Request, house: TheHouse, form: TheForm) -> Response:
    """Make a new case."""
    typed = new_case_fields(form)
    try:
        shafts = number_of_shafts(typed["shafts"])
        made = keeping.new_case(house.store, title=typed["title"], reference=typed["reference"], shafts=shafts)
    except InputError as error:
        again = desk_page(house, typed=typed, faults=tuple(error.faults), faulty="new")
        return page(request.scope, "desk.html", again, status=422)
    return gone_to(request.scope, f"/case/{made.number}")


@router.post("/import")
def take_in(request: Request, house: TheHouse, form: TheForm) -> Response:
    """Take in a case file, whole or not at all."""
    try:
        name, content = case_file(form)
        case = loading.case_from_text(content, name=name)
        made = keeping.add_case(house.store, case, who=text_of(form, "by"), why=f"imported from {name}")
    except InputError as error:
        again = desk_page(house, faults=tuple(error.faults), faulty="import")
        return page(request.scope, "desk.html", again, status=422)
    return gone_to(request.scope, f"/case/{made.number}")
