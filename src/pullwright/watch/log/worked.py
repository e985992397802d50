"""How much has been worked until each of millions of moments? The working clock, read off a table where that gives the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from .laid import DAY, MINUTE, Ints, is_large

if TYPE_CHECKING:
    from pullwright.line.calendar import WorkCalendar

SLOT = 5 * MINUTE
"""Found calendars change on the stroke of five minutes: within a slot all is worked or nothing."""
MOST_SLOTS = 4_000_000
"""A table of at most 38 years."""


class WorkedTime:
    """Working microseconds since a moment `origin`, of a calendar, exact to the microsecond.

    >>> import datetime as dt
    >>> from pullwright.line.calendar import Shift, WorkCalendar
    >>> monday = int(np.datetime64("2026-03-02", "us").astype(np.int64))
    >>> WorkedTime(WorkCalendar((Shift("day", 28_800, 57_600),)), monday).until(monday + np.array([9, 33]) * 3_600_000_000)
    array([ 3600000000, 32400000000])
    """

    def __init__(self, calendar: WorkCalendar, origin: int) -> None:
        self.calendar, self.origin = calendar, origin
        self._first, self._reached, self._open = 0, np.zeros(0, np.int64), np.zeros(0, np.int64)

    def until(self, at: Ints) -> Ints:
        """Working microseconds from the origin to these moments (microseconds)."""
        if not at.size:
            return np.zeros(0, np.int64)
        low, high = int(at.min()), int(at.max())
        if self._first <= low and high < self._first + self._reached.size * SLOT:
            return self._read(at)
        first = min(low, self.origin) // DAY * DAY
        slots = (high - first) // SLOT + 1
        if not slots <= min(MOST_SLOTS, at.size):
            return self._exact(at)
        edges = first + np.arange(slots + 1) * SLOT
        reached = self._exact(edges)
        within = np.diff(reached)
        if not np.all((within == 0) | (within == SLOT)):
            return self._exact(at)
        self._first, self._reached, self._open = first, reached[:-1], within // SLOT
        return self._read(at)

    def _exact(self, at: Ints) -> Ints:
        origin = np.datetime64(self.origin, "us")
        seconds = self.calendar.between_many(origin, at.astype("datetime64[us]"))
        return np.rint(seconds * 1e6).astype(np.int64)

    def _read(self, at: Ints) -> Ints:
        if is_large(at.size):
            from .worked_kernel import read_off

            return read_off(at, self._first, SLOT, self._reached, self._open)
        rest: Ints = at - self._first
        slot = rest // SLOT
        rest -= slot * SLOT
        rest *= self._open[slot]
        rest += self._reached[slot]
        return rest
