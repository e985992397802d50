"""What is odd about the time that a log covers: orders cut off at its ends, bookings while nobody works, days without any."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import numpy as np

from .found import Found, counted
from .laid import ABSENT, DAY, Flags, Ints
from .looked import Looked

USUAL = 0.05
"""A step is a usual first (last) one where at least this share of the orders in the middle of the log begin (end) there."""


def begun_before(log: Looked) -> Found | None:
    """Orders whose first row in the log is no usual first step, near the beginning of the log."""
    return _cut(log, at_the_end=False)


def not_through(log: Looked) -> Found | None:
    """Orders whose last row in the log is no usual last step, near the end of the log."""
    return _cut(log, at_the_end=True)


def cut_off(log: Looked, *, at_the_end: bool) -> Ints:
    """The places of the first (last) events of orders that the window of the log cuts off."""
    firsts, lasts = log.case_ends
    if firsts.size < 8:
        return np.zeros(0, np.int64)
    starts, ends = log.laid.start[firsts], log.laid.end[lasts]
    low, high = int(starts.min()), int(log.laid.end[lasts].max())
    usual_lead = int(np.median(ends - starts))
    reach = max(min(usual_lead, (high - low) // 4), 1)
    edge: Flags = ends > high - reach if at_the_end else starts < low + reach
    middle = (starts >= low + reach) & (ends <= high - reach)
    at = lasts if at_the_end else firsts
    steps = log.laid.step.codes[at]
    if middle.sum() < 8:
        return np.zeros(0, np.int64)
    counts = np.bincount(steps[middle & (steps >= 0)], minlength=log.laid.step.size)
    usual = counts >= max(2.0, USUAL * middle.sum())
    cut: Ints = at[edge & (steps >= 0) & ~usual[steps]]
    return cut


def _cut(log: Looked, *, at_the_end: bool) -> Found | None:
    places = cut_off(log, at_the_end=at_the_end)
    if not places.size:
        return None
    cases, many = log.case_ends[0].size, places.size
    if at_the_end:
        return Found(
            places,
            f"{many:,} of {cases:,} orders do not come to a usual last step before the log ends: still under way?",
        )
    return Found(
        places, f"{many:,} of {cases:,} orders do not begin with a usual first step: begun before the log does?"
    )


def outside(log: Looked) -> Found | None:
    """Bookings that lie wholly outside the working time of everything else."""
    calendar = log.calendar
    if not calendar.sure:
        return None
    some = np.flatnonzero(log.timed & (log.laid.end > log.laid.start))
    start, end = log.laid.wall_start, log.laid.wall_end
    if some.size < log.laid.size:
        start, end = start[some], end[some]
    alone = some[log.clock.until(end) <= log.clock.until(start)]
    return counted(log, alone, "{n} wholly outside the working time of everything else", verb="lies")


LONGEST_BREAK = dt.timedelta(hours=2)
"""A longer pause is the end of a shift."""


def closings(log: Looked) -> Ints:
    """The moments at which the shop closes, in order, in microseconds on the clock on the wall; pauses close nothing."""
    calendar = log.calendar
    first, last = (dt.datetime.combine(day, dt.time()) for day in (calendar.first, calendar.last))
    stretches = list(calendar.calendar.intervals(first, last + dt.timedelta(days=2)))
    closes = [end for (_, end), (begin, _) in pairwise(stretches) if begin - end > LONGEST_BREAK]
    return np.array(closes, "datetime64[us]").astype(np.int64)


def empty_days(log: Looked) -> Found | None:
    """Days of the week that are worked otherwise, without any booking."""
    off = log.calendar.days_off
    if not off or not log.calendar.sure:
        return None
    named = ", ".join(str(day) for day in off[:6]) + (" ..." if len(off) > 6 else "")
    many = "1 working day has" if len(off) == 1 else f"{len(off):,} working days have"
    return Found(
        np.zeros(0, np.int64), f"{many} no booking: {named}. Closed, or did the log stand still?", count=len(off)
    )


def far_away(log: Looked) -> Found | None:
    """Moments years away from all the others: a slip in the year."""
    at = log.laid.start[log.laid.start != ABSENT]
    if at.size < 20:
        return None
    low, middle, high = np.quantile(at, [0.05, 0.5, 0.95])
    near = max(float(high - low), 30.0 * DAY)
    odd = (log.laid.start != ABSENT) & (np.abs(log.laid.start - middle) > 3 * near)
    odd |= (log.laid.end != ABSENT) & (np.abs(log.laid.end - middle) > 3 * near)
    places = np.flatnonzero(odd)
    return counted(log, places, "{n} far away from all the others in time: a slip in the year?", verb="lies")
