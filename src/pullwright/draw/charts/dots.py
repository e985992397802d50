"""Readings in the order in which they were taken: full dots count, open ones are set aside."""

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
    nice_range,
    room_left,
    span_of,
    write_endings,
)
from pullwright.draw.charts.panel import Panel
from pullwright.draw.charts.thinning import kept, thinned_words
from pullwright.draw.charts.ticks import along, moment_words, number_words, numbers, round_ticks
from pullwright.draw.ink import INK, LOOK, PAPER, PENCIL
from pullwright.draw.letters import width_of

_WORDED = 3
"""Different words that are written beside dots out of place; each stands beside the highest of its dots."""


@dataclass(frozen=True, slots=True)
class Dot:
    """One reading: where it stands in the order (a number or a moment), its value, and what is said of it.

    `aside` is the reason why it does not count; `look` the word beside the mark when it is out of place.
    """

    at: Any
    value: float
    aside: str = ""
    look: str = ""


@dataclass(frozen=True, slots=True)
class Sloping:
    """A straight line from (at, value) to (at, value), with its words: a drift."""

    start: tuple[Any, float]
    end: tuple[Any, float]
    words: str = "drift"


def dots_in_order(
    dots: Sequence[Dot],
    *,
    title: str,
    unit: str = "",
    across: str = "cycle",
    caption: str = "",
    mean: Level | None = None,
    band: tuple[float, float] | None = None,
    levels: Sequence[Level] = (),
    slope: Sloping | None = None,
    from_zero: bool = False,
    prefix: str = "dots",
) -> Chart:
    """How did readings fall, one after the other? Full dots count, open ones are set aside but kept in sight.

    Parameters: `dots` in their order; `mean` a whole line with words, `band` the interval around it as a light strip,
    `levels` further lines, dashed; `slope` a drift. Errors: ChartError for numbers without end.

    >>> chart = dots_in_order([Dot(1, 45.2), Dot(2, 61.0, aside="dropped a part")], title="Honing", unit="s")
    >>> chart.table.rows
    (('1', '45.2 s', ''), ('2', '61 s', 'dropped a part'))
    """
    places = along([dot.at for dot in dots])
    values = numbers([dot.value for dot in dots], f"in {title!r}")
    slopes = [] if slope is None else [along([slope.start[0], slope.end[0]]).at]
    lines = ([mean] if mean else []) + list(levels)
    sloping = () if slope is None else (slope.start[1], slope.end[1])
    others = [*(level.value for level in lines), *(band or ()), *sloping]
    up = nice_range(*span_of([values, numbers(others, f"for a line across {title!r}")]), from_zero=from_zero)
    reach = span_of([places.at, *slopes])
    air = (reach[1] - reach[0]) * 0.01 or 0.5
    reach = (reach[0] - air, reach[1] + air)
    shown = _shown(places.at, values, dots)

    def draw(width: float, name: str) -> str:
        narrow = width < 600
        worded = [level.look or level.words for level in lines] + ([slope.words] if slope else [])
        panel = Panel(
            width, 230 if narrow else 320, across=reach, up=up, left=room_left(round_ticks(*up, 5), ""),
            right=endings_room(width, worded, any(level.look for level in lines)), top=28, bottom=44 if across else 28,
        )  # fmt: skip
        if band is not None:
            panel.layer(
                {"type": "rect", "fill": INK, "fillOpacity": 0.07},
                [{"x": reach[0], "x2": reach[1], "y": band[0], "y2": band[1]}],
            )
        axes(panel, unit, "" if places.time else across, time=places.time, whole=bool((places.at % 1 == 0).all()))
        endings = levels_across(panel, levels)
        if mean is not None:
            panel.rules([(reach[0], mean.value, reach[1], mean.value)], LOOK if mean.look else INK, 1.0)
            endings.append(Ending(mean.value, mean.look or mean.words, LOOK if mean.look else INK, bool(mean.look)))
        if slope is not None:
            start, end = slopes[0]
            panel.rules([(float(start), slope.start[1], float(end), slope.end[1])], PENCIL, 1.25, (1.5, 3.5))
            endings.append(Ending(slope.end[1], slope.words, PENCIL))
        _dots(panel, shown, places.at, dots, 2.1 if narrow or len(shown) > 400 else 2.7)
        write_endings(panel, endings)
        return panel.svg(name, title, caption)

    note = thinned_words(len(shown), len(dots), "readings")
    return both(draw, prefix, _table(dots, places.at, title, unit, across, time=places.time), title, caption, note)


def _shown(at: NDArray[np.float64], values: NDArray[np.float64], dots: Sequence[Dot]) -> list[int]:
    if len(dots) <= 1600:
        return list(range(len(dots)))
    if (np.diff(at) < 0).any():
        raise ChartError(
            f"{len(dots):,} readings out of order were read; sort them by their place, so that they can be thinned"
        )
    return [int(one) for one in kept(at, values, 400)]


def _dots(panel: Panel, shown: Sequence[int], at: NDArray[np.float64], dots: Sequence[Dot], radius: float) -> None:
    def rows(chosen: list[int]) -> list[dict[str, float]]:
        return [{"x": float(at[one]), "y": float(dots[one].value)} for one in chosen]

    size = 3.14159 * radius * radius
    full = [one for one in shown if not dots[one].aside and not dots[one].look]
    aside = [one for one in shown if dots[one].aside and not dots[one].look]
    look = [one for one in shown if dots[one].look]
    panel.layer(
        {"type": "point", "shape": "circle", "filled": True, "fill": INK, "size": size, "opacity": 1}, rows(full)
    )
    open_mark = {"type": "point", "shape": "circle", "filled": False, "fill": PAPER, "strokeWidth": 1.25, "opacity": 1}
    panel.layer({**open_mark, "stroke": PENCIL, "size": size * 1.7}, rows(aside))
    panel.layer({**open_mark, "stroke": LOOK, "strokeWidth": 1.9, "size": 36}, rows(look))
    highest: dict[str, int] = {}
    for one in look:
        if dots[one].value > dots[highest.setdefault(dots[one].look, one)].value:
            highest[dots[one].look] = one
    for word, one in list(highest.items())[:_WORDED]:
        count = sum(1 for other in look if dots[other].look == word)
        words = f"{word} ({count})" if count > 1 else word
        beyond = at[one] + (width_of(words, 11) + 26) * panel.across_per_unit() > panel.across[1]
        if beyond:
            # The mark stands before the word, and both end before the dot.
            start = float(at[one]) - (width_of(words, 11) + 24) * panel.across_per_unit()
            panel.write(start, dots[one].value, words, dy=-7, mark=True)
        else:
            panel.write(float(at[one]), dots[one].value, words, dx=6, dy=-7, mark=True)
    if aside and len(aside) <= 2:
        for one in aside:
            behind = (panel.across[1] - float(at[one])) / panel.across_per_unit()
            before = (float(at[one]) - panel.across[0]) / panel.across_per_unit()
            beyond = behind < min(width_of(dots[one].aside, 11) + 8, before)
            panel.write(
                float(at[one]), dots[one].value, dots[one].aside, dx=-8 if beyond else 8, dy=4,
                align="right" if beyond else "left", tone=PENCIL, room=max((before if beyond else behind + panel.right) - 12, 40),
            )  # fmt: skip


def _table(
    dots: Sequence[Dot], at: NDArray[np.float64], title: str, unit: str, across: str, *, time: bool
) -> ChartTable:
    chosen = list(range(len(dots)))
    note = ""
    if len(dots) > MOST_ROWS:
        said = [one for one in chosen if dots[one].aside or dots[one].look][:MOST_ROWS]
        chosen = sorted({*chosen[: MOST_ROWS - len(said)], *said})
        note = f"The first {MOST_ROWS - len(said):,} of {len(dots):,} readings, and {len(said)} that are set aside or out of place."
    rows = tuple(
        (
            moment_words(at[one]) if time else number_words(float(at[one])),
            number_words(dots[one].value, unit),
            "; ".join(part for part in (dots[one].look, dots[one].aside) if part),
        )
        for one in chosen
    )
    return ChartTable(title, ("when" if time else across or "place", "reading", "said of it"), rows, note)
