"""Revisions cannot be rewritten through SQL, and a rewriting behind the triggers is found."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from pathlib import Path

import pytest

from beachmark.store import StoreError, open_store

TRIGGERS = ("revisions_never_changed", "revisions_never_removed", "revisions_never_replaced")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Three cases with three revisions each."""
    store = open_store(tmp_path)
    for number in (1, 2, 3):
        store.add(title=f"Case {number}", reference="r", document={"a": 1}, who="A", why="first")
        for step in (2, 3):
            store.change(number, title=f"Case {number}", reference="r", document={"a": step}, who="B", why="more")
    assert store.verify() == []
    store.close()
    return tmp_path


def test_hash_is_what_is_documented(home: Path) -> None:
    """Worked out here from the stored columns alone, without the project's code."""
    connection = sqlite3.connect(home / "beachmark.db")
    rows = connection.execute(
        "SELECT previous_hash, number, revision, who, written, why, title, reference, state, document, hash "
        "FROM revisions ORDER BY number, revision"
    ).fetchall()
    assert len(rows) == 9
    for *content, found in rows:
        assert hashlib.sha256(json.dumps(content, separators=(",", ":")).encode()).hexdigest() == found
    assert [row[0] for row in rows[:3]] == ["0" * 64, rows[0][-1], rows[1][-1]]
    connection.close()


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("UPDATE revisions SET title = 'x' WHERE number = 2 AND revision = 2", "never changed"),
        ("UPDATE OR REPLACE revisions SET revision = 1 WHERE number = 2 AND revision = 2", "never changed"),
        ("DELETE FROM revisions WHERE number = 2 AND revision = 3", "never removed"),
        ("DELETE FROM revisions", "never removed"),
        ("INSERT OR REPLACE INTO revisions SELECT * FROM revisions WHERE number = 2", "never replaced"),
        (
            "INSERT INTO revisions SELECT * FROM revisions WHERE number = 2 "
            "ON CONFLICT (number, revision) DO UPDATE SET title = 'x'",
            "never (replaced|changed)",
        ),
    ],
)
def test_triggers_refuse(home: Path, sql: str, words: str) -> None:
    connection = sqlite3.connect(home / "beachmark.db")
    before = connection.execute("SELECT * FROM revisions").fetchall()
    with pytest.raises(sqlite3.IntegrityError, match=words):
        connection.execute(sql)
    connection.rollback()
    assert connection.execute("SELECT * FROM revisions").fetchall() == before
    connection.close()


CHANGED = "case 2, revision 2: it was changed after it was stored"


@pytest.mark.parametrize(
    ("sql", "expected"),
    [
        *(
            (f"UPDATE revisions SET {column} = 'x' WHERE number = 2 AND revision = 2", [CHANGED])
            for column in ("who", "written", "why", "title", "reference", "state", "document")
        ),
        ("UPDATE revisions SET document = x'00ff' WHERE number = 2 AND revision = 2", [CHANGED]),
        (
            "UPDATE revisions SET hash = printf('%064d', 7) WHERE number = 2 AND revision = 2",
            [CHANGED, "case 2, revision 3: it does not follow from the revision before it"],
        ),
        (
            "UPDATE revisions SET previous_hash = printf('%064d', 7) WHERE number = 2 AND revision = 2",
            ["case 2, revision 2: it does not follow", CHANGED],
        ),
        (
            "DELETE FROM revisions WHERE number = 2 AND revision = 2",
            ["case 2, revision 3: revision 2 should come before it and is missing"],
        ),
        (
            "DELETE FROM revisions WHERE number = 2 AND revision = 1",
            ["case 2, revision 2: revision 1 should come before it and is missing"],
        ),
        (
            "DELETE FROM revisions WHERE number = 2 AND revision = 3",
            ["case 2: the list says revision 3, its history ends at 2"],
        ),
        ("DELETE FROM revisions WHERE number = 2", ["case 2: all its revisions are missing"]),
        ("DELETE FROM cases WHERE number = 2", ["case 2: it has revisions, but it is not in the list of cases"]),
        (
            "DELETE FROM revisions WHERE number = 2; DELETE FROM cases WHERE number = 2",
            ["case 2: it is missing, though later cases are there"],
        ),
        (
            "UPDATE cases SET hash = printf('%064d', 7) WHERE number = 2",
            ["case 2: the hash in the list is not the hash of its last revision"],
        ),
        (
            "UPDATE revisions SET number = 4 WHERE number = 3; UPDATE cases SET number = 4 WHERE number = 3",
            ["case 4, revision 1: it was", "case 4, revision 2: it was", "case 4, revision 3: it was", "case 3: it is"],
        ),
    ],
)
def test_tampering_is_found(home: Path, sql: str, expected: list[str]) -> None:
    tamper(home, sql)
    found = open_store(home).verify()
    assert len(found) == len(expected), found
    for line, start in zip(found, expected, strict=True):
        assert line.startswith(start)


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("UPDATE revisions SET document = '{' WHERE number = 2", "case 2, revision 3: its document cannot be read"),
        ("UPDATE revisions SET document = '[1]' WHERE number = 2", "case 2, revision 3: its document cannot be read"),
        ("DELETE FROM revisions WHERE number = 2", "case 2: its revisions are gone"),
        ("UPDATE revisions SET title = CAST(x'ff' AS TEXT) WHERE number = 2", "beachmark.db: "),
    ],
)
def test_a_case_that_was_spoiled_is_told_in_words(home: Path, sql: str, words: str) -> None:
    tamper(home, sql)
    store = open_store(home)
    with pytest.raises(StoreError, match=words):
        store.get(2)
    assert store.get(1).document == {"a": 3}


def tamper(home: Path, sql: str) -> None:
    connection = sqlite3.connect(home / "beachmark.db")
    for trigger in TRIGGERS:
        connection.execute(f"DROP TRIGGER {trigger}")
    connection.executescript(sql)
    connection.commit()
    connection.close()
