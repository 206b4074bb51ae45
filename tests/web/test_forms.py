"""What is sent is stored whole or not at all, and what was typed is never lost."""

from __future__ import annotations

import html
import json
import re
from typing import Any

import httpx
import pytest
from fastapi.testclient import TestClient

ANSWER = {
    "see": "cross.face", "part": "joint-1", "at": "joint-1/trunnion-A1", "answers": "lined_smooth",
    "by": "Mechanic One", "how": "hand", "sure": "certain", "note": "two rings", "base_revision": "1",
}  # fmt: skip
SCRIPT = "<script>alert(1)</script>"


def document(client: TestClient, number: int = 1) -> dict[str, Any]:
    found: dict[str, Any] = client.get(f"/case/{number}.json").json()["document"]
    return found


def revision(client: TestClient, number: int = 1) -> int:
    found: int = client.get(f"/case/{number}.json").json()["case"]["revision"]
    return found


def refused(answer: httpx.Response, status: int, *words: str) -> str:
    text = html.unescape(answer.text)
    assert answer.status_code == status
    for word in words:
        assert word.lower() in text.lower(), word
    assert "Traceback" not in text
    return text


def test_record_redirects_and_shows(fresh: TestClient) -> None:
    sent = fresh.post("/case/1/record", data=ANSWER)
    assert sent.status_code == 303
    assert sent.headers["location"] == "/case/1?at=joint-1&done=cross.face#part"
    text = fresh.get(sent.headers["location"]).text
    assert "Recorded: What does each broken face look like?" in text
    assert "by Mechanic One, by hand, certain" in text
    assert "two rings" in text
    assert document(fresh)["observations"] == [
        {
            "see": "cross.face", "answers": ["lined_smooth"], "at": "joint-1/trunnion-A1", "by": "Mechanic One",
            "how": "hand", "sure": "certain", "note": "two rings",
        }
    ]  # fmt: skip


def test_the_name_is_not_asked_twice(fresh: TestClient) -> None:
    fresh.post("/case/1/record", data=ANSWER)
    assert 'name="by" value="Mechanic One"' in fresh.get("/case/1?at=axle").text


def test_an_answer_moves_the_finding(fresh: TestClient) -> None:
    before = fresh.get("/case/1/causes.json").json()["causes"][0]["share"]
    fresh.post("/case/1/record", data=ANSWER)
    assert fresh.get("/case/1/causes.json").json()["causes"][0]["share"] != before


def test_not_looked_at_changes_nothing(fresh: TestClient) -> None:
    before = fresh.get("/case/1/causes.json").json()["causes"]
    assert fresh.post("/case/1/record", data=ANSWER | {"answers": "not_looked"}).status_code == 303
    assert fresh.get("/case/1/causes.json").json()["causes"] == before
    assert "Not looked at</p>" in fresh.get("/case/1?at=joint-1").text


def test_several_answers_where_several_may_be_true(fresh: TestClient) -> None:
    both = ANSWER | {"see": "event.warning", "part": "case", "at": "case", "answers": ["clunk", "squeak"]}
    assert fresh.post("/case/1/record", data=both).status_code == 303
    seen = document(fresh)["observations"][0]
    assert seen["answers"] == ["clunk", "squeak"]
    assert "at" not in seen


def test_take_back_and_the_history_keeps_it(fresh: TestClient) -> None:
    fresh.post("/case/1/record", data=ANSWER)
    back = {key: ANSWER[key] for key in ("see", "at", "by", "part")} | {"base_revision": "2"}
    assert fresh.post("/case/1/take-back", data=back).headers["location"] == "/case/1?at=joint-1#part"
    assert "observations" not in document(fresh)
    assert "took back cross.face" in fresh.get("/case/1/history").text
    assert "lined_smooth" in fresh.get("/case/1/export.yaml?revision=2").text
    refused(fresh.post("/case/1/take-back", data=back | {"base_revision": "3"}), 422, "was not recorded there")


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"answers": "nonsense"}, "has no answer"),
        ({"answers": ["lined_smooth", "mixed"]}, "takes one answer at one place"),
        ({"answers": ["lined_smooth", "not_looked"]}, "stands beside"),
        ({"answers": []}, "No answer was chosen"),
        ({"see": "no.such"}, "unknown observation"),
        ({"see": "finding.whirl"}, "unknown observation"),
        ({"at": "joint-9"}, "has no joint-9"),
        ({"at": "axle"}, "is looked at on a trunnion"),
        ({"at": "nonsense"}, "is not a place"),
        ({"how": "telepathy"}, "is not known here"),
        ({"sure": "absolutely"}, "is not known here"),
        ({"note": "x" * 5000}, "at most 4000"),
        ({"by": "x" * 500}, "at most 80"),
        ({"base_revision": "first"}, "which revision"),
        ({"base_revision": ""}, "which revision"),
    ],
)
def test_bad_answers(fresh: TestClient, wrong: dict[str, Any], words: str) -> None:
    answer = fresh.post("/case/1/record", data=ANSWER | {"note": "kept words"} | wrong)
    text = refused(answer, 422, "Nothing was stored yet")
    assert words.lower() in text.lower()
    assert revision(fresh) == 1
    if "note" not in wrong and wrong.get("see") is None:
        assert "kept words" in text, "what was typed stays in the form"


def test_conflict_shows_both_and_keeps_what_was_typed(fresh: TestClient) -> None:
    fresh.post("/case/1/record", data=ANSWER)
    late = ANSWER | {"answers": "mixed", "by": "Mechanic Two", "note": "my own look"}
    text = refused(fresh.post("/case/1/record", data=late), 409, "changed in between", "my own look")
    assert "Stored now: arm A1: Smooth with curved lines like tide marks on sand" in text
    assert 'value="mixed" checked' in text
    assert len(document(fresh)["observations"]) == 1
    again = re.search(r'name="base_revision" value="(\d+)"', text)
    assert again is not None
    assert fresh.post("/case/1/record", data=late | {"base_revision": again[1]}).status_code == 303
    assert len(document(fresh)["observations"]) == 2


def fields(part: str, **typed: str) -> dict[str, str]:
    return {"part": part, "base_revision": "1", "known": "measured", "source": "caliper", "by": "M"} | typed


def test_sizes_are_kept_as_typed_with_how_they_are_known(fresh: TestClient) -> None:
    name = "driveline.shafts[0].tube.wall"
    sent = fresh.post("/case/1/fields", data=fields("shaft-1", **{name: "3.4 ± 0.2 mm"}))
    assert sent.headers["location"] == "/case/1?at=shaft-1#installed"
    stored = document(fresh)["driveline"]["shafts"][0]["tube"]["wall"]
    assert stored["value"] == "3.4 mm"
    assert (stored["known"], stored["source"]) == ("measured", "caliper")
    assert float(stored["low"].split()[0]) == pytest.approx(0.0032)
    text = fresh.get("/case/1?at=shaft-1").text
    assert 'value="3.4 mm"' in text
    assert "3.2 mm to 3.6 mm" in text


def test_a_joint_at_the_end_finds_room(fresh: TestClient) -> None:
    sent = fresh.post("/case/1/fields", data=fields("joint-3", **{"driveline.joints[2].cross.needles": "36"}))
    assert sent.status_code == 303
    assert document(fresh)["driveline"]["joints"][2] == {"cross": {"needles": 36}}


def test_an_emptied_field_is_removed_and_an_untouched_one_stays(fresh: TestClient) -> None:
    fresh.post("/case/1/fields", data=fields("axle", **{"vehicle.axle.ratio": "4.1", "vehicle.axle.load": "18 t"}))
    later = fields("axle", **{"vehicle.axle.ratio": "", "vehicle.axle.load": "18 t"}) | {"base_revision": "2"}
    assert fresh.post("/case/1/fields", data=later | {"known": "assumed"}).status_code == 303
    axle = document(fresh)["vehicle"]["axle"]
    assert axle["load"]["known"] == "measured"
    assert "ratio" not in axle


def test_nothing_changed_makes_no_revision(fresh: TestClient) -> None:
    assert fresh.post("/case/1/fields", data=fields("axle")).status_code == 303
    assert revision(fresh) == 1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("3.4 kg", "is a mass, not a length"),
        ("3.4", "has no unit"),
        ("-3.4 mm", "cannot be"),
        ("0 mm", "more than"),
        ("900 mm", "at most"),
        ("NaN mm", "cannot be read"),
        ("inf mm", "cannot be read"),
        ("1e999 mm", "not a finite number"),
        ("thick", "cannot be read"),
        (SCRIPT, "cannot be read"),
    ],
)
def test_bad_sizes(fresh: TestClient, text: str, words: str) -> None:
    name = "driveline.shafts[0].tube.wall"
    other = {"driveline.shafts[0].length": "1480 mm"}
    answer = fresh.post("/case/1/fields", data=fields("shaft-1", **{name: text}, **other))
    shown = refused(answer, 422, "Nothing was stored yet", words, 'href="#f-driveline-shafts-0-tube-wall"')
    assert html.escape(text) in answer.text, "what was typed stays"
    assert 'value="1480 mm"' in shown, "the good field stays typed as well"
    assert 'id="f-driveline-shafts-0-tube-wall-wrong"' in shown
    assert revision(fresh) == 1


def test_fields_of_another_part_are_not_taken(fresh: TestClient) -> None:
    fresh.post("/case/1/fields", data=fields("axle", **{"title": "other", "driveline.shafts[0].length": "1 m"}))
    assert revision(fresh) == 1


def test_conflict_over_a_field_shows_both(fresh: TestClient) -> None:
    fresh.post("/case/1/fields", data=fields("axle", **{"vehicle.axle.ratio": "4.1"}))
    late = fresh.post("/case/1/fields", data=fields("axle", **{"vehicle.axle.ratio": "4.3"}))
    text = refused(late, 409, "changed in between", "You typed this; stored now: 4.1")
    assert 'value="4.3"' in text
    assert document(fresh)["vehicle"]["axle"]["ratio"]["value"] == "4.1"


def test_facts_are_stored(fresh: TestClient) -> None:
    typed = {
        "base_revision": "1", "known": "from a plate", "title": "Bang on the ramp",
        "account.driver_words": "It just\r\nbanged.", "vehicle.engine.peak_torque": "1700 lbf ft",
        "fleet[0].name": "same set", "fleet[0].failed": "2", "fleet[0].of": "5",
        "fleet[0].exposed": "true", "history[0].what": "joint changed",
    }  # fmt: skip
    assert fresh.post("/case/1/facts", data=typed).headers["location"] == "/case/1/facts?stored=1"
    stored = document(fresh)
    assert stored["account"]["driver_words"] == "It just\nbanged."
    assert stored["vehicle"]["engine"]["peak_torque"] == {"value": "1700 lbf ft", "known": "from a plate"}
    assert stored["fleet"] == [{"name": "same set", "failed": 2, "of": 5, "exposed": True}]
    assert stored["history"] == [{"what": "joint changed"}]
    emptied = {"base_revision": "2", "history[0].what": ""}
    assert fresh.post("/case/1/facts", data=emptied).status_code == 303
    assert "history" not in document(fresh)


def test_the_kind_of_vehicle_is_chosen_by_its_words(fresh: TestClient) -> None:
    shown = fresh.get("/case/1/facts").text
    assert '<option value="off_highway">Off-highway machine: dumper, loader, crane</option>' in shown
    assert '<option value="any">' not in shown
    typed = {
        "base_revision": "1", "vehicle.kind": "off_highway", "vehicle.gearbox.converter": "true",
        "vehicle.gearbox.clutch_torque": "3500 N m", "vehicle.axle.lash": "4 deg",
    }  # fmt: skip
    assert fresh.post("/case/1/facts", data=typed).status_code == 303
    vehicle = document(fresh)["vehicle"]
    assert vehicle["kind"] == "off_highway"
    assert vehicle["gearbox"]["converter"] is True
    assert vehicle["gearbox"]["clutch_torque"] == "3500 N m"
    assert vehicle["axle"]["lash"] == "4 deg"
    assert '<option value="off_highway" selected>' in fresh.get("/case/1/facts").text
    assert fresh.post("/case/1/facts", data={"base_revision": "2", "vehicle.kind": ""}).status_code == 303
    assert "kind" not in document(fresh)["vehicle"]


def test_another_kind_of_vehicle_is_refused(fresh: TestClient) -> None:
    answer = fresh.post("/case/1/facts", data={"base_revision": "1", "vehicle.kind": "lorry"})
    refused(answer, 422, "Kind of vehicle", "tractor, tipper, bus, off_highway")
    assert revision(fresh) == 1


def test_what_hangs_on_a_joint_is_stored(fresh: TestClient) -> None:
    typed = fields("joint-2", **{"driveline.joints[1].added_inertia": "1.2 kg m2"})
    assert fresh.post("/case/1/fields", data=typed).status_code == 303
    assert document(fresh)["driveline"]["joints"][1]["added_inertia"]["value"] == "1.2 kg m2"


def test_bad_facts_keep_everything_typed(fresh: TestClient) -> None:
    typed = {"base_revision": "1", "vehicle.axle.ratio": "-4", "account.story": "long story", "title": ""}
    text = refused(fresh.post("/case/1/facts", data=typed), 422, "the title is missing", "long story")
    assert revision(fresh) == 1
    typed["title"] = "Bang"
    text = refused(fresh.post("/case/1/facts", data=typed), 422, 'href="#f-vehicle-axle-ratio"', "long story")
    assert 'value="-4"' in text


def test_number_of_shafts(client: TestClient) -> None:
    client.post("/cases", data={"title": "Nobody knows", "shafts": ""})
    assert "Nobody has said how many shafts" in client.get("/case/1").text
    refused(client.post("/case/1/shafts", data={"base_revision": "1", "shafts": "9"}), 422, "1 to 6")
    refused(client.post("/case/1/shafts", data={"base_revision": "1"}), 422, "no number was chosen")
    assert client.post("/case/1/shafts", data={"base_revision": "1", "shafts": "3"}).status_code == 303
    assert len(document(client)["driveline"]["shafts"]) == 3
    assert client.get("/case/1?at=joint-4").status_code == 200


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"title": ""}, "title is missing"),
        ({"title": "x", "shafts": "7"}, "1 to 6"),
        ({"title": "x", "shafts": "-1"}, "1 to 6"),
    ],
)
def test_bad_new_case(client: TestClient, typed: dict[str, str], words: str) -> None:
    refused(client.post("/cases", data={"reference": "stays here"} | typed), 422, words, "stays here")
    assert client.get("/cases.json").json()["stored"] == 0


BAD_FILES = {
    "unknown field": (
        b"beachmark_case: 1\ntitle: x\nvehicle:\n  axel: {}\n",
        ["Line 4", "vehicle.axel", "unknown field"],
    ),
    "two faults": (
        b"beachmark_case: 1\ntitle: x\nvehicle:\n  axle:\n    ratio: -3\n    load: 5 mm\n",
        ["Line 5", "Line 6", "vehicle.axle.ratio", "vehicle.axle.load"],
    ),
    "bomb": (b"a: &a [1,1]\nb: &b [*a,*a,*a,*a]\nc: [*b,*b,*b,*b]\n", ["anchors and aliases", "Line 1"]),
    "duplicate key": (b"beachmark_case: 1\ntitle: x\ntitle: y\n", ["stands twice", "Line 3"]),
    "not a number": (b"beachmark_case: 1\ntitle: x\nvehicle: {axle: {ratio: .nan}}\n", ["not a number", "Line 3"]),
    "json not a number": (b'{"beachmark_case": 1, "title": "x", "fleet": [{"failed": NaN}]}', ["not a number"]),
    "tag": (b"!!python/object/apply:os.system [ls]\n", ["tag", "Line 1"]),
    "other version": (b"beachmark_case: 99\ntitle: x\n", ["version", "Line 1"]),
    "broken": (b"a: [1,\n", ["cannot be read"]),
    "no text": (b"\xff\xfe\x00", ["UTF-8"]),
    "empty": (b"", ["empty"]),
    "a list": (b"- 1\n", ["not a case file"]),
    "deep": (b"[" * 60 + b"]" * 60, ["deep"]),
    "file beside": (b"beachmark_case: 1\ntitle: x\ncatalogue: ../secret.yaml\n", ["catalogue"]),
    "script": (f"beachmark_case: 1\ntitle: x\n'{SCRIPT}': 1\n".encode(), ["unknown field"]),
}


@pytest.mark.parametrize("kind", BAD_FILES)
def test_bad_files(client: TestClient, kind: str) -> None:
    content, words = BAD_FILES[kind]
    answer = client.post("/import", files={"file": ("case.yaml", content)})
    refused(answer, 422, "Nothing was stored", *words)
    assert SCRIPT not in answer.text
    assert client.get("/cases.json").json()["stored"] == 0


def test_no_file_and_a_text_instead_of_a_file(client: TestClient) -> None:
    refused(client.post("/import", files={"other": ("x", b"y")}), 422, "no file was chosen")
    refused(client.post("/import", data={"file": "beachmark_case: 1"}), 422, "no file was chosen")


def test_too_large_files(client: TestClient) -> None:
    large = b"beachmark_case: 1\ntitle: x\n" + b"# padding\n" * 420_000
    refused(client.post("/import", files={"file": ("case.yaml", large)}), 422, "at most 4 MB")
    larger = large + b"# padding\n" * 100_000
    refused(client.post("/import", files={"file": ("case.yaml", larger)}), 413, "larger than 5 MB")
    assert client.get("/cases.json").json()["stored"] == 0


def test_a_body_that_does_not_say_its_size(client: TestClient) -> None:
    def endless() -> Any:
        for _ in range(60):
            yield b"x" * 100_000

    headers = {"content-type": "application/x-www-form-urlencoded"}
    refused(client.post("/cases", content=endless(), headers=headers), 413, "larger than 5 MB")


@pytest.mark.parametrize("body", [b"--x\r\nbroken", b"\xff" * 40, b""])
def test_bodies_that_are_no_form(fresh: TestClient, body: bytes) -> None:
    headers = {"content-type": "multipart/form-data; boundary=x"}
    for path in ("/cases", "/import", "/case/1/record", "/case/1/facts", "/case/1/fields", "/case/1/shafts"):
        answer = fresh.post(path, content=body, headers=headers)
        assert 400 <= answer.status_code < 500, path
        assert "Traceback" not in answer.text
    assert revision(fresh) == 1


def test_hostile_text_is_escaped_everywhere(client: TestClient) -> None:
    client.post("/cases", data={"title": SCRIPT, "reference": SCRIPT, "shafts": "2"})
    hostile = ANSWER | {"by": SCRIPT, "note": SCRIPT}
    assert client.post("/case/1/record", data=hostile).status_code == 303
    typed = {
        f"account.{name}": SCRIPT
        for name in ("driver_words", "mechanic_words", "story", "happened", "asked_by", "question")
    } | {"vehicle.description": SCRIPT, "vehicle.name": SCRIPT, "history[0].what": SCRIPT, "history[0].when": SCRIPT}
    facts = {"base_revision": "2", "title": SCRIPT, "by": SCRIPT, "source": SCRIPT, "vehicle.axle.ratio": "4.1"}
    assert client.post("/case/1/facts", data=facts | typed).status_code == 303
    material = {"driveline.shafts[0].tube.material": SCRIPT}
    assert client.post("/case/1/fields", data=fields("shaft-1", **material) | {"base_revision": "3"}).status_code == 303
    pages = ["/", "/case/1", "/case/1?at=joint-1", "/case/1?at=shaft-1", f"/?search={SCRIPT}", f"/case/1?done={SCRIPT}"]
    pages += [f"/case/1/{name}" for name in ("facts", "sums", "causes", "report", "history")]
    for path in pages:
        answer = client.get(path)
        assert answer.status_code == 200
        assert "<script" not in answer.text, path
    assert json.loads(client.get("/case/1.json").text)["document"]["title"] == SCRIPT


def test_control_characters_are_refused_or_kept_but_never_break(fresh: TestClient) -> None:
    answer = fresh.post("/case/1/record", data=ANSWER | {"note": "a\x00b\x0bc"})
    assert answer.status_code in (303, 422)
    assert fresh.get("/case/1?at=joint-1").status_code == 200
