"""A time study on its way to a page: the sheet of the record with its notes, and what is typed read into elements and notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any, cast
from uuid import uuid4

from pullwright.line import Line, units
from pullwright.line.kinds import BY_KEY, ELEMENT_KINDS
from pullwright.record import NewNote, Note, Sheet
from pullwright.watch.study.csv_cells import number_of, with_point
from pullwright.watch.study.sheet import StudySheet, TimedElement
from pullwright.watch.study.sound import seconds_from, sound
from pullwright.watch.study.told import sheet_of
from pullwright.web.phones import told_apart

WORKS = {"hand": "manual", "by hand": "manual", "manual": "manual", "machine": "machine", "foot": "walking", "on foot": "walking", "walking": "walking"}  # fmt: skip
WORK_WORDS = {"manual": "by hand", "machine": "machine", "walking": "on foot"}


def study_on(sheet: Sheet, notes: Sequence[Note]) -> StudySheet:
    """Return the study of a sheet after all that was noted on it."""
    return sheet_of(
        {**sheet.body, "name": sheet.body.get("name") or sheet.title, "line": sheet.line or ""}, told_apart(notes)
    )


def study_with(sheet: Sheet, notes: Sequence[Note], new: Sequence[NewNote]) -> StudySheet:
    """Return the study as it would be with these notes too; StudyError where it could not be understood or is not sound."""
    known, now = {note.uid for note in notes}, datetime.now(UTC)
    more = [
        Note(len(notes) + at, one.uid, one.kind, one.body, one.who, one.taken, now)
        for at, one in enumerate(new, 1)
        if one.uid not in known
    ]
    study = study_on(sheet, [*notes, *more])
    sound(study)
    return study


def element_rows(text: str) -> tuple[list[dict[str, Any]], list[str]]:
    """Read the elements of a study as somebody types them, one in a line: "what; by hand; needed; once in 20".

    Returns the elements, and what is wrong in which line. What stands behind the first semicolon may be left out.

    >>> element_rows("load\\nhone; machine; value\\nchange the stone; hand; needed; 20")[0][2]
    {'what': 'change the stone', 'work': 'manual', 'kind': 'needed', 'every': 20}
    >>> element_rows("hone; engine")[1]
    ["line 1: 'engine' is no way of working; allowed: by hand, machine, on foot"]
    """
    rows: list[dict[str, Any]] = []
    wrong = []
    kinds: dict[str, str] = {str(key): str(key) for key in ELEMENT_KINDS}
    kinds |= {BY_KEY[key].words: str(key) for key in ELEMENT_KINDS}
    for number, line in enumerate(text.splitlines(), 1):
        parts = [part.strip() for part in line.split(";")]
        if not any(parts):
            continue
        what, work, kind, every = [*parts, "", "", ""][:4]
        if work.lower() not in WORKS and work:
            wrong.append(f"line {number}: {work[:30]!r} is no way of working; allowed: by hand, machine, on foot")
        if kind.lower() not in kinds and kind:
            wrong.append(f"line {number}: {kind[:30]!r} is no kind of time; allowed: {', '.join(kinds)}")
        digits = every.lower().removeprefix("once in").removesuffix("cycles").strip()
        if digits and not (digits.isascii() and digits.isdigit() and 0 < int(digits[:6]) <= 10_000):
            wrong.append(f"line {number}: {every[:30]!r} is no number of cycles; allowed: 1 to 10,000, such as 20")
        rows.append(
            {
                "what": what,
                "work": WORKS.get(work.lower(), "manual"),
                "kind": kinds.get(kind.lower(), "needed"),
                "every": int(digits) if digits.isascii() and digits.isdigit() else 1,
            }
        )
    return rows, wrong


def typed_seconds(text: str) -> float:
    """Read a time as somebody types it: a plain number of seconds, or a number with its unit. Raises ValueError.

    >>> typed_seconds("41,5"), typed_seconds("2.5 min")
    (41.5, 150.0)
    """
    number = number_of(text.strip(), decimal_comma="," in text)
    return seconds_from(units.parse(with_point(text.strip()), "duration") if number is None else number)


def new_note(kind: str, body: dict[str, Any], who: str) -> NewNote:
    """Return a note as it is made at a desk: taken now, under a name of its own."""
    return NewNote(uuid4().hex, kind, body, who, datetime.now(UTC))


def typed_elements(elements: Sequence[TimedElement]) -> str:
    """Return elements as somebody types them."""
    return "\n".join(
        "; ".join([one.what, WORK_WORDS[one.work], one.kind, *([str(one.every)] if one.every > 1 else [])])
        for one in elements
    )


def elements_of_step(line: Line, name: str) -> tuple[TimedElement, ...]:
    """Return what a step of a line consists of, to begin a study with; its short form as one element each."""
    step = next((one for one in line.steps if one.name == name), None)
    if step is None:
        return ()
    found: list[TimedElement] = []
    for element in step.elements:
        for work in ("manual", "machine", "walking"):
            if getattr(element, work) is not None:
                what = (
                    element.what
                    if not any(one.what == element.what for one in found)
                    else f"{element.what}, {WORK_WORDS[work]}"
                )
                found.append(TimedElement(what, cast(Any, work), element.kind))
    if not found:
        for work in ("manual", "machine", "walking"):
            if getattr(step, work) is not None:
                kind = "motion" if work == "walking" else "value" if step.value_adding else "needed"
                found.append(TimedElement(f"{step.name}, {WORK_WORDS[work]}", cast(Any, work), cast(Any, kind)))
    return tuple(found)


def free_study_name(line: Line | None, sheets: Sequence[Sheet]) -> str:
    """Return the next free name of a study: T-001, T-002 ..."""
    taken = {study.name for study in line.studies} if line else set()
    taken |= {str(sheet.body.get("name", "")) for sheet in sheets}
    number = 1
    while f"T-{number:03d}" in taken:
        number += 1
    return f"T-{number:03d}"


def reading_notes(study: StudySheet, who: str) -> Iterator[NewNote]:
    """Return the readings of a study out of a file as notes, each with the row it stood in."""
    now = datetime.now(UTC)
    for number, one in enumerate(study.readings):
        body: dict[str, Any] = {
            "cycle": one.cycle,
            "element": one.element,
            "seconds": one.seconds,
            "where": one.where,
            "when": one.when,
        }
        if one.rating is not None:
            body["rating"] = one.rating
        if one.note:
            body["note"] = one.note
        moment = now + timedelta(microseconds=number)
        uid = uuid4().hex
        yield NewNote(uid, "reading", body, one.who or who, moment)
        if one.aside:
            yield NewNote(uuid4().hex, "mark", {"of": uid, "aside": one.aside}, one.who or who, moment)
