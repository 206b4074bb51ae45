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


def demo_text(name: str) -> str | None:
    """A file of the demo by its name, or None."""
    # by exact name out of the folder's own list: the name may come from a file that somebody sent
    folder = resources.files("beachmark.workflow") / "demo"
    found = next((entry for entry in folder.iterdir() if entry.name == name and entry.is_file()), None)
    return found.read_text(encoding="utf-8") if found else None


def demo_names() -> list[str]:
    """The demo's case files, in their order."""
    folder = resources.files("beachmark.workflow") / "demo"
    names = [entry.name for entry in folder.iterdir() if entry.name.endswith(".yaml")]
    return sorted(name for name in names if name[0].isdigit())
