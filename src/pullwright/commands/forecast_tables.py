"""What `pullwright forecast` prints: the sentence, the numbers, where the time of the stations goes, and options beside today."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from pullwright.forecast.compared import Compared
    from pullwright.forecast.forecast import Forecast

ROWS = (
    "throughput", "on time", "promise kept at 95 %", "response time", "lead time", "lead time, 50 %", "lead time, 95 %", "stock in the line",
    "stock in the line, peak", "finished stock", "orders waiting", "orders waiting, at the end", "floor of what lies", "floor of what lies, peak",
    "scrap",
)  # fmt: skip
"""The numbers that are printed, in their order; of the first three also those of each product."""
BY_PRODUCT = ("throughput", "on time", "promise kept at 95 %")
SURER_OF = ("on time", "lead time, 95 %", "throughput")
"""The numbers of which it is told what to watch to be surer of them."""
_WORTH_A_COLUMN, _WORTH_WATCHING = 0.0005, 0.1


def show(today: Forecast, options: Sequence[tuple[str, Compared]], file: str) -> None:
    """Print a forecast, and options beside it."""
    from rich.console import Console

    console = Console(width=None if sys.stdout.isatty() else 140, highlight=False)
    _say(console, f"{today.line.line}: {today.sentence()}")
    for name, one in options:
        _say(console, f"{name}: {one.option.sentence()}")
    console.print()
    console.print(_beside(today, options) if options else _numbers(today))
    if not options:
        console.print()
        console.print(_stations(today))
        console.print()
        for sentence in _cash(today):
            _say(console, sentence)
    for note in today.notes:
        _say(console, f"  {note}")
    for name, one in options:
        for note in one.option.notes:
            if note not in today.notes:
                _say(console, f"  {name}: {note}")
    for sentence in today.left_out:
        _say(console, f"  Not run: {sentence}")
    for sentence in _watch(today):
        _say(console, f"  Surer: {sentence}")
    _say(console, f"\n{today.made_by}{_drawn(today)}.{_warm_up(today)}")
    _say(console, f'Why any of it: pullwright forecast {file} --why "throughput"')


def _drawn(today: Forecast) -> str:
    return (
        f"; {today.draws} draws of what is not known of the inputs, {today.runs_a_draw} runs with each"
        if today.draws
        else ""
    )


def _cash(today: Forecast) -> list[str]:
    """How low the cash goes, how often it runs dry, and what would be enough; or what the file lacks to tell it."""
    from pullwright.forecast.money import lacking_for_cash
    from pullwright.forecast.money.of_forecast import cash_of
    from pullwright.survey import survey_of

    if lacking := lacking_for_cash(today.line):
        return [f"Cash is not counted: {one.words}" for one in lacking[:1]]
    cash = cash_of(today, survey_of(today.line).accounts)
    assert cash is not None
    found, currency = cash.forecast, today.line.currency
    return [
        f"Cash is lowest around {found.low_date:%d %b %Y}: {found.low.text(currency=currency)}. The chance to run dry within these days is "
        f"{found.dry.figure.text()}; {found.capital.figure.text(currency=currency)} at the start would be enough in 95 of 100 runs."
    ]


def _warm_up(today: Forecast) -> str:
    if today.long_run or not today.warm_up.settled or today.warm_up.cut == 0:
        return ""
    return f" It takes about {today.warm_up.cut} working days until nothing is left of today's stock."


def _watch(today: Forecast) -> list[str]:
    """What to watch at the line to be surer of what matters most; what nothing can be told of is left out."""
    found = [advice for name in SURER_OF if name in today.outcomes for advice in today[name].figure.watch_next(most=1)]
    return [str(advice) for advice in found if advice.gain >= _WORTH_WATCHING]


def _rows(today: Forecast) -> list[str]:
    names = []
    for row in ROWS:
        if row in today.outcomes:
            names.append(row)
        if row in BY_PRODUCT:
            names += [name for name in today.outcomes if name.startswith(f"{row} / ")]
    return names


def _numbers(today: Forecast) -> Table:
    from rich.table import Table
    from rich.text import Text

    table, currency = Table(box=None, pad_edge=False), today.line.currency
    for heading in ("", "value", f"{100 * today.level:.0f} % of such stretches", "luck", "not known"):
        table.add_column(heading, justify="right" if heading else "left")
    for name in _rows(today):
        one = today[name]
        value, interval = one.shown(currency)
        parted = one.split is not None and one.split.ignorance + one.split.chance > 0
        table.add_row(
            Text(name), value, Text(interval, style="dim"), _percent(one.of_chance) if parted else "", _percent(one.of_ignorance) if parted else ""
        )  # fmt: skip
    return table


def _stations(today: Forecast) -> Table:
    from rich.table import Table
    from rich.text import Text

    from pullwright.forecast.told import TIMES

    stations = [station.name for station in today.line.stations]
    columns = [
        words for _, words in TIMES if any(today[f"{words} / {name}"].value > _WORTH_A_COLUMN for name in stations)
    ]
    table = Table(box=None, pad_edge=False)
    for heading in ("share of machine time", "occupied", *columns):
        table.add_column(heading, justify="right" if heading != "share of machine time" else "left")
    for name in stations:
        table.add_row(Text(name), *(_percent(today[f"{words} / {name}"].value) for words in ("occupied", *columns)))
    return table


def _beside(today: Forecast, options: Sequence[tuple[str, Compared]]) -> Table:
    from rich.table import Table
    from rich.text import Text

    table, currency = Table(box=None, pad_edge=False), today.line.currency
    table.add_column("")
    table.add_column("today", justify="right")
    for name, _ in options:
        table.add_column(Text(name), justify="right")
        table.add_column("difference", justify="right")
        table.add_column("")
    for name in _rows(today):
        cells: list[str | Text] = []
        for _, one in options:
            found = one.differences.get(name)
            if found is None:
                cells += ["", "", ""]
                continue
            value, interval = found.shown(currency)
            sure = "" if found.sure else ", may be chance"
            cells += [
                found.option.shown(currency)[0],
                value,
                Text(f"({interval}){sure}" if interval else "", style="dim"),
            ]
        table.add_row(Text(name), today[name].shown(currency)[0], *cells)
    return table


def _percent(share: float | None) -> str:
    return "" if share is None else f"{100 * share:.0f} %"


def _say(console: Console, text: str) -> None:
    console.print(text, highlight=False, markup=False, soft_wrap=True)
