"""The pages show how an entry was read and ask back what is unusual; a fault names its field in words."""

from __future__ import annotations

import html

import pytest
from fastapi.testclient import TestClient

FACTS = {"base_revision": "1", "known": "measured"}


def shown(client: TestClient, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return html.unescape(answer.text)


def test_facts_show_how_a_slope_was_read(fresh: TestClient) -> None:
    typed = FACTS | {"driveline.gearbox_end.slope": "3° rear down", "driveline.axle_end.slope": "3 deg"}
    assert fresh.post("/case/1/facts", data=typed).status_code == 303
    text = shown(fresh, "/case/1/facts?stored=1")
    assert 'value="3° rear down"' in text, "what was typed stays"
    assert "read as: 3.0° falling to the rear</span>" in text
    assert "read as: 3.0° rising to the rear, which was assumed" in text


def test_facts_take_numbers_as_people_write_them(fresh: TestClient) -> None:
    typed = FACTS | {
        "vehicle.axle.ratio": "4,1 : 1", "vehicle.engine.peak_torque": "2300 NM",
        "vehicle.engine.governed_speed": "2 100 1/min",
    }  # fmt: skip
    assert fresh.post("/case/1/facts", data=typed).status_code == 303
    text = shown(fresh, "/case/1/facts")
    for value in ("4,1 : 1", "2300 NM", "2 100 1/min"):
        assert f'value="{value}"' in text


def test_facts_ask_back_and_store(fresh: TestClient) -> None:
    assert fresh.post("/case/1/facts", data=FACTS | {"vehicle.tyre.rolling_radius": "1.9 m"}).status_code == 303
    text = shown(fresh, "/case/1/facts")
    assert "Rolling radius 1900 mm: usual is 250 to 1600 mm. Keep it if measured." in text


def test_a_part_asks_back_beside_its_field(fresh: TestClient) -> None:
    typed = {"part": "shaft-1", "base_revision": "1", "known": "measured", "driveline.shafts[0].tube.wall": "40 mm"}
    assert fresh.post("/case/1/fields", data=typed).status_code == 303
    text = shown(fresh, "/case/1?at=shaft-1")
    assert "Wall thickness 40 mm: usual is 1.6 to 10 mm. Keep it if measured.</span>" in text


@pytest.mark.parametrize(
    ("name", "typed", "says"),
    [
        ("vehicle.engine.peak_torque", "1,234 N m", "Greatest engine torque (engine): '1,234 N m' can be read in two"),
        ("driveline.axle_end.slope", "3° down", "(axle pinion): '3° down' does not say which end"),
        ("vehicle.axle.ratio", "1:4", "Axle ratio (axle): '1:4' is not a ratio to one"),
    ],
)  # fmt: skip
def test_a_fault_names_its_field_in_words_and_keeps_what_was_typed(
    fresh: TestClient, name: str, typed: str, says: str
) -> None:
    answer = fresh.post("/case/1/facts", data=FACTS | {name: typed, "account.story": "a long story"})
    text = html.unescape(answer.text)
    assert answer.status_code == 422
    assert says in text
    assert f'value="{typed}"' in text
    assert "a long story" in text
