"""The newest replay of a case, kept beside its revisions; it is computed anew at will, so it may be replaced."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "replays",
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("made", sa.String(20), nullable=False),
        sa.Column("seed", sa.BigInteger, nullable=False),
        sa.Column("draws", sa.Integer, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("mark", sa.String(64), nullable=False),
        sa.Column("block", sa.LargeBinary, nullable=False),
        sa.ForeignKeyConstraint(["number"], ["cases.number"], name="replays_of_a_case", ondelete="CASCADE"),
        sa.CheckConstraint("length(mark) = 64", name="replays_mark_whole"),
    )
