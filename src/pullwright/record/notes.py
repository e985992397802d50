"""Notes: what was written on a sheet, in the order of arrival; sent twice, it stands there once."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

from sqlalchemy import Connection, Select, func, insert, select

from pullwright.record.entries import NewNote, Note
from pullwright.record.errors import InvalidEntry, NoteDiffers, NothingChanged
from pullwright.record.limits import NOTES_AT_ONCE, checked, checked_body, checked_moment
from pullwright.record.sheets import RESTORED, STRUCK, one_sheet, sheet_id
from pullwright.record.tables import notes


def write(connection: Connection, key: str, new: Sequence[NewNote]) -> tuple[Note, ...]:
    """Write notes on a sheet, all or none, and give each back as it stands there."""
    if len(new) > NOTES_AT_ONCE:
        allowed = f"at most {NOTES_AT_ONCE:,} notes in one call"
        raise InvalidEntry("notes", f"{len(new):,} notes", allowed, "Send them in several calls.")
    ready = [_checked(note) for note in new]
    if kind := next((note.kind for note in ready if note.kind in (STRUCK, RESTORED)), ""):
        allowed = f"any kind but {STRUCK!r} and {RESTORED!r}"
        raise InvalidEntry("note kind", repr(kind), allowed, "Use strike and restore, which ask for the reason.")
    return _add(connection, sheet_id(connection, key, hold=True), key, ready)


def all_notes(connection: Connection, key: str, after: int) -> tuple[Note, ...]:
    """The notes of a sheet with numbers above `after`, in the order of their numbers."""
    wanted = _notes(sheet_id(connection, key)).where(notes.c.number > after)
    return tuple(_note(row) for row in connection.execute(wanted.order_by(notes.c.number)))


def turn(connection: Connection, key: str, who: str, why: str, *, struck: bool) -> Note:
    """Undo a whole sheet, or take the undoing back, as one more note."""
    kind = STRUCK if struck else RESTORED
    new = _checked(NewNote(uuid4().hex, kind, {"why": checked("why", why)}, who, datetime.now(UTC)))
    sheet = sheet_id(connection, key, hold=True)
    if one_sheet(connection, key).struck == struck:
        state = "is struck already" if struck else "is not struck"
        raise NothingChanged(f"The sheet {key!r} {state}; nothing was added.")
    return _add(connection, sheet, key, [new])[0]


def _checked(note: NewNote) -> NewNote:
    written = checked_body("note body", note.body)
    return NewNote(
        checked("note uid", note.uid),
        checked("note kind", note.kind),
        # What is handed back is what a later reader gets, not the caller's own table, which may still change.
        json.loads(written),
        checked("who", note.who),
        checked_moment("taken", note.taken),
    )


def _add(connection: Connection, sheet: int, key: str, new: Sequence[NewNote]) -> tuple[Note, ...]:
    wanted = _notes(sheet).where(notes.c.uid.in_({note.uid for note in new}))
    kept = {note.uid: note for note in map(_note, connection.execute(wanted))}
    arrived, now = dict(kept), datetime.now(UTC)
    number = connection.scalar(select(func.coalesce(func.max(notes.c.number), 0)).where(notes.c.sheet_id == sheet)) or 0
    rows = []
    for note in new:
        there = arrived.get(note.uid)
        if there is None:
            number += 1
            arrived[note.uid] = Note(number, note.uid, note.kind, note.body, note.who, note.taken, now)
            values = {"uid": note.uid, "kind": note.kind, "body": json.dumps(note.body), "who": note.who}
            rows.append({"sheet_id": sheet, "number": number, **values, "taken": note.taken, "at": now})
        elif _said(there) != _said(note):
            raise NoteDiffers(key, note.uid, kept.get(note.uid))
    if rows:
        connection.execute(insert(notes), rows)
    return tuple(arrived[note.uid] for note in new)


def _said(note: NewNote | Note) -> tuple[object, ...]:
    # As text, because 1, 1.0 and True are equal as values and are not the same to a reader; the order of keys says nothing.
    return note.kind, json.dumps(note.body, sort_keys=True), note.who, note.taken


def _notes(sheet: int) -> Select[Any]:
    row = notes.c
    return select(row.number, row.uid, row.kind, row.body, row.who, row.taken, row.at).where(row.sheet_id == sheet)


def _note(row: Any) -> Note:
    number, uid, kind, body, who, taken, when = row
    return Note(number, uid, kind, json.loads(body), who, taken, when)
