"""The tables as they are today, valid on SQLite and PostgreSQL alike.

A change here needs a migration, a new `NEWEST`, and nothing else; a test compares the two. The triggers that
keep revisions append-only stand in the migrations alone, SQLAlchemy has no words for them.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
)

NEWEST = "0002"  # the version that the newest file in `migrations/versions` makes

metadata = MetaData()

cases = Table(
    "cases",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("revision", Integer, nullable=False),  # the current one, and its hash: a chain cut at its end is noticed
    Column("hash", String(64), nullable=False),
    CheckConstraint("number >= 1", name="cases_number_from_1"),
    CheckConstraint("revision >= 1", name="cases_revision_from_1"),
    CheckConstraint("length(hash) = 64", name="cases_hash_whole"),
)

revisions = Table(
    "revisions",
    metadata,
    Column("number", Integer, nullable=False, primary_key=True, autoincrement=False),
    Column("revision", Integer, nullable=False, primary_key=True, autoincrement=False),
    Column("who", Text, nullable=False),
    Column("written", String(20), nullable=False),
    Column("why", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("reference", Text, nullable=False),
    Column("state", Text, nullable=False),
    Column("previous_hash", String(64), nullable=False),
    Column("hash", String(64), nullable=False),
    Column("document", Text, nullable=False),  # last: a list of cases then never reads through the documents
    ForeignKeyConstraint(["number"], ["cases.number"], name="revisions_of_a_case"),
    CheckConstraint("revision >= 1", name="revisions_revision_from_1"),
    CheckConstraint("length(hash) = 64", name="revisions_hash_whole"),
    CheckConstraint("length(previous_hash) = 64", name="revisions_previous_hash_whole"),
)

# What was computed, not what was recorded: one replay for a case, and the next one takes its place.
replays = Table(
    "replays",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("made", String(20), nullable=False),
    Column("seed", BigInteger, nullable=False),
    Column("draws", Integer, nullable=False),
    Column("digest", Text, nullable=False),  # of what it was made from
    Column("mark", String(64), nullable=False),  # SHA-256 of the block: tells two replays apart without reading them
    Column("block", LargeBinary, nullable=False),
    ForeignKeyConstraint(["number"], ["cases.number"], name="replays_of_a_case", ondelete="CASCADE"),
    CheckConstraint("length(mark) = 64", name="replays_mark_whole"),
)
