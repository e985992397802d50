"""How values spread: a pile of dots where there are few, steps of a histogram where there are many, with percentiles marked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.draw.charts.chart import Chart, ChartTable, Level
from pullwright.draw.charts.frame import both, span_of
from pullwright.draw.charts.panel import GRID, Panel
from pullwright.draw.charts.ticks import number_words, numbers, round_ticks
from pullwright.draw.ink import HAIR, INK, LOOK, PENCIL, SMALL
from pullwright.draw.letters import width_of

FEW = 60
"""Up to so many values each one is a dot of its own."""
PERCENTILES = (0.5, 0.9, 0.95)


def spread(
    values: Sequence[float] | NDArray[Any],
    *,
    title: str,
    unit: str = "",
    what: str = "readings",
    caption: str = "",
    percentiles: Sequence[float] = PERCENTILES,
    levels: Sequence[Level] = (),
    curve: tuple[Sequence[float], Sequence[float]] | None = None,
    prefix: str = "spread",
) -> Chart:
    """How far do values spread, and which of them is exceeded how seldom?

    Parameters: `values` in `unit`; up to 60 are drawn each as a dot, more as a histogram with classes of equal width by the
    rule of Freedman and Diaconis (1981); `percentiles` as shares (linear interpolation between order statistics);
    `levels` further upright lines, a promise for instance; `curve` a density (places, density per unit) laid over it, scaled
    to the count. Errors: ChartError for numbers without end.

    >>> chart = spread([4, 5, 5, 6, 9], title="Lead time", unit="d", percentiles=(0.5,))
    >>> chart.table.rows[0]
    ('50 % are at most', '5 d')
    """
    read = np.sort(numbers(values, f"in {title!r}"))
    marks = [(share, float(np.quantile(read, share))) for share in percentiles] if len(read) else []
    over = [numbers(row, f"in the curve of {title!r}") for row in (curve or ((), ()))]
    numbers([level.value for level in levels], f"for a line in {title!r}")
    low, high = span_of([read, [level.value for level in levels]])
    edges = _edges(read, low, high)
    counts = np.histogram(read, edges)[0]
    width_of_class = float(edges[1] - edges[0])
    air = (edges[-1] - edges[0]) * 0.02
    reach = (float(edges[0] - air), float(edges[-1] + air))
    piled = _piled(read, reach) if len(read) <= FEW else []
    heights = over[1] * len(read) * width_of_class if len(over[1]) else np.zeros(0)
    tallest = float(max(counts.max(initial=0), heights.max(initial=0.0), 1.0))
    few = len(read) <= FEW

    def draw(width: float, name: str) -> str:
        narrow = width < 600
        words = [(at, f"{number_words(share, 'share')}: {number_words(at, unit, 3)}", "") for share, at in marks]
        words += [(level.value, level.look or level.words, level.look) for level in levels]
        stair = len(words)
        top = 14.0 + 15.0 * stair
        height = top + (110.0 if few and curve is None else 190.0) + 42
        left = 10.0 if few else width_of(number_words(tallest), SMALL) + 12
        panel = Panel(width, height, across=reach, up=(0.0, tallest * 1.04), left=left, right=14, top=top, bottom=42)
        if few:
            _pile(panel, piled, 2.3 if narrow else 3.0)
        else:
            for at in round_ticks(0, tallest, 4, whole=True)[1:]:
                panel.rules([(reach[0], at, reach[1], at)], GRID)
                panel.write(reach[0], at, number_words(at), dx=-7, dy=4, align="right", tone=PENCIL)
            panel.layer(
                {"type": "rect", "fill": INK, "fillOpacity": 0.16, "stroke": INK, "strokeWidth": HAIR},
                [
                    {"x": float(start), "x2": float(end), "y": 0.0, "y2": float(count)}
                    for start, end, count in zip(edges, edges[1:], counts, strict=False)
                    if count
                ],
            )
        if len(heights):
            panel.layer(
                {"type": "line", "stroke": INK, "strokeWidth": 1.25, "clip": True},
                [{"x": float(x), "y": float(y)} for x, y in zip(over[0], heights, strict=True)],
            )
        panel.rules([(reach[0], 0.0, reach[1], 0.0)], INK, HAIR)
        for at in round_ticks(*reach, 4 if narrow else 9):
            panel.rules([(at, 0.0, at, -5 * panel.up_per_unit())], PENCIL)
            panel.write(at, 0.0, number_words(at), dy=18, align="center", tone=PENCIL)
        panel.write(reach[1], 0.0, unit if unit else "", dy=33, align="right", tone=PENCIL)
        _uprights(panel, sorted(words), stair)
        return panel.svg(name, title, caption)

    table = [(f"{number_words(share, 'share')} are at most", number_words(at, unit)) for share, at in marks]
    table += [(level.words, number_words(level.value, unit)) for level in levels]
    if few:
        table += [("each of them", number_words(float(one), unit)) for one in read]
    else:
        table += [
            (f"{number_words(float(start))} to {number_words(float(end), unit)}", f"{int(count):,} {what}")
            for start, end, count in zip(edges, edges[1:], counts, strict=False)
        ]
    return both(draw, prefix, ChartTable(title, ("what", "value"), tuple(table)), title, caption, "")


def _edges(read: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    """Return the edges of classes of equal width: at least 6 and at most 60 of them."""
    if not len(read) or low == high:
        return np.array([low - 0.5, low + 0.5]) if low == high else np.array([low, high])
    quarter = float(np.quantile(read, 0.75) - np.quantile(read, 0.25))
    width = 2 * quarter / len(read) ** (1 / 3)
    classes = 12 if width <= 0 else math.ceil((high - low) / width)
    return np.linspace(low, high, min(max(classes, 6), 60) + 1)


def _piled(read: NDArray[np.float64], reach: tuple[float, float]) -> list[tuple[float, int]]:
    """Return each value with how many stand below it in its pile, so that no dot covers another."""
    step = (reach[1] - reach[0]) / 48
    piles: dict[int, int] = {}
    found = []
    for value in read:
        place = round((float(value) - reach[0]) / step)
        piles[place] = piles.get(place, 0) + 1
        found.append((float(value), piles[place] - 1))
    return found


def _pile(panel: Panel, piled: Sequence[tuple[float, int]], radius: float) -> None:
    pitch = min(radius * 2 + 1.6, panel.field[1] / max([height + 1 for _, height in piled], default=1))
    per = panel.up_per_unit()
    panel.layer(
        {
            "type": "point",
            "shape": "circle",
            "filled": True,
            "fill": INK,
            "size": 3.14159 * radius * radius,
            "opacity": 0.85,
        },
        [{"x": at, "y": (radius + 3 + height * pitch) * per} for at, height in piled],
    )


def _uprights(panel: Panel, words: Sequence[tuple[float, str, str]], stair: int) -> None:
    """Draw upright lines, each to a step of its own, with its words on the side that has room."""
    top, per = panel.up[1], panel.up_per_unit()
    for place, (at, said, look) in enumerate(words):
        height = top + (stair - place - 0.3) * 15.0 * per
        panel.rules([(at, 0.0, at, height)], LOOK if look else PENCIL, 1.0, () if not look else (5, 4))
        room = (panel.across[1] - at) / panel.across_per_unit() + panel.right
        before = (at - panel.across[0]) / panel.across_per_unit() + panel.left
        mark = 16 if look else 0
        wide = width_of(said, SMALL) + mark + 8
        if wide <= room or room >= before:
            panel.write(at, height, said, dx=5, dy=8, mark=bool(look), room=room - mark - 6)
        else:
            start = at - min(wide, before - 2) * panel.across_per_unit()
            panel.write(start, height, said, dy=8, mark=bool(look), room=before - mark - 8)
