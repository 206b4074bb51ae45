"""A count that cannot be is asked back beside its field, though counts carry no "known by"."""

from __future__ import annotations

from fastapi.testclient import TestClient


def test_needles_that_do_not_fit_are_asked_back_at_the_joint(client: TestClient) -> None:
    text = (
        "beachmark_case: 1\ntitle: x\ndriveline: {shafts: [{}], joints: [{cross: {trunnion_diameter: 33 mm, "
        "needle_diameter: 3 mm, needles: 60}}, {}]}\n"
    )
    client.post("/import", files={"file": ("x.yaml", text.encode())})
    page = client.get("/case/1?at=joint-1").text
    assert "37" in page.split('name="driveline.joints[0].cross.needles"')[1].split("</div>")[0]
