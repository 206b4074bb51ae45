"""Cases and their revisions; revisions can be added, never changed or removed.

The tables are written out here and not taken from `tables`, which moves on while this file must not.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

# SQLite: INSERT OR REPLACE removes the old row without firing a delete trigger, so adding is watched as well.
# PostgreSQL has no such statement, and its TRUNCATE fires none of the row triggers.
SQLITE = (
    "CREATE TRIGGER revisions_never_changed BEFORE UPDATE ON revisions "
    "BEGIN SELECT RAISE(ABORT, 'a stored revision is never changed'); END",
    "CREATE TRIGGER revisions_never_removed BEFORE DELETE ON revisions "
    "BEGIN SELECT RAISE(ABORT, 'a stored revision is never removed'); END",
    "CREATE TRIGGER revisions_never_replaced BEFORE INSERT ON revisions "
    "WHEN EXISTS (SELECT 1 FROM revisions WHERE number = NEW.number AND revision = NEW.revision) "
    "BEGIN SELECT RAISE(ABORT, 'a stored revision is never replaced'); END",
)
POSTGRESQL = (
    "CREATE FUNCTION refuse_change_of_revisions() RETURNS trigger LANGUAGE plpgsql AS "
    "$$ BEGIN RAISE EXCEPTION 'a stored revision is never changed or removed'; END $$",
    "CREATE TRIGGER revisions_never_changed BEFORE UPDATE OR DELETE ON revisions "
    "FOR EACH ROW EXECUTE FUNCTION refuse_change_of_revisions()",
    "CREATE TRIGGER revisions_never_emptied BEFORE TRUNCATE ON revisions "
    "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_revisions()",
)


def upgrade() -> None:
    op.create_table(
        "cases",
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.CheckConstraint("number >= 1", name="cases_number_from_1"),
        sa.CheckConstraint("revision >= 1", name="cases_revision_from_1"),
        sa.CheckConstraint("length(hash) = 64", name="cases_hash_whole"),
    )
    op.create_table(
        "revisions",
        sa.Column("number", sa.Integer, nullable=False, primary_key=True, autoincrement=False),
        sa.Column("revision", sa.Integer, nullable=False, primary_key=True, autoincrement=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("written", sa.String(20), nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("reference", sa.Text, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("previous_hash", sa.String(64), nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.ForeignKeyConstraint(["number"], ["cases.number"], name="revisions_of_a_case"),
        sa.CheckConstraint("revision >= 1", name="revisions_revision_from_1"),
        sa.CheckConstraint("length(hash) = 64", name="revisions_hash_whole"),
        sa.CheckConstraint("length(previous_hash) = 64", name="revisions_previous_hash_whole"),
    )
    for statement in POSTGRESQL if op.get_context().dialect.name == "postgresql" else SQLITE:
        op.execute(statement)
