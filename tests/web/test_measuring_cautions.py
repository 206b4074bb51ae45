"""Before a form that asks for measurements under a vehicle stands the usual caution, the gravest open to read."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient


@pytest.mark.parametrize("page", ["/case/1/facts", "/case/1?at=joint-1", "/case/1?at=shaft-1"])
def test_a_form_for_measurements_carries_the_cautions(demo: TestClient, page: str) -> None:
    text = demo.get(page).text
    form = text.index("With the unit, as")
    assert text.index("Stands under frame or axle, never a jack alone.") < form
    assert "Nobody under the vehicle while air is filled or let out" in text
    assert "Nothing is retightened before torque and paint marks are recorded." in text
