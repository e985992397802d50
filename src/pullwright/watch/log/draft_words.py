"""Numbers and moments as a drafted line file writes them."""

from __future__ import annotations

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def rounded(value: float, digits: int = 3) -> str:
    """A number with three digits that count, in plain writing.

    >>> rounded(1234.5), rounded(0.012345), rounded(14.0), rounded(2.5)
    ('1230', '0.0123', '14', '2.5')
    """
    if value == 0 or value != value:
        return "0"
    shown = float(f"{value:.{digits}g}")
    text = f"{shown:.12f}".rstrip("0").rstrip(".")
    return text if text not in ("", "-0") else "0"


def duration(seconds: float) -> str:
    """A duration in the unit in which people say it.

    >>> duration(45.04), duration(1500), duration(216_000)
    ('45.04 s', '25 min', '60 h')
    """
    if seconds < 600:
        return f"{rounded(seconds, 4)} s"
    return f"{rounded(seconds / 60, 4)} min" if seconds < 14_400 else f"{rounded(seconds / 3600, 4)} h"


def hour(second: int, *, end: bool = False) -> str:
    """A clock time; the end of a day is 24:00 where something ends there.

    >>> hour(23_400), hour(86_400, end=True), hour(90_000)
    ('06:30', '24:00', '01:00')
    """
    minutes = round(second / 60)
    if end and minutes == 1440:
        return "24:00"
    minutes %= 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def days_word(day: int) -> str:
    """A weekday (0 = Monday) in short."""
    return DAYS[day]


def many(count: int, what: str) -> str:
    """A count with its word.

    >>> many(1, "order"), many(1200, "order")
    ('1 order', '1,200 orders')
    """
    return f"{count:,} {what}" if count == 1 else f"{count:,} {what}s"
