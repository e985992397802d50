"""The layout of the database: is it a record of ours, is it up to date, and if not, bring it there."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text

from pullwright.record.address import Address
from pullwright.record.engine import for_writing, keep_a_write_ahead_log
from pullwright.record.errors import CannotOpen, NotARecord, RecordTooNew
from pullwright.record.tables import VERSION_TABLE

STEPS = Path(__file__).parent / "migrations"
ONE_AT_A_TIME = 7_411_500_225
"""An arbitrary number that names the lock under which a server's record is brought up to date."""


def bring_up_to_date(engine: Engine, address: Address, wait_s: float, goal: str = "head") -> None:
    """Bring a new or older record to the newest layout in one transaction; refuse, untouched, what is not for us.

    Errors: NotARecord, RecordTooNew, CannotOpen (a server database that does not keep UTF-8).
    """
    with engine.connect() as connection:
        current = _looked_at(connection, address)
    if address.file is not None:
        keep_a_write_ahead_log(engine, wait_s)
    if current == _layouts()[0]:
        return
    with for_writing(engine).begin() as connection:
        if address.file is None:
            connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": ONE_AT_A_TIME})
        # Somebody else may have opened the same record, and done it, while we waited for the lock.
        _looked_at(connection, address)
        _run_steps(connection, goal)


def _looked_at(connection: Connection, address: Address) -> str | None:
    """The layout that the database has; None when it is empty."""
    if address.file is None and (encoding := connection.scalar(text("SHOW server_encoding"))) != "UTF8":
        raise CannotOpen(
            f"{address.for_people} keeps text as {encoding}, which cannot hold every letter; a record needs UTF8. "
            "Make a database with: createdb --encoding=UTF8 --template=template0 NAME"
        )
    tables = inspect(connection).get_table_names()
    if VERSION_TABLE not in tables:
        if tables:
            raise NotARecord(
                f"{address.for_people} is not a record: it holds other tables ({', '.join(sorted(tables)[:5])}). "
                "It was left untouched; give the record a file or a database of its own."
            )
        return None
    current: str | None = connection.scalar(text(f"SELECT version_num FROM {VERSION_TABLE}"))  # noqa: S608
    known = _layouts()
    if current is not None and current not in known:
        raise RecordTooNew(
            f"{address.for_people} was written by a newer Pullwright: its layout is {current}, and this program knows "
            f"{known[-1]} to {known[0]}. It was left untouched; bring this program up to date."
        )
    return current


@cache
def _layouts() -> tuple[str, ...]:
    """The layouts that this program knows, newest first."""
    from alembic.script import ScriptDirectory

    return tuple(step.revision for step in ScriptDirectory(str(STEPS)).walk_revisions())


def _run_steps(connection: Connection, goal: str) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    # A per cent sign in a path would be read as a placeholder.
    config.set_main_option("script_location", str(STEPS).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, goal)
