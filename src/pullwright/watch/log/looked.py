"""A log laid out for the search for oddities: orders and calendar that several of them need, each made once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .laid import ABSENT, Codes, Flags, Ints, Laid, edges_of, is_large, run_lengths

if TYPE_CHECKING:
    from .story.calendar import FoundCalendar
    from .worked import WorkedTime


@dataclass(frozen=True)
class Looked:
    """The arrays of a log with what is worked out of them on the way."""

    laid: Laid

    @cached_property
    def whole(self) -> Flags:
        """Events with a start and an end."""
        whole: Flags = (self.laid.start != ABSENT) & (self.laid.end != ABSENT)
        return whole

    @property
    def timed(self) -> Flags:
        """Whole events that do not end before they begin."""
        return self.laid.timed

    @cached_property
    def seconds(self) -> NDArray[np.float64]:
        """End less start in seconds; nan where one is missing."""
        return np.where(self.whole, (self.laid.end - self.laid.start) / 1e6, np.nan)

    @cached_property
    def by_case(self) -> tuple[Ints, Ints]:
        """Timed events with a case, by case and start: their places, and where in them each case begins."""
        return self._with_begins(self.laid.by_case, self.laid.case.codes)

    @cached_property
    def by_station(self) -> tuple[Ints, Ints]:
        """Timed events with a station, by station and start: their places, and where in them each station begins."""
        return self._with_begins(self.laid.by_station, self.laid.station.codes)

    @cached_property
    def by_person(self) -> tuple[Ints, Ints]:
        """Timed events with a person, by person and start: their places, and where in them each person begins."""
        return self._with_begins(self.laid.by_person, self.laid.person.codes)

    @staticmethod
    def _with_begins(order: Ints, codes: Codes) -> tuple[Ints, Ints]:
        return order, edges_of(codes[order])

    @cached_property
    def clock(self) -> WorkedTime:
        """The working clock, on the clock on the wall."""
        from .worked import WorkedTime

        start = self.laid.wall_start
        return WorkedTime(self.calendar.calendar, int(start[self.timed].min()) if self.timed.any() else 0)

    @cached_property
    def likely_repeats(self) -> Ints:
        """Places of all rows of the same order, step, station and times as another one, and of next to no others."""
        mixed = self._marks()
        ranked = np.sort(mixed)
        twice = ranked[1:][ranked[1:] == ranked[:-1]]
        if not twice.size:
            return np.zeros(0, np.int64)
        return np.flatnonzero(twice[np.minimum(np.searchsorted(twice, mixed), twice.size - 1)] == mixed)

    def _marks(self) -> NDArray[np.uint64]:
        """A number for each row that is the same where order, step, station and times are, and hardly ever otherwise."""
        laid = self.laid
        columns = (laid.start, laid.end, laid.case.codes, laid.step.codes, laid.station.codes)
        if is_large(laid.size):
            from .order_kernel import marks

            return marks(*columns)
        mixed = np.zeros(laid.size, np.uint64)
        for column in columns:
            mixed = (mixed ^ (mixed >> np.uint64(29))) * np.uint64(0x9E3779B97F4A7C15) + column.astype(np.uint64)
        mixed *= np.uint64(0xBF58476D1CE4E5B9)
        return mixed

    @cached_property
    def case_ends(self) -> tuple[Ints, Ints]:
        """Places of the first and of the last event of each case, by begin."""
        order, begins = self.by_case
        return order[begins], order[begins + run_lengths(begins, order.size) - 1]

    @cached_property
    def calendar(self) -> FoundCalendar:
        """When the shop works."""
        from .story.calendar import calendar_of

        return calendar_of(self.laid)
