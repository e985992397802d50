"""Working time: of one shift with its breaks and planned stops, and between any two moments.

The clock that runs only in working time is a weekly pattern of stretches with the dates that differ from it. Its
moments are whole microseconds since 1970-01-01 00:00 of local clock time (what numpy keeps in ``datetime64[us]``),
so sums are exact and two stretches that meet add up without a rounding gap.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cached_property
from operator import attrgetter
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

Microseconds = NDArray[np.int64]
Stretch = tuple[int, int]  # from, until (not included)
PauseKind: TypeAlias = Literal["break", "planned stop"]

SECOND = 1_000_000
DAY = 86_400 * SECOND
WEEK = 7 * DAY
DAY_SECONDS = 86_400
FIRST_MONDAY = 4 * DAY  # 1970-01-05
LAST_DAY = 2_932_896  # 9999-12-31, the last date that Python knows


def clock(seconds: int) -> str:
    """Seconds after midnight as the clock shows them.

    >>> clock(22 * 3600), clock(86_400), clock(45_015)
    ('22:00', '24:00', '12:30:15')
    """
    minutes, rest = divmod(int(seconds), 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}" + (f":{rest:02d}" if rest else "")


@dataclass(frozen=True, slots=True)
class Pause:
    """A break or a planned stop of a shift (meeting, cleaning): seconds after midnight, by the clock on the wall."""

    name: str
    start: int
    end: int
    paid: bool = True
    kind: PauseKind = "break"

    def __str__(self) -> str:
        return f"{self.kind} {self.name} ({clock(self.start)} to {clock(self.end)})"


@dataclass(frozen=True, slots=True)
class Hours:
    """Seconds of shifts: ``present`` = ``working`` + ``breaks`` + ``planned_stops``; ``paid`` leaves out the unpaid."""

    present: float
    working: float
    paid: float
    breaks: float
    planned_stops: float

    @classmethod
    def total(cls, parts: Iterable[tuple[Hours, float]]) -> Hours:
        """Add up hours, each times a number of days."""
        counted = [(_seconds_of(hours), times) for hours, times in parts]
        return cls(*(sum((hours[kind] * times for hours, times in counted), 0.0) for kind in range(5)))


_seconds_of = attrgetter(*(field.name for field in fields(Hours)))


@dataclass(frozen=True, slots=True)
class Shift:
    """A shift: seconds after midnight, the weekdays (0 = Monday) on which it starts, its breaks and planned stops."""

    name: str
    start: int
    end: int
    days: frozenset[int] = frozenset(range(5))
    breaks: tuple[Pause, ...] = ()

    def __str__(self) -> str:
        return f"{self.name} ({clock(self.start)} to {clock(self.end)})"

    @property
    def length(self) -> int:
        """Seconds from start to end; an end at or before the start is on the next day."""
        return self.end - self.start + (DAY_SECONDS if self.end <= self.start else 0)

    def seconds_of(self, pause: Pause) -> Stretch:
        """A pause as seconds after the start of the shift."""
        begin = (pause.start - self.start) % DAY_SECONDS
        return begin, begin + (pause.end - pause.start) % DAY_SECONDS

    def stretches(self) -> tuple[Stretch, ...]:
        """Working stretches of the shift, in seconds after midnight of the day on which it starts."""
        edges = [0, *(edge for pause in sorted(map(self.seconds_of, self.breaks)) for edge in pause), self.length]
        pairs = zip(edges[::2], edges[1::2], strict=True)
        return tuple((self.start + begin, self.start + until) for begin, until in pairs if begin < until)

    def hours(self) -> Hours:
        """Seconds of one such shift: present, working, paid, breaks, planned stops."""
        stopped = {"break": 0, "planned stop": 0}
        unpaid = 0
        for pause in self.breaks:
            begin, until = self.seconds_of(pause)
            stopped[pause.kind] += until - begin
            unpaid += 0 if pause.paid else until - begin
        working = self.length - sum(stopped.values())
        return Hours(self.length, working, self.length - unpaid, stopped["break"], stopped["planned stop"])


def shift_faults(shift: Shift) -> Iterator[tuple[str, str]]:
    """What contradicts itself inside one shift, as (name of the shift, message)."""
    name, before = shift.name, 0
    if not (0 <= shift.start < DAY_SECONDS and 0 <= shift.end <= DAY_SECONDS):
        said = f"shift {name} from {shift.start} s to {shift.end} s is outside the day"
        yield name, f"{said} (allowed: 00:00 to 24:00, starting before 24:00)"
        return
    if strange := shift.days - set(range(7)):
        yield name, f"shift {shift} has weekday {min(strange)} (allowed: 0 for Monday to 6 for Sunday)"
    held: Pause | None = None
    for pause in sorted(shift.breaks, key=shift.seconds_of):
        begin, until = shift.seconds_of(pause)
        wrong = ""
        if not (0 <= pause.start <= DAY_SECONDS and 0 <= pause.end <= DAY_SECONDS):
            said = f"{pause.kind} {pause.name} from {pause.start} s to {pause.end} s is outside the day"
            yield name, f"{said}: clock times go from 00:00 to 24:00"
            continue
        if begin == until:
            wrong = "takes no time: leave it out, or let it end later than it starts"
        elif until > shift.length:
            wrong = f"is not inside shift {shift}: move it, or change the shift"
        elif held is not None and begin < before:
            wrong = f"overlaps {held} in shift {shift}: let one end before the other begins"
        if wrong:
            yield name, f"{pause} {wrong}"
        elif until > before:
            held, before = pause, until


def weekday(day: int) -> int:
    """Weekday (0 = Monday) of a day counted from 1970-01-01, which was a Thursday."""
    return (day + 3) % 7


@dataclass(frozen=True)
class _Steps:
    """A sum of stretches as a function of time: its value and its slope from each of the sorted moments on."""

    at: Microseconds
    value: Microseconds
    slope: Microseconds

    @classmethod
    def of(cls, open_: Iterable[Stretch], closed: Iterable[Stretch] = (), first: int | None = None) -> _Steps:
        turns: dict[int, int] = {} if first is None else {first: 0}
        for stretches, sign in ((open_, 1), (closed, -1)):
            for begin, until in stretches:
                turns[begin] = turns.get(begin, 0) + sign
                turns[until] = turns.get(until, 0) - sign
        at = np.array(sorted(turns), dtype=np.int64)
        slope = np.cumsum([turns[moment] for moment in at.tolist()], dtype=np.int64)
        value = np.concatenate([np.zeros(min(1, at.size), np.int64), np.cumsum(slope[:-1] * np.diff(at))])
        return cls(at, value, slope)

    def __call__(self, moments: Microseconds) -> Microseconds:
        if self.at.size == 0:
            return np.zeros_like(moments)
        row = np.searchsorted(self.at, moments, side="right") - 1
        reached = self.value[row] + self.slope[row] * (moments - self.at[row])
        return np.where(row < 0, 0, reached)


@dataclass(frozen=True)
class WorkClock:
    """A clock that runs only in working time.

    ``week`` holds the working stretches of the shifts that start on each weekday, in microseconds after that day's
    midnight (beyond one day for a shift over midnight). ``exceptions`` holds the same for single days, counted from
    1970-01-01, and takes the place of the weekday's.
    """

    week: tuple[tuple[Stretch, ...], ...]
    exceptions: Mapping[int, tuple[Stretch, ...]]

    def stretches_of(self, day: int) -> list[Stretch]:
        """Working stretches of the shifts that start on one day, as moments."""
        own = self.exceptions.get(day, self.week[weekday(day)])
        return [(day * DAY + begin, day * DAY + until) for begin, until in own]

    @cached_property
    def _pattern(self) -> _Steps:
        pieces = [(day * DAY + begin, day * DAY + until) for day in range(7) for begin, until in self.week[day]]
        within = [(begin, min(until, WEEK)) for begin, until in pieces if begin < WEEK]
        over = [(max(begin, WEEK) - WEEK, until - WEEK) for begin, until in pieces if until > WEEK]
        return _Steps.of(within + over, first=0)

    @cached_property
    def _week_total(self) -> int:
        return sum(until - begin for day in self.week for begin, until in day)

    @cached_property
    def _difference(self) -> _Steps:
        usual = [
            (day * DAY + begin, day * DAY + until)
            for day in self.exceptions
            for begin, until in self.week[weekday(day)]
        ]
        return _Steps.of([piece for day in self.exceptions for piece in self.stretches_of(day)], closed=usual)

    def reading(self, moments: Microseconds) -> Microseconds:
        """What the clock shows at each moment; only differences of two readings have a meaning."""
        weeks, rest = np.divmod(moments - FIRST_MONDAY, WEEK)
        return weeks * self._week_total + self._pattern(rest) + self._difference(moments)

    def reading_at(self, moment: int) -> int:
        """What the clock shows at one moment."""
        return int(self.reading(np.array([moment], dtype=np.int64))[0])

    def stretches(self, begin: int, until: int) -> Iterator[Stretch]:
        """Working stretches between two moments in order; stretches that meet (shift after shift) come as one."""
        held: Stretch | None = None
        for day in range(begin // DAY - 1, -(-until // DAY)):
            for first, last in self.stretches_of(day):
                first, last = max(first, begin), min(last, until)
                if first >= last:
                    continue
                if held is None:
                    held = (first, last)
                elif held[1] == first:
                    held = (held[0], last)
                else:
                    yield held
                    held = (first, last)
        if held is not None:
            yield held

    def after(self, moment: int, worked: int) -> int:
        """The first moment at which ``worked`` more has been worked (the last such moment, back in time, below 0)."""
        if worked == 0:
            return moment
        target = self.reading_at(moment) + worked
        ahead = worked > 0
        near, step = (moment // DAY, 1) if ahead else (-(-moment // DAY), -1)
        # Double the step until the target lies between, then halve: long closures cost a few looks, not a walk.
        while self._short_of(target, near + step, ahead):
            step *= 2
            if abs(step) > 2 * LAST_DAY:
                raise ValueError("so much working time leads out of the calendar (years 1 to 9999)")
        far = near + step
        while abs(far - near) > 1:
            middle = (near + far) // 2
            near, far = (middle, far) if self._short_of(target, middle, ahead) else (near, middle)
        lower, upper = sorted((near, far))
        begin, end = (max(moment, lower * DAY), upper * DAY) if ahead else (lower * DAY, min(moment, upper * DAY))
        found = list(self.stretches(begin, end))
        missing = abs(target - self.reading_at(begin if ahead else end))
        for first, last in found if ahead else reversed(found):
            if last - first >= missing:
                return first + missing if ahead else last - missing
            missing -= last - first
        raise AssertionError("the stretches of a day do not add up to the reading of the clock")

    def _short_of(self, target: int, day: int, ahead: bool) -> bool:
        reading = self.reading_at(day * DAY)
        return reading < target if ahead else reading > target

    def next_open(self, moment: int) -> int:
        """This moment when it is working time, otherwise the beginning of the next working stretch."""
        # One microsecond of work further on lies just behind the beginning that is looked for.
        return self.after(moment, 1) - 1
