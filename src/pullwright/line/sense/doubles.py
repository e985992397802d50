"""Things that stand twice in one list, and lists that say nothing."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from typing import Any

from pullwright.line.faults import Path
from pullwright.line.model import LineModel
from pullwright.line.sense.slip import Slip


def doubles(line: LineModel) -> Iterator[Slip]:
    """Does everything stand once, and does every list hold something?"""
    for path, entries in _lists(line):
        first: dict[Any, int] = {}
        for k, entry in enumerate(entries):
            if entry in first:
                said = f"{_said(entry)} stands in entry {first[entry] + 1} of this list already"
                yield Slip((*path, k), _said(entry), "each entry once", said)
            first.setdefault(entry, k)
    for path, words in _says_nothing(line):
        said = f"an empty list of {words} is for none of them"
        yield Slip(path, "[]", "at least one entry", said, "leave the field out where all are meant")


def _said(entry: Any) -> str:
    return " to ".join(entry) if isinstance(entry, tuple) else str(entry)


def _lists(line: LineModel) -> Iterator[tuple[Path, Iterable[Hashable]]]:
    calendar = line.calendar
    yield ("calendar", "days"), [_DAYS[day] for day in calendar.days]
    yield ("calendar", "days_off"), calendar.days_off
    yield ("calendar", "extra_days"), [day.on for day in calendar.extra_days]
    for i, shift in enumerate(calendar.shifts):
        yield ("calendar", "shifts", i, "days"), [_DAYS[day] for day in shift.days or ()]
    for i, station in enumerate(line.stations):
        yield ("stations", i, "shifts"), station.shifts or ()
    for i, step in enumerate(line.steps):
        yield ("steps", i, "for"), step.for_ or ()
        yield ("steps", i, "after"), [after.step for after in step.after or ()]
        yield ("steps", i, "also_at"), [other.station for other in step.also_at]
        yield (
            ("steps", i, "set_up", "pairs"),
            [(pair.from_, pair.to) for pair in (step.set_up.pairs if step.set_up else ())],
        )
        for k, element in enumerate(step.elements):
            yield ("steps", i, "elements", k, "for"), element.for_ or ()
        yield ("steps", i, "lots"), [lot.product for lot in step.lots]
        yield ("steps", i, "release", "loops"), [loop.product for loop in (step.release.loops if step.release else ())]
    yield ("moves",), [(move.from_, move.to) for move in line.moves]
    for i, crew in enumerate(line.people):
        yield ("people", i, "skills"), crew.skills or ()
        yield ("people", i, "shifts"), crew.shifts or ()
    if line.floor is not None:
        yield ("floor", "places"), [place.name for place in line.floor.places]


def _says_nothing(line: LineModel) -> Iterator[tuple[Path, str]]:
    for i, day in enumerate(line.calendar.extra_days):
        if day.shifts == ():
            yield ("calendar", "extra_days", i, "shifts"), "shifts"
    for i, station in enumerate(line.stations):
        if station.shifts == ():
            yield ("stations", i, "shifts"), "shifts"
    for i, step in enumerate(line.steps):
        if step.for_ == ():
            yield ("steps", i, "for"), "products"
        for k, element in enumerate(step.elements):
            if element.for_ == ():
                yield ("steps", i, "elements", k, "for"), "products"
    for i, crew in enumerate(line.people):
        if crew.skills == ():
            yield ("people", i, "skills"), "skills"
        if crew.shifts == ():
            yield ("people", i, "shifts"), "shifts"


_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
