"""Lines that shut themselves: each station holds what another one waits for, and nothing comes out any more."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.rows import HELD
from pullwright.forecast.seen import Seen

_LAST = 4
"""The last so-many-th part of the days, in which nothing came out."""
_FEWEST_DAYS = 8


def shut_sentence(seen: Seen) -> str:
    """Say in how many runs nothing came out at the end although customers ordered, and who held most; nothing where none did.

    Runs of less than eight days are not told from a slow line.
    """
    if seen.days < _FEWEST_DAYS:
        return ""
    last = slice(-(seen.days // _LAST), None)
    ended, ordered = seen.finished[:, last].sum(axis=(1, 2)), seen.ordered[:, last].sum(axis=(1, 2))
    waiting = seen.waiting[:, -1].sum(axis=1)
    shut = (ended == 0) & (ordered > 0) & (waiting >= ordered)
    if not shut.any():
        return ""
    held = seen.times[shut, :, HELD].mean(axis=0)
    if held.max() <= 0:
        return ""
    who = seen.layout.stations[int(np.argmax(held))]
    return (
        f"In {shut.sum()} of {seen.runs} runs nothing came out any more at the end, while {waiting[shut].mean():.0f} orders waited: stations hold pieces that "
        f"have no room further on, and each waits for another. {who} held the longest: give more room behind it, or let fewer in."
    )
