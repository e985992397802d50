"""How long a machine is at something: its own work, and the breakdowns on the way."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.compiled import kernel, put_in
from pullwright.forecast.events.moves import charge, draw, set_moment
from pullwright.forecast.events.rows import (
    BETWEEN,
    BY_CLOCK,
    BY_RUNNING,
    COUNTED,
    DOING,
    DOWN,
    FAILS,
    IDLE,
    IDLE_MACHINES,
    MACHINE_STATION,
    MACHINE_WIDE,
    MACHINES,
    MACHINES_END,
    NOW,
    REPAIR,
    REPAIRED,
    SET_UP_TIME,
    SETTING,
    SINCE,
    SLOT,
    UP,
    UP_LEFT,
    WHY,
    WORKING,
    Floats,
    Words,
)


@put_in
def be_at(w: Words, f: Floats, m: int, doing: int, seconds: float) -> None:
    """Machine `m` is at this for so many seconds of its own; a breakdown stops it, and it goes on where it was.

    A set-up is done with the machine at rest: breakdowns counted by running time do not come in it.
    """
    now, repairs = f[NOW], 0.0
    if w[m + COUNTED] == BY_RUNNING and doing != SETTING:
        left = seconds
        while left >= f[m + UP_LEFT]:
            left -= f[m + UP_LEFT]
            repairs += draw(w, f, w[m + REPAIR])
            f[m + UP_LEFT] = draw(w, f, w[m + BETWEEN])
        f[m + UP_LEFT] -= left
    elif w[m + COUNTED] == BY_CLOCK:
        end = now + seconds
        while f[m + FAILS] < end:
            repairs += f[m + UP] - f[m + FAILS]
            end = now + seconds + repairs
            _next_outage(w, f, m)
    end = now + seconds + repairs
    w[m + DOING] = doing
    set_moment(w, f, w[m + SLOT], end)
    if end > now:
        station = w[m + MACHINE_STATION]
        own = SET_UP_TIME if doing == SETTING else WORKING
        if repairs > 0.0:
            charge(f, station, own, now, end, seconds / (end - now))
            charge(f, station, REPAIRED, now, end, repairs / (end - now))
        else:
            charge(f, station, own, now, end, 1.0)


@kernel
def _next_outage(w: Words, f: Floats, m: int) -> None:
    f[m + FAILS] = f[m + UP] + draw(w, f, w[m + BETWEEN])
    f[m + UP] = f[m + FAILS] + draw(w, f, w[m + REPAIR])


@kernel
def first_outages(w: Words, f: Floats) -> None:
    """When each machine breaks down first."""
    for m in range(w[MACHINES], w[MACHINES_END], MACHINE_WIDE):
        if w[m + COUNTED] == BY_RUNNING:
            f[m + UP_LEFT] = draw(w, f, w[m + BETWEEN])
        elif w[m + COUNTED] == BY_CLOCK:
            f[m + UP] = 0.0
            _next_outage(w, f, m)


@kernel
def stands_broken(w: Words, f: Floats, m: int) -> bool:
    """Has an idle machine broken down by the clock meanwhile? Then it is repaired first, and its moment says until when."""
    if w[m + COUNTED] != BY_CLOCK:
        return False
    now = f[NOW]
    while f[m + UP] <= now:
        # It was repaired before anybody asked for it: that time was idle to everybody.
        _next_outage(w, f, m)
    if f[m + FAILS] > now:
        return False
    leave_idle(w, f, m)
    charge(f, w[m + MACHINE_STATION], REPAIRED, now, f[m + UP], 1.0)
    w[m + DOING] = DOWN
    set_moment(w, f, w[m + SLOT], f[m + UP])
    _next_outage(w, f, m)
    return True


@put_in
def rest(w: Words, f: Floats, m: int, why: int) -> None:
    """Machine `m` has nothing on it; `why` until somebody looks again."""
    w[m + DOING] = IDLE
    w[w[m + MACHINE_STATION] + IDLE_MACHINES] += 1
    set_moment(w, f, w[m + SLOT], np.inf)
    f[m + SINCE] = f[NOW]
    w[m + WHY] = why


@put_in
def leave_idle(w: Words, f: Floats, m: int) -> None:
    """Machine `m` gets something to do."""
    end_idle(w, f, m)
    w[w[m + MACHINE_STATION] + IDLE_MACHINES] -= 1


@put_in
def end_idle(w: Words, f: Floats, m: int) -> None:
    """Write down why it had nothing to do until now."""
    charge(f, w[m + MACHINE_STATION], w[m + WHY], f[m + SINCE], f[NOW], 1.0)
    f[m + SINCE] = f[NOW]
