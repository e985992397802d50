"""The database itself refuses to change or remove what was written."""

from __future__ import annotations

from alembic import op

revision = "v0003"
down_revision = "v0002"

ALREADY_THERE = {
    "lines": "id = NEW.id OR key = NEW.key",
    "revisions": "id = NEW.id OR (line_id = NEW.line_id AND number = NEW.number)",
    "titles": "id = NEW.id",
    "settings": "id = NEW.id",
}
"""Per table, which kept row a new one would take the place of."""


def upgrade() -> None:
    """Put the guards on every table."""
    dialect = op.get_context().dialect.name
    if dialect == "postgresql":
        op.execute(
            "CREATE FUNCTION record_only_adds() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
            "RAISE EXCEPTION '% are only ever added, never changed or removed', TG_TABLE_NAME "
            "USING ERRCODE = 'restrict_violation'; END $$"
        )
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
