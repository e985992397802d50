"""Runs the steps on the connection, and in the transaction, that the record hands in."""

from __future__ import annotations

from alembic import context

from pullwright.record.tables import VERSION_TABLE, metadata


def run() -> None:
    """Bring the database of the handed-in connection to the wished layout."""
    context.configure(
        connection=context.config.attributes["connection"],
        target_metadata=metadata,
        version_table=VERSION_TABLE,
    )
    context.run_migrations()


# Alembic loads this file under the name env_py; a checker that merely imports the package must not run it.
if __name__ == "env_py":
    run()
