"""Where things stand in the memory of the path kernel.

There are two pieces of it: `w`, whole numbers that stay as they are, and `f`, rows of eight floats (one a run) that change. What `w` says of a
place in `f` is the number of its first float. A ring keeps the last so many of a series: number n lies in row n & mask.
"""

from __future__ import annotations

BLOCK = 64
"""Ticks for which is drawn ahead in one go: a tick is one piece at each step."""

TOGETHER, SCRATCH, LONG, LEADS, RESPONSES, FIXED_WIDE = range(0, 48, 8)
"""Rows of `f` that every line has: pieces that were ended at the same moment, so that nobody knows which comes first; scratch; samples written."""

(
    STEP_COUNT, SPARE_MACHINES, IN_LINE, ORDER_RING, ORDER_MASK, FINISH_RING, FINISH_MASK, DAYS, DAYS_AT, SAMPLES,
    SAMPLES_AT, CLOCKS, CLOCKS_END, DRAWN, LINE_WIDE,
) = range(15)  # fmt: skip
"""The line: its steps, all machines besides one a step, pieces that lie in it at the start, when orders came, when units were finished;
days and samples and the addresses where they are written down; the clocks; a row to draw in."""

(
    OFFSET, SPARE, STOCK, ROOM, BEGINS, BEGINS_MASK, ENDS, ENDS_MASK, HELD, FREE_AT, TIMES, MORE_TIMES, REPAIRS, MORE_REPAIRS,
    COMES_AT, WAIT_1, WAIT_2, WAIT_3, ASKS, ASKS_AT, WAIT_5, WAIT_6, WAIT_7, WAYS, SUMS, WINDOWS, ELEMENTS, ELEMENTS_END, BETWEEN,
    REPAIR, UP_LEFT, STEP_WIDE,
) = range(32)  # fmt: skip
"""A step, from the first to the last; then the finished store, which has OFFSET, STOCK, ROOM, BEGINS (units shipped) and SUMS; then the line as a whole, with SUMS.

ROOM: NO_END where it has none. ENDS: a ring, where a cap counts them. HELD: (when ended, when begun at the first step) of SPARE pieces. FREE_AT: when
the machine that is free next was left. TIMES, MORE_TIMES: a row a tick, attended and then alone where there are both; REPAIRS with them. COMES_AT:
the wait for what leaves to begin a piece, at the first step; ASKS: 1 where pieces wait for more, as ASKS_AT says. WAYS: the seconds to the next step.
WINDOWS: a ring as deep as BEGINS, since when a piece lay before an idle machine. ELEMENTS: places of them. BETWEEN, REPAIR: streams; UP_LEFT:
running time to the next breakdown, and draws used of both streams. Places are NOWHERE where there is no such thing.
"""
WAIT_RING, WAIT_MASK, WAIT_FREE, WAIT_PER = range(4)
CLOCK_STREAM, CLOCK_FROM_START, CLOCK_RING, CLOCK_MASK, CLOCK_LAST, CLOCK_COUNTED, CLOCK_WIDE = range(7)
"""A clock: orders (a stream of times between two) or a schedule (NOWHERE: always as long; it strikes at the start). LAST: rows for when it
struck last, the time between two, how often it struck, the end of the day and which day it is; COUNTED: 1 where its strokes are the orders of a day."""

NO_END = -1
NOWHERE = -1

(
    WORKING, REPAIRED, BLOCKED, NOT_ASKED, STARVED, MADE, AREA, CAME_BEFORE, LEFT_BEFORE, PEAK, SERVED, IN_TIME, CAME_DAY, _CAME_ON, LEFT_DAY,
    _LEFT_ON, SUMS_WIDE,
) = range(0, 17 * 8, 8)  # fmt: skip
"""Sums, a row of lanes each. CAME_BEFORE, LEFT_BEFORE: pieces, before the warm-up was over; PEAK: UNKNOWN until then; at the store MADE: units
finished; SERVED: orders shipped, IN_TIME those that waited no longer than was promised. CAME_DAY, LEFT_DAY: the end
of the day until when pieces are counted that come and leave, and in the next row which day it is."""
UNKNOWN = -1.0

DAY_WIDE_A_STEP, DAY_WIDE_BESIDES = 2, 3
"""Columns of a day: how many pieces had come before each step at its end, and how many were begun there; then units finished, shipped and ordered."""

FINE, TOO_DEEP = 0, 1
"""How a stretch went: all was written down; or more pieces lay somewhere than its ring keeps."""
