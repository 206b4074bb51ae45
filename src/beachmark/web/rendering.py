"""Contexts into pages, objects into JSON. Everything that people typed is escaped by the templates."""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.types import Scope

from beachmark.workflow.pages import capital, ended
from beachmark.workflow.places import measuring_cautions

FOLDER = Path(__file__).parent
STATIC = FOLDER / "static"


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(FOLDER / "templates"),
        autoescape=select_autoescape(default=True, default_for_string=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    environment.filters |= {"anchor": anchor, "capital": capital, "ended": ended, "day": day}
    environment.globals["style"] = style_version()
    environment.globals["measuring_cautions"] = measuring_cautions
    return environment


def anchor(name: str) -> str:
    """A field's name as the id of its element."""
    return "f-" + re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")


def day(moment: str) -> str:
    """A stored moment, `2031-04-05T06:07:08Z`, for the eye."""
    return moment.replace("T", " ").removesuffix("Z")[:16] + " UTC" if moment else ""


@cache
def style_version() -> str:
    """Changes with the style sheets, so that a browser never keeps an old one."""
    sheets = sorted(STATIC.glob("*.css"))
    return hashlib.sha256(b"".join(sheet.read_bytes() for sheet in sheets)).hexdigest()[:12]


def base_of(scope: Scope) -> str:
    """The path that this house is served under, behind a proxy; usually empty."""
    return str(scope.get("root_path", "")).rstrip("/")


def page(scope: Scope, template: str, context: Any, *, status: int = 200) -> HTMLResponse:
    """A page from its template and its context."""
    text = _environment().get_template(template).render(page=context, base=base_of(scope))
    return HTMLResponse(text, status_code=status)


def drawn(svg: str) -> Markup:
    """SVG text of our own drawings, which escape every word themselves."""
    return Markup(svg)


def json_answer(content: Any, *, status: int = 200) -> Response:
    """An object as readable JSON."""
    text = json.dumps(content, ensure_ascii=False, indent=1, allow_nan=False)
    return Response(text, status_code=status, media_type="application/json")


def gone_to(scope: Scope, path: str) -> RedirectResponse:
    """The page that a form leads to once it was stored."""
    return RedirectResponse(base_of(scope) + path, status_code=303)
