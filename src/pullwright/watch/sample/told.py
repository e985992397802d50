"""From what was noted on the rounds to a tour: the body that the sampling began with, and the notes that came after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, tzinfo
from typing import Any

from pullwright.line.faults import listed, shown
from pullwright.line.kinds import BY_KEY, KindKey
from pullwright.watch.misread import SampleError
from pullwright.watch.notes import NoteLike, standing, text_in, wall_clock, whole_in
from pullwright.watch.sample.looks import Look, Round, Tour
from pullwright.watch.sample.plan import sound_stations


def tour_of(body: Mapping[str, Any], notes: Sequence[NoteLike] = (), *, zone: tzinfo | None = None) -> Tour:
    """Which activity sampling is this, after everything that was noted?

    Parameters: `body`, {name, line, stations, rounds: [{number, at, stations}], seed}; a round without stations goes the way of
    the body. `notes` in the order of arrival, read in the order in which they were noted: "look" {round, station, seen, note},
    "rounds" {rounds} (more rounds, planned later), "undo" {of}. Other kinds belong to others; a note sent twice counts once.
    `zone` is that of the clock on the wall, None that of this machine.
    Errors: `SampleError` naming the first thing that cannot be understood; `checked_note` says so before it is written.

    >>> tour = tour_of({"name": "March", "stations": ["saw"], "rounds": [{"number": 1, "at": "2026-03-17T08:12:00"}]})
    >>> tour.rounds[0].at, tour.rounds[0].stations
    (datetime.datetime(2026, 3, 17, 8, 12), ('saw',))
    """
    if not isinstance(body, Mapping):
        raise SampleError(shown(body), "is no activity sampling", "a name, stations and rounds")
    stations = _stations(body.get("stations"))
    seed = body.get("seed") or 0
    tour = Tour(
        text_in(body, "name", SampleError, must=True),
        _rounds(body.get("rounds") or [], stations),
        line=text_in(body, "line", SampleError),
        seed=seed if isinstance(seed, int) else whole_in(body, "seed", 0, SampleError, most=2**63),
    )
    tour = _with_rounds(replace(tour, rounds=()), tour.rounds)
    stands = standing(notes, SampleError)
    for note in stands:
        if note.kind == "rounds":
            tour = _with_rounds(tour, _rounds(note.body.get("rounds"), stations))
    looks = tuple(_look(note, tour, zone) for note in stands if note.kind == "look")
    return replace(tour, looks=looks)


def body_of(tour: Tour) -> dict[str, Any]:
    """The body with which a sampling of these rounds begins; `tour_of` gives the tour back without its looks.

    >>> body_of(Tour("March", (Round(1, datetime(2026, 3, 17, 8, 12), ("saw",)),)))["rounds"]
    [{'number': 1, 'at': '2026-03-17T08:12:00', 'stations': ['saw']}]
    """
    stations = list(dict.fromkeys(name for one in tour.rounds for name in one.stations))
    return {
        "name": tour.name,
        "line": tour.line,
        "stations": stations,
        "rounds": rounds_body(tour.rounds),
        "seed": tour.seed,
    }


def rounds_body(rounds: Sequence[Round]) -> list[dict[str, Any]]:
    """Rounds as a body or a note "rounds" holds them."""
    return [{"number": one.number, "at": one.at.isoformat(), "stations": list(one.stations)} for one in rounds]


def checked_note(kind: str, body: Mapping[str, Any], tour: Tour) -> None:
    """May this note be written on this sampling? Nothing happens if it may; `SampleError` if not. What is written stays: ask before.

    >>> checked_note("look", {"round": 2, "station": "saw", "seen": "waiting"}, Tour("March", ()))
    Traceback (most recent call last):
    pullwright.watch.misread.SampleError: round 2 was not planned (allowed: none yet); plan more rounds first
    """
    if kind == "look":
        _said(body, tour)
    elif kind == "rounds":
        stations = tuple(dict.fromkeys(name for one in tour.rounds for name in one.stations))
        _with_rounds(tour, _rounds(body.get("rounds"), stations))
    elif kind == "undo":
        of = text_in(body, "of", SampleError, must=True)
        if not of:
            raise SampleError("of", "names no note", "the uid of an earlier note")


def _stations(read: object) -> tuple[str, ...]:
    if not isinstance(read, list | tuple):
        raise SampleError(f"stations {shown(read)}", "are no list", "a list of stations")
    return sound_stations(read)


def _rounds(read: object, stations: tuple[str, ...]) -> tuple[Round, ...]:
    if not isinstance(read, list | tuple):
        raise SampleError(f"rounds {shown(read)}", "are no list", "a list of rounds with number and at")
    found = []
    for one in read:
        if not isinstance(one, Mapping):
            raise SampleError(f"round {shown(one)}", "is none", "number, at and stations")
        number = whole_in(one, "number", 1, SampleError)
        own = one.get("stations")
        found.append(Round(number, _moment(one.get("at"), number), _stations(own) if own else stations))
    return tuple(found)


def _moment(read: object, number: int) -> datetime:
    try:
        at = datetime.fromisoformat(read) if isinstance(read, str) else None
    except ValueError:
        at = None
    if at is None or at.tzinfo is not None:
        raise SampleError(
            f"at {shown(read)} of round {number}",
            "is no moment",
            "a date and a time without a zone, such as 2026-03-17T08:12",
        )
    return at


def _with_rounds(tour: Tour, more: tuple[Round, ...]) -> Tour:
    taken = {one.number for one in tour.rounds}
    for one in more:
        if one.number in taken:
            raise SampleError(
                f"round {one.number}", "is planned twice", "each number once", f"go on with {max(taken) + 1}"
            )
        taken.add(one.number)
    return replace(tour, rounds=tuple(sorted((*tour.rounds, *more), key=lambda one: one.number)))


def _said(body: Mapping[str, Any], tour: Tour) -> tuple[int, str, KindKey, str]:
    number = whole_in(body, "round", 1, SampleError)
    planned = next((one for one in tour.rounds if one.number == number), None)
    if planned is None:
        allowed = listed(str(one.number) for one in tour.rounds) or "none yet"
        raise SampleError(f"round {number}", "was not planned", allowed, "plan more rounds first")
    station = text_in(body, "station", SampleError, must=True)
    if station not in planned.stations:
        raise SampleError(f"station {shown(station)}", f"is not on round {number}", listed(planned.stations))
    return number, station, seen_kind(body.get("seen")), text_in(body, "note", SampleError)


def seen_kind(read: object) -> KindKey:
    """What was seen, as a kind of the accounts; SampleError for any other word."""
    for key in BY_KEY:
        if read == key:
            return key
    raise SampleError(f"seen {shown(read)}", "is no kind of work", listed(BY_KEY))


def _look(note: NoteLike, tour: Tour, zone: tzinfo | None) -> Look:
    number, station, seen, words = _said(note.body, tour)
    return Look(note.uid, number, station, wall_clock(note.taken, zone), seen, note.who, words, f"round {number}")
