"""Any earlier database brought up to date, after a copy was made.

Alembic is imported only when there is something to do: it costs more time than opening the store.
"""

from __future__ import annotations

import os
import re
import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text

from beachmark.store.engine import engine_for, in_words, transaction
from beachmark.store.records import StoreError
from beachmark.store.tables import NEWEST

SCRIPTS = Path(__file__).parent / "migrations"
VERSION_TABLE = "alembic_version"


def bring_up_to_date(engine: Engine, *, moment: str, scripts: Path = SCRIPTS, newest: str = NEWEST) -> None:
    """Migrate to `newest` when the database is older or empty; `moment` goes into the name of the copy.

    Raises `StoreError` when the database is newer, belongs to something else, or cannot be changed.
    """
    with transaction(engine, writes=False) as connection:
        if version_of(connection, newest) == newest:
            return
    migrating = engine_for(engine.url, foreign_keys=False)
    try:
        with transaction(migrating, writes=True) as connection:
            found = version_of(connection, newest)  # again: another process may have been faster
            if found != newest:
                if found:
                    _copy(connection, f"version-{found}-{moment.replace(':', '')}")
                _upgrade(connection, scripts, newest)
    finally:
        migrating.dispose()


def version_of(connection: Connection, newest: str) -> str:
    """The version of the tables, empty for an empty database. Raises `StoreError` for one that is not ours or newer."""
    place = connection.engine.url.database
    tables = inspect(connection).get_table_names()
    if not tables:
        return ""
    if VERSION_TABLE not in tables:
        raise StoreError(f"{place}: it is the database of another program; name another folder")
    found = [str(row[0]) for row in connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}"))]
    if len(found) != 1 or not re.fullmatch(r"\d{4}", found[0]):
        raise StoreError(f"{place}: its version reads {', '.join(found) or 'nothing'}; no beachmark wrote that")
    if found[0] > newest:
        raise StoreError(
            f"{place}: it was written by a newer beachmark (its tables are version {int(found[0])}, this one knows "
            f"up to {int(newest)}); install the newer beachmark. Nothing was changed"
        )
    return found[0]


def _upgrade(connection: Connection, scripts: Path, newest: str) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, newest)
    if connection.dialect.name == "sqlite" and connection.exec_driver_sql("PRAGMA foreign_key_check").first():
        raise StoreError(f"{connection.engine.url.database}: revisions without a case; nothing was changed")


def _copy(connection: Connection, label: str) -> None:
    """A whole copy beside the database; the caller holds the write lock, so nothing moves meanwhile."""
    if connection.dialect.name != "sqlite":
        return  # a server has its own backups
    database = Path(str(connection.engine.url.database))
    copy = database.with_name(f"{database.stem}-{label}{database.suffix}")
    partial = copy.with_suffix(".partial")
    try:
        with closing(sqlite3.connect(database)) as source, closing(sqlite3.connect(partial)) as target:
            source.backup(target)
        os.replace(partial, copy)
    except (sqlite3.Error, OSError) as error:
        partial.unlink(missing_ok=True)
        raise StoreError(f"{copy}: no copy could be made, so nothing was changed: {in_words(error)}") from error
