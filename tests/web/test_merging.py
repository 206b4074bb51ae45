"""Two people at one case: what only one of them changed is stored, what both changed is asked about."""

from __future__ import annotations

import html
from collections.abc import Sequence
from html.parser import HTMLParser
from typing import Any

import pytest
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st

from beachmark.web import merging
from beachmark.web.merging import merge
from beachmark.workflow import keeping
from beachmark.workflow.entering import Entered
from beachmark.workflow.fields import FieldGroup, FormField
from beachmark.workflow.pages import Loaded, Store

MASS, SPEED, RATIO = "vehicle.duty.mass", "vehicle.duty.top_speed", "vehicle.axle.ratio"


class FormReader(HTMLParser):
    """What a browser would send of the form with an action, as it stands."""

    def __init__(self, action: str) -> None:
        super().__init__()
        self.sent: dict[str, str] = {}
        self._action, self._inside = action, False
        self._area = self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {key: value or "" for key, value in attrs}
        if tag == "form":
            self._inside = named["action"] == self._action
        if not self._inside:
            return
        if tag == "input":
            self.sent[named["name"]] = named.get("value", "")
        if tag in ("textarea", "select"):
            self.sent[named["name"]] = ""
            self._area, self._select = (named["name"], "") if tag == "textarea" else ("", named["name"])
        if tag == "option" and "selected" in named:
            self.sent[self._select] = named.get("value", "")
            self._area = "" if "value" in named else self._select  # an option without a value sends its words

    def handle_data(self, data: str) -> None:
        if self._inside and self._area:
            self.sent[self._area] += data.removeprefix("\n")

    def handle_endtag(self, tag: str) -> None:
        self._area = "" if tag in ("textarea", "option") else self._area
        self._inside = self._inside and tag != "form"


def form_of(text: str, path: str = "/case/1/facts") -> dict[str, str]:
    reader = FormReader(path)
    reader.feed(text)
    assert "base_revision" in reader.sent
    return reader.sent


def opened(client: TestClient) -> dict[str, str]:
    """The whole facts form as a tab has it."""
    return form_of(client.get("/case/1/facts").text)


def stored(client: TestClient, name: str) -> str:
    return opened(client)[name]


def sent(client: TestClient, form: dict[str, str], status: int = 303, path: str = "/case/1/facts") -> str:
    answer = client.post(path, data=form)
    assert answer.status_code == status
    return html.unescape(answer.text)


def test_what_only_one_changed_is_kept_of_both(fresh: TestClient) -> None:
    first, second = opened(fresh), opened(fresh)
    sent(fresh, first | {MASS: "34 t"})
    sent(fresh, second | {"account.driver_words": "It just banged."})
    assert stored(fresh, MASS) == "34 t"
    assert stored(fresh, "account.driver_words") == "It just banged."


def test_only_what_both_changed_is_a_conflict_and_nothing_is_lost(fresh: TestClient) -> None:
    sent(fresh, opened(fresh) | {RATIO: "4.1"})
    first, second = opened(fresh), opened(fresh)
    sent(fresh, first | {MASS: "34 t", RATIO: "4.3", "account.story": "hauls sand"})
    text = sent(fresh, second | {MASS: "36 t", SPEED: "90 km/h"}, 409)
    assert text.count("stored now: 34 t") == 2, "in the list on top and beside the field"
    assert text.count("You typed this; stored now") == 1
    assert "Mass of the whole vehicle or combination (duty)</a>: you typed 36 t" in text
    again = form_of(text)
    assert (again[MASS], again[SPEED], again[RATIO]) == ("36 t", "90 km/h", "4.3")
    assert again["account.story"] == "hauls sand"
    assert stored(fresh, SPEED) == "", "nothing of it was stored yet"
    sent(fresh, again)
    assert [stored(fresh, name) for name in (MASS, SPEED, RATIO)] == ["36 t", "90 km/h", "4.3"]
    assert stored(fresh, "account.story") == "hauls sand"


def test_what_one_took_out_and_the_other_changed_is_a_conflict(fresh: TestClient) -> None:
    sent(fresh, opened(fresh) | {MASS: "30 t"})
    first, second = opened(fresh), opened(fresh)
    sent(fresh, first | {MASS: ""})
    assert "you typed 32 t; stored now: nothing" in sent(fresh, second | {MASS: "32 t"}, 409)


def test_the_same_text_of_both_is_no_conflict(fresh: TestClient) -> None:
    first, second = opened(fresh), opened(fresh)
    sent(fresh, first | {MASS: "34 t"})
    sent(fresh, second | {MASS: "34 t", SPEED: "90 km/h"})
    assert (stored(fresh, MASS), stored(fresh, SPEED)) == ("34 t", "90 km/h")


def test_a_faulty_field_brings_back_what_the_other_stored(fresh: TestClient) -> None:
    first, second = opened(fresh), opened(fresh)
    sent(fresh, first | {MASS: "34 t"})
    again = form_of(sent(fresh, second | {SPEED: "fast", "account.story": "hauls sand"}, 422))
    assert (again[MASS], again[SPEED], again["account.story"]) == ("34 t", "fast", "hauls sand")
    sent(fresh, again | {SPEED: "90 km/h"})
    assert stored(fresh, MASS) == "34 t"


def test_two_new_entries_of_a_list_are_not_mixed(fresh: TestClient) -> None:
    first, second = opened(fresh), opened(fresh)
    sent(fresh, first | {"history[0].what": "joint changed"})
    text = sent(fresh, second | {"history[0].when": "in spring"}, 409)
    assert "you typed in spring" in text
    assert form_of(text)["history[0].what"] == "joint changed"


def test_an_entry_that_moved_up_is_not_written_over(fresh: TestClient) -> None:
    works = {f"history[{i}].what": f"work {i}" for i in range(3)}
    for name, words in works.items():
        sent(fresh, opened(fresh) | {name: words})
    first, second = opened(fresh), opened(fresh)
    sent(fresh, first | {"history[0].what": "", "history[1].what": ""})
    text = sent(fresh, second | {"history[2].what": "work two, seen again"}, 409)
    assert "you typed work two, seen again; stored now: the form has no such field any more" in text
    assert stored(fresh, "history[0].what") == "work 2"


def test_sizes_of_a_part_are_merged_too(fresh: TestClient) -> None:
    name, path = "driveline.shafts[0].tube", "/case/1/fields"
    first, second = (form_of(fresh.get("/case/1?at=shaft-1").text, path) for _ in range(2))
    sent(fresh, first | {f"{name}.wall": "3.4 mm"}, path=path)
    sent(fresh, second | {f"{name}.outer_diameter": "101.6 mm"}, path=path)
    now = form_of(fresh.get("/case/1?at=shaft-1").text, path)
    assert (now[f"{name}.wall"], now[f"{name}.outer_diameter"]) == ("3.4 mm", "101.6 mm")
    assert "stored now: 3.4 mm" in sent(fresh, second | {f"{name}.wall": "4 mm"}, 409, path)


def test_with_another_number_of_shafts_a_size_is_asked_about(fresh: TestClient) -> None:
    path = "/case/1/fields"
    late = form_of(fresh.get("/case/1?at=joint-3").text, path)
    assert fresh.post("/case/1/shafts", data={"base_revision": "1", "shafts": "3"}).status_code == 303
    text = sent(fresh, late | {"driveline.joints[2].cross.needles": "36"}, 409, path)
    again = form_of(text, path)
    assert again["driveline.joints[2].cross.needles"] == "36"
    sent(fresh, again, path=path)


def test_nobody_said_measured(fresh: TestClient) -> None:
    assert opened(fresh)["known"] == "stated"


def group(texts: list[str]) -> tuple[FieldGroup, ...]:
    fields = tuple(FormField(f"vehicle.duty.f{i}", f"f{i}", "text", text) for i, text in enumerate(texts))
    return (FieldGroup("duty", "Duty", fields),)


TEXTS = st.lists(st.tuples(*[st.sampled_from(["", "a", "b"])] * 3), min_size=1, max_size=6)


@given(TEXTS)
def test_every_field_goes_to_who_changed_it(rows: list[tuple[str, str, str]]) -> None:
    before, theirs, mine = ([row[i] for row in rows] for i in range(3))
    typed = {f"vehicle.duty.f{i}": text for i, text in enumerate(mine)}
    found = merge(group(before), group(theirs), typed)
    own, both = ({one.field.name for one in side} for side in (found.own, found.both))
    for i, (was, other, text) in enumerate(rows):
        name = f"vehicle.duty.f{i}"
        assert (name in own) == (text != was and other == was)
        assert (name in both) == (text != was and other != was and text != other)
        shown = found.shown.get(name, other)
        assert shown == (other if text == was else text)


@pytest.mark.parametrize("name", ["driveline.joints[0].cross.needles", "vehicle.duty.mass"])
def test_only_the_driveline_depends_on_the_number_of_shafts(name: str) -> None:
    groups = (FieldGroup("g", "G", (FormField(name, "words", "text"),)),)
    found = merge(groups, groups, {name: "1"}, same_shafts=False)
    assert bool(found.both) == name.startswith("driveline.")
    assert bool(found.own) != bool(found.both)


def test_somebody_stores_while_we_store(fresh: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody stores between our look at the case and our storing: once, it is merged; every time, it is said."""
    real, left = merging.enter, [1]

    def beaten(store: Store, number: int, entered: Sequence[Entered], **told: Any) -> Loaded:
        if left[0]:
            left[0] -= 1
            reference = f"work {left[0]}"
            keeping.changed(store, number, lambda case: case.update(reference=reference), None, "B", "other")
        return real(store, number, entered, **told)

    monkeypatch.setattr(merging, "enter", beaten)
    sent(fresh, opened(fresh) | {MASS: "34 t"})
    assert (stored(fresh, MASS), stored(fresh, "reference")) == ("34 t", "work 0")
    left[0] = 9
    text = sent(fresh, opened(fresh) | {MASS: "35 t", "account.story": "hauls sand"}, 409)
    assert "changed in between" in text
    assert form_of(text)["account.story"] == "hauls sand"
    assert stored(fresh, MASS) == "34 t"
