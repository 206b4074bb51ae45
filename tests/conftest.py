"""What every test may use."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from beachmark.cases.case import Case
from beachmark.cases.codec import read_case
from beachmark.knowledge.model import Knowledge
from beachmark.workflow.packaged import knowledge as packaged_knowledge

# The same examples in every run, so that a red run speaks of the change in it and not of luck.
# HYPOTHESIS_PROFILE=search looks further, each time elsewhere; what it finds becomes a test of its own.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("search", max_examples=2000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))

ROOT = Path(__file__).parent.parent
EXAMPLES = ROOT / "examples"


@pytest.fixture(scope="session")
def knowledge() -> Knowledge:
    """The packaged knowledge."""
    return packaged_knowledge()


@pytest.fixture(scope="session")
def example(knowledge: Knowledge) -> Callable[[str], Case]:
    """An example case by its file name without ending."""

    def read(name: str) -> Case:
        path = EXAMPLES / f"{name}.yaml"
        return read_case(path.read_text(encoding="utf-8"), name=path.name, knowledge=knowledge)

    return read


@pytest.fixture(scope="session")
def case_of(knowledge: Knowledge) -> Callable[[str], Case]:
    """A case from the text of a case file without its first two lines."""

    def read(text: str, title: str = "a case") -> Case:
        return read_case(f"beachmark_case: 1\ntitle: {title}\n{text}", name="test.yaml", knowledge=knowledge)

    return read
