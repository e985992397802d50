"""Contradictions in the calendar: shifts that overlap, breaks outside their shift, days that are both off and worked."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.line.calendar import CalendarError
from pullwright.line.faults import Path
from pullwright.line.model import LineModel, Shift
from pullwright.line.sense.slip import Slip
from pullwright.line.shifts import work_calendar


def calendar(line: LineModel) -> Iterator[Slip]:
    """Can somebody work by this calendar?"""
    given = line.calendar
    off = set(given.days_off)
    both = False
    for i, day in enumerate(given.extra_days):
        if day.on in off:
            both = True
            said = f"{day.on} is a day off and an extra day; it can be one of them"
            yield Slip(("calendar", "extra_days", i), str(day.on), "a date that is not in days_off", said)
    names = [shift.name for shift in given.shifts]
    unknown = any(name not in names for day in given.extra_days for name in day.shifts or ())
    if both or unknown or len(set(names)) < len(names):
        return  # said already, here or by those who look at names
    try:
        work_calendar(given)
    except CalendarError as error:
        for who, message in error.faults:
            place: Path = ("calendar",)
            if who in names:
                i = names.index(who)
                place = ("calendar", "shifts", i, *_pause(given.shifts[i], message))
            yield Slip(place, who, "shifts that do not overlap, with breaks inside them", message)


def _pause(shift: Shift, message: str) -> Path:
    """Find the break or planned stop that a message of the calendar is about."""
    for word, field, pauses in (
        ("break", "breaks", shift.breaks),
        ("planned stop", "planned_stops", shift.planned_stops),
    ):
        for k, pause in enumerate(pauses):
            if message.startswith(f"{word} {pause.name} ("):
                return (field, k)
    return ()
