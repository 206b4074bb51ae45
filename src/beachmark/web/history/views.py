"""Who changed what, when and why; the case file of any revision."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from fastapi import APIRouter, Request, Response

from beachmark.basis.errors import NotFoundError
from beachmark.web.house import House, TheCase, TheHouse, TheNumber, Worked
from beachmark.web.rendering import json_answer, page
from beachmark.web.spine import Frame, frame_of
from beachmark.workflow import keeping
from beachmark.workflow.pages import RevisionLine

router = APIRouter()


@dataclass(frozen=True)
class HistoryPage:
    """Every revision, the newest first."""

    frame: Frame
    lines: tuple[RevisionLine, ...]


@router.get("/case/{n}/history.json")
def history_json(house: TheHouse, number: TheNumber) -> Response:
    """The revisions as JSON."""
    lines = [asdict(line) for line in house.store.history(number)]
    return json_answer({"object": "beachmark.history", "version": 1, "number": number, "revisions": lines})


@router.get("/case/{n}/history")
def history(request: Request, house: TheHouse, worked: TheCase) -> Response:
    """The revisions of a case."""
    lines = tuple(reversed(house.store.history(worked.number)))
    return page(request.scope, "history.html", HistoryPage(frame_of(worked, "history"), lines))


@router.get("/case/{n}/export.yaml")
def export_yaml(house: TheHouse, number: TheNumber, revision: str = "") -> Response:
    """The case file as YAML."""
    worked = _at(house, number, revision)
    return _file(keeping.export_case(worked.loaded), "application/yaml", worked, "yaml")


@router.get("/case/{n}/export.json")
def export_json(house: TheHouse, number: TheNumber, revision: str = "") -> Response:
    """The case file as JSON."""
    worked = _at(house, number, revision)
    return _file(keeping.export_case(worked.loaded, as_json=True), "application/json", worked, "json")


def _at(house: House, number: int, revision: str) -> Worked:
    if not revision:
        return house.case(number)
    if not revision.isascii() or not revision.isdigit() or len(revision) > 9:
        raise NotFoundError(f"{revision[:40]!r} is not a revision; revisions are numbered from 1")
    return house.at(number, int(revision))


def _file(text: str, kind: str, worked: Worked, ending: str) -> Response:
    name = f"case-{worked.number}-revision-{worked.revision}.{ending}"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(text, media_type=f"{kind}; charset=utf-8", headers=headers)
