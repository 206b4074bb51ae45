"""The application put together. It opens the store when it starts and closes it at the end."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.staticfiles import StaticFiles

from beachmark.basis.errors import BeachmarkError
from beachmark.web import problems
from beachmark.web.case.views import router as case
from beachmark.web.causes.views import router as causes
from beachmark.web.desk.views import router as desk
from beachmark.web.facts.views import router as facts
from beachmark.web.guard import Guard, guarded
from beachmark.web.guide.views import router as guide
from beachmark.web.history.views import router as history
from beachmark.web.house import House
from beachmark.web.rendering import STATIC
from beachmark.web.replay.views import router as replay
from beachmark.web.report.views import router as report
from beachmark.web.sums.views import router as sums
from beachmark.workflow import drawing
from beachmark.workflow.home import home_folder, open_store


def app_of_home() -> FastAPI:
    """The pages of the house that `BEACHMARK_HOME` names, for a server that is given the name of this function."""
    return create_app(home_folder())


def create_app(home: Path, *, hosts: Sequence[str] = ()) -> FastAPI:
    """The pages of the house in the folder `home`.

    `hosts` are names besides those of this machine under which a proxy may hand on requests.
    """

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        store = open_store(home)
        app.state.house = House(store)
        try:
            yield
        finally:
            store.close()

    app = FastAPI(
        title="beachmark",
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        middleware=[Middleware(Guard, hosts=tuple(hosts))],
    )
    for router in (desk, facts, sums, replay, causes, report, history, case, guide):
        app.include_router(router)
    app.mount("/static/fonts", StaticFiles(directory=str(drawing.fonts())), name="fonts")
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    app.add_exception_handler(BeachmarkError, problems.known_error)
    app.add_exception_handler(HTTPException, problems.http_error)
    app.add_exception_handler(RequestValidationError, problems.bad_request)
    # the outermost handler answers outside the middleware, so it brings the safe headers itself
    app.add_exception_handler(Exception, lambda request, error: guarded(problems.unforeseen(request, error)))
    return app
