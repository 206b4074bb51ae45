"""Debian's Chromium, a house served in this process, and what every test with a browser measures by."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import resources
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

from beachmark.web.app import create_app

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
WIDE = ViewportSize(width=1280, height=900)
PHONE = ViewportSize(width=390, height=844)
AXE = (resources.files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")


@contextmanager
def serving(home: Path) -> Iterator[str]:
    """The house of a folder on a free loopback port."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(create_app(home), host="127.0.0.1", port=port, log_level="warning"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    for _ in range(200):
        if server.started:
            break
        time.sleep(0.05)
    assert server.started
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(timeout=10)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, headless."""
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        yield found
        found.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh wide page; anything it prints to the console as an error fails the test."""
    context = browser.new_context(viewport=WIDE, accept_downloads=True)
    opened = context.new_page()
    complaints: list[str] = []
    opened.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    yield opened
    context.close()
    assert not complaints
