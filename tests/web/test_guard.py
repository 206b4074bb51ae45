"""Headers, hosts and origins; an unforeseen fault shows no traceback."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from beachmark.web.app import create_app
from beachmark.web.house import House

POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self' data:; font-src 'self'; script-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)


@pytest.mark.parametrize("path", ["/", "/case/1", "/case/1.json", "/nowhere", "/static/app.css", "/livez"])
def test_every_answer_carries_the_headers(fresh: TestClient, path: str) -> None:
    headers = fresh.get(path).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["x-frame-options"] == "DENY"


def test_pages_are_not_kept_by_the_browser_but_letters_are(fresh: TestClient) -> None:
    assert fresh.get("/case/1").headers["cache-control"] == "no-store"
    assert "max-age" in fresh.get("/static/fonts/Barlow_400Regular.ttf").headers["cache-control"]


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "[::1", "127.0.0.1@evil.example:80"])
def test_a_name_that_only_points_here_is_refused(fresh: TestClient, host: str) -> None:
    assert fresh.get("/case/1", headers={"host": host}).status_code == 400


@pytest.mark.parametrize("host", ["127.0.0.1:9", "localhost", "LOCALHOST:8000", "[::1]:8000"])
def test_names_of_this_machine(fresh: TestClient, host: str) -> None:
    assert fresh.get("/case/1", headers={"host": host}).status_code == 200


def test_a_further_host_can_be_named(tmp_path: Path) -> None:
    app = create_app(tmp_path, hosts=["Workshop.example"])
    with TestClient(app, base_url="http://127.0.0.1") as client:
        assert client.get("/", headers={"host": "workshop.example"}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
    ],
)
def test_forms_of_other_sites_are_refused(client: TestClient, headers: dict[str, str]) -> None:
    answer = client.post("/cases", data={"title": "x"}, headers=headers)
    assert answer.status_code == 403
    assert "Nothing was stored" in answer.text
    assert client.get("/cases.json").json()["stored"] == 0


@pytest.mark.parametrize(
    "headers", [{"sec-fetch-site": "same-origin"}, {"sec-fetch-site": "none"}, {"origin": "http://127.0.0.1:8000"}, {}]
)
def test_our_own_forms_are_taken(client: TestClient, headers: dict[str, str]) -> None:
    assert client.post("/cases", data={"title": "x"}, headers=headers).status_code == 303


def test_an_unforeseen_fault_is_a_plain_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(self: House, number: int) -> None:
        raise ZeroDivisionError("secret detail")

    monkeypatch.setattr(House, "case", broken)
    with TestClient(create_app(tmp_path), base_url="http://127.0.0.1", raise_server_exceptions=False) as client:
        with caplog.at_level(logging.ERROR):
            page, twin = client.get("/case/1"), client.get("/case/1.json")
        assert (page.status_code, twin.status_code) == (500, 500)
        assert "secret" not in page.text + twin.text
        assert "Something went wrong here" in page.text
        assert twin.json()["title"] == "Something went wrong here"
    assert "secret detail" in caplog.text


def test_under_a_path_of_a_proxy(tmp_path: Path) -> None:
    with TestClient(
        create_app(tmp_path), base_url="http://127.0.0.1", root_path="/bm", follow_redirects=False
    ) as client:
        assert client.post("/cases", data={"title": "x"}).headers["location"] == "/bm/case/1"
        text = client.get("/case/1?at=axle").text
        assert 'href="/bm/static/app.css' in text
        assert 'href="/case' not in text
        assert 'action="/case' not in text


def test_no_page_of_interactive_documentation_is_fetched_from_elsewhere(client: TestClient) -> None:
    assert client.get("/docs").status_code == 404
    assert client.get("/redoc").status_code == 404
