"""What every test may use."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from beachmark.cases.case import Case
from beachmark.cases.codec import read_case
from beachmark.knowledge.model import Knowledge
from beachmark.workflow.packaged import knowledge as packaged_knowledge

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
