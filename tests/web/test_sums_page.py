"""The sums page says first what speaks, folds what only informs, and calls no load a limit."""

from __future__ import annotations

import html
import re

import pytest
from fastapi.testclient import TestClient

from beachmark.web.sums.pages import first_clause


@pytest.fixture
def page(demo: TestClient) -> str:
    return html.unescape(demo.get("/case/1/sums").text)


def spoken(page: str, side: str) -> list[tuple[str, str]]:
    """The card that each line leads to and the words of the line."""
    part = page[page.index(f'<div class="{side}"><h2>') :]
    lines = re.findall(r'<li><a href="#([^"]+)">(.*?)</a></li>', part[: part.index("</div>")])
    return [(card, re.sub(r"<[^>]+>", "", words)) for card, words in lines]


@pytest.mark.parametrize("side", ["for", "against"])
def test_one_line_for_every_sum_that_speaks(demo: TestClient, page: str, side: str) -> None:
    sums = demo.get("/case/1/sums.json").json()["sums"]
    told = [one for one in sums if one["id"].startswith("finding.") and one["speaks"] == side]
    lines = spoken(page, f"speaks-{side}")
    assert len(lines) == len(told)
    if side == "against":
        assert lines, "the first demo case has sums that speak against"
    for card, _ in lines:
        assert f'<article class="sum" id="{card}">' in page
    ends = sorted(one["sentence"].split(":")[0].split(";")[0].removesuffix(".") for one in told)
    assert all(any(words.endswith(end) for _, words in lines) for end in ends)


def test_the_summary_stands_before_the_questions(page: str) -> None:
    assert page.index("Speaks for</h2>") < page.index("Speaks against</h2>") < page.index('<nav class="topics"')


@pytest.mark.parametrize(
    ("sentence", "clause"),
    [
        ("The shaft whirls: it speaks for whirl.", "The shaft whirls"),
        ("It stays below 3.5 kN m; nothing yields.", "It stays below 3.5 kN m"),
        ("The angle is 0.5:1 of it. More follows.", "The angle is 0.5:1 of it"),
        ("No end", "No end"),
    ],
)
def test_first_clause(sentence: str, clause: str) -> None:
    assert first_clause(sentence) == clause


def test_what_only_informs_is_folded(demo: TestClient, page: str) -> None:
    done = [one for one in demo.get("/case/1/sums.json").json()["sums"] if one["results"]]
    folded = set(re.findall(r'<details class="sum" id="([^"]+)">', page))
    opened = set(re.findall(r'<article class="sum" id="([^"]+)">', page))
    assert folded
    assert opened
    by_id: dict[str, list[bool]] = {}
    for one in done:
        quiet = not one["id"].startswith("finding.") and one["held_against"] is None and one["valid"]
        by_id.setdefault(one["id"].replace("_", "-").replace(".", "-"), []).append(quiet)
    for id, quiet in by_id.items():
        where = folded if all(quiet) else opened
        assert any(card.endswith(id) for card in where), id


def test_a_load_is_not_called_a_limit(demo: TestClient) -> None:
    typed = {"part": "shaft-1", "base_revision": "1", "driveline.shafts[0].proved_torque": "12 kN m"}
    assert demo.post("/case/1/fields", data=typed).status_code == 303
    page = html.unescape(demo.get("/case/1/sums").text)
    start = page.index('id="proof-sum-witness-proof"')
    card = page[start : page.index("</article>", start)]
    assert "peak torque of ordinary hard use" in card
    assert re.search(r'aria-label="[^"]*, against \d', card)
    assert re.search(r'class="limit-words"[^>]*>against \d', card)
    assert not re.search(r"limit \d", card)
    assert re.search(r"limit \d", page), "a limit is still called so"
