"""A log laid out for the search for oddities: orders and calendar that several of them need, each made once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .laid import ABSENT, Flags, Ints, Laid, edges_of, order_within, run_lengths

if TYPE_CHECKING:
    from .story.calendar import FoundCalendar


@dataclass(frozen=True)
class Looked:
    """The arrays of a log with what is worked out of them on the way."""

    laid: Laid

    @cached_property
    def whole(self) -> Flags:
        """Events with a start and an end."""
        whole: Flags = (self.laid.start != ABSENT) & (self.laid.end != ABSENT)
        return whole

    @cached_property
    def timed(self) -> Flags:
        """Whole events that do not end before they begin."""
        return self.whole & (self.laid.end >= self.laid.start)

    @cached_property
    def seconds(self) -> NDArray[np.float64]:
        """End less start in seconds; nan where one is missing."""
        return np.where(self.whole, (self.laid.end - self.laid.start) / 1e6, np.nan)

    @cached_property
    def by_case(self) -> tuple[Ints, Ints]:
        """Timed events with a case, by case and start: their places, and where in them each case begins."""
        return self._by(self.laid.case.codes)

    @cached_property
    def by_station(self) -> tuple[Ints, Ints]:
        """Timed events with a station, by station and start: their places, and where in them each station begins."""
        return self._by(self.laid.station.codes)

    def by(self, codes: NDArray[np.int32]) -> tuple[Ints, Ints]:
        """Timed events by these groups and start: their places, and where in them each group begins."""
        return self._by(codes)

    def _by(self, codes: NDArray[np.int32]) -> tuple[Ints, Ints]:
        some = np.flatnonzero(self.timed & (codes >= 0))
        order = some[order_within(codes[some], self.laid.start[some], self.laid.end[some])]
        return order, edges_of(codes[order])

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
