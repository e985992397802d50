"""Rating: how briskly somebody worked beside standard performance, and the basic time that follows.

Basic time = observed time x rating / standard rating. On the scale from 0 to 100 the standard rating is 100 (BS 3138);
inside a rating is a share, 1.0 for standard performance. Source: ILO, Introduction to Work Study, chapters on rating
(from memory).
"""

from __future__ import annotations

from math import isfinite

from pullwright.line.faults import shown
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.sheet import StudySheet, TimedReading

STANDARD_RATING = 100.0
LOWEST, HIGHEST = 0.2, 2.0
"""Nobody works for long outside of these; what lies outside is a slip of the pen."""
ALLOWED = "0.2 to 2 as a share, 20 to 200 on the scale on which 100 is standard performance"


def basic_time(observed: float, rating: float, standard: float = STANDARD_RATING) -> float:
    """How long does it take at standard performance? `observed` in s, `rating` and `standard` on one scale; result in s.

    >>> basic_time(20.0, 110.0)
    22.0
    """
    return observed * rating / standard


def rating_of(read: object) -> float:
    """Which rating is meant, as a share of standard performance?

    Parameters: a number or text, as a share ("0.95", "95 %") or on the scale of 0 to 100 (95).
    Errors: `StudyError` for anything that is no rating.
    Source of the scale: BS 3138, 100 is standard performance; common practice is to rate in steps of 5.

    >>> rating_of(95), rating_of("110 %"), rating_of(1), rating_of("0,9")
    (0.95, 1.1, 1.0, 0.9)
    """
    number = _number(read)
    if number is not None:
        share = number / STANDARD_RATING if number >= LOWEST * STANDARD_RATING else number
        if LOWEST <= share <= HIGHEST:
            return share
    todo = "rate slow work below 100 and brisk work above, in steps of 5; 100 where you are not sure"
    raise StudyError(f"rating {shown(read)}", "is no rating", ALLOWED, todo)


def _number(read: object) -> float | None:
    if isinstance(read, bool) or not isinstance(read, int | float | str):
        return None
    text = str(read).strip()
    percent = text.endswith("%")
    try:
        number = float(text.removesuffix("%").strip().replace(",", "."))
    except ValueError:
        return None
    if not isfinite(number):
        return None
    if percent and number < LOWEST * STANDARD_RATING:
        return None
    return number


def rating_for(sheet: StudySheet, reading: TimedReading) -> float:
    """Which rating holds for a reading: its own; 1.0 for a machine, which has none; else that of the study.

    >>> from pullwright.watch.study.sheet import TimedElement
    >>> sheet = StudySheet("T-1", (TimedElement("load"), TimedElement("turn", "machine")), rating=0.9)
    >>> rating_for(sheet, TimedReading("a", 1, 0, 5.0)), rating_for(sheet, TimedReading("b", 1, 1, 60.0))
    (0.9, 1.0)
    """
    if reading.rating is not None:
        return reading.rating
    if reading.element >= 0 and sheet.elements[reading.element].work == "machine":
        return 1.0
    return sheet.rating
