"""What stands before every request: host, origin and size are checked, and every answer carries safe headers.

A page of another site must not reach a house on this machine, neither by a form (origin) nor by a name that
points here (host).
"""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from beachmark.web.problems import problem_page

LARGEST_BODY = 5_000_000  # bytes; a case file may hold 4 million
LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})
POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self' data:; font-src 'self'; script-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


class Guard:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, *, hosts: Sequence[str] = ()):
        self.app, self.hosts = app, LOOPBACK | {host.lower() for host in hosts}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request that may not pass, hand on the others."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refused = self._refused(scope, headers)
        if refused is None and scope["method"] not in ("GET", "HEAD"):
            taken = await _body(headers, receive)
            refused = _too_large(scope) if taken is None else None
            receive = _replay(taken or b"", receive)
        await (refused or self.app)(scope, receive, _with_headers(send, scope["path"]))

    def _refused(self, scope: Scope, headers: Headers) -> Response | None:
        name = _name(headers.get("host", ""))
        here = (scope.get("server") or ("", 0))[0]
        if name not in self.hosts and (here in LOOPBACK or not name):
            text = "This house is open on this machine only; use the address that it printed when it was started."
            return problem_page(scope, 400, "Not at this address", text)
        if scope["method"] not in ("GET", "HEAD", "OPTIONS") and not _same_origin(headers):
            text = "The form was sent from a page of another site. Nothing was stored."
            return problem_page(scope, 403, "Not from here", text)
        return None


def _name(host: str) -> str:
    """A host without its port, in small letters."""
    try:
        return (urlsplit(f"//{host}").hostname or "").lower()
    except ValueError:
        return ""


def _same_origin(headers: Headers) -> bool:
    """True for a form of our own page, and for programs, which send neither header."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    if origin is None:
        return True
    try:
        return urlsplit(origin).netloc.lower() == headers.get("host", "").lower()
    except ValueError:
        return False


def _too_large(scope: Scope) -> Response:
    text = f"What was sent is larger than {LARGEST_BODY / 1e6:.0f} MB. Nothing was stored. A case file is text."
    return problem_page(scope, 413, "Too large", text)


async def _body(headers: Headers, receive: Receive) -> bytes | None:
    """The whole body, or None as soon as it is known to be too large."""
    announced = headers.get("content-length", "0")
    if not announced.isdigit() or int(announced[:12]) > LARGEST_BODY:
        return None
    parts: list[bytes] = []
    size = 0
    while True:
        message = await receive()
        if message["type"] != "http.request":
            return b"".join(parts)
        parts.append(message.get("body", b""))
        size += len(parts[-1])
        if size > LARGEST_BODY:
            return None
        if not message.get("more_body"):
            return b"".join(parts)


def _replay(body: bytes, receive: Receive) -> Receive:
    """The body once more, for the application."""
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def again() -> Message:
        return waiting.pop() if waiting else await receive()

    return again


def guarded(answer: Response) -> Response:
    """An answer that is given outside this middleware, with the same safe headers."""
    for name, value in HEADERS.items():
        answer.headers.setdefault(name, value)
    return answer


def _with_headers(send: Send, path: str) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "max-age=3600" if "/static/" in path else "no-store")
        await send(message)

    return sending
