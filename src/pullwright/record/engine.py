"""One engine for a file and for a server: the same transactions, waits and guarantees on both."""

from __future__ import annotations

import sqlite3
import time
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event

from pullwright.record.address import Address

WRITES = "record_writes"
RETRY_S = 0.02


def make_engine(address: Address, wait_s: float) -> Engine:
    """Make the engine; nothing is opened yet. `wait_s` (s) bounds every wait for a lock, a connection or a server."""
    shared: dict[str, Any] = {"hide_parameters": True, "pool_timeout": wait_s}
    if address.file is not None:
        engine = create_engine(address.url, connect_args={"timeout": wait_s}, **shared)
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    options = {"connect_timeout": max(2, round(wait_s)), "client_encoding": "utf8", "application_name": "pullwright"}
    engine = create_engine(address.url, connect_args=options, pool_pre_ping=True, **shared)

    @event.listens_for(engine, "connect")
    def bound_the_waits(connection: Any, _entry: object) -> None:
        connection.execute(f"SET lock_timeout = {max(1, round(wait_s * 1000))}")
        connection.commit()

    return engine


def for_writing(engine: Engine) -> Engine:
    """The same engine, whose transactions take the right to write when they begin."""
    return engine.execution_options(**{WRITES: True})


def keep_a_write_ahead_log(engine: Engine, wait_s: float) -> None:
    """Let people read while somebody writes (SQLite's WAL). A file system that cannot do it keeps its old journal."""
    deadline = time.monotonic() + wait_s
    raw = engine.raw_connection()
    try:
        connection: Any = raw.driver_connection
        while connection.execute("PRAGMA journal_mode").fetchone() != ("wal",):
            try:
                connection.execute("PRAGMA journal_mode = WAL")
                return
            except sqlite3.OperationalError as error:
                # The switch does not wait for others by itself, unlike every later lock.
                if not (error.sqlite_errorname.startswith("SQLITE_BUSY") and time.monotonic() < deadline):
                    raise
                time.sleep(RETRY_S)
    finally:
        raw.close()


def _prepare_sqlite(connection: sqlite3.Connection, _entry: object) -> None:
    # Transactions begin where this room says so, not where the driver guesses.
    connection.isolation_level = None
    connection.execute("PRAGMA foreign_keys = ON")
    # FULL, not NORMAL: with a write-ahead log NORMAL may lose the last saves in a power cut, and "saved" has to mean
    # saved. A save costs one flush of the disk, and people do not save often enough to notice.
    connection.execute("PRAGMA synchronous = FULL")


def _begin_sqlite(connection: Connection) -> None:
    # A writer asks for the lock at once: asking later, after it has read, could fail halfway.
    writes = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
