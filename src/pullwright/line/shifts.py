"""When the line works, as the file gives it: shifts, breaks, planned stops, days off and extra days (see `calendar` for the arithmetic)."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from pullwright.line import calendar as reckoned
from pullwright.line.item import Alone, LineItem
from pullwright.line.words import Clock, Date, Name, Weekday, YesNo


class Pause(LineItem):
    """A break or a planned stop (meeting, cleaning) inside a shift."""

    name: Name
    """What it is called."""
    from_: Clock
    """When it begins."""
    to: Clock
    """When it ends."""
    paid: YesNo = True
    """Are people paid meanwhile?"""


class Shift(LineItem):
    """One shift: it belongs to the day on which it starts; an end at or before its start is on the next day."""

    name: Name
    """What it is called."""
    from_: Clock
    """When it begins."""
    to: Clock
    """When it ends; at or before `from` means on the next day."""
    days: tuple[Weekday, ...] | None = None
    """On which weekdays it starts; those of the calendar where nothing is said."""
    breaks: tuple[Pause, ...] = ()
    """When nobody works."""
    planned_stops: tuple[Pause, ...] = ()
    """When the line stands still by plan: meetings, cleaning, upkeep."""


class ExtraDay(LineItem):
    """A day on which other shifts work than the weekday says; written as a date alone, all shifts work that have a weekday."""

    on: Date
    """Which day."""
    shifts: tuple[Name, ...] | None = None
    """Which shifts work on it; all that have a weekday where nothing is said."""


class Calendar(LineItem):
    """When the line works."""

    days: tuple[Weekday, ...] = (0, 1, 2, 3, 4)
    """The weekdays on which shifts start: mon to fri where nothing is said."""
    shifts: Annotated[tuple[Shift, ...], Field(min_length=1)]
    """The shifts of a day."""
    days_off: tuple[Date, ...] = ()
    """Dates on which no shift starts."""
    extra_days: tuple[Annotated[ExtraDay, Alone("on")], ...] = ()
    """Dates on which shifts start although the weekday says otherwise: a Saturday that is worked."""


def work_calendar(calendar: Calendar) -> reckoned.WorkCalendar:
    """Make the calendar that computes out of the given one; CalendarError where shifts or breaks contradict one another."""

    def pauses(given: tuple[Pause, ...], kind: reckoned.PauseKind) -> tuple[reckoned.Pause, ...]:
        return tuple(reckoned.Pause(pause.name, pause.from_, pause.to, pause.paid, kind) for pause in given)

    shifts = tuple(
        reckoned.Shift(
            shift.name,
            shift.from_,
            shift.to,
            frozenset(calendar.days if shift.days is None else shift.days),
            pauses(shift.breaks, "break") + pauses(shift.planned_stops, "planned stop"),
        )
        for shift in calendar.shifts
    )
    usual = tuple(shift.name for shift in shifts if shift.days)
    extra = {day.on: usual if day.shifts is None else day.shifts for day in calendar.extra_days}
    return reckoned.WorkCalendar(shifts, frozenset(calendar.days_off), extra)
