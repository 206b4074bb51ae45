"""A database from nothing, from version 1 and from the future; a copy before every change of the tables."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, create_engine

from beachmark.store import StoreError, open_store
from beachmark.store.engine import engine_for
from beachmark.store.migrate import SCRIPTS, bring_up_to_date
from beachmark.store.tables import NEWEST, metadata

# A version 1 database as it was written, never to be edited: every later version must open it.
# The hashes were made with printf and sha256sum from the list that `canonical.HASHED` documents.
HASH_1 = "60d63430a29ddd3939c52371f9865b20d75a592b51cefd8f6f6f866f50d665af"
HASH_2 = "0f1295802b48ba83a817b2d4da9d0c5f434a9709541854b17a2fdd0a60d78732"
VERSION_1 = f"""
CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL,
    CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num));
INSERT INTO alembic_version VALUES ('0001');
CREATE TABLE cases (number INTEGER NOT NULL, revision INTEGER NOT NULL, hash VARCHAR(64) NOT NULL, PRIMARY KEY (number),
    CONSTRAINT cases_number_from_1 CHECK (number >= 1), CONSTRAINT cases_revision_from_1 CHECK (revision >= 1),
    CONSTRAINT cases_hash_whole CHECK (length(hash) = 64));
CREATE TABLE revisions (number INTEGER NOT NULL, revision INTEGER NOT NULL, who TEXT NOT NULL,
    written VARCHAR(20) NOT NULL, why TEXT NOT NULL, title TEXT NOT NULL, reference TEXT NOT NULL, state TEXT NOT NULL,
    previous_hash VARCHAR(64) NOT NULL, hash VARCHAR(64) NOT NULL, document TEXT NOT NULL,
    PRIMARY KEY (number, revision),
    CONSTRAINT revisions_of_a_case FOREIGN KEY(number) REFERENCES cases (number),
    CONSTRAINT revisions_revision_from_1 CHECK (revision >= 1),
    CONSTRAINT revisions_hash_whole CHECK (length(hash) = 64),
    CONSTRAINT revisions_previous_hash_whole CHECK (length(previous_hash) = 64));
CREATE TRIGGER revisions_never_changed BEFORE UPDATE ON revisions
    BEGIN SELECT RAISE(ABORT, 'a stored revision is never changed'); END;
CREATE TRIGGER revisions_never_removed BEFORE DELETE ON revisions
    BEGIN SELECT RAISE(ABORT, 'a stored revision is never removed'); END;
CREATE TRIGGER revisions_never_replaced BEFORE INSERT ON revisions
    WHEN EXISTS (SELECT 1 FROM revisions WHERE number = NEW.number AND revision = NEW.revision)
    BEGIN SELECT RAISE(ABORT, 'a stored revision is never replaced'); END;
INSERT INTO cases VALUES (1, 2, '{HASH_2}');
INSERT INTO revisions VALUES (1, 1, 'A. Keeper', '2031-04-05T06:07:08Z', 'first report', 'Vibration at 60 km/h',
    'WO-17', 'open', '{"0" * 64}', '{HASH_1}', '{{"title":"Vibration at 60 km/h"}}');
INSERT INTO revisions VALUES (1, 2, 'A. Keeper', '2031-04-06T06:07:08Z', 'shaft is out', 'Vibration at 60 km/h',
    'WO-17', 'open', '{HASH_1}', '{HASH_2}', '{{"title":"Vibration at 60 km/h","history":[]}}');
"""
SCRIPT_3 = """
import sqlalchemy as sa
from alembic import op
revision, down_revision = "0003", "0002"
def upgrade():
    with op.batch_alter_table("cases", recreate="always") as table:
        table.add_column(sa.Column("vehicle", sa.Text, nullable=False, server_default=""))
"""
MOMENT = "2031-05-01T00:00:00Z"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home with a version 1 database."""
    connection = sqlite3.connect(tmp_path / "beachmark.db")
    connection.executescript(VERSION_1)
    connection.close()
    return tmp_path


def test_from_nothing(tmp_path: Path) -> None:
    store = open_store(tmp_path / "new" / "home")
    assert store.empty()
    store.close()
    assert [file.name for file in (tmp_path / "new" / "home").iterdir()] == ["beachmark.db"]
    assert query(tmp_path / "new" / "home" / "beachmark.db", "PRAGMA journal_mode") == [("wal",)]


def test_from_version_1(home: Path) -> None:
    store = open_store(home)
    case = store.get(1)
    assert (case.revision, case.title, case.reference) == (2, "Vibration at 60 km/h", "WO-17")
    assert case.document == {"title": "Vibration at 60 km/h", "history": []}
    assert (case.created, case.changed) == ("2031-04-05T06:07:08Z", "2031-04-06T06:07:08Z")
    assert [line.hash for line in store.history(1)] == [HASH_1, HASH_2]
    assert store.verify() == []
    changed = store.change(1, title="Vibration", reference="WO-17", document={}, who="B", why="c", base_revision=2)
    assert changed.revision == 3
    assert store.history(1)[2].previous_hash == HASH_2
    assert store.verify() == []


def test_version_1_gets_room_for_a_replay_and_keeps_all_else(home: Path) -> None:
    before = (
        query(home / "beachmark.db", "SELECT * FROM revisions"),
        query(home / "beachmark.db", "SELECT * FROM cases"),
    )
    store = open_store(home)
    assert store.replay_of(1) is None
    store.keep_replay(1, block=b"peaks", seed=1, draws=8, digest="d")
    assert store.replay_mark(1)
    store.close()
    after = query(home / "beachmark.db", "SELECT * FROM revisions"), query(home / "beachmark.db", "SELECT * FROM cases")
    assert after == before
    with pytest.raises(sqlite3.DatabaseError, match="never changed"):
        execute(home / "beachmark.db", "UPDATE revisions SET title = 'x'")


def test_newest_migration_makes_the_tables_of_today(tmp_path: Path) -> None:
    """The comparison of Alembic does not see CHECK constraints, so the written SQL is compared as well."""
    config = Config()
    config.set_main_option("script_location", str(SCRIPTS))
    assert ScriptDirectory.from_config(config).get_current_head() == NEWEST
    open_store(tmp_path).close()
    migrated = create_engine(f"sqlite:///{tmp_path / 'beachmark.db'}")
    with migrated.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    created = create_engine(f"sqlite:///{tmp_path / 'today.db'}")
    metadata.create_all(created)
    written = "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name <> 'alembic_version' ORDER BY name"
    today = query(tmp_path / "today.db", written)
    assert query(tmp_path / "beachmark.db", written) == today
    assert [name for name, _ in today] == ["cases", "replays", "revisions"]
    assert "revisions_hash_whole" in str(today[2][1])


def test_later_version_copies_first_then_changes(home: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    migrate_to_3(home, scripts_with(tmp_path_factory.mktemp("scripts"), SCRIPT_3))
    copy = home / "beachmark-version-0001-2031-05-01T000000Z.db"
    assert query(copy, "SELECT version_num FROM alembic_version") == [("0001",)]
    assert query(copy, "SELECT * FROM cases") == [(1, 2, HASH_2)]
    assert query(copy, "SELECT hash FROM revisions") == [(HASH_1,), (HASH_2,)]
    now = home / "beachmark.db"
    assert query(now, "SELECT version_num FROM alembic_version") == [("0003",)]
    assert query(now, "SELECT number, revision, hash, vehicle FROM cases") == [(1, 2, HASH_2, "")]
    assert query(now, "SELECT count(*) FROM sqlite_master WHERE type = 'trigger'") == [(3,)]
    assert query(now, "PRAGMA foreign_key_check") == []


def test_failing_migration_changes_nothing(home: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    scripts = scripts_with(
        tmp_path_factory.mktemp("scripts"), SCRIPT_3 + "    op.execute('INSERT INTO nowhere VALUES (1)')\n"
    )
    with pytest.raises(StoreError, match="no such table: nowhere"):
        migrate_to_3(home, scripts)
    assert query(home / "beachmark.db", "SELECT * FROM cases") == [(1, 2, HASH_2)]
    store = open_store(home)
    assert store.verify() == []


def test_no_copy_no_change(home: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    (home / "beachmark-version-0001-2031-05-01T000000Z.db").mkdir()
    with pytest.raises(StoreError, match="no copy could be made, so nothing was changed"):
        migrate_to_3(home, scripts_with(tmp_path_factory.mktemp("scripts"), SCRIPT_3))
    assert query(home / "beachmark.db", "SELECT version_num FROM alembic_version") == [("0001",)]
    assert list(home.glob("*.partial")) == []


def test_up_to_date_database_is_not_copied(home: Path) -> None:
    open_store(home).close()
    copies = [file.name for file in home.glob("beachmark-version-*.db")]
    assert len(copies) == 1, "the one made before the tables of version 1 were changed"
    open_store(home).close()
    open_store(home).close()
    assert sorted(file.name for file in home.glob("*.db")) == [*copies, "beachmark.db"]


def test_newer_database_is_refused_untouched(home: Path) -> None:
    execute(home / "beachmark.db", "UPDATE alembic_version SET version_num = '0099'")
    with pytest.raises(StoreError, match=r"written by a newer beachmark .*version 99.*install the newer beachmark"):
        open_store(home)
    assert query(home / "beachmark.db", "SELECT version_num FROM alembic_version") == [("0099",)]


@pytest.mark.parametrize("spoil", ["UPDATE alembic_version SET version_num = 'a3f'", "DELETE FROM alembic_version"])
def test_unknown_version_is_refused(home: Path, spoil: str) -> None:
    execute(home / "beachmark.db", spoil)
    with pytest.raises(StoreError, match="no beachmark wrote that"):
        open_store(home)


def test_database_of_another_program_is_refused(tmp_path: Path) -> None:
    execute(tmp_path / "beachmark.db", "CREATE TABLE recipes (name TEXT)")
    with pytest.raises(StoreError, match="database of another program"):
        open_store(tmp_path)
    assert query(tmp_path / "beachmark.db", "SELECT name FROM sqlite_master") == [("recipes",)]


def scripts_with(folder: Path, third: str) -> Path:
    scripts = folder / "migrations"
    shutil.copytree(SCRIPTS, scripts)
    (scripts / "versions" / "0003_test.py").write_text(third, encoding="utf-8")
    return scripts


def migrate_to_3(home: Path, scripts: Path) -> None:
    engine = engine_for(URL.create("sqlite", database=str(home / "beachmark.db")))
    try:
        bring_up_to_date(engine, moment=MOMENT, scripts=scripts, newest="0003")
    finally:
        engine.dispose()


def query(file: Path, sql: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(file)
    try:
        return connection.execute(sql).fetchall()
    finally:
        connection.close()


def execute(file: Path, sql: str) -> None:
    connection = sqlite3.connect(file)
    connection.execute(sql)
    connection.commit()
    connection.close()
