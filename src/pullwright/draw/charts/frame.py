"""What stands around the ink of a chart: its axes, its levels, and the words at the ends of its lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.draw.charts.chart import Chart, ChartError, ChartTable, Level
from pullwright.draw.charts.panel import GRID, NARROW, WIDE, Panel
from pullwright.draw.charts.ticks import number_words, round_ticks, time_ticks
from pullwright.draw.ink import FAINT, HAIR, INK, LOOK, PENCIL, SMALL
from pullwright.draw.letters import width_of

PITCH = 15.0
"""From one line of words to the next, in units of the picture."""
MOST_ROWS = 240
"""Rows of a table that a page shows; more are put together in stretches, and that is said."""


@dataclass(frozen=True, slots=True)
class Ending:
    """Words that belong to a height: at the end of a line or a level. `look` puts the mark before them."""

    at: float
    words: str
    tone: str = INK
    look: bool = False


def both(
    draw: Callable[[float, str], str], prefix: str, table: ChartTable, title: str, caption: str, note: str
) -> Chart:
    """Return a chart drawn for a desk and for a phone."""
    return Chart(
        svg_wide=draw(WIDE, f"{prefix}-wide"),
        svg_narrow=draw(NARROW, f"{prefix}-narrow"),
        table=table,
        title=title,
        caption=caption,
        note=note,
    )


def endings_room(width: float, words: Sequence[str], marks: bool = False) -> float:
    """Return how much room words need right of the field: as much as the longest, within reason."""
    longest = max([width_of(one, SMALL) for one in words], default=0.0) + (16 if marks else 0) + 12
    return min(max(longest, 16.0), 200.0 if width > 600 else 112.0)


def room_left(values: Sequence[float], unit: str) -> float:
    """Return how much room the numbers of the upright axis need."""
    return max([width_of(number_words(value, unit), SMALL) for value in values], default=0.0) + 10


def nice_range(low: float, high: float, *, from_zero: bool) -> tuple[float, float]:
    """Return the range of an upright axis: from nothing where that is asked for or near, with a little air above."""
    if from_zero or 0 <= low < 0.4 * high:
        low = min(low, 0.0)
    span = high - low or abs(high) or 1.0
    return (low if low == 0 else low - 0.06 * span), high + 0.06 * span


def axes(panel: Panel, unit: str, across: str, *, time: bool, share: bool = False, whole: bool = False) -> None:
    """Draw hairlines at round heights with their numbers, the ground line, and the numbers or moments along it."""
    narrow = panel.width < 600
    (x0, x1), (y0, y1) = panel.across, panel.up
    heights = round_ticks(y0, y1, 5 if panel.height > 180 else 4)
    panel.rules([(x0, at, x1, at) for at in heights], GRID)
    for at in heights:
        panel.write(x0, at, number_words(at, "share" if share else ""), dx=-8, dy=4, align="right", tone=PENCIL)
    if unit and not share:
        panel.write(x0, y1, unit, dx=-panel.left + 2, dy=-10, tone=PENCIL)
    ground = y0 if y0 >= 0 or y1 <= 0 else 0.0
    panel.rules([(x0, ground, x1, ground)], INK, HAIR)
    if time:
        ticks = time_ticks(x0, x1, 4 if narrow else 10)
    else:
        ticks = [(at, number_words(at)) for at in round_ticks(x0, x1, 4 if narrow else 9, whole=whole)]
    for at, words in ticks:
        panel.rules([(at, y0, at, y0 - 5 * panel.up_per_unit())], PENCIL)
        panel.write(at, y0, words, dy=18, align="center", tone=PENCIL)
    if across:
        panel.write(x1, y0, across, dy=33, align="right", tone=PENCIL)


def levels_across(panel: Panel, levels: Sequence[Level]) -> list[Ending]:
    """Draw levels as dashed lines and return the words for their ends."""
    (x0, x1) = panel.across
    endings = []
    for level in levels:
        tone = LOOK if level.look else PENCIL
        panel.rules([(x0, level.value, x1, level.value)], tone, 1.25 if level.look else 1.0, (5, 4))
        endings.append(Ending(level.value, level.look or level.words, tone, bool(level.look)))
    return endings


def write_endings(panel: Panel, endings: Sequence[Ending]) -> None:
    """Write words beside the heights they belong to, right of the field, none over another; a thin line leads where one had to move."""
    (x1, pitch) = panel.across[1], PITCH * panel.up_per_unit()
    room = panel.right - 10
    for ending, at in zip(endings, spread_out([one.at for one in endings], pitch, panel.up), strict=True):
        moved = abs(at - ending.at) > pitch * 0.4
        if moved:
            step = panel.across_per_unit()
            panel.rules([(x1 + step, ending.at, x1 + 7 * step, at)], FAINT, 0.6)
        panel.write(
            x1,
            at,
            ending.words,
            dx=10,
            dy=4,
            tone=ending.tone,
            mark=ending.look,
            room=room - (16 if ending.look else 0),
        )


def spread_out(places: Sequence[float], least: float, within: tuple[float, float]) -> list[float]:
    """Return places moved apart so that none is nearer to another than `least`, as near to where they belong as can be.

    >>> spread_out([1.0, 1.1, 5.0], 1.0, (0.0, 10.0))
    [0.55, 1.55, 5.0]
    """

    def inside(wished: float, count: int) -> float:
        half = least * (count - 1) / 2
        return max(min(wished, within[1] - half), within[0] + half)

    order = sorted(range(len(places)), key=lambda one: places[one])
    groups: list[tuple[float, int]] = []  # the middle that its members wish for, and how many they are
    for one in order:
        groups.append((places[one], 1))
        while len(groups) > 1:
            (low, under), (high, above) = groups[-2:]
            if inside(high, above) - inside(low, under) >= least * (under + above) / 2 - 1e-12:
                break
            groups[-2:] = [((low * under + high * above) / (under + above), under + above)]
    moved = [0.0] * len(places)
    at = iter(order)
    for wished, count in groups:
        lowest = inside(wished, count) - least * (count - 1) / 2
        for place in range(count):
            moved[next(at)] = round(lowest + place * least, 12)
    return moved


def looks_first(title: str, count: int, most: int) -> None:
    """Refuse more lines than can be told apart without colour."""
    if count > most:
        raise ChartError(
            f"{count} lines were handed in for {title!r}; {most} can be told apart without colour: choose them"
        )


def span_of(values: Sequence[NDArray[np.float64] | Sequence[float]]) -> tuple[float, float]:
    """Return the least and the greatest of several rows of numbers; (0, 1) where there are none."""
    rows = [np.asarray(row, dtype=np.float64) for row in values if len(row)]
    if not rows:
        return 0.0, 1.0
    return float(min(row.min() for row in rows)), float(max(row.max() for row in rows))
