"""Settings: every value that a name was ever given stays in its history; the last one holds."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, insert, select

from pullwright.record.entries import SettingEntry
from pullwright.record.limits import checked, checked_value
from pullwright.record.tables import settings


def current(connection: Connection, name: str, default: Any) -> Any:
    """The value that holds now, or `default` when the name was never given one."""
    wanted = select(settings.c.value).where(settings.c.name == checked("setting name", name))
    written: str | None = connection.scalar(wanted.order_by(settings.c.id.desc()).limit(1))
    return default if written is None else json.loads(written)


def add(connection: Connection, name: str, value: Any, who: str) -> SettingEntry:
    """Give a setting its next value."""
    written = checked_value(value)
    # What is handed back is what a later reader gets, not the caller's own list, which may still change.
    new = SettingEntry(checked("setting name", name), json.loads(written), checked("who", who), datetime.now(UTC))
    connection.execute(insert(settings).values(name=new.name, value=written, who=new.who, at=new.when))
    return new


def history(connection: Connection, name: str) -> tuple[SettingEntry, ...]:
    """Every value that the setting was given, oldest first; empty when it never was."""
    name = checked("setting name", name)
    wanted = select(settings.c.value, settings.c.who, settings.c.at).where(settings.c.name == name)
    rows = connection.execute(wanted.order_by(settings.c.id))
    return tuple(SettingEntry(name, json.loads(value), who, at) for value, who, at in rows)
