"""Lines, their revisions and their titles."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "v0001"
down_revision = None


def upgrade() -> None:
    """Make the three tables that keep what was written about lines."""
    op.create_table(
        "lines",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("key", sa.String(60), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_lines"),
        sa.UniqueConstraint("key", name="uq_lines_key"),
    )
    op.create_table(
        "revisions",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("line_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("why", sa.String(2_000), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_revisions"),
        sa.ForeignKeyConstraint(["line_id"], ["lines.id"], name="fk_revisions_line_id"),
        sa.UniqueConstraint("line_id", "number", name="uq_revisions_line_id_number"),
        sa.CheckConstraint("number >= 1", name="ck_revisions_number_from_one"),
    )
    op.create_table(
        "titles",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("line_id", sa.Integer, nullable=False),
        sa.Column("title", sa.String(120), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("why", sa.String(2_000), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_titles"),
        sa.ForeignKeyConstraint(["line_id"], ["lines.id"], name="fk_titles_line_id"),
    )
    op.create_index("ix_titles_line_id", "titles", ["line_id"])
