"""A real Chromium drives the whole path: new case, a joint clicked on the drawing, answers, causes, the PDF."""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, ViewportSize, expect
from pypdf import PdfReader

from beachmark.workflow import demo
from beachmark.workflow.home import open_store
from tests.browser.conftest import AXE, PHONE, WIDE, serving

pytestmark = pytest.mark.xdist_group("browser")


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A server with the demo cases on a free loopback port."""
    home = tmp_path_factory.mktemp("house")
    store = open_store(home)
    demo.load_demo(store)
    store.close()
    with serving(home) as address:
        yield address


def answer(page: Page, question: str, choice: str, *, who: str) -> None:
    """Open a question on the part's panel, choose an answer, record it."""
    box = page.locator("details.question").filter(has_text=question).first
    if box.get_attribute("open") is None:
        box.locator("summary").click()
    box.get_by_text(choice, exact=True).click()
    box.get_by_label("Who looked or told").fill(who)
    box.get_by_role("button", name="Record").click()


def test_from_new_case_to_pdf(page: Page, address: str, tmp_path: Path) -> None:
    page.goto(address)
    page.get_by_label("What came in, in one line").fill("Bang at the quarry ramp")
    page.get_by_label("Number or name of the vehicle or job").fill("TR-0999")
    page.locator(".shafts").get_by_text("2", exact=True).click()
    page.get_by_role("button", name="Open the case").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Bang at the quarry ramp")

    page.locator("svg a[href*='at=joint-2']:visible").first.click()
    expect(page).to_have_url(re.compile("at=joint-2"))
    answer(page, "Which arms of the cross are broken", "Two opposite", who="mechanic")
    expect(page.locator(".seen").get_by_text("Two opposite").first).to_be_visible()
    answer(page, "Which caps are dry", "None", who="mechanic")

    page.get_by_role("link", name="Causes", exact=True).click()
    expect(page.get_by_text("Something that is not in the list").first).to_be_visible()
    expect(page.get_by_text("Two opposite").first).to_be_visible()

    page.get_by_role("link", name="Report", exact=True).click()
    with page.expect_download() as download:
        page.get_by_role("link", name="PDF").first.click()
    path = tmp_path / "report.pdf"
    download.value.save_as(path)
    text = "".join(sheet.extract_text() for sheet in PdfReader(BytesIO(path.read_bytes())).pages)
    assert "Bang at the quarry ramp" in text
    assert "Two opposite" in text
    assert "a person decides and signs" in text


def test_the_same_with_the_keyboard_alone(page: Page, address: str) -> None:
    page.goto(f"{address}/case/3")
    page.keyboard.press("Tab")
    expect(page.locator(":focus")).to_contain_text("Skip")
    reached = False
    for _ in range(60):
        page.keyboard.press("Tab")
        if "at=joint-1" in (page.locator(":focus").get_attribute("href") or ""):
            reached = True
            break
    assert reached, "joint 1 is reached with the keyboard"
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("at=joint-1"))


PAGES = ("/", "/case/1", "/case/1?at=joint-2", "/case/1/facts", "/case/1/sums", "/case/1/causes", "/case/1/report")
PAGES += ("/case/1/replay", "/case/1/history", "/help", "/case/3", "/case/99")


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["wide", "phone"])
def test_axe_finds_no_serious_fault(browser: Browser, address: str, path: str, size: ViewportSize) -> None:
    context = browser.new_context(viewport=size)
    opened = context.new_page()
    opened.goto(address + path)
    opened.evaluate(AXE)
    found: list[dict[str, Any]] = opened.evaluate("async () => (await axe.run(document)).violations")
    serious = [
        (fault["id"], [node["html"][:160] for node in fault["nodes"][:3]])
        for fault in found
        if fault["impact"] in ("serious", "critical")
    ]
    context.close()
    assert not serious


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("width", [320, 390, 768, 1280])
def test_nothing_is_wider_than_the_window(browser: Browser, address: str, path: str, width: int) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800})
    opened = context.new_page()
    opened.goto(address + path)
    widths = opened.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    context.close()
    assert widths[0] <= widths[1]


def test_a_page_asks_nobody_else_for_anything(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=WIDE)
    opened = context.new_page()
    asked: list[str] = []
    opened.on("request", lambda request: asked.append(request.url))
    for path in PAGES[:7]:
        opened.goto(address + path)
    context.close()
    assert asked
    assert all(url.startswith((address, "data:")) for url in asked)


def test_big_enough_for_gloves(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE)
    opened = context.new_page()
    opened.goto(f"{address}/case/3?at=joint-1")
    opened.locator("details.question summary").first.click()
    sizes = opened.locator("details[open] .answer, details[open] button.primary").evaluate_all(
        "nodes => nodes.filter(n => n.offsetParent).map(n => n.getBoundingClientRect().height)"
    )
    context.close()
    assert len(sizes) > 3
    assert min(sizes) >= 44


def test_a_wide_chart_says_that_it_scrolls_and_uses_the_column(browser: Browser, address: str) -> None:
    for size, told in ((WIDE, False), (PHONE, True)):
        context = browser.new_context(viewport=size)
        opened = context.new_page()
        opened.goto(f"{address}/case/1/sums")
        plate = opened.locator(".plate").first
        plate.locator("img").evaluate("image => image.decode()")
        inner, outer, column = plate.evaluate("p => [p.scrollWidth, p.clientWidth, p.closest('.topic').clientWidth]")
        assert (inner > outer) is told
        assert outer == min(column, 900)
        assert opened.get_by_text("Scroll sideways.").first.is_visible() is told
        attachments = plate.evaluate("p => getComputedStyle(p).backgroundAttachment")
        assert attachments == "local, local, scroll, scroll"
        context.close()


def test_the_words_about_scrolling_stand_where_charts_scroll(browser: Browser, address: str) -> None:
    for width in range(590, 631, 4):
        context = browser.new_context(viewport={"width": width, "height": 800})
        opened = context.new_page()
        opened.goto(f"{address}/case/1/sums")
        plate = opened.locator(".plate").first
        scrolls = plate.evaluate("p => p.scrollWidth > p.clientWidth")
        assert opened.get_by_text("Scroll sideways.").first.is_visible() is scrolls, width
        context.close()


def test_a_folded_sum_opens_with_the_keyboard_and_on_paper(page: Page, address: str) -> None:
    page.goto(f"{address}/case/1/sums")
    folded = page.locator("details.sum").first
    inside = folded.locator(".place-row").first
    expect(inside).to_be_hidden()
    page.emulate_media(media="print")
    assert inside.evaluate("node => node.getBoundingClientRect().height") > 0
    words = folded.locator(".band-what").first.inner_text().split()
    sheets = PdfReader(BytesIO(page.pdf())).pages
    assert " ".join(words) in " ".join("".join(sheet.extract_text() for sheet in sheets).split())
    page.emulate_media(media="screen")
    expect(inside).to_be_hidden()
    folded.locator("summary").first.focus()
    page.keyboard.press("Enter")
    expect(inside).to_be_visible()


def test_a_line_of_the_summary_leads_to_its_card(page: Page, address: str) -> None:
    page.goto(f"{address}/case/1/sums")
    line = page.locator(".spoken a").first
    card = (line.get_attribute("href") or "").removeprefix("#")
    line.click()
    expect(page.locator(f"#{card}")).to_be_in_viewport()
