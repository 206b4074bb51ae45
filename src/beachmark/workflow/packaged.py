"""The knowledge and the demo that come with the package."""

from __future__ import annotations

from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

from beachmark.knowledge.loader import load_knowledge
from beachmark.knowledge.model import Knowledge


def knowledge_texts() -> dict[str, str]:
    """Every knowledge file by its path inside the data folder."""
    return dict(_texts(resources.files("beachmark.knowledge") / "data", ""))


def _texts(folder: Traversable, prefix: str) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            found += _texts(entry, f"{prefix}{entry.name}/")
        elif entry.name.endswith(".yaml"):
            found.append((f"{prefix}{entry.name}", entry.read_text(encoding="utf-8")))
    return found


@cache
def knowledge() -> Knowledge:
    """The packaged knowledge, read once."""
    return load_knowledge(knowledge_texts())
