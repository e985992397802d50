"""Lines with the band in which the true value lies: a share that is learnt look by look."""

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
from pullwright.draw.charts.steps import LINES
from pullwright.draw.charts.thinning import kept, thinned_words
from pullwright.draw.charts.ticks import along, moment_words, number_words, numbers, round_ticks
from pullwright.draw.ink import INK


@dataclass(frozen=True)
class Banded:
    """One line with its band: places in order, values, and the lower and upper ends of the interval at each."""

    name: str
    at: Sequence[Any] | NDArray[Any]
    values: Sequence[float] | NDArray[Any]
    low: Sequence[float] | NDArray[Any]
    high: Sequence[float] | NDArray[Any]


def lines_with_band(
    series: Sequence[Banded],
    *,
    title: str,
    unit: str = "",
    across: str = "",
    caption: str = "",
    levels: Sequence[Level] = (),
    prefix: str = "band",
) -> Chart:
    """How did an estimate settle, and how far may the truth be from it? Up to four lines with their bands.

    Parameters: `series` with places in order; `unit` ("share" is said in per cent and begins at nothing); `across` names
    what is counted along the ground. Errors: ChartError for numbers without end, rows of different length, places out of order.

    >>> chart = lines_with_band([Banded("waiting", [10, 20], [0.3, 0.25], [0.1, 0.12], [0.6, 0.45])],
    ...                         title="Waiting", unit="share", across="looks")
    >>> chart.table.rows[1]
    ('20', '25 %', '12 %', '45 %')
    """
    looks_first(title, len(series), len(LINES))
    read = [_read(one) for one in series]
    share = unit == "share"
    time = any(timed for *_, timed in read)
    low, high = span_of([row for at, *rows, _ in read for row in rows] + [[level.value for level in levels]])
    up = (0.0, min(high * 1.06, 1.0) or 1.0) if share else nice_range(low, high, from_zero=False)
    reach = span_of([at for at, *_ in read])
    whole = not time and all((at % 1 == 0).all() for at, *_ in read)
    if reach[0] == reach[1]:
        reach = (reach[0] - (1800.0 if time else 0.5), reach[1] + (1800.0 if time else 0.5))

    def draw(width: float, name: str) -> str:
        narrow = width < 600
        words = [one.name for one in series] + [level.look or level.words for level in levels]
        panel = Panel(
            width, 230 if narrow else 320, across=reach, up=up,
            left=room_left(round_ticks(*up, 5), "share" if share else ""),
            right=endings_room(width, words, any(level.look for level in levels)), top=24, bottom=44 if across else 28,
        )  # fmt: skip
        keeps = [kept(at, values, 60 if narrow else 200) for at, values, *_ in read]
        for (at, _, below, above, _), keep in zip(read, keeps, strict=True):
            panel.layer(
                {"type": "area", "fill": INK, "fillOpacity": 0.08},
                [{"x": float(at[one]), "y": float(below[one]), "y2": float(above[one])} for one in keep],
            )
        axes(panel, unit, across, time=time, share=share, whole=whole)
        endings = levels_across(panel, levels)
        for (at, values, _, _, _), keep, one, line in zip(read, keeps, series, LINES, strict=False):
            rows = [{"x": float(at[place]), "y": float(values[place])} for place in keep]
            panel.layer({"type": "line", "strokeJoin": "round", **line}, rows)
            if len(rows) == 1:
                panel.layer({"type": "point", "shape": "circle", "filled": True, "fill": INK, "size": 24}, rows)
            if len(values):
                endings.append(Ending(float(values[-1]), one.name, str(line["stroke"])))
        write_endings(panel, endings)
        return panel.svg(name, title, caption)

    count = sum(len(at) for at, *_ in read)
    drawn = sum(len(kept(at, values, 200)) for at, values, *_ in read)
    table = _table(series, read, title, unit, across, time=time)
    return both(draw, prefix, table, title, caption, thinned_words(drawn, count))


_Read = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], bool]


def _read(one: Banded) -> _Read:
    places = along(one.at)
    rows = [numbers(row, f"in {one.name!r}") for row in (one.values, one.low, one.high)]
    if {len(row) for row in rows} != {len(places.at)}:
        raise ChartError(
            f"rows of different length were read in {one.name!r}; give a value and both ends for each place"
        )
    if (np.diff(places.at) < 0).any():
        raise ChartError(f"the places of {one.name!r} are not in order; sort them with their values")
    return places.at, rows[0], rows[1], rows[2], places.time


def _table(
    series: Sequence[Banded], read: Sequence[_Read], title: str, unit: str, across: str, *, time: bool
) -> ChartTable:
    several = len(series) > 1
    rows: list[tuple[str, ...]] = []
    whole = sum(len(at) for at, *_ in read)
    each = max(MOST_ROWS // max(len(series), 1), 1)
    for one, (at, values, below, above, _) in zip(series, read, strict=True):
        chosen = (
            range(len(at)) if whole <= MOST_ROWS else sorted({*range(0, len(at), -(-len(at) // each)), len(at) - 1})
        )
        for place in chosen:
            words = moment_words(at[place]) if time else number_words(float(at[place]))
            row = (words, *(number_words(float(part[place]), unit, 3) for part in (values, below, above)))
            rows.append((one.name, *row) if several else row)
    columns = ("when" if time else across or "at", "value", "from", "to")
    note = f"{len(rows)} of {whole:,} places, evenly chosen." if whole > MOST_ROWS else ""
    return ChartTable(title, ("line", *columns) if several else columns, tuple(rows), note)
