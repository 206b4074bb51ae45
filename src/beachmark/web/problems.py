"""Errors as pages, in plain words; a traceback goes to the log, never to the page."""

from __future__ import annotations

import logging
from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Scope

from beachmark.basis.errors import BeachmarkError, Fault, InputError, NotFoundError
from beachmark.web.rendering import json_answer, page
from beachmark.workflow.pages import ConflictError, StoreError

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class ProblemPage:
    """What went wrong and what to do."""

    status: int
    title: str
    text: str
    faults: tuple[Fault, ...] = ()


def status_of(error: BeachmarkError) -> int:
    """The HTTP status of an error that a person can mend."""
    kinds = ((NotFoundError, 404), (ConflictError, 409), (InputError, 422), (StoreError, 503))
    return next((status for kind, status in kinds if isinstance(error, kind)), 422)


TITLES = {404: "Not there", 409: "Changed in between", 422: "That cannot be taken", 503: "The store cannot be used"}


def problem_page(scope: Scope, status: int, title: str, text: str, faults: tuple[Fault, ...] = ()) -> Response:
    """A problem as a page, or as JSON where JSON was asked for."""
    if scope["path"].endswith(".json"):
        told = {"status": status, "title": title, "detail": text, "faults": [fault.as_json() for fault in faults]}
        return json_answer({"object": "beachmark.problem", "version": 1, **told}, status=status)
    return page(scope, "problem.html", ProblemPage(status, title, text, faults), status=status)


def known_error(request: Request, error: Exception) -> Response:
    """A `BeachmarkError` as a page."""
    assert isinstance(error, BeachmarkError)
    status = status_of(error)
    faults = tuple(error.faults) if isinstance(error, InputError) else ()
    text = "Nothing was stored." if faults else str(error)
    return problem_page(request.scope, status, TITLES[status], text, faults)


def http_error(request: Request, error: Exception) -> Response:
    """An address that leads nowhere, or a way of asking that is not offered there."""
    assert isinstance(error, HTTPException)
    texts = {404: "There is no page at this address.", 405: "This address does not take that kind of request."}
    text = texts.get(error.status_code, str(error.detail))
    return problem_page(request.scope, error.status_code, TITLES.get(error.status_code, "Not possible"), text)


def bad_request(request: Request, error: Exception) -> Response:
    """Parameters that are not of the kind asked for."""
    text = "The address holds something that cannot be read there."
    log.info("%s refused: %s", request.url.path, error)
    return problem_page(request.scope, 422, TITLES[422], text)


def unforeseen(request: Request, error: Exception) -> Response:
    """Our own mistake."""
    log.error("%s %s failed", request.method, request.url.path, exc_info=error)
    text = "That is a fault of this program, not of yours. Nothing was stored. The log of the server holds the details."
    return problem_page(request.scope, 500, "Something went wrong here", text)
