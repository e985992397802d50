"""A tour of rounds between the record and the computing: what was planned, what stands on the sheet, and the looks that count."""

from __future__ import annotations

import re
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from pullwright.line.kinds import KINDS, KindKey
from pullwright.record import NewNote, Note, Sheet
from pullwright.watch.misread import SampleError
from pullwright.watch.notes import NoteLike, standing
from pullwright.watch.sample import told
from pullwright.watch.sample.looks import Round, Tour

LOOK, UNDO = "look", "undo"
"""The kinds of note that say what was seen, and that an earlier one is taken back."""
TAKEN_BACK = ""
MOST_PLACES = 60
"""People and places that one round may look at."""
MOST_PEOPLE = 20
MOST_ROUNDS = 400
CANNOT_SAY: KindKey = "unexplained"
SEEN: tuple[tuple[KindKey, str, str], ...] = tuple(
    (kind.key, "cannot say" if kind.key == CANNOT_SAY else kind.words, kind.question) for kind in KINDS
)
"""What may be seen on a look: the key, the words, the question beside them."""


@dataclass(frozen=True, slots=True)
class Place:
    """Somebody or something to look at on every round: the station, and which of the people there (from 1)."""

    station: str
    person: int = 1
    people: int = 1

    @property
    def words(self) -> str:
        """The place as a person says it.

        >>> Place("saw").words, Place("bench", 2, 3).words
        ('saw', 'bench, person 2 of 3')
        """
        return self.station if self.people == 1 else f"{self.station}, person {self.person} of {self.people}"


class PlacesError(ValueError):
    """The stations of a tour cannot be read; the message says which line, and what is allowed."""


def read_places(text: str, known: Sequence[str]) -> tuple[Place, ...]:
    """Read the stations of a tour in the order to visit them, one a line, with how many people to look at behind a colon.

    >>> [place.words for place in read_places("saw\\nbench: 2", ["saw", "bench"])]
    ['saw', 'bench, person 1 of 2', 'bench, person 2 of 2']
    >>> read_places("lathe", ["saw"])
    Traceback (most recent call last):
    pullwright.web.tours.PlacesError: 'lathe' was read; the stations of this line are saw.
    """
    found: list[Place] = []
    seen: set[str] = set()
    for line in (one.strip() for one in text.splitlines()):
        if not line:
            continue
        name, people = line, 1
        if line not in known and (split := re.fullmatch(r"(.*\S)\s*:\s*(\S+)", line)):
            name = split[1]
            if not re.fullmatch(r"\d{1,3}", split[2]) or not 0 <= int(split[2]) <= MOST_PEOPLE:
                raise PlacesError(
                    f"{line[:60]!r} was read; behind the colon stands how many people are looked at, 0 to {MOST_PEOPLE}."
                )
            people = int(split[2])
        if name not in known:
            raise PlacesError(f"{name[:60]!r} was read; the stations of this line are {', '.join(known)}.")
        if name in seen:
            raise PlacesError(
                f"{name[:60]!r} was read twice; each station stands once, with its people behind a colon."
            )
        seen.add(name)
        found += [Place(name, person + 1, people) for person in range(people)]
    if not 1 <= len(found) <= MOST_PLACES:
        raise PlacesError(f"{len(found)} people and places were read; a round looks at 1 to {MOST_PLACES}.")
    return tuple(found)


def body_of(tour: Tour, places: Sequence[Place], *, half_width: float | None, kind: str) -> dict[str, Any]:
    """Return what the record keeps of a plan: the tour, how many people are looked at where, and what is of most interest."""
    people = {place.station: place.people for place in places}
    return {**told.body_of(tour), "people": people, "half_width": half_width, "kind": kind}


def people_at(body: Mapping[str, Any], station: str) -> int:
    """Return how many people are looked at at a station; one where nothing is said."""
    people = body.get("people")
    number = people.get(station, 1) if isinstance(people, Mapping) else 1
    return number if isinstance(number, int) and 0 < number <= MOST_PEOPLE else 1


def places_on(body: Mapping[str, Any], one: Round) -> tuple[Place, ...]:
    """Return the places of one round in the order to visit them."""
    return tuple(
        Place(station, person + 1, people_at(body, station))
        for station in one.stations
        for person in range(people_at(body, station))
    )


def tour_on(sheet: Sheet, notes: Sequence[Note]) -> Tour:
    """Return a sheet as the computing takes it: the rounds that were planned, and the looks that count."""
    return told.tour_of(sheet.body, notes)


def standing_looks(notes: Sequence[Note]) -> dict[tuple[int, str, int], NoteLike]:
    """Return the notes of the looks that count, by round, station and person; the last word on each."""
    found: dict[tuple[int, str, int], NoteLike] = {}
    for note in standing(notes, SampleError):
        if note.kind == LOOK:
            found[(int(note.body["round"]), str(note.body["station"]), int(note.body.get("person", 1)))] = note
    return found


def look_notes(
    number: int,
    place: Place,
    seen: str,
    before: NoteLike | None,
    *,
    who: str,
    note: str = "",
    uid: str = "",
    taken: datetime | None = None,
) -> list[NewNote]:
    """Return the notes of one look: that an earlier one is taken back, and what is seen (nothing where `seen` is empty)."""
    when = taken or datetime.now(UTC)
    notes = [] if before is None else [NewNote(f"{uid or new_uid()}-undo", UNDO, {"of": before.uid}, who, when)]
    if seen:
        body: dict[str, Any] = {"round": number, "station": place.station, "person": place.person, "seen": seen}
        if note:
            body["note"] = note
        notes.append(NewNote(uid or new_uid(), LOOK, body, who, when))
    return notes


def new_uid() -> str:
    """Return a name for a note that is never given twice."""
    return secrets.token_urlsafe(18)
