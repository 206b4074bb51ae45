"""The head of a part tells what was stated of it, also where no drawing shows it."""

from __future__ import annotations

import html
import re

import pytest
from fastapi.testclient import TestClient


def header(client: TestClient, part: str) -> str:
    found = re.search(r'<p class="told">(.*?)</p>', client.get(f"/case/1?at={part}").text)
    return html.unescape(re.sub(r"<[^>]+>", "", found[1])) if found else ""


@pytest.mark.parametrize(
    ("part", "name", "typed", "says"),
    [
        ("shaft-1", "driveline.shafts[0].tube.hardness", "170", "hardness measured on the tube 170"),
        ("shaft-1", "driveline.shafts[0].tube.runout", "0.6 mm", "full dial reading 0.6 mm"),
        ("shaft-1", "driveline.shafts[0].tube.twist_left", "4 deg", "twist left in the tube, measured 4 deg"),
        ("shaft-1/slip", "driveline.shafts[0].slip.hardness", "45", "stub's core, measured 45"),
        ("shaft-1/slip", "driveline.shafts[0].slip.twist_left", "2 deg", "along the stub, measured 2 deg"),
        ("joint-2", "driveline.joints[1].cross.core_hardness", "35", "hardness of the core, measured 35"),
        ("joint-2", "driveline.joints[1].cross.dent_depth", "0.02 mm", "needle dents, measured 0.02 mm"),
        ("joint-2", "driveline.joints[1].yoke.bolts", "2", "bolts that hold one cap 2 (stated)"),
        ("joint-2", "driveline.joints[1].yoke.bolt_diameter", "12 mm", "thread diameter of a cap bolt 12 mm"),
        ("support-1", "driveline.shafts[0].centre_bearing.radial_stiffness", "300 N/mm", "the rubber 300 N/mm"),
        ("gearbox", "driveline.gearbox_end.radial_stiffness", "9 kN/mm", "carries it 9 kN/mm"),
    ],
)
def test_head_tells_it(part: str, name: str, typed: str, says: str, fresh: TestClient) -> None:
    assert says not in header(fresh, part)
    form = {"part": part, "base_revision": "1", "known": "from a plate", name: typed}
    assert fresh.post("/case/1/fields", data=form).status_code == 303
    assert says in header(fresh, part)


def test_the_numbers_of_one_ride_height_stand_together(fresh: TestClient) -> None:
    name = "vehicle.suspension.measured[0]"
    form = {
        "base_revision": "1",
        "known": "measured",
        f"{name}.height": "60 mm",
        f"{name}.pinion_slope": "4 deg nose up",
    }
    assert fresh.post("/case/1/facts", data=form).status_code == 303
    words = "axle above its place at ride height, below is negative 60 mm, slope of the pinion there 4 deg nose up"
    assert f"{words} (measured)" in header(fresh, "suspension")


def test_a_margin_is_told(fresh: TestClient) -> None:
    form = {"part": "shaft-1", "base_revision": "1", "driveline.shafts[0].tube.runout": "0.6 ± 0.1 mm"}
    assert fresh.post("/case/1/fields", data=form).status_code == 303
    assert "0.6 mm, 0.5 mm to 0.7 mm" in header(fresh, "shaft-1")
