"""What share is done within so long: curves that rise from nothing to all, and what was promised as upright lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.draw.charts.chart import Chart, ChartTable, Level
from pullwright.draw.charts.frame import Ending, axes, both, endings_room, looks_first, room_left, write_endings
from pullwright.draw.charts.panel import Panel
from pullwright.draw.charts.steps import LINES
from pullwright.draw.charts.ticks import number_words, numbers, round_ticks
from pullwright.draw.ink import LOOK, PENCIL, SMALL
from pullwright.draw.letters import width_of

_TOLD = (0.05, 0.25, 0.5, 0.75, 0.8, 0.9, 0.95, 0.99)
"""Shares that the table tells."""


@dataclass(frozen=True)
class Within:
    """One curve: what a share of each of `shares` (rising) does not exceed."""

    name: str
    at: Sequence[float] | NDArray[np.float64]
    shares: Sequence[float] | NDArray[np.float64]


def shares_within(
    curves: Sequence[Within],
    *,
    title: str,
    across: str,
    unit: str = "",
    caption: str = "",
    levels: Sequence[Level] = (),
    prefix: str = "within",
) -> Chart:
    """How many are done within so long? Up to four curves; `levels` are upright dashed lines at a promise, with their words.

    Parameters: `across` names what runs along the ground, `unit` is what the table writes behind it. Errors: ChartError for numbers without end.

    >>> chart = shares_within([Within("today", [2.0, 3.0, 8.0], [0.05, 0.5, 0.95])], title="Lead time", across="working days", unit="d")
    >>> ("50 %", "3 d") in chart.table.rows
    True
    """
    looks_first(title, len(curves), len(LINES))
    read = [(numbers(one.at, f"in {one.name!r}"), numbers(one.shares, f"in {one.name!r}")) for one in curves]
    ends = [float(at.max()) for at, _ in read if at.size] + [level.value for level in levels]
    reach = (0.0, max(ends, default=1.0) * 1.03 or 1.0)

    def draw(width: float, name: str) -> str:
        narrow = width < 600
        panel = Panel(
            width, 230 if narrow else 320, across=reach, up=(0.0, 1.0), left=room_left(round_ticks(0.0, 1.0, 5), "share"),
            right=endings_room(width, [one.name for one in curves]), top=40 if levels else 24, bottom=44,
        )  # fmt: skip
        axes(panel, "", across, time=False, share=True)
        endings = []
        for (at, shares), one, line in zip(read, curves, LINES, strict=False):
            if not at.size:
                continue
            rows = [{"x": float(x), "y": float(y)} for x, y in zip(at, shares, strict=True)]
            panel.layer({"type": "line", "strokeJoin": "round", **line}, [*rows, {"x": reach[1], "y": rows[-1]["y"]}])
            endings.append(Ending(rows[-1]["y"], one.name, str(line["stroke"])))
        _promises(panel, levels)
        write_endings(panel, endings)
        return panel.svg(name, title, caption)

    return both(draw, prefix, _table(curves, read, title, unit), title, caption, "")


def _promises(panel: Panel, levels: Sequence[Level]) -> None:
    """Upright lines, their words above the field, the later one higher where both would meet."""
    before = -np.inf
    for place, level in enumerate(sorted(levels, key=lambda one: one.value)):
        tone = LOOK if level.look else PENCIL
        panel.rules([(level.value, 0.0, level.value, 1.0)], tone, 1.25 if level.look else 1.0, (5, 4))
        words = level.look or level.words
        long = width_of(words, SMALL) + (16 if level.look else 0)
        at = panel.left + (level.value - panel.across[0]) / panel.across_per_unit()
        left = min(max(at - long / 2, 0.0), panel.width - long)
        meets = place > 0 and left < before + 8
        panel.write(level.value, 1.0, words, dx=left - at, dy=-24 if meets else -8, tone=tone, mark=bool(level.look))
        before = left + long


def _table(
    curves: Sequence[Within], read: Sequence[tuple[NDArray[np.float64], NDArray[np.float64]]], title: str, unit: str
) -> ChartTable:
    rows = []
    for share in _TOLD:
        cells = [
            number_words(float(at[min(int(np.searchsorted(shares, share - 1e-9)), at.size - 1)]), unit, 3) if at.size else ""
            for at, shares in read
        ]  # fmt: skip
        rows.append((f"{100 * share:g} %", *cells))
    return ChartTable(title, ("share", *(one.name for one in curves)), tuple(rows))
