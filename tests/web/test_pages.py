"""Every page answers, says what it is for, and names nothing outside this house."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser

import pytest
from fastapi.testclient import TestClient

from tests.conftest import EXAMPLES

PAGES = {
    "/": ["Cases", "New case", "Bring in a case file"],
    "/case/1": ["What broke first", "Ask next", "<svg", "Recorded so far", "Joint 2"],
    "/case/1?at=joint-2": ["Seen here", "What does each broken face look like?", "What is installed", "Not looked at"],
    "/case/1?at=joint-2/cap-A1": ["What is in the cap?", "The whole joint"],
    "/case/1?at=shaft-1": ["State of the tube?", "Outside diameter"],
    "/case/1?at=shaft-2/slip": ["Diameter at the tooth roots of the stub"],
    "/case/1?at=support-1": ["Centre bearing"],
    "/case/1?at=axle": ["Axle pinion", "DANGER"],
    "/case/1?at=case": ["What was the vehicle doing when it let go, or did nothing let go?"],
    "/case/1?at=fleet": ["Sister vehicles"],
    "/case/1/facts": ["The driver&#39;s words", "Greatest engine torque", "Missing numbers"],
    "/case/1/sums": [
        "Torque that can reach the driveline",
        "Held against",
        "Speaks against",
        "Inputs, method and source",
    ],
    "/case/1/replay": ["Replay the events", "Not known of this vehicle", "WARNING"],
    "/case/1/causes": ["For", "Against", "Silent", "Would change our mind", "cases confirmed so far: 0"],
    "/case/1/report": ["Finding", "What to do", "Who decides and signs"],
    "/case/1/history": ["Revision 1", "imported from"],
    "/help": ["Not looked at", "maker"],
}
TWINS = {
    "/.json": "beachmark.desk",
    "/case/1.json": "beachmark.case",
    "/case/1/facts.json": "beachmark.facts",
    "/case/1/sums.json": "beachmark.sums",
    "/case/1/replay.json": "beachmark.replay_page",
    "/case/1/causes.json": "beachmark.weigh",
    "/case/1/report.json": "beachmark.report",
    "/case/1/history.json": "beachmark.history",
}


class Links(HTMLParser):
    """Every address that a page makes a browser fetch or go to, the ids of its elements, and its labels."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: list[str] = []
        self.ids: list[str] = []
        self.labels: list[str] = []
        self.styled = self.scripted = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        self.addresses += [named[key] or "" for key in ("href", "src", "action") if key in named]
        self.ids += [named["id"] or ""] if "id" in named else []
        self.labels += [named["for"] or ""] if tag == "label" and "for" in named else []
        self.styled += "style" in named or tag == "style"
        self.scripted += tag == "script" or any(key.startswith("on") for key in named)


def read(text: str) -> Links:
    links = Links()
    links.feed(text)
    return links


@pytest.mark.parametrize("path", PAGES)
def test_page_answers_with_what_it_is_for(demo: TestClient, path: str) -> None:
    answer = demo.get(path)
    assert answer.status_code == 200
    for words in PAGES[path]:
        assert words in answer.text, words


@pytest.mark.parametrize("path", PAGES)
def test_page_keeps_to_this_house_and_to_its_policy(demo: TestClient, path: str) -> None:
    links = read(demo.get(path).text)
    outside = [address for address in links.addresses if not address.startswith(("/", "#"))]
    assert outside == []
    assert links.styled == 0, "inline style is refused by the policy"
    assert links.scripted == 0


@pytest.mark.parametrize("path", PAGES)
def test_ids_are_unique_and_every_label_has_its_field(demo: TestClient, path: str) -> None:
    links = read(demo.get(path).text)
    assert sorted(links.ids) == sorted(set(links.ids))
    assert set(links.labels) <= set(links.ids)


def test_every_link_of_the_case_pages_leads_somewhere(demo: TestClient) -> None:
    pages = {path for path in PAGES if path.startswith("/case")}
    found = {address.split("#")[0] for path in pages for address in read(demo.get(path).text).addresses}
    posts = {"/case/1/record", "/case/1/take-back", "/case/1/fields", "/case/1/shafts"}
    for address in sorted(found - posts - {""}):
        assert demo.get(address).status_code == 200, address


def test_links_inside_a_page_find_their_place(demo: TestClient) -> None:
    for path in PAGES:
        links = read(demo.get(path).text)
        inside = {address[1:] for address in links.addresses if address.startswith("#") and len(address) > 1}
        assert inside <= set(links.ids), path


def test_missing_numbers_lead_to_the_field_that_takes_them(fresh: TestClient) -> None:
    text = fresh.get("/case/1/facts").text
    aside = text[text.index('id="missing"') :]
    targets = [address for address in read(aside).addresses if "#f-" in address]
    assert len(targets) > 10
    for address in targets:
        path, _, field = address.partition("#")
        page = fresh.get(path or "/case/1/facts").text
        assert field in read(page).ids, address


@pytest.mark.parametrize(("path", "kind"), TWINS.items())
def test_json_twin(demo: TestClient, path: str, kind: str) -> None:
    answer = demo.get(path)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/json"
    told = json.loads(answer.text)
    assert (told["object"], told["version"]) == (kind, 1)


def test_the_page_says_what_its_twin_says(demo: TestClient) -> None:
    found = demo.get("/case/1/causes.json").json()
    page = demo.get("/case/1/causes").text
    assert found["causes"][0]["title"] in page
    assert found["first_failure"]["strength"] in demo.get("/").text


def test_shares_are_in_the_folded_part_only(demo: TestClient) -> None:
    text = demo.get("/case/1/causes").text
    before, folded = text.split('<details class="numbers">')
    visible = re.sub(r"<[^>]+>", "", before)
    assert "%" not in visible
    assert " %" in folded


def test_the_drawing_leads_to_every_part(demo: TestClient) -> None:
    addresses = read(demo.get("/case/1").text).addresses
    for part in ("gearbox", "joint-1", "joint-2", "joint-3", "shaft-1", "shaft-2", "shaft-2/slip", "support-1", "axle"):
        assert addresses.count(f"/case/1?at={part}#part") >= 3, part  # wide, narrow, list


def test_a_cap_shows_only_its_own_questions(demo: TestClient) -> None:
    text = demo.get("/case/1?at=joint-2/cap-A1").text
    assert 'id="q-cap.grease"' in text
    assert 'id="q-cross.face"' not in text
    assert 'value="joint-2/cap-A1" checked' in text


def test_cautions_stand_before_the_answers(demo: TestClient) -> None:
    text = demo.get("/case/1?at=axle").text
    question = text[text.index('id="q-nb.pinion"') :]
    assert question.index("DANGER") < question.index('class="answers')


def test_empty_desk_helps(client: TestClient) -> None:
    text = client.get("/").text
    assert "No case yet." in text
    assert "never counts as" in text


def test_desk_finds_by_title_and_reference(fresh: TestClient) -> None:
    fresh.post("/cases", data={"title": "Grease gone", "reference": "LA-1", "shafts": ""})
    assert "Grease gone" not in fresh.get("/?search=ramp").text
    assert "Grease gone" in fresh.get("/?search=la-1").text
    assert "No case fits" in fresh.get("/?search=nothing+like+it").text


def test_report_as_pdf(demo: TestClient) -> None:
    answer = demo.get("/case/1/report.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")


def test_figures_carry_their_letters_and_fetch_nothing(demo: TestClient) -> None:
    pictures = [at for at in read(demo.get("/case/1/sums").text).addresses if "/figures/" in at]
    assert len(pictures) >= 2
    for path in pictures:
        answer = demo.get(path)
        assert answer.headers["content-type"] == "image/svg+xml"
        assert "font-src data:" in answer.headers["content-security-policy"]
        assert "script" not in answer.headers["content-security-policy"]
        assert "font-family:Barlow" in answer.text
        assert "<text" in answer.text
        assert read(answer.text).addresses == []
    assert demo.get("/case/1/figures/nothing.svg").status_code == 404


def test_export_is_read_again(demo: TestClient) -> None:
    for ending in ("yaml", "json"):
        answer = demo.get(f"/case/1/export.{ending}")
        assert f"case-1-revision-1.{ending}" in answer.headers["content-disposition"]
        again = demo.post("/import", files={"file": (f"again.{ending}", answer.content)})
        assert again.status_code == 303
    first, second = (demo.get(f"/case/{number}/causes.json").json()["causes"][0] for number in (1, 2))
    assert first == second


def test_health(client: TestClient) -> None:
    assert client.get("/livez").text == "alive\n"
    assert client.get("/readyz").text == "ready\n"


@pytest.mark.parametrize(
    "path", ["/nowhere", "/case/7", "/case/0", "/case/-1", "/case/one", "/case/1e3", f"/case/{'9' * 4400}", "/case/%20"]
)
def test_addresses_that_lead_nowhere(fresh: TestClient, path: str) -> None:
    answer = fresh.get(path)
    assert answer.status_code == 404
    assert "Not there" in answer.text
    assert "Traceback" not in answer.text


def test_problem_as_json(fresh: TestClient) -> None:
    told = fresh.get("/case/7.json")
    assert told.status_code == 404
    assert told.json()["object"] == "beachmark.problem"
    assert "there is no case 7" in told.json()["detail"]


@pytest.mark.parametrize("at", ["nonsense", "joint-9", "shaft-3", "joint-1/cap-Z9", "<script>", "joint-1/"])
def test_unknown_place(fresh: TestClient, at: str) -> None:
    answer = fresh.get("/case/1", params={"at": at})
    assert answer.status_code == 404
    assert "<script>" not in answer.text


def test_wrong_way_of_asking(fresh: TestClient) -> None:
    assert fresh.get("/case/1/record").status_code == 405
    assert fresh.post("/case/1/causes").status_code == 405


def test_a_shake_is_not_asked_what_broke(client: TestClient) -> None:
    text = (EXAMPLES / "one-tooth-out.yaml").read_bytes()
    assert client.post("/import", files={"file": ("shake.yaml", text)}).status_code == 303
    case, causes, report = (client.get(path).text for path in ("/case/1", "/case/1/causes", "/case/1/report"))
    assert "<h2>What makes it shake</h2>" in case
    assert "starts here" in case
    assert "What it left elsewhere" in causes
    assert "What makes it shake: " in report
    for page in (case, causes, report):
        assert not re.search("what broke first|first failure|first to fail|failed first", page, re.IGNORECASE)
    assert client.get("/case/1/causes.json").json()["parted"] is False


def test_a_case_with_impossible_angles_still_opens_where_it_can_be_mended(client: TestClient) -> None:
    text = (
        "beachmark_case: 1\ntitle: bent\nvehicle: {engine: {governed_speed: 2000 rpm}, gearbox: {top_gear: 1}}\n"
        "driveline: {gearbox_end: {slope: 89 deg nose up}, axle_end: {slope: 3 deg nose up}, "
        "shafts: [{length: 1 m, slope: 20 deg nose down, phase: 0 deg}]}\n"
    )
    client.post("/import", files={"file": ("bent.yaml", text.encode())})
    for page in ("", "/facts", "/sums", "/causes", "/report"):
        assert client.get(f"/case/1{page}").status_code == 200, page
    assert "Do the angles shake it? Not computed" in client.get("/case/1/sums").text
