"""From what was noted on a round of counting to its sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo
from math import isfinite
from typing import Any

from pullwright.line.faults import listed, shown
from pullwright.watch.count.sheet import SIDES, CountSheet, DefectCount, Side, StockCount, WayWalked
from pullwright.watch.misread import CountError
from pullwright.watch.notes import NoteLike, named_note, standing, text_in, wall_clock, whole_in

STEP_M = 0.75
"""A step of somebody who walks, where nobody measured it (common practice), in metres."""


def counts_of(body: Mapping[str, Any], notes: Sequence[NoteLike] = (), *, zone: tzinfo | None = None) -> CountSheet:
    """What was counted, after everything that was noted?

    Parameters: `body`, {name, line}; `notes`: "stock" {store: {before | after | part: name}, pieces}, "way" {from, to, distance_m or
    steps with step_m, batch, trips}, "defects" {step, looked_at, wrong, again, what}, "undo" {of}; each may carry a note. They
    are read in the order in which they were noted; one sent twice counts once. `zone` is that of the clock on the wall.
    Errors: `CountError` naming the first thing that cannot be understood.

    >>> counts_of({"name": "March"})
    CountSheet(name='March', stocks=(), ways=(), defects=(), line='')
    """
    name, line = text_in(body, "name", CountError, must=True), text_in(body, "line", CountError)
    stocks: list[StockCount] = []
    ways: list[WayWalked] = []
    defects: list[DefectCount] = []
    for number, note in enumerate(standing(notes, CountError), 1):
        at, where = wall_clock(note.taken, zone), f"count {number} of {name}"
        match note.kind:
            case "stock":
                stocks.append(_stock(note.body, note.uid, at, note.who, where))
            case "way":
                ways.append(_way(note.body, note.uid, at, note.who, where))
            case "defects":
                defects.append(_defects(note.body, note.uid, at, note.who, where))
    return CountSheet(name, tuple(stocks), tuple(ways), tuple(defects), line)


def checked_note(kind: str, body: Mapping[str, Any]) -> None:
    """May this note be written on a sheet of counts? Nothing happens if it may; `CountError` if not.

    >>> checked_note("defects", {"step": "hone", "looked_at": 20, "wrong": 21})
    Traceback (most recent call last):
    pullwright.watch.misread.CountError: wrong 21 is no such number (allowed: a whole number from 0 to 20)
    """
    made = {"stock": _stock, "way": _way, "defects": _defects}.get(kind)
    if made is not None:
        made(body, "", datetime.min, "", "")
    elif kind == "undo":
        named_note(body, CountError)


def _stock(body: Mapping[str, Any], uid: str, at: datetime, who: str, where: str) -> StockCount:
    side, name = _store(body.get("store"))
    pieces = _number(body, "pieces", least=0.0)
    return StockCount(uid, side, name, pieces, at, who, text_in(body, "note", CountError), where)


def _store(read: object) -> tuple[Side, str]:
    if isinstance(read, Mapping) and len(read) == 1:
        for side in SIDES:
            if side in read:
                return side, text_in(read, side, CountError, must=True)
    raise CountError(f"store {shown(read)}", "is no place", f"exactly one of {listed(SIDES)}, with a name")


def _way(body: Mapping[str, Any], uid: str, at: datetime, who: str, where: str) -> WayWalked:
    if (body.get("distance_m") is None) == (body.get("steps") is None):
        raise CountError("a way", "gives its length not at all or twice", "distance_m, or steps")
    if body.get("steps") is None:
        distance = _number(body, "distance_m")
    else:
        length = STEP_M if body.get("step_m") is None else _number(body, "step_m", most=3.0)
        distance = round(whole_in(body, "steps", 1, CountError) * length, 3)
    batch, trips = (
        None if body.get(key) is None else whole_in(body, key, least, CountError)
        for key, least in (("batch", 1), ("trips", 0))
    )
    ends = (text_in(body, "from", CountError, must=True), text_in(body, "to", CountError, must=True))
    return WayWalked(uid, *ends, distance, at, batch, trips, who, text_in(body, "note", CountError), where)


def _defects(body: Mapping[str, Any], uid: str, at: datetime, who: str, where: str) -> DefectCount:
    looked_at = whole_in(body, "looked_at", 1, CountError)
    wrong = whole_in(body, "wrong", 0, CountError, most=looked_at)
    again = whole_in(body, "again", 0, CountError, default=0, most=wrong)
    step, what = text_in(body, "step", CountError, must=True), text_in(body, "what", CountError)
    return DefectCount(uid, step, looked_at, wrong, at, again, what, who, text_in(body, "note", CountError), where)


def _number(body: Mapping[str, Any], key: str, *, least: float | None = None, most: float = 1e7) -> float:
    """A number of a body, with a point or a comma; above 0, or from `least` on."""
    read = body.get(key)
    try:
        number = float(str(read).strip().replace(",", ".")) if isinstance(read, int | float | str) else float("nan")
    except ValueError:
        number = float("nan")
    if (
        isinstance(read, bool)
        or not isfinite(number)
        or number > most
        or (number <= 0 if least is None else number < least)
    ):
        low = "more than 0" if least is None else f"{least:g}"
        raise CountError(f"{key} {shown(read)}", "is no such number", f"{low}, at most {most:,.0f}")
    return number
