"""Sheets: what somebody began at the line, and whether it still counts. Read and added within one transaction."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Select, func, insert, select, text

from pullwright.record.entries import SHEET_KINDS, Sheet, SheetKind
from pullwright.record.errors import InvalidEntry, SheetExists, UnknownSheet
from pullwright.record.limits import checked, checked_body
from pullwright.record.lines import line_id
from pullwright.record.tables import lines, notes, sheets

ONE_AT_A_TIME = 7_411_500_226
"""An arbitrary number that names the lock under which a server gives a sheet its running number."""
STRUCK, RESTORED = "struck", "restored"
"""The kinds of note that say that a sheet was undone as a whole, and that this was taken back."""


def begin(
    connection: Connection,
    kind: SheetKind,
    title: str,
    body: dict[str, Any],
    who: str,
    line: str | None,
    key: str,
    file: int | None,
) -> Sheet:
    """Add a sheet; without a key it gets the next number of its kind. `file` is the number of its file in the database."""
    _refuse_other_kinds(kind)
    title, written, who = checked("title", title), checked_body("sheet body", body), checked("who", who)
    about = None if line is None else line_id(connection, line)
    key = checked("key", key) if key else ""
    if connection.dialect.name == "postgresql":
        # On SQLite a writer holds the whole file already.
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": ONE_AT_A_TIME})
    if not key:
        key = _next_key(connection, kind)
    elif connection.scalar(select(sheets.c.id).where(sheets.c.key == key)) is not None:
        raise SheetExists(key)
    new = Sheet(key, kind, line, title, json.loads(written), who, datetime.now(UTC))
    values = {"key": key, "kind": kind, "title": title, "body": written, "who": who, "at": new.when}
    connection.execute(insert(sheets).values(line_id=about, file_id=file, **values))
    return new


def all_sheets(connection: Connection, kind: SheetKind | None, line: str | None, *, struck: bool) -> tuple[Sheet, ...]:
    """The sheets of a kind and a line (of all when None), newest first; those that were struck only when asked for."""
    wanted = _sheets()
    if kind is not None:
        _refuse_other_kinds(kind)
        wanted = wanted.where(sheets.c.kind == kind)
    if line is not None:
        wanted = wanted.where(sheets.c.line_id == line_id(connection, line))
    found = (_sheet(row) for row in connection.execute(wanted.order_by(sheets.c.id.desc())))
    return tuple(sheet for sheet in found if struck or not sheet.struck)


def one_sheet(connection: Connection, key: str) -> Sheet:
    """One sheet, struck or not."""
    row = connection.execute(_sheets().where(sheets.c.key == key)).one_or_none()
    if row is None:
        raise _unknown(connection, key)
    return _sheet(row)


def sheet_id(connection: Connection, key: str, *, hold: bool = False) -> int:
    """The sheet's number in the database; `hold` keeps other writers of this sheet waiting until we are done."""
    wanted = select(sheets.c.id).where(sheets.c.key == key)
    sheet: int | None = connection.scalar(wanted.with_for_update() if hold else wanted)
    if sheet is None:
        raise _unknown(connection, key)
    return sheet


def _sheets() -> Select[Any]:
    counted = select(notes.c.sheet_id, func.count().label("notes")).group_by(notes.c.sheet_id).subquery()
    turned = select(notes.c.sheet_id, func.max(notes.c.number).label("number"))
    last = turned.where(notes.c.kind.in_((STRUCK, RESTORED))).group_by(notes.c.sheet_id).subquery()
    row = sheets.c
    return (
        select(row.key, row.kind, lines.c.key, row.title, row.body, row.who, row.at, notes.c.kind, counted.c.notes)
        .select_from(sheets)
        .outerjoin(lines, lines.c.id == row.line_id)
        .outerjoin(counted, counted.c.sheet_id == row.id)
        .outerjoin(last, last.c.sheet_id == row.id)
        .outerjoin(notes, (notes.c.sheet_id == row.id) & (notes.c.number == last.c.number))
    )


def _sheet(row: Any) -> Sheet:
    key, kind, line, title, body, who, when, last, counted = row
    return Sheet(key, kind, line, title, json.loads(body), who, when, last == STRUCK, counted or 0)


def _next_key(connection: Connection, kind: str) -> str:
    taken = connection.scalars(select(sheets.c.key).where(sheets.c.key.like(f"{kind}-%")))
    # Somebody may have given a key of many digits by hand; numbering goes on from the others.
    found = (re.fullmatch(rf"{kind}-(\d{{1,9}})", key) for key in taken)
    return f"{kind}-{1 + max((int(match[1]) for match in found if match), default=0)}"


def _unknown(connection: Connection, key: str) -> UnknownSheet:
    return UnknownSheet(key, list(connection.scalars(select(sheets.c.key).order_by(sheets.c.id.desc()))))


def _refuse_other_kinds(kind: str) -> None:
    if kind not in SHEET_KINDS:
        raise InvalidEntry("sheet kind", repr(kind)[:42], f"one of {', '.join(SHEET_KINDS)}", "Take one of these.")
