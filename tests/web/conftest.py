"""A house with the demo's first case and one invented blank case, served in this process."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the test client's own advice about its HTTP library
    from fastapi.testclient import TestClient

from beachmark.web.app import create_app
from beachmark.workflow.packaged import demo_names, demo_text

HERE = "http://127.0.0.1:8000"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """An empty house."""
    with TestClient(create_app(tmp_path), base_url=HERE, follow_redirects=False) as client:
        yield client


@pytest.fixture
def demo(client: TestClient) -> TestClient:
    """A house whose case 1 is the first demo case, with everything in it."""
    name = demo_names()[0]
    sent = client.post("/import", files={"file": (name, (demo_text(name) or "").encode())})
    assert sent.status_code == 303
    return client


@pytest.fixture
def fresh(client: TestClient) -> TestClient:
    """A house whose case 1 has two shafts and nothing else."""
    sent = client.post("/cases", data={"title": "Bang on the ramp", "reference": "TR-9", "shafts": "2"})
    assert sent.headers["location"] == "/case/1"
    return client
