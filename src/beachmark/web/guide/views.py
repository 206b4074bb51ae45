"""Help: what each page is for."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from beachmark.web.house import TheHouse
from beachmark.web.rendering import page

router = APIRouter()


@router.get("/help")
def help_page(request: Request) -> Response:
    """What each page is for, how it is used without a mouse, and the cautions."""
    return page(request.scope, "help.html", None)


@router.get("/livez")
def alive() -> Response:
    """The server runs."""
    return Response("alive\n", media_type="text/plain")


@router.get("/readyz")
def ready(house: TheHouse) -> Response:
    """The store can be read. Answers 503 when it cannot."""
    house.store.empty()
    return Response("ready\n", media_type="text/plain")
