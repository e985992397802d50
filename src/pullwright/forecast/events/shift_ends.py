"""Shifts of single stations and crews: who has gone begins nothing, and who is at something ends it first."""

from __future__ import annotations

from pullwright.forecast.events.compiled import kernel
from pullwright.forecast.events.moves import mark, set_moment
from pullwright.forecast.events.rows import (
    BENCH_WIDE,
    BENCHES,
    BENCHES_END,
    CHANGE,
    CHANGE_AT,
    CHANGE_BY,
    CHANGE_KIND,
    CHANGE_ROW,
    CHANGE_SLOT,
    CHANGE_WIDE,
    CHANGES,
    CHANGES_END,
    CLOSED,
    CREW_FREE,
    DAY,
    NOW,
    Floats,
    Words,
)


@kernel
def first_change(w: Words, f: Floats) -> None:
    """When the first shift of a single station or crew ends or begins."""
    if w[CHANGES] < w[CHANGES_END]:
        set_moment(w, f, w[CHANGE_SLOT], f[w[CHANGES] + CHANGE_AT])


@kernel
def change_shift(w: Words, f: Floats) -> None:
    """A shift of a station or crew ends or begins; then comes the next change, or the first one of the next day."""
    change = w[CHANGE]
    row = w[change + CHANGE_ROW]
    row += CREW_FREE if w[change + CHANGE_KIND] else CLOSED
    w[row] += w[change + CHANGE_BY]
    at = f[change + CHANGE_AT]
    change += CHANGE_WIDE
    begin = f[NOW] - at
    if change == w[CHANGES_END]:
        change = w[CHANGES]
        begin += f[DAY]
    w[CHANGE] = change
    set_moment(w, f, w[CHANGE_SLOT], begin + f[change + CHANGE_AT])
    for bench in range(w[BENCHES], w[BENCHES_END], BENCH_WIDE):
        mark(w, bench)
