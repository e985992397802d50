"""The box of the day: the sequence cut into pitches, each with the clock time at which it is asked for.

A pitch is so many pieces, and the time that they take at takt (pieces × takt). The clock of the box runs only while the line works: a slot that
a break or a planned stop falls into ends later by as much.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.line.worktime import Shift, clock
from pullwright.pull.errors import BadPlanInput

Stretch = tuple[float, float]
"""Working time from and until, in seconds after midnight of the day (beyond 86,400 for a shift over midnight)."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One slot: from when to when its pieces are asked for (s after midnight), and which ones, in their order.

    `room`: how many pieces a full slot has. `done`: how many of its pieces are made already.
    """

    start: float
    end: float
    pieces: tuple[str, ...]
    room: int
    done: int = 0

    @property
    def full(self) -> bool:
        """Are as many pieces in it as there is room for?"""
        return len(self.pieces) == self.room

    @property
    def counts(self) -> dict[str, int]:
        """How many of each product, in the order in which they first come."""
        return dict(Counter(self.pieces))

    def __str__(self) -> str:
        asked = ", ".join(f"{n} {product}" for product, n in self.counts.items())
        partly = "" if self.full else f" ({len(self.pieces)} of {self.room} pieces)"
        return f"{shown(self.start)} to {shown(self.end)}: {asked}{partly}"


def shown(seconds: float) -> str:
    """Seconds after midnight as the clock on the wall shows them, to the minute.

    >>> shown(6 * 3600 + 1234.6), shown(25 * 3600)
    ('06:21', '01:00 next day')
    """
    minutes = round(seconds / 60)
    return clock(minutes % 1440 * 60) + (" next day" if minutes > 1440 else "")


def stretches_of(shifts: Sequence[Shift]) -> tuple[Stretch, ...]:
    """When is worked on a day with these shifts, breaks and planned stops left out? In order, in seconds after midnight.

    Where shifts meet, the stretches become one.
    """
    joined: list[Stretch] = []
    for begin, end in sorted((float(a), float(b)) for shift in shifts for a, b in shift.stretches()):
        if joined and joined[-1][1] >= begin:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((begin, end))
    return tuple(joined)


def working_time(stretches: Sequence[Stretch]) -> float:
    """How long is worked in all (s)?"""
    return sum(end - begin for begin, end in stretches)


def moment(stretches: Sequence[Stretch], worked: float, *, begins: bool = False) -> float:
    """What does the clock show when so many seconds have been worked (s after midnight)?

    `begins`: the moment at which the next work begins, which at a break is after it and not before. Beyond the end of work the clock runs on.

    >>> day = ((0.0, 60.0), (90.0, 150.0))
    >>> moment(day, 60.0), moment(day, 60.0, begins=True), moment(day, 70.0), moment(day, 130.0)
    (60.0, 90.0, 100.0, 160.0)
    """
    left = worked
    for k, (begin, end) in enumerate(stretches):
        spare = end - begin - left
        if spare > 1e-6 or (spare > -1e-6 and (not begins or k == len(stretches) - 1)):
            return begin + max(left, 0.0)
        left -= end - begin
    return (stretches[-1][1] if stretches else 0.0) + left


def worked_until(stretches: Sequence[Stretch], clock_time: float) -> float:
    """How long has been worked when the clock shows this (s)?

    >>> worked_until(((0.0, 60.0), (90.0, 150.0)), 100.0)
    70.0
    """
    return sum(max(min(end, clock_time) - begin, 0.0) for begin, end in stretches)


def box(
    sequence: Sequence[str],
    pitch: int,
    takt: float,
    stretches: Sequence[Stretch],
    *,
    done: int = 0,
    done_takt: float | None = None,
    now: float | None = None,
) -> tuple[Slot, ...]:
    """Which pieces are asked for in which slot, and when?

    Parameters: `sequence`, the products in their order, what is done already first; `pitch`, pieces asked for at a time; `takt`, working time
    from piece to piece (s); `stretches`, when is worked; `done`, how many of the sequence are made already, `done_takt`, the takt that they were
    asked for in (the same where nothing is said); `now`, working time gone by when the rest begins (s; done x done_takt where nothing is said).
    Result: the slots in order; the last one is partly filled where the pieces do not come out even, and ends when its own pieces are due.
    Errors: BadPlanInput for a pitch below one piece, a takt that is not above 0, more done than there is.

    >>> for slot in box(["red", "blue", "red", "red", "blue"], 2, 600.0, ((28_800.0, 30_600.0), (31_500.0, 33_000.0))):
    ...     print(slot)
    08:00 to 08:20: 1 red, 1 blue
    08:20 to 08:55: 2 red
    08:55 to 09:05: 1 blue (1 of 2 pieces)
    """
    if pitch < 1 or pitch != int(pitch):
        raise BadPlanInput(f"a pitch of {pitch} pieces was read; allowed: whole numbers from 1 on")
    if not 0 < takt < float("inf"):
        raise BadPlanInput(f"a takt of {takt} s was read; allowed: times above 0 s")
    if not 0 <= done <= len(sequence):
        raise BadPlanInput(f"{done} pieces done of {len(sequence)} were read; allowed: 0 to {len(sequence)}")
    before = takt if done_takt is None else done_takt
    turn = done * before if now is None else now

    def due(pieces: int) -> float:
        if pieces <= done:
            return pieces * (turn / done if done and now is not None else before)
        return turn + (pieces - done) * takt

    slots = []
    for first in range(0, len(sequence), pitch):
        inside = tuple(sequence[first : first + pitch])
        last = first + len(inside)
        begin, end = moment(stretches, due(first), begins=True), moment(stretches, due(last))
        slots.append(Slot(begin, end, inside, pitch, min(max(done - first, 0), len(inside))))
    return tuple(slots)
