"""Shares and amounts as bars, the largest first where that is asked for, with intervals as whiskers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pullwright.draw.charts.chart import Chart, ChartError, ChartTable
from pullwright.draw.charts.frame import MOST_ROWS, both
from pullwright.draw.charts.panel import Panel
from pullwright.draw.charts.ticks import number_words, numbers
from pullwright.draw.hatching import HATCHES
from pullwright.draw.ink import BODY, HAIR, INK, LOOK, PENCIL, SMALL
from pullwright.draw.letters import width_of
from pullwright.line.kinds import KindKey

MOST_BARS = 24
_WIDE_ROW, _NARROW_ROW, _THICK = 30.0, 46.0, 13.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: its words, its value, and perhaps the interval around it; `kind` gives it the hatch of that kind of time.

    `said` is the value as people say it and `interval` its interval; both are made from the numbers where they are empty.
    `look` is the word beside the mark when it is out of place.
    """

    words: str
    value: float
    low: float | None = None
    high: float | None = None
    kind: KindKey | None = None
    look: str = ""
    said: str = ""
    interval: str = ""


def bars(
    rows: Sequence[Bar],
    *,
    title: str,
    unit: str = "",
    caption: str = "",
    most_first: bool = False,
    running: bool = False,
    prefix: str = "bars",
) -> Chart:
    """Which share or amount is how large? Bars from nothing, their intervals as whiskers under them, all of it in words too.

    Parameters: `unit` of the values ("share" is said in per cent); `most_first` sorts by value (Pareto); `running` adds
    what share of the whole the bars reach from the top down to each. At most 24 bars are drawn; the table has them all.
    Errors: ChartError for values below nothing or without end.

    >>> chart = bars([Bar("scratched", 3), Bar("leaks", 9)], title="Defects", unit="pieces", most_first=True, running=True)
    >>> chart.table.rows
    (('leaks', '9 pieces', '', '75 %'), ('scratched', '3 pieces', '', '100 %'))
    """
    values = numbers([row.value for row in rows], f"in {title!r}")
    numbers([end for row in rows for end in (row.low, row.high) if end is not None], f"for an interval in {title!r}")
    if (values < 0).any():
        raise ChartError(f"a bar below nothing was read in {title!r}; bars begin at nothing")
    order = sorted(rows, key=lambda row: -row.value) if most_first else list(rows)
    whole = float(values.sum())
    reached, shares = 0.0, []
    for row in order:
        reached += row.value
        shares.append(reached / whole if whole else 0.0)
    shown = order[:MOST_BARS]
    greatest = max([max(row.value, row.high or 0.0) for row in shown], default=0.0) or 1.0
    told = [_told(row, unit, share if running else None) for row, share in zip(order, shares, strict=True)]

    def draw(width: float, name: str) -> str:
        narrow = width < 600
        pitch = _NARROW_ROW if narrow else _WIDE_ROW
        said = max([_said_width(one, narrow=narrow) for one in told[: len(shown)]], default=0.0)
        label = 0.0 if narrow else min(max([width_of(row.words, BODY) for row in shown], default=0.0) + 14, 300.0)
        looks = any(row.look for row in shown)
        right = min(said + 20 + (0 if narrow or not looks else 150), width * 0.5)
        height = max(len(shown), 1) * pitch + 8
        panel = Panel(
            width, height, across=(0.0, greatest), up=(height - 8, 0.0), left=label + 1, right=right, top=4, bottom=4
        )
        middle = 30.0 if narrow else 13.0
        for place, (row, words) in enumerate(zip(shown, told, strict=False)):
            _bar(panel, row, words, place * pitch + middle, narrow=narrow)
        panel.rules([(0.0, 0.0, 0.0, height - 8)], INK, HAIR)
        return panel.svg(name, title, caption)

    note = f"The picture shows the first {MOST_BARS} of {len(rows)}." if len(rows) > MOST_BARS else ""
    return both(draw, prefix, _table(order, told, title, unit, running=running), title, caption, note)


def _told(row: Bar, unit: str, reached: float | None) -> tuple[str, str, str]:
    interval = row.interval
    if not interval and row.low is not None and row.high is not None:
        low, high = (number_words(end * (100 if unit == "share" else 1), digits=3) for end in (row.low, row.high))
        interval = f"{low} to {high}"
    running = "" if reached is None else number_words(round(reached, 3), "share", 3)
    return row.said or number_words(row.value, unit, 3), f"({interval})" if interval else "", running


def _bar(panel: Panel, row: Bar, told: tuple[str, str, str], middle: float, *, narrow: bool) -> None:
    mark: dict[str, Any] = {"type": "rect", "stroke": INK, "strokeWidth": HAIR, "fill": INK}
    if row.kind is None:
        mark |= {"fillOpacity": 0.16}
    elif HATCHES[row.kind].strokes:
        mark["fill"] = f"url(#hatch-{row.kind})"
    elif row.kind != "value":
        mark |= {"fillOpacity": 0, "strokeDash": [3, 2]}
    if row.look:
        mark |= {"stroke": LOOK, "strokeWidth": 2}
    top, under = middle - _THICK / 2, middle + _THICK / 2
    if row.value > 0:
        panel.layer(mark, [{"x": 0.0, "x2": row.value, "y": top, "y2": under}])
    reach = row.value
    if row.low is not None and row.high is not None:
        at = under + 4
        panel.rules([(row.low, at, row.high, at)], INK, 1.0)
        panel.rules([(end, at - 2.5, end, at + 2.5) for end in (row.low, row.high)], INK, 1.0)
        reach = max(reach, row.high)
    if narrow:
        room = panel.width - 4 - (width_of(row.look, BODY) + 30 if row.look else 0)
        panel.write(0.0, top - 6, row.words, size=BODY, room=room)
        if row.look:
            panel.write(0.0, top - 6, row.look, dx=width_of(row.words, BODY) + 8, size=BODY, mark=True)
    else:
        panel.write(0.0, middle + 4, row.words, dx=-10, align="right", size=BODY, room=panel.left - 12)
    said, interval, running = told
    dx = 8.0
    panel.write(reach, middle + 4, said, dx=dx, size=SMALL)
    dx += width_of(said, SMALL) + 6
    if interval:
        panel.write(reach, middle + 4, interval, dx=dx, tone=PENCIL)
        dx += width_of(interval, SMALL) + 6
    if running:
        reached = _reached(running, narrow=narrow)
        panel.write(reach, middle + 4, reached, dx=dx, tone=PENCIL)
        dx += width_of(reached, SMALL) + 8
    if row.look and not narrow:
        panel.write(reach, middle + 4, row.look, dx=dx, mark=True, room=140)


def _reached(running: str, *, narrow: bool) -> str:
    return running if narrow or not running else f"to here {running}"


def _said_width(told: tuple[str, str, str], *, narrow: bool) -> float:
    said, interval, running = told
    return sum(width_of(part, SMALL) + 8 for part in (said, interval, _reached(running, narrow=narrow)) if part)


def _table(
    order: Sequence[Bar], told: Sequence[tuple[str, str, str]], title: str, unit: str, *, running: bool
) -> ChartTable:
    rows = []
    for row, (said, interval, reached) in list(zip(order, told, strict=True))[:MOST_ROWS]:
        words = f"{row.words} ({row.look})" if row.look else row.words
        rows.append((words, said, interval.strip("()"), *((reached,) if running else ())))
    columns = ("what", "share" if unit == "share" else "amount", "interval", *(("to here",) if running else ()))
    note = f"The first {MOST_ROWS} of {len(order):,}." if len(order) > MOST_ROWS else ""
    return ChartTable(title, columns, tuple(rows), note)
