"""What is odd between rows: a station or a person in two places at once, names in several spellings, quantities that do not add up."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .found import Found, counted
from .laid import Coded, Ints, came_before, running_max
from .looked import Looked
from .spellings import SPELT, Spelling, spellings

MORE = 1.001
"""Quantities that are more by less than that are the same, rounded."""


def station_overlaps(log: Looked) -> Found | None:
    """Rows that begin before an earlier row at the same station is done."""
    return _overlaps(log, log.laid.station, log.by_station, "station")


def person_overlaps(log: Looked) -> Found | None:
    """Rows that begin before an earlier row of the same person is done."""
    if "person" not in log.laid.events.has:
        return None
    return _overlaps(log, log.laid.person, log.by_person, "person")


def overlapping(log: Looked, codes: NDArray[np.int32], laid_out: tuple[Ints, Ints]) -> tuple[Ints, Ints]:
    """The places of events that begin before an earlier one of their group is done, and until when that one goes on."""
    order, begins = laid_out
    if order.size < 2:
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    before = np.empty(order.size, np.int64)
    before[0] = log.laid.start[order[0]]
    before[1:] = running_max(log.laid.end[order], begins)[:-1]
    before[begins] = log.laid.start[order[begins]]
    odd = log.laid.start[order] < before
    return order[odd], before[odd]


def _overlaps(log: Looked, names: Coded, laid_out: tuple[Ints, Ints], what: str) -> Found | None:
    places, _ = overlapping(log, names.codes, laid_out)
    found = counted(log, places, f"{{n}} before an earlier row of the same {what} is done", verb="begins")
    if found is None:
        return None
    touched = int(np.count_nonzero(np.bincount(names.codes[places])))
    if what == "station":
        of = f"{touched:,} of {names.size:,} stations: several machines or pieces side by side, or bookings left on?"
    else:
        of = f"{touched:,} of {names.size:,} people: several machines at once, or somebody who books for others?"
    return Found(found.places, f"{found.sentence[:-1]}, at {of}")


def spelt(log: Looked) -> tuple[Spelling, ...]:
    """Names of steps, stations, products and people that are written in several ways."""
    columns = {
        "activity": log.laid.step,
        "station": log.laid.station,
        "product": log.laid.product,
        "person": log.laid.person,
    }
    found: list[Spelling] = []
    for role in SPELT:
        if role in log.laid.events.has or role == "activity":
            names = columns[role]
            found += spellings(role, dict(zip(names.names, names.counts().tolist(), strict=True)))
    return tuple(found)


def spelling_oddity(log: Looked, found: tuple[Spelling, ...]) -> Found | None:
    """The rows whose names are taken for another one."""
    if not found:
        return None
    columns = {
        "activity": log.laid.step,
        "station": log.laid.station,
        "product": log.laid.product,
        "person": log.laid.person,
    }
    odd = np.zeros(log.laid.size, bool)
    told = []
    for one in found:
        names = columns[one.role]
        codes = [code for code, name in enumerate(names.names) if name in one.others]
        odd |= np.isin(names.codes, codes)
        if one.role != "person":
            told.append(
                f"{one.name!r} for {', '.join(repr(other) for other in one.others[:3])}{' ...' if len(one.others) > 3 else ''}"
            )
    places = np.flatnonzero(odd)
    many = "1 name is" if len(found) == 1 else f"{len(found):,} names are"
    shown = f": {'; '.join(told[:5])}{' ...' if len(told) > 5 else ''}" if told else ""
    return Found(places, f"{many} written in several ways, in {places.size:,} rows{shown}.")


def more_than_asked(log: Looked) -> Found | None:
    """Rows that book more pieces than the order is for."""
    asked = log.laid.pieces("asked")
    done = [made for made in (log.laid.pieces(name) for name in ("good", "scrap", "held")) if made is not None]
    if asked is None or not done:
        return None
    total = np.nan_to_num(done[0])
    for made in done[1:]:
        total += np.nan_to_num(made)
    with np.errstate(invalid="ignore"):
        return counted(log, np.flatnonzero(total > asked * MORE), "{n} more pieces than the order is for", verb="books")


def more_than_before(log: Looked) -> Found | None:
    """Visits of an order to a step that give more good pieces than the step before gave."""
    good = log.laid.pieces("good")
    if good is None:
        return None
    order, begins = log.by_case
    if not order.size:
        return None
    steps, cases = log.laid.step.codes[order], log.laid.case.codes[order]
    new = np.zeros(order.size, bool)
    new[begins] = True
    new[1:] |= steps[1:] != steps[:-1]
    first = np.flatnonzero(new)
    made = np.add.reduceat(np.nan_to_num(good[order]), first)
    cases = cases[first]
    known = made > 0
    first, made, cases = first[known], made[known], cases[known]
    more = np.flatnonzero((cases[1:] == cases[:-1]) & (made[1:] > made[:-1] * MORE)) + 1
    return counted(
        log, order[first[more]], "{n} a visit that gives more good pieces than the step before gave", verb="begins"
    )


def rework_without_a_first(log: Looked) -> Found | None:
    """Rows that are booked as done again, of an order that was not at that step before."""
    again = log.laid.rework
    if not again.any():
        return None
    order, _ = log.by_case
    pairs = log.laid.case.codes[order].astype(np.int64) * max(log.laid.step.size, 1) + log.laid.step.codes[order]
    return counted(
        log, order[~came_before(pairs) & again[order]], "{n} booked as done again, and the order was not there before"
    )
