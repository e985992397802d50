"""What databases and disks answer when something fails, turned into words and a remedy at the room's edge."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as NoFreeConnection

from pullwright.record.address import Address
from pullwright.record.errors import (
    CannotOpen,
    RecordBusy,
    RecordDamaged,
    RecordError,
    RecordFull,
    RecordReadOnly,
    RecordUnreachable,
)

KEPT = "All that was saved before is still there, and nothing half-written was kept."


@dataclass(frozen=True, slots=True)
class Trouble:
    """One kind of failure: how SQLite, PostgreSQL and the system name it, and what people are told."""

    error: type[RecordError]
    sqlite: tuple[str, ...]
    """Beginnings of SQLite's result names."""
    postgresql: tuple[str, ...]
    """Beginnings of SQLSTATE, the five-character codes of the SQL standard (PostgreSQL manual, appendix A)."""
    system: tuple[int, ...]
    happened: str
    remedy: str


TROUBLES: tuple[Trouble, ...] = (
    Trouble(
        RecordFull,
        ("SQLITE_FULL",),
        ("53100", "53200"),
        (errno.ENOSPC, errno.EDQUOT, errno.EFBIG),
        "No room is left for",
        f"{KEPT} Free some space, then save again.",
    ),
    Trouble(
        RecordReadOnly,
        ("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_AUTH"),
        ("25006", "42501"),
        (errno.EACCES, errno.EPERM, errno.EROFS),
        "There is no right to write",
        f"{KEPT} Get the right to write there (for a file: to the file and to its folder), or name another place.",
    ),
    Trouble(
        RecordBusy,
        ("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_PROTOCOL"),
        ("40001", "40P01", "55P03", "57014"),
        (),
        "Another program keeps locked",
        f"{KEPT} Save again in a moment; if it stays so, close the program that holds it.",
    ),
    Trouble(
        RecordUnreachable,
        (),
        ("08", "28", "3D", "53300", "57P"),
        (),
        "The server does not answer or does not let us in:",
        "Check that it runs, and that the name, the password and the database in the address are right.",
    ),
    Trouble(
        CannotOpen,
        ("SQLITE_CANTOPEN",),
        (),
        (errno.ENOENT, errno.ENOTDIR, errno.EISDIR, errno.ELOOP, errno.ENAMETOOLONG),
        "There is no opening",
        "Check that the folder is there and that you have the right to read and write in it.",
    ),
    Trouble(
        RecordDamaged,
        ("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_IOERR"),
        ("58030", "XX001", "XX002"),
        (errno.EIO,),
        "The disk fails or is full under, or the file is damaged:",
        "Check the disk and the room on it; if that does not help, put the latest backup in its place.",
    ),
)
UNNAMED = Trouble(
    RecordError, (), (), (), "The database refused", f"{KEPT} Try again; if it stays so, say what it said."
)


@contextmanager
def told_in_words(address: Address) -> Iterator[None]:
    """Let nothing but a RecordError leave this room when the database or the disk fails."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error, OSError) as error:
        raise explained(error, address) from error


def explained(error: Exception, address: Address) -> RecordError:
    """Find the row of the table that fits, and say where, what to do, and what was answered."""
    trouble = _recognised(error)
    cause = error.orig if isinstance(error, DBAPIError) and error.orig is not None else error
    answer = " ".join(address.without_secrets(str(cause)).split())
    return trouble.error(f"{trouble.happened} {address.for_people}. {trouble.remedy} (It said: {answer})")


def _recognised(error: Exception) -> Trouble:
    cause = error.orig if isinstance(error, DBAPIError) and error.orig is not None else error
    sqlite_name = getattr(cause, "sqlite_errorname", None) or ""
    state = getattr(cause, "sqlstate", None) or ""
    if isinstance(error, NoFreeConnection):
        state = "55P03"
    elif not sqlite_name and not state and type(cause).__module__.startswith("psycopg"):
        # The client library gives no state when there is no server to give one.
        state = "08"
    number = cause.errno if isinstance(cause, OSError) else None
    for trouble in TROUBLES:
        if sqlite_name.startswith(trouble.sqlite) or state.startswith(trouble.postgresql) or number in trouble.system:
            return trouble
    return UNNAMED
