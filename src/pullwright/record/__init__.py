"""The record: what people wrote about their lines, append-only, in SQLite or PostgreSQL."""

from pullwright.record.entries import LineEntry, Revision, SettingEntry, Title
from pullwright.record.errors import (
    BackupRefused,
    CannotOpen,
    InvalidEntry,
    LineExists,
    NotARecord,
    NothingChanged,
    RecordBusy,
    RecordClosed,
    RecordDamaged,
    RecordError,
    RecordFull,
    RecordReadOnly,
    RecordTooNew,
    RecordUnreachable,
    StaleRevision,
    UnknownLine,
    UnknownRevision,
)
from pullwright.record.record import Record

__all__ = [
    "BackupRefused",
    "CannotOpen",
    "InvalidEntry",
    "LineEntry",
    "LineExists",
    "NotARecord",
    "NothingChanged",
    "Record",
    "RecordBusy",
    "RecordClosed",
    "RecordDamaged",
    "RecordError",
    "RecordFull",
    "RecordReadOnly",
    "RecordTooNew",
    "RecordUnreachable",
    "Revision",
    "SettingEntry",
    "StaleRevision",
    "Title",
    "UnknownLine",
    "UnknownRevision",
]
