"""Sizes of yokes and centre bearings, and lists of gears, loads and ride heights, are entered on their pages."""

from __future__ import annotations

import html

import pytest
from fastapi.testclient import TestClient

FACTS = {"base_revision": "1", "known": "measured"}


def shown(client: TestClient, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return html.unescape(answer.text)


@pytest.mark.parametrize(
    ("part", "name", "typed"),
    [
        ("joint-1", "driveline.joints[0].yoke.ear_width", "70 mm"),
        ("joint-1", "driveline.joints[0].yoke.bolts", "2"),
        ("joint-1", "driveline.joints[0].cross.fitting_between", "G1 A2"),
        ("support-1", "driveline.shafts[0].centre_bearing.radial_stiffness", "300 N/mm"),
        ("shaft-1", "driveline.shafts[0].tube.weld_throat", "4 mm"),
        ("shaft-1/slip", "driveline.shafts[0].slip.clearance", "0.2 mm"),
    ],
)
def test_a_size_is_entered_at_its_part(part: str, name: str, typed: str, fresh: TestClient) -> None:
    answer = fresh.post("/case/1/fields", data={"part": part, "base_revision": "1", "known": "measured", name: typed})
    assert answer.status_code == 303
    text = shown(fresh, f"/case/1?at={part}")
    assert f'name="{name}"' in text
    assert f'value="{typed}"' in text


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("vehicle.gearbox.gears[0].ratio", "6.4"),
        ("vehicle.duty.loads[0].torque", "1200 N m"),
        ("vehicle.suspension.measured[0].pinion_slope", "nose up 4 deg"),
    ],
)
def test_an_entry_of_a_list_is_added_and_taken_out_again(name: str, typed: str, fresh: TestClient) -> None:
    following = name.replace("[0]", "[1]")
    assert f'name="{following}"' not in shown(fresh, "/case/1/facts")
    assert fresh.post("/case/1/facts", data=FACTS | {name: typed}).status_code == 303
    text = shown(fresh, "/case/1/facts")
    assert f'value="{typed}"' in text
    assert f'name="{following}"' in text, "room for the next one"
    assert fresh.post("/case/1/facts", data=FACTS | {"base_revision": "2", name: ""}).status_code == 303
    assert f'name="{following}"' not in shown(fresh, "/case/1/facts")
