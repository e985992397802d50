"""Several phones on one study: their clocks differ, and each counts cycles by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime

from pullwright.record import Note

_EARLIEST = datetime(1970, 1, 1, tzinfo=UTC)


def told_apart(notes: Sequence[Note]) -> list[Note]:
    """Return the notes of a study so that they can be read together, whatever the clocks of several phones said.

    Elements come first: a phone whose clock is slow may time an element before it was there, by its clock.
    Two phones that count cycles by themselves may both have a cycle 5: the cycles of all phones are numbered anew then, in
    the order in which they began. What was typed in at a desk keeps the number that was typed.

    >>> from datetime import timedelta
    >>> def reading(number, phone, cycle, minute):
    ...     moment = datetime(2026, 3, 2, 9, tzinfo=UTC) + timedelta(minutes=minute)
    ...     body = {"cycle": cycle, "element": 0, "seconds": 5.0, "phone": phone}
    ...     return Note(number, f"uid-{number}", "reading", body, "line lead", moment, moment)
    >>> both = [reading(1, "a", 1, 0), reading(2, "a", 2, 2), reading(3, "b", 1, 1)]
    >>> [note.body["cycle"] for note in told_apart(both)], [note.body["cycle"] for note in told_apart(both[:2])]
    ([1, 3, 2], [1, 2])
    """
    first = [replace(note, taken=_EARLIEST) if note.kind == "elements" else note for note in notes]
    began: dict[tuple[str, int], datetime] = {}
    for note in first:
        if cycle := _cycle_of(note):
            began[cycle] = min(note.taken, began.get(cycle, note.taken))
    if len({cycle for _, cycle in began}) == len(began):
        return first
    order = sorted(began, key=lambda one: (began[one], one[1], one[0]))
    number = {one: at for at, one in enumerate(order, 1)}
    return [
        replace(note, body={**note.body, "cycle": number[cycle]}) if (cycle := _cycle_of(note)) else note
        for note in first
    ]


def _cycle_of(note: Note) -> tuple[str, int] | None:
    """Return the phone that timed a reading, and its own number of the cycle; None for anything else."""
    phone, cycle = note.body.get("phone"), note.body.get("cycle")
    return (phone, cycle) if note.kind == "reading" and isinstance(phone, str) and isinstance(cycle, int) else None
