"""Which station held things up in which week: a small matrix, the darker the more, with the number in each field."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.draw.charts.chart import Chart, ChartError, ChartTable
from pullwright.draw.charts.frame import MOST_ROWS, both
from pullwright.draw.charts.panel import GRID, Panel
from pullwright.draw.charts.ticks import number_words
from pullwright.draw.ink import BODY, HAIR, INK, PAPER, PENCIL, SMALL
from pullwright.draw.letters import width_of

DENSITIES = (0.0, 0.05, 0.11, 0.18, 0.26, 0.35, 0.72, 0.86, 1.0)
"""How dark a field is, in steps. The middle greys are left out: on them neither ink nor paper can be read well."""
_DARK = 0.5
MOST_STATIONS, MOST_WEEKS = 40, 106
_ROW = 24.0


def weeks_by_station(
    stations: Sequence[str],
    weeks: Sequence[str],
    values: Sequence[Sequence[float]] | NDArray[Any],
    *,
    title: str,
    unit: str = "share",
    caption: str = "",
    prefix: str = "weeks",
) -> Chart:
    """Which station held things when? One field for each station and week, as dark as its value, with the number in it.

    Parameters: `values` has a row for each station and a column for each week, nan where nothing is known (an empty field);
    `unit` "share" is said in per cent without its sign. Where the weeks do not fit side by side they go on in a further
    band, like lines of text. Errors: ChartError for a matrix of another shape, values below nothing or without end, or more than
    40 stations or 106 weeks.

    >>> chart = weeks_by_station(["hone", "pack"], ["w 10", "w 11"], [[0.7, 0.2], [float("nan"), 0.4]], title="Held by")
    >>> chart.table.rows
    (('hone', '70 %', '20 %'), ('pack', '', '40 %'))
    """
    matrix = _matrix(stations, weeks, values, title)
    known = matrix[np.isfinite(matrix)]
    greatest = float(known.max(initial=0.0)) or 1.0
    if unit == "share":
        greatest = max(greatest, 0.5)

    def draw(width: float, name: str) -> str:
        narrow = width < 600
        label = min(max([width_of(one, BODY) for one in stations], default=0.0) + 14, 110.0 if narrow else 240.0)
        cell = 32.0 if narrow else 44.0
        fit = max(int((width - label - 4) // cell), 1)
        bands = math.ceil(len(weeks) / fit) or 1
        deep = 22.0 + len(stations) * _ROW + 16.0
        height = bands * deep
        panel = Panel(
            width, height, across=(0.0, width - label), up=(height, 0.0), left=label, right=0, top=0, bottom=0
        )
        for band in range(bands):
            top = band * deep + 22.0
            chosen = range(band * fit, min((band + 1) * fit, len(weeks)))
            _band(panel, chosen, top, cell, stations, weeks, matrix, greatest, unit)
        return panel.svg(name, title, caption)

    return both(draw, prefix, _table(stations, weeks, matrix, title, unit), title, caption, "")


def _matrix(
    stations: Sequence[str], weeks: Sequence[str], values: Sequence[Sequence[float]] | NDArray[Any], title: str
) -> NDArray[np.float64]:
    matrix = (
        np.asarray(values, dtype=np.float64).reshape(-1, len(weeks)) if len(weeks) else np.zeros((len(stations), 0))
    )
    if matrix.shape != (len(stations), len(weeks)):
        raise ChartError(
            f"a matrix of {matrix.shape[0]} rows was read in {title!r}; give a row for each of {len(stations)} stations"
        )
    if len(stations) > MOST_STATIONS or len(weeks) > MOST_WEEKS:
        raise ChartError(
            f"{len(stations)} stations and {len(weeks)} weeks were read in {title!r}; at most {MOST_STATIONS} and "
            f"{MOST_WEEKS} can be read on a page: choose them"
        )
    if np.isinf(matrix).any() or (matrix < 0).any():
        raise ChartError(f"a value below nothing or without end was read in {title!r}; leave it out as nan, and say so")
    return matrix


def _band(
    panel: Panel,
    chosen: range,
    top: float,
    cell: float,
    stations: Sequence[str],
    weeks: Sequence[str],
    matrix: NDArray[np.float64],
    greatest: float,
    unit: str,
) -> None:
    fields: dict[float, list[dict[str, float]]] = {}
    every = _every([weeks[week] for week in chosen], cell)
    for place, week in enumerate(chosen):
        left = place * cell
        if place % every == 0:
            panel.write(left + cell / 2, top, weeks[week], dy=-7, align="center", tone=PENCIL)
        for row in range(len(stations)):
            value = float(matrix[row, week])
            if math.isnan(value):
                continue
            at = top + row * _ROW
            density = density_of(value / greatest)
            box = {"x": left + 1, "x2": left + cell - 1, "y": at + 1, "y2": at + _ROW - 1}
            fields.setdefault(density, []).append(box)
            words = f"{value * 100:.0f}" if unit == "share" else number_words(value, digits=3)
            tone = PAPER if density > _DARK else INK
            panel.write(left + cell / 2, at + _ROW / 2 + 4, words, align="center", tone=tone, size=SMALL)
    for density, boxes in fields.items():
        mark = {"type": "rect", "fill": INK, "fillOpacity": density, "stroke": GRID, "strokeWidth": HAIR}
        panel.layer(mark, boxes)
    for row, station in enumerate(stations):
        panel.write(
            0.0, top + row * _ROW + _ROW / 2 + 4, station, dx=-10, align="right", size=BODY, room=panel.left - 12
        )


def _every(words: Sequence[str], cell: float) -> int:
    """Return that every so many-th word has room over its column."""
    longest = max([width_of(one, SMALL) for one in words], default=0.0) + 6
    return max(math.ceil(longest / cell), 1)


def density_of(share: float) -> float:
    """Return how dark the field of a value is, as a share of ink.

    >>> density_of(0.0), density_of(0.5), density_of(1.0)
    (0.0, 0.26, 1.0)
    """
    return DENSITIES[min(max(round(share * (len(DENSITIES) - 1)), 0), len(DENSITIES) - 1)]


def _table(
    stations: Sequence[str], weeks: Sequence[str], matrix: NDArray[np.float64], title: str, unit: str
) -> ChartTable:
    def said(value: float) -> str:
        return "" if math.isnan(value) else number_words(value, unit, 3)

    if len(weeks) <= 8:
        rows = tuple(
            (station, *(said(float(value)) for value in row)) for station, row in zip(stations, matrix, strict=True)
        )
        return ChartTable(title, ("station", *weeks), rows)
    # Many weeks go down the page: a table with fifty columns is read by nobody.
    rows = tuple(
        (week, *(said(float(value)) for value in column)) for week, column in zip(weeks, matrix.T, strict=True)
    )
    return ChartTable(title, ("week", *stations), rows[:MOST_ROWS])
