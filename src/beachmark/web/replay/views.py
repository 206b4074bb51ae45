"""The replay page: the form, how far a run is, and what it told."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from beachmark.basis.errors import InputError
from beachmark.web.form_data import FormFaults
from beachmark.web.house import TheCase, TheForm, TheHouse, TheNumber
from beachmark.web.problems import status_of
from beachmark.web.rendering import gone_to, json_answer, page
from beachmark.web.replay.forms import asked_of, order_of
from beachmark.web.replay.pages import replay_page
from beachmark.web.report.views import FIGURE_POLICY, with_letters
from beachmark.workflow import replay_page as replays

router = APIRouter()


@router.get("/case/{n}/replay.json")
def replay_json(house: TheHouse, worked: TheCase) -> Response:
    """The replay as JSON, and what runs."""
    job = replays.job_of(house.store, worked.number)
    return json_answer(replays.replay_page_object(worked.loaded, worked.assessment, job))


@router.get("/case/{n}/replay/{key}.svg")
def picture(worked: TheCase, key: str) -> Response:
    """One picture of the replay."""
    drawn = replays.replay_picture(worked.assessment, worked.loaded.replay, key)
    headers = {"Content-Security-Policy": FIGURE_POLICY, "Cache-Control": "private, max-age=600"}
    return Response(with_letters(drawn), media_type="image/svg+xml", headers=headers)


@router.get("/case/{n}/replay")
def replay(request: Request, house: TheHouse, worked: TheCase, hold: str = "", stopping: str = "") -> Response:
    """The replay of a case; while one runs the page renews itself unless it is held."""
    job = replays.job_of(house.store, worked.number)
    return page(request.scope, "replay.html", replay_page(worked, job, hold=bool(hold), stopping=bool(stopping)))


@router.post("/case/{n}/replay")
def start(request: Request, house: TheHouse, number: TheNumber, form: TheForm) -> Response:
    """Replay the events that were chosen, beside the pages."""
    worked, asked = house.case(number), asked_of(form)
    try:
        order = order_of(asked, replays.events_of(worked.loaded))
    except InputError as error:
        job = replays.job_of(house.store, number)
        context = replay_page(worked, job, asked=asked, faults=FormFaults(tuple(error.faults)))
        return page(request.scope, "replay.html", context, status=status_of(error))
    replays.start(house.store, number, order)
    return gone_to(request.scope, f"/case/{number}/replay")


@router.post("/case/{n}/replay/cancel")
def cancel(request: Request, house: TheHouse, number: TheNumber) -> Response:
    """Stop the replay that waits or runs."""
    house.case(number)
    job = replays.cancel(house.store, number)
    stopping = job is not None and not job.ended
    return gone_to(request.scope, f"/case/{number}/replay{'?stopping=1' if stopping else ''}")
