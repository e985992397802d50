"""Everything that was noted on a study, in the order of arrival; and where the stopwatch sends what it noted."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Annotated, Any

from fastapi import Query
from pydantic import Field as Kept

from pullwright.record import InvalidEntry, NewNote, Note, NoteDiffers, Sheet
from pullwright.record.limits import LIMITS, checked, checked_body
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.sheet import StudySheet
from pullwright.watch.study.told import KINDS, checked_note
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, open_sheet
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Piece
from pullwright.web.screens.about_line import AboutLine, about_sheet
from pullwright.web.studies import study_on, study_with
from pullwright.web.study_words import note_words

AT_ONCE = 200
"""Notes that the stopwatch sends in one go."""
MOST_AT_ONCE = 1_000
MOST_TEXT = 1_000_000
UID = re.compile(r"[A-Za-z0-9_-]{8,64}")
After = Annotated[int, Query(ge=0, le=1_000_000_000, description="Only notes with a higher number.")]
SENT = Form(
    "notes",
    Field("notes", "Notes as JSON", hint="A list of notes, each with uid, kind, body, who, and taken in ms since 1970.",
          kind="text", most=MOST_TEXT),
)  # fmt: skip


class NoteLine(Piece):
    """One note: its number, its name, what it says for programs and for people, by whom, when it was taken and arrived."""

    number: int
    uid: str
    kind: str
    body: dict[str, Any]
    words: str
    who: str
    taken: datetime
    when: datetime
    undone: bool


class Refused(Piece):
    """A note that was not taken, and why."""

    uid: str
    why: str


class NotesPage(AboutLine, FormPage):
    """The notes of a study; `kept` and `refused` say what became of those that were sent."""

    sheet: SheetHead
    notes: tuple[NoteLine, ...]
    kept: tuple[str, ...] = ()
    refused: tuple[Refused, ...] = ()
    back: str = Kept(exclude=True)


def notes_of_study(key: Key, sheet: SheetKey, desk: AtDesk, after: After = 0) -> NotesPage:
    """What was noted on this study, by whom and when, with all that was taken back?"""
    opened = open_line(desk, key)
    kept = open_sheet(desk, key, sheet, "study")
    every = desk.record.notes(kept.key)
    return NotesPage(
        name="Notes",
        found=Found(text=_found(every)),
        notes=_lines(kept, every, after),
        back=address_of(kept),
        **about_sheet(opened, kept),
    )


def _found(notes: Sequence[Note]) -> str:
    if not notes:
        return "Nothing was noted yet."
    who = list(dict.fromkeys(note.who for note in notes))
    by = who[0] if len(who) == 1 else f"{', '.join(who[:-1])} and {who[-1]}"
    what = "1 note" if len(notes) == 1 else f"{len(notes)} notes"
    return f"{what} by {by}; nothing is thrown away, and what was taken back stands here too."


def _lines(sheet: Sheet, notes: Sequence[Note], after: int) -> tuple[NoteLine, ...]:
    study = study_on(sheet, notes)
    by_uid = {note.uid: note for note in notes}
    undone: set[str] = set()
    for note in sorted(notes, key=lambda note: note.taken, reverse=True):
        if note.kind == "undo" and note.uid not in undone:
            undone.add(str(note.body.get("of")))
    return tuple(
        NoteLine(
            number=note.number,
            uid=note.uid,
            kind=note.kind,
            body=note.body,
            words=note_words(note, study.elements, by_uid),
            who=note.who,
            taken=note.taken,
            when=note.when,
            undone=note.uid in undone,
        )
        for note in notes
        if note.number > after
    )


def take_notes(page: NotesPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Keep what the stopwatch noted: every note that can be understood; of the others, say which and why."""
    try:
        sent = read_sent(filled.typed["notes"])
    except ValueError as error:
        return filled.back({"notes": f"{error}"}, notice="Nothing was kept: what was sent is no list of notes.")
    sheet = desk.record.sheet(page.sheet.key)
    there = desk.record.notes(sheet.key)
    good, refused = _parted(sheet, there, sent)
    try:
        desk.record.write_notes(sheet.key, good)
    except NoteDiffers:
        # Somebody else sent one of them at the same moment; then it stands there now, and only the rest is new.
        good, refused = _parted(sheet, desk.record.notes(sheet.key), sent)
        desk.record.write_notes(sheet.key, good)
    return filled.shown_again(
        f"{len(good)} kept, {len(refused)} not taken.", kept=tuple(note.uid for note in good), refused=refused, notes=()
    )


def read_sent(text: str) -> list[dict[str, Any]]:
    """Read what a stopwatch sent: a list of notes, each with a name. Raises ValueError that says what is wrong.

    >>> read_sent('[{"uid": "0123456789ab", "kind": "reading"}]')[0]["kind"]
    'reading'
    >>> read_sent("[NaN]")
    Traceback (most recent call last):
    ValueError: NaN was read, which is no number that can be kept.
    """

    def no_number(read: str) -> None:
        raise ValueError(f"{read} was read, which is no number that can be kept.")

    try:
        read = json.loads(text, parse_constant=no_number)
    except json.JSONDecodeError as error:
        raise ValueError(f"Line {error.lineno}, column {error.colno}: this is no JSON ({error.msg}).") from error
    except RecursionError as error:
        raise ValueError("It is nested too deeply.") from error
    if not isinstance(read, list) or not 1 <= len(read) <= MOST_AT_ONCE:
        raise ValueError(f"A list of 1 to {MOST_AT_ONCE} notes is allowed.")
    uids: set[str] = set()
    for number, note in enumerate(read, 1):
        uid = note.get("uid") if isinstance(note, dict) else None
        if not isinstance(uid, str) or not UID.fullmatch(uid):
            raise ValueError(f"Note {number} has no uid of 8 to 64 letters, digits, hyphens or underscores.")
        if uid in uids:
            raise ValueError(f"The note {uid!r} is there twice.")
        uids.add(uid)
    return read


def _parted(
    sheet: Sheet, there: Sequence[Note], sent: Sequence[dict[str, Any]]
) -> tuple[list[NewNote], tuple[Refused, ...]]:
    """Part what was sent into notes that can be kept, and those that cannot, with the reason."""
    standing = {note.uid: note for note in there}
    study = study_on(sheet, there)
    good: list[NewNote] = []
    refused: list[Refused] = []
    for note in sent:
        try:
            good.append(_understood(note, study, standing.get(note["uid"])))
        except (ValueError, InvalidEntry) as error:
            refused.append(Refused(uid=note["uid"], why=_words(error)))
        except OverflowError:
            refused.append(Refused(uid=note["uid"], why="A number in it is too large."))
    if _sound(sheet, there, good):
        return good, tuple(refused)
    kept: list[NewNote] = []
    for new in good:
        if new.uid in standing or _sound(sheet, there, [*kept, new]):
            kept.append(new)
        else:
            refused.append(Refused(uid=new.uid, why=f"Together with what stands there, this {new.kind} says nothing."))
    return kept, tuple(refused)


def _sound(sheet: Sheet, there: Sequence[Note], new: Sequence[NewNote]) -> bool:
    """Say whether the study can still be understood with these notes on it."""
    try:
        study_with(sheet, there, new)
    except StudyError:
        return False
    return True


def _understood(note: dict[str, Any], study: StudySheet, there: Note | None) -> NewNote:
    kind, body, who, taken = (note.get(name) for name in ("kind", "body", "who", "taken"))
    if not isinstance(kind, str) or kind not in KINDS:
        raise ValueError(f"A note of the kind {str(kind)[:40]!r} is none of a study.")
    if not isinstance(body, dict):
        raise ValueError("It has no body.")
    if not isinstance(who, str) or not isinstance(taken, int) or isinstance(taken, bool):
        raise ValueError("It does not say who took it, and when in milliseconds.")
    checked_body("note body", body)
    if kind == "undo" and body.get("of") == note["uid"]:
        raise ValueError("It takes itself back, which says nothing.")
    new = NewNote(note["uid"], kind, body, checked("who", who), moment_of(taken))
    if there is not None:
        same = (there.kind, json.dumps(there.body, sort_keys=True), there.who, there.taken)
        if same != (new.kind, json.dumps(new.body, sort_keys=True), new.who, new.taken):
            raise ValueError("A note of this name stands there already, and says something else.")
    else:
        checked_note(kind, body, study)
    return new


def moment_of(milliseconds: int) -> datetime:
    """Return the moment that a phone wrote down, in milliseconds since 1970. Raises ValueError for what no clock shows.

    >>> moment_of(1741079700123).isoformat()
    '2025-03-04T09:15:00.123000+00:00'
    """
    if not 0 <= milliseconds < 4_102_444_800_000:
        raise ValueError("Its moment lies outside of the years 1970 to 2099.")
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=milliseconds)


def _words(error: Exception) -> str:
    said = str(error)[: LIMITS["why"].most].encode("utf-8", "replace").decode()
    return said[:1].upper() + said[1:]


def register(pages: Pages) -> None:
    """Add the notes of a study."""
    pages.form("/lines/{key}/studies/{sheet}/notes", notes_of_study, "study_notes.html", form=SENT, act=take_notes)
