"""A level that holds until it changes: work in process, people, stock over time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.draw.charts.chart import Chart, ChartError, ChartTable, Level
from pullwright.draw.charts.frame import (
    MOST_ROWS,
    Ending,
    axes,
    both,
    endings_room,
    levels_across,
    looks_first,
    nice_range,
    room_left,
    span_of,
    write_endings,
)
from pullwright.draw.charts.panel import Panel
from pullwright.draw.charts.thinning import kept, stretch_edges, thinned_words
from pullwright.draw.charts.ticks import along, moment_words, number_words, numbers, round_ticks
from pullwright.draw.ink import INK, PENCIL

LINES: tuple[dict[str, Any], ...] = (
    {"stroke": INK, "strokeWidth": 1.5},
    {"stroke": INK, "strokeWidth": 1.5, "strokeDash": [7, 4]},
    {"stroke": PENCIL, "strokeWidth": 1.1},
    {"stroke": PENCIL, "strokeWidth": 1.5, "strokeDash": [1.5, 3.5]},
)
"""How lines are told apart: ink or pencil, whole, dashed or dotted; never by hue."""


@dataclass(frozen=True)
class Steps:
    """One line of steps: its name, the moments (or numbers) from which each value holds, and the values.

    `until` is where the last value ends; None where it ends with the last moment.
    """

    name: str
    at: Sequence[Any] | NDArray[Any]
    values: Sequence[float] | NDArray[Any]
    until: Any = None


def steps_over_time(
    series: Sequence[Steps],
    *,
    title: str,
    unit: str = "",
    across: str = "",
    caption: str = "",
    levels: Sequence[Level] = (),
    prefix: str = "steps",
) -> Chart:
    """How did a level go over time? Up to four lines of steps with their names at their ends, and levels across.

    Parameters: `series` in the order of importance, each with its places in order (moments, numpy datetime64, or numbers);
    `unit` of the values ("share" is said in per cent); `across` names the level axis where it is no time; `levels` are
    dashed lines with words (a limit, a mean). Where there are many points the picture keeps the least and the greatest of each
    stretch, and says so. Errors: ChartError for numbers without end, places out of order, or more than four lines.

    >>> chart = steps_over_time([Steps("in the line", [0, 3600, 7200], [4, 6, 5])], title="Work in process", unit="pieces")
    >>> chart.table.rows[1], chart.svg_wide.startswith("<svg")
    (('3,600', '6 pieces'), True)
    """
    looks_first(title, len(series), len(LINES))
    read = [_read(one) for one in series]
    time = any(timed for _, _, timed in read)
    low, high = span_of([values for _, values, _ in read] + ([[level.value for level in levels]] if levels else []))
    up = nice_range(low, high, from_zero=low >= 0)
    reach = span_of([at for at, _, _ in read])
    if reach[0] == reach[1]:
        reach = (reach[0], reach[1] + (3600.0 if time else 1.0))
    drawn = 0

    def draw(width: float, name: str) -> str:
        nonlocal drawn
        narrow = width < 600
        words = [one.name for one in series] + [level.look or level.words for level in levels]
        panel = Panel(
            width, 230 if narrow else 320, across=reach, up=up,
            left=room_left(round_ticks(*up, 5), "share" if unit == "share" else ""),
            right=endings_room(width, words, any(level.look for level in levels)), top=24, bottom=44 if across else 28,
        )  # fmt: skip
        axes(panel, unit, across, time=time, share=unit == "share", whole=all((at % 1 == 0).all() for at, _, _ in read))
        endings = levels_across(panel, levels)
        for (at, values, _), one, line in zip(read, series, LINES, strict=False):
            keep = kept(at, values, 120 if narrow else 420)
            drawn += len(keep)
            panel.layer(
                {"type": "line", "interpolate": "step-after", "strokeJoin": "round", "clip": False, **line},
                [{"x": float(at[place]), "y": float(values[place])} for place in keep],
            )
            if len(values):
                endings.append(Ending(float(values[-1]), one.name, str(line["stroke"])))
        write_endings(panel, endings)
        return panel.svg(name, title, caption)

    whole = sum(len(at) for at, _, _ in read)
    chart = both(draw, prefix, _table(series, read, title, unit, time), title, caption, "")
    most = sum(len(kept(at, values, 420)) for at, values, _ in read)
    return Chart(chart.svg_wide, chart.svg_narrow, chart.table, title, caption, thinned_words(most, whole))


def _read(one: Steps) -> tuple[NDArray[np.float64], NDArray[np.float64], bool]:
    places = along(one.at)
    values = numbers(one.values, f"in {one.name!r}")
    if len(values) != len(places.at):
        raise ChartError(
            f"{len(places.at)} places and {len(values)} values were read in {one.name!r}; give as many of both"
        )
    if (np.diff(places.at) < 0).any():
        raise ChartError(f"the places of {one.name!r} are not in order; sort them with their values")
    if one.until is not None and len(values):
        end = along([one.until]).at[0]
        return np.append(places.at, max(end, places.at[-1])), np.append(values, values[-1]), places.time
    return places.at, values, places.time


def _table(
    series: Sequence[Steps],
    read: Sequence[tuple[NDArray[np.float64], NDArray[np.float64], bool]],
    title: str,
    unit: str,
    time: bool,
) -> ChartTable:
    several = len(series) > 1
    whole = sum(len(at) for at, _, _ in read)
    first = "from" if time else "at"
    rows: list[tuple[str, ...]] = []
    if whole <= MOST_ROWS:
        for one, (at, values, _) in zip(series, read, strict=True):
            for place, value in zip(at, values, strict=True):
                row = (_place(place, time), number_words(float(value), unit))
                rows.append((one.name, *row) if several else row)
        return ChartTable(title, (*(("line",) if several else ()), first, "value"), tuple(rows))
    for one, (at, values, _) in zip(series, read, strict=True):
        for low, high in stretch_edges(at, MOST_ROWS // len(series)):
            part = values[low:high]
            changes, ends = f"{high - low:,}", (float(part.min()), float(part.max()), float(part[-1]))
            stretch = (_place(at[low], time), changes, *(number_words(end, unit) for end in ends))
            rows.append((one.name, *stretch) if several else stretch)
    note = f"{whole:,} changes, put together in stretches of equal length."
    return ChartTable(
        title, (*(("line",) if several else ()), first, "changes", "least", "greatest", "last"), tuple(rows), note
    )


def _place(place: float, time: bool) -> str:
    return moment_words(place) if time else number_words(float(place))
