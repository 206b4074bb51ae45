"""The folder that holds the user's data."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from beachmark.store import open_store

if TYPE_CHECKING:
    from beachmark.store.database import Store as Store

VARIABLE = "BEACHMARK_HOME"


def home_folder(given: Path | None = None) -> Path:
    """The folder given, else `BEACHMARK_HOME`, else the user's data folder."""
    if given is not None:
        return given.expanduser()
    if os.environ.get(VARIABLE):
        return Path(os.environ[VARIABLE]).expanduser()
    from platformdirs import user_data_path

    return user_data_path("beachmark", appauthor=False)


__all__ = ["VARIABLE", "home_folder", "open_store"]
