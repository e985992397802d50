"""The tables of the record. Every one is only ever added to: triggers of the database refuse anything else."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    DateTime,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

from pullwright.record.limits import LIMITS

VERSION_TABLE = "record_version"
"""Names the layout that a database has; its presence is what makes a database a record of ours."""


class UtcTime(TypeDecorator[datetime]):
    """An aware moment in UTC, on databases that keep time zones and on those that do not."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn an aware moment into UTC; SQLite keeps it without the zone."""
        if value is None:
            return None
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: Any | None, dialect: Dialect) -> datetime | None:
        """Give back an aware moment in UTC, whatever zone the server speaks in."""
        if value is None:
            return None
        moment: datetime = value
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)

lines = Table(
    "lines",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(LIMITS["key"].most), nullable=False),
    UniqueConstraint("key"),
)

revisions = Table(
    "revisions",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("line_id", ForeignKey("lines.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("who", String(LIMITS["who"].most), nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("why", String(LIMITS["why"].most), nullable=False),
    UniqueConstraint("line_id", "number"),
    CheckConstraint("number >= 1", name="number_from_one"),
)

titles = Table(
    "titles",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("line_id", ForeignKey("lines.id"), nullable=False),
    Column("title", String(LIMITS["title"].most), nullable=False),
    Column("who", String(LIMITS["who"].most), nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("why", String(LIMITS["why"].most), nullable=False),
    Index(None, "line_id"),
)

settings = Table(
    "settings",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String(LIMITS["setting name"].most), nullable=False),
    Column("value", Text, nullable=False),
    Column("who", String(LIMITS["who"].most), nullable=False),
    Column("at", UtcTime, nullable=False),
    Index(None, "name"),
)

lines_away = Table(
    "lines_away",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("line_id", ForeignKey("lines.id"), nullable=False),
    Column("away", Boolean, nullable=False),
    Column("who", String(LIMITS["who"].most), nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("why", String(LIMITS["why"].most), nullable=False),
    Index(None, "line_id"),
)

files = Table(
    "files",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String(LIMITS["file name"].most), nullable=False),
    Column("size", BigInteger, nullable=False),
    Column("digest", String(64), nullable=False),
)

file_parts = Table(
    "file_parts",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("file_id", ForeignKey("files.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("content", LargeBinary, nullable=False),
    UniqueConstraint("file_id", "number"),
    CheckConstraint("number >= 1", name="number_from_one"),
)

sheets = Table(
    "sheets",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(LIMITS["key"].most), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("line_id", ForeignKey("lines.id")),
    Column("file_id", ForeignKey("files.id")),
    Column("title", String(LIMITS["title"].most), nullable=False),
    Column("body", Text, nullable=False),
    Column("who", String(LIMITS["who"].most), nullable=False),
    Column("at", UtcTime, nullable=False),
    UniqueConstraint("key"),
    UniqueConstraint("file_id"),
    Index(None, "line_id"),
)

notes = Table(
    "notes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("sheet_id", ForeignKey("sheets.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("uid", String(LIMITS["note uid"].most), nullable=False),
    Column("kind", String(LIMITS["note kind"].most), nullable=False),
    Column("body", Text, nullable=False),
    Column("who", String(LIMITS["who"].most), nullable=False),
    Column("taken", UtcTime, nullable=False),
    Column("at", UtcTime, nullable=False),
    UniqueConstraint("sheet_id", "number"),
    UniqueConstraint("sheet_id", "uid"),
    CheckConstraint("number >= 1", name="number_from_one"),
)
