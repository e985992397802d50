"""Waiting as people say it: in working days instead of seconds of working time."""

from __future__ import annotations

from pullwright.figure import Figure, derive


def in_days(time: Figure, day: Figure) -> Figure:
    """How many working days is a time that is counted in working time?

    Parameters: `time` (s of working time); `day`, the net working time of a working day (s). Result: a figure in working
    days, called after the time.

    >>> from pullwright.figure import Source, given
    >>> read = Source("line file", "stores")
    >>> print(in_days(given("waiting / before hone", 54_000.0, "s", read), given("day", 27_000.0, "s", read)).text())
    2 d
    """
    return derive(
        f"{time.name} in days",
        lambda t, d: t / d,
        time,
        day,
        unit="wd",
        formula="time / net working time of a day",
    )
