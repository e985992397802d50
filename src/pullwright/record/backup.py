"""A backup taken while people go on working, in one file that can be opened like any record."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from sqlalchemy import Engine

from pullwright.record.address import Address, read_address
from pullwright.record.errors import BackupRefused, RecordDamaged
from pullwright.record.trouble import told_in_words


def write_backup(engine: Engine, source: Address, path: Path) -> Path:
    """Copy the record as it stands at this moment, check the copy, and only then give it its name."""
    if source.file is None:
        raise BackupRefused(
            f"{source.for_people} is on a PostgreSQL server, which makes its own backups while it runs: "
            "pg_dump --format=custom --file=shop.dump NAME, and pg_restore to put it back."
        )
    target = path.absolute()
    if not target.parent.is_dir():
        raise BackupRefused(f"There is no folder {target.parent}; make it first, or name another.")
    if target.exists():
        raise BackupRefused(f"There is something at {target} already, and it was left as it is; name another file.")
    with told_in_words(read_address(target)):
        number, name = tempfile.mkstemp(prefix=f"{target.name}.", suffix=".part", dir=target.parent)
        part = Path(name)
        try:
            os.close(number)
            _copy(engine, source, part)
            _flush(part)
            part.replace(target)
            _flush(target.parent)
        finally:
            part.unlink(missing_ok=True)
    return target


def _copy(engine: Engine, source: Address, part: Path) -> None:
    raw = engine.raw_connection()
    try:
        with closing(sqlite3.connect(part)) as copy:
            # One reading transaction from first page to last: people may save meanwhile, and none of that gets in half.
            connection: sqlite3.Connection = raw.driver_connection  # type: ignore[assignment]
            connection.backup(copy)
            # Without a write-ahead log the copy is one file, whole in itself.
            copy.execute("PRAGMA journal_mode = DELETE")
            found = copy.execute("PRAGMA integrity_check").fetchone()[0]
    finally:
        raw.close()
    if found != "ok":
        raise RecordDamaged(
            f"The backup was not made: {source.for_people} is damaged ({found}). "
            "Keep it as it is, and put the latest good backup in its place."
        )


def _flush(path: Path) -> None:
    """Have the disk write it down now: a backup that a power cut empties is none."""
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)
