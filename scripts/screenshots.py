"""Takes the pictures of docs/pictures from the demo, at phone and desk width, with Debian's Chromium."""

from __future__ import annotations

import shutil
import socket
import tempfile
import threading
import time
from pathlib import Path

import uvicorn
from playwright.sync_api import sync_playwright

from beachmark.web.app import create_app
from beachmark.workflow import demo, loading, replaying
from beachmark.workflow.home import open_store

PICTURES = Path(__file__).parent.parent / "docs" / "pictures"
PAGES = {
    "case": ("/case/1", 1290),
    "joint": ("/case/1?at=joint-2#part", 1290),
    "sums": ("/case/1/sums", 1500),
    "replay": ("/case/1/replay", 1500),
    "causes": ("/case/1/causes", 1500),
    "desk": ("/", 900),
}
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking")


def main() -> None:
    """Serve the demo from a folder of its own and photograph it."""
    home = Path(tempfile.mkdtemp(prefix="beachmark-pictures-"))
    store = open_store(home)
    demo.load_demo(store)
    store.close()
    replaying.replay_now(loading.load("1", home=home), replaying.Order(), lambda _: True, home=home)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(create_app(home), host="127.0.0.1", port=port, log_level="warning"))
    threading.Thread(target=server.run, daemon=True).start()
    while not server.started:
        time.sleep(0.05)
    PICTURES.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        for width in (1280, 390):
            for name, (address, height) in PAGES.items():
                page = browser.new_page(viewport={"width": width, "height": height})
                page.goto(f"http://127.0.0.1:{port}{address}")
                page.screenshot(path=PICTURES / f"{name}-{width}.png")
                page.close()
        browser.close()
    server.should_exit = True


if __name__ == "__main__":
    main()
