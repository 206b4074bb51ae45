"""The demo cases, loaded into a house that holds none yet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from beachmark.workflow.keeping import add_case
from beachmark.workflow.loading import Loaded, case_from_text
from beachmark.workflow.packaged import demo_names, demo_text

if TYPE_CHECKING:
    from beachmark.store.database import Store


def load_demo(store: Store) -> list[Loaded]:
    """Store the demo cases when the house is empty; otherwise nothing. Returns what was stored."""
    if not store.empty():
        return []
    loaded = []
    for name in demo_names():
        case = case_from_text(demo_text(name) or "", name=name)
        loaded.append(add_case(store, case, who="demo", why="demo case, invented"))
    return loaded
