"""Sheets with their notes and files, and lines that were put away."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "v0004"
down_revision = "v0003"

ALREADY_THERE = {
    "lines_away": "id = NEW.id",
    "files": "id = NEW.id",
    "file_parts": "id = NEW.id OR (file_id = NEW.file_id AND number = NEW.number)",
    "sheets": "id = NEW.id OR key = NEW.key OR file_id = NEW.file_id",
    "notes": "id = NEW.id OR (sheet_id = NEW.sheet_id AND (number = NEW.number OR uid = NEW.uid))",
}
"""Per table, which kept row a new one would take the place of."""


def upgrade() -> None:
    """Make the tables, and put the same guards on them as on the earlier ones."""
    op.create_table(
        "lines_away",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("line_id", sa.Integer, nullable=False),
        sa.Column("away", sa.Boolean, nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("why", sa.String(2_000), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_lines_away"),
        sa.ForeignKeyConstraint(["line_id"], ["lines.id"], name="fk_lines_away_line_id"),
    )
    op.create_index("ix_lines_away_line_id", "lines_away", ["line_id"])
    op.create_table(
        "files",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("size", sa.BigInteger, nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_files"),
    )
    op.create_table(
        "file_parts",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("file_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_file_parts"),
        sa.ForeignKeyConstraint(["file_id"], ["files.id"], name="fk_file_parts_file_id"),
        sa.UniqueConstraint("file_id", "number", name="uq_file_parts_file_id_number"),
        sa.CheckConstraint("number >= 1", name="ck_file_parts_number_from_one"),
    )
    op.create_table(
        "sheets",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("key", sa.String(60), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("line_id", sa.Integer, nullable=True),
        sa.Column("file_id", sa.Integer, nullable=True),
        sa.Column("title", sa.String(120), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sheets"),
        sa.ForeignKeyConstraint(["line_id"], ["lines.id"], name="fk_sheets_line_id"),
        sa.ForeignKeyConstraint(["file_id"], ["files.id"], name="fk_sheets_file_id"),
        sa.UniqueConstraint("key", name="uq_sheets_key"),
        sa.UniqueConstraint("file_id", name="uq_sheets_file_id"),
    )
    op.create_index("ix_sheets_line_id", "sheets", ["line_id"])
    op.create_table(
        "notes",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("sheet_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("uid", sa.String(80), nullable=False),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("taken", sa.DateTime(timezone=True), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_notes"),
        sa.ForeignKeyConstraint(["sheet_id"], ["sheets.id"], name="fk_notes_sheet_id"),
        sa.UniqueConstraint("sheet_id", "number", name="uq_notes_sheet_id_number"),
        sa.UniqueConstraint("sheet_id", "uid", name="uq_notes_sheet_id_uid"),
        sa.CheckConstraint("number >= 1", name="ck_notes_number_from_one"),
    )
    dialect = op.get_context().dialect.name
    for table, same_row in ALREADY_THERE.items():
        for statement in GUARDS[dialect]:
            op.execute(statement.format(table=table, same_row=same_row))


SQLITE_REFUSES = "SELECT RAISE(ABORT, '{table} are only ever added, never changed or removed')"
GUARDS = {
    "sqlite": (
        "CREATE TRIGGER {table}_never_change BEFORE UPDATE ON {table} BEGIN " + SQLITE_REFUSES + "; END",
        "CREATE TRIGGER {table}_never_go BEFORE DELETE ON {table} BEGIN " + SQLITE_REFUSES + "; END",
        # INSERT OR REPLACE removes the old row without asking the DELETE trigger.
        "CREATE TRIGGER {table}_never_replace BEFORE INSERT ON {table} "  # noqa: S608  (our own table names)
        "WHEN EXISTS (SELECT 1 FROM {table} WHERE {same_row}) BEGIN " + SQLITE_REFUSES + "; END",
    ),
    "postgresql": (
        "CREATE TRIGGER {table}_never_change BEFORE UPDATE OR DELETE ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION record_only_adds()",
        "CREATE TRIGGER {table}_never_emptied BEFORE TRUNCATE ON {table} "
        "FOR EACH STATEMENT EXECUTE FUNCTION record_only_adds()",
    ),
}
