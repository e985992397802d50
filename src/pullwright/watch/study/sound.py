"""Is a study sheet sound: what its elements, readings, rating and allowances may be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import get_args

from pullwright.line.faults import likely_slip, listed, shown
from pullwright.line.kinds import ELEMENT_KINDS
from pullwright.watch.study.allowances import allowance_from, one_of_a_group
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.performance import rating_of
from pullwright.watch.study.sheet import StudySheet, TimedElement, Work

WORKS: tuple[Work, ...] = get_args(Work)
FOREIGN = "foreign"
"""How a foreign element is called where elements go by name; no element may bear this name."""
LONGEST_READING = 7 * 86400.0
MOST_CYCLES = 1_000_000
MOST_EVERY = 1_000_000
LONGEST_TEXT = 500


def one_text(read: object, what: str) -> str:
    """A text of one line without spaces at its ends. Errors: `StudyError` for anything else."""
    if read is None:
        return ""
    if not isinstance(read, str):
        raise StudyError(f"{what} {shown(read)}", "is no text", "a short text", "")
    text = " ".join("".join(sign if sign.isprintable() else " " for sign in read).split())
    if len(text) > LONGEST_TEXT:
        raise StudyError(
            f"{what} {shown(text)}", f"has {len(text)} signs", f"up to {LONGEST_TEXT} signs", "say it shorter"
        )
    return text


def element_from(read: object) -> TimedElement:
    """Which element is meant by {what, work, kind, every, because}, or by its name alone?

    Errors: `StudyError` for a work, a kind or an `every` that is none.

    >>> element_from({"what": "hone", "work": "machine", "kind": "value"})
    TimedElement(what='hone', work='machine', kind='value', every=1, because='')
    """
    table = {"what": read} if isinstance(read, str) else read
    if not isinstance(table, Mapping):
        raise StudyError(f"element {shown(read)}", "is no element", "a name, or what, work, kind, every, because", "")
    what = one_text(table.get("what"), "element")
    if not what:
        raise StudyError("an element", "has no name", "what is done, in a few words", "give it a name")
    if what.casefold() == FOREIGN:
        raise StudyError(f"element {what}", "is kept for what does not belong to the cycle", "any other name", "")
    work, kind, every = table.get("work") or "manual", table.get("kind") or "needed", table.get("every") or 1
    if work not in WORKS:
        raise StudyError(f"{what}: work {shown(work)}", "is none", listed(WORKS), likely_slip(str(work), WORKS))
    if kind not in ELEMENT_KINDS:
        raise StudyError(f"{what}: kind {shown(kind)}", "is none", listed(ELEMENT_KINDS), likely_slip(str(kind), ELEMENT_KINDS))  # fmt: skip
    if isinstance(every, bool) or not isinstance(every, int) or not 1 <= every <= MOST_EVERY:
        raise StudyError(
            f"{what}: every {shown(every)}",
            "is no number of cycles",
            "a whole number from 1 on",
            "20 means once in 20 cycles",
        )
    return TimedElement(what, work, kind, every, one_text(table.get("because"), "because"))


def distinct(elements: Sequence[TimedElement]) -> tuple[TimedElement, ...]:
    """The same elements, once it is sure that there are some and that no two have one name. Errors: `StudyError`."""
    if not elements:
        raise StudyError("a study without elements", "times nothing", "one element or more", "name what is timed")
    met: set[str] = set()
    for one in elements:
        if one.what.casefold() in met:
            raise StudyError(
                f"element {shown(one.what)}",
                "stands there twice",
                "a name of its own for each",
                "call it, say, “walk back”",
            )
        met.add(one.what.casefold())
    return tuple(elements)


def seconds_from(read: object, what: str = "reading") -> float:
    """How long, in s? Errors: `StudyError` for anything but a number above 0 and up to a week."""
    if (
        isinstance(read, bool)
        or not isinstance(read, int | float)
        or not isfinite(read)
        or not 0 < read <= LONGEST_READING
    ):
        raise StudyError(
            f"{what} of {shown(read)} s", "is no time", "above 0 s and up to a week", "take the reading again"
        )
    return float(read)


def whole_from(read: object, what: str, least: int, most: int) -> int:
    """Which whole number? Errors: `StudyError` outside of least to most."""
    if isinstance(read, bool) or not isinstance(read, int) or not least <= read <= most:
        raise StudyError(f"{what} {shown(read)}", "is none", f"a whole number from {least} to {most:,}", "")
    return read


def sound(sheet: StudySheet) -> StudySheet:
    """The same sheet, once it is sure that everything on it can be worked with.

    Errors: `StudyError` naming the first thing that cannot.

    >>> sound(StudySheet("T-1", (TimedElement("load"),))).name
    'T-1'
    """
    for element in distinct(sheet.elements):
        element_from({"what": element.what, "work": element.work, "kind": element.kind, "every": element.every})
    rating_of(sheet.rating)
    one_of_a_group(tuple(allowance_from(one) for one in sheet.allowances))
    met: set[str] = set()
    for reading in sheet.readings:
        name = reading.where or f"reading {reading.uid}"
        if reading.uid in met:
            raise StudyError(f"reading {shown(reading.uid)}", "stands there twice", "a name of its own for each", "")
        met.add(reading.uid)
        seconds_from(reading.seconds, name)
        whole_from(reading.cycle, f"{name}: cycle", 1, MOST_CYCLES)
        whole_from(reading.element, f"{name}: element", -1, len(sheet.elements) - 1)
        if reading.rating is not None:
            rating_of(reading.rating)
    return sheet
