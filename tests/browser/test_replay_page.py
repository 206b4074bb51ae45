"""A real Chromium on the replay page: it renews itself, stops by key, fits phone and paper, and can be used by all."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, ViewportSize, expect
from pypdf import PdfReader

from beachmark.findings.replay.reading import Reading
from beachmark.web.house import House, Worked
from beachmark.workflow import demo
from beachmark.workflow.home import open_store
from tests.browser.conftest import AXE, PHONE, WIDE, serving
from tests.replay_readings import SENTENCE, small_reading, small_record
from tests.workflow.replays import Engine, put_in

pytestmark = pytest.mark.xdist_group("browser")
READINGS = {
    "told": small_reading(events=12, shafts=2),
    "stale": small_reading(stale="the vehicle has changed since it was run", judged=False),
}
REFRESH = "meta-refresh"  # what axe calls it; the page can be held still, and says so


@pytest.fixture(scope="module")
def patched() -> Iterator[pytest.MonkeyPatch]:
    patch = pytest.MonkeyPatch()
    yield patch
    patch.undo()


@pytest.fixture(scope="module")
def engine(patched: pytest.MonkeyPatch) -> Iterator[Engine]:
    engine = put_in(Engine(), patched)
    yield engine
    engine.let_on(50)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory, patched: pytest.MonkeyPatch, engine: Engine) -> Iterator[str]:
    """The demo cases; case 1 with a replay made by hand, case 2 with an outdated one, case 3 with none."""
    home = tmp_path_factory.mktemp("house")
    store = open_store(home)
    demo.load_demo(store)
    store.close()
    plain = House.at

    def at(self: House, number: int, revision: int) -> Worked:
        worked = plain(self, number, revision)
        reading = {1: READINGS["told"], 2: READINGS["stale"]}.get(number)
        return with_reading(worked, reading) if reading else worked

    patched.setattr(House, "at", at)
    with serving(home) as address:
        yield address


def with_reading(worked: Worked, reading: Reading) -> Worked:
    loaded = replace(worked.loaded, replay=small_record(reading))
    return Worked(loaded, replace(worked.assessment, replay=reading))


def serious(opened: Page) -> list[tuple[str, list[str]]]:
    opened.evaluate(AXE)
    found: list[dict[str, Any]] = opened.evaluate("async () => (await axe.run(document)).violations")
    return [
        (fault["id"], [node["html"][:160] for node in fault["nodes"][:3]])
        for fault in found
        if fault["impact"] in ("serious", "critical")
    ]


def test_a_run_is_started_watched_and_stopped_with_the_keyboard(page: Page, house: str, engine: Engine) -> None:
    page.goto(f"{house}/case/3/replay")
    box = page.get_by_label("Clutch closed at once")
    box.focus()
    page.keyboard.press("Space")
    expect(box).not_to_be_checked()
    page.get_by_label("Draws of each event").fill("250")
    page.keyboard.press("Enter")
    engine.reached()
    expect(page.get_by_role("progressbar")).to_have_attribute("value", "25")
    expect(page.get_by_role("button", name="Cancel")).to_be_focused()

    with page.expect_navigation(timeout=5000):  # by itself
        pass
    expect(page.get_by_role("button", name="Cancel")).to_be_focused()

    page.get_by_role("link", name="Hold it still").click()
    expect(page.get_by_text("This page is held still.")).to_be_visible()
    page.evaluate("window.here = true")
    page.wait_for_timeout(1800)
    assert page.evaluate("window.here")
    assert serious(page) == []
    page.get_by_role("link", name="Let it renew itself").click()
    assert [id for id, _ in serious(page)] in ([], [REFRESH])

    expect(page.get_by_role("button", name="Cancel")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_text("It stops as soon as it has finished the step")).to_be_visible()
    engine.let_on()
    expect(page.get_by_text("The last run was stopped before it ended")).to_be_visible(timeout=5000)
    expect(page.get_by_label("Draws of each event")).to_have_value("250")
    expect(page.get_by_label("Clutch closed at once")).not_to_be_checked()
    expect(page.get_by_label("Rocked out of a hole")).to_be_checked()


@pytest.mark.parametrize("case", [1, 2, 3])
@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["wide", "phone"])
def test_axe_finds_no_serious_fault_on_the_replay(browser: Browser, house: str, case: int, size: ViewportSize) -> None:
    context = browser.new_context(viewport=size)
    opened = context.new_page()
    opened.goto(f"{house}/case/{case}/replay")
    opened.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    found = serious(opened)
    context.close()
    assert found == []


@pytest.mark.parametrize("case", [1, 2, 3])
@pytest.mark.parametrize("width", [320, 390, 768, 1280])
def test_the_replay_is_no_wider_than_the_window(browser: Browser, house: str, case: int, width: int) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800})
    opened = context.new_page()
    opened.goto(f"{house}/case/{case}/replay")
    opened.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    widths = opened.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    context.close()
    assert widths[0] <= widths[1]


def test_events_and_buttons_are_big_enough_for_gloves(browser: Browser, house: str) -> None:
    context = browser.new_context(viewport=PHONE)
    opened = context.new_page()
    for case in (1, 3):
        opened.goto(f"{house}/case/{case}/replay")
        sizes = opened.locator(".event > summary, .ticks .choice, .order button, .counts input").evaluate_all(
            "nodes => nodes.map(n => n.getBoundingClientRect().height)"
        )
        assert len(sizes) > 5
        assert min(sizes) >= 44
    context.close()


def test_an_event_opens_with_the_keyboard_and_shows_its_picture(page: Page, house: str) -> None:
    page.goto(f"{house}/case/1/replay")
    second = page.locator("details.event").nth(1)
    expect(second.locator("img")).to_be_hidden()
    second.locator("> summary").focus()
    page.keyboard.press("Enter")
    image = second.locator("img")
    image.scroll_into_view_if_needed()
    image.evaluate("image => image.decode()")
    assert image.evaluate("image => image.naturalWidth") > 500
    assert "kN" in (image.get_attribute("alt") or "")


def test_on_paper_every_event_is_open_and_no_form_is_printed(page: Page, house: str) -> None:
    page.goto(f"{house}/case/1/replay")
    page.emulate_media(media="print")
    text = " ".join("".join(sheet.extract_text() for sheet in PdfReader(BytesIO(page.pdf())).pages).split())
    assert SENTENCE in text.replace("\u00a0", " ")
    for event in READINGS["told"].events:
        assert event.story in text
    assert "Replay the events" not in text
    assert "Run it again" not in text
    assert re.search(r"WARNING.*Do not repeat the event", text)


def test_an_outdated_replay_leads_to_the_form(page: Page, house: str) -> None:
    page.goto(f"{house}/case/2/replay")
    expect(page.get_by_text("This replay is out of date")).to_be_visible()
    page.get_by_role("link", name="Run it again").click()
    expect(page.get_by_role("button", name="Replay the events")).to_be_in_viewport()
