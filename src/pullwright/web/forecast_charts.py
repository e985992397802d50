"""The pictures of a forecast: how soon, how much through time, cash, and where each station's time goes; today and an option in one field."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from pullwright.draw import compare_drawings
from pullwright.draw.charts import Banded, Chart, Level, Within, lines_with_band, shares_within
from pullwright.draw.station_time import StationTime, station_time
from pullwright.forecast.forecast import Forecast
from pullwright.forecast.pictures import SHARES
from pullwright.forecast.said import GROWS, NOT_KEPT, out_of_place
from pullwright.forecast.told import TIMES
from pullwright.web.charted import Charted, charted
from pullwright.web.forecast_answers import DRY, TOO_LIKELY, Answering
from pullwright.web.foreseen import Beside, Foreseen

TODAY, OPTION = "today", "option"
DAYS = "working days"
MOST_PROMISES = 3
"""Different promises that are marked in one field."""


def labelled(beside: Beside) -> list[tuple[str, Foreseen]]:
    """Today, and the option where there is one."""
    return [(TODAY, beside.today), *([(OPTION, beside.option)] if beside.option is not None else [])]


def soon(beside: Beside) -> Charted | None:
    """How soon is an order answered?"""
    return _curves(beside, "response time", "How long orders wait", _promises(beside), _soon_said)


def charts_of(beside: Beside) -> tuple[Charted, ...]:
    """All that is drawn as lines, in the order of reading."""
    return tuple(chart for chart in _charts(beside) if chart is not None)


def _charts(beside: Beside) -> Iterator[Charted | None]:
    yield _curves(beside, "lead time", "How long a unit takes through the line", (), _lead_said)
    for name, title in (("stock in the line", "Stock in the line"), ("orders waiting", "Orders waiting")):
        yield _bands(beside, name, title)
    yield _floor(beside)
    yield _cash(beside)


def _curves(
    beside: Beside, name: str, title: str, levels: Sequence[Level], said: Callable[[Forecast], str]
) -> Charted | None:
    curves = [
        Within(label, one.forecast.curves[name], SHARES)
        for label, one in labelled(beside)
        if name in one.forecast.curves
    ]
    if not curves:
        return None
    here = (beside.option or beside.today).forecast
    chart = shares_within(
        curves, title=title, across=DAYS, unit="d", caption=said(here), levels=levels, prefix=name.replace(" ", "-")
    )
    return charted(chart)


def _soon_said(forecast: Forecast) -> str:
    half, most = forecast.outcomes.get("response time, 50 %"), forecast.outcomes.get("response time, 95 %")
    if half is None or most is None:
        return ""
    return f"Half of the orders are shipped within {_days(half.value)}, and 95 of 100 within {_days(most.value)}."


def _lead_said(forecast: Forecast) -> str:
    half, most = forecast.outcomes.get("lead time, 50 %"), forecast.outcomes.get("lead time, 95 %")
    if half is None or most is None:
        return ""
    return f"Lead time: half of the units are through within {_days(half.value)}, and 95 of 100 within {_days(most.value)}."


def _days(value: float) -> str:
    return f"{value:.3g} d" if np.isfinite(value) else "no time that can be told"


def _promises(beside: Beside) -> tuple[Level, ...]:
    """Each promise once, with the products that have it."""
    here = beside.option or beside.today
    looks, givens = out_of_place(here.forecast), here.survey.flow.givens
    by_days: dict[float, list[str]] = {}
    products = here.forecast.line.products
    for p, product in enumerate(products):
        if product.promise is not None:
            by_days.setdefault(round(givens.span_days(("products", p, "promise")).value, 6), []).append(product.name)
    levels = []
    for days, names in sorted(by_days.items())[:MOST_PROMISES]:
        said = f"promised {_days(days)}" + ("" if len(by_days) == 1 else f": {', '.join(names)}")
        missed = any(looks.get(f"on time / {name}" if len(products) > 1 else "on time") == NOT_KEPT for name in names)
        levels.append(Level(said, days, f"{said}, {NOT_KEPT.removeprefix('promise ')}" if missed else ""))
    return tuple(levels)


def _bands(beside: Beside, name: str, title: str) -> Charted:
    here = (beside.option or beside.today).forecast
    series = []
    for label, one in labelled(beside):
        bands = one.forecast.through_time[name]
        series.append(Banded(label, np.arange(1, bands.mean.size + 1), bands.mean, bands.low, bands.high))
    first, last = here.through_time[name].mean[[0, -1]]
    grows = f" It {GROWS}." if name in out_of_place(here) else ""
    caption = f"{title}: from {first:.3g} pieces at the end of the first day to {last:.3g} after {here.days} working days, on average over the runs.{grows}"
    return charted(
        _lines(series, title=title, unit="pieces", across=DAYS, caption=caption, prefix=name.replace(" ", "-"))
    )


def _lines(series: Sequence[Banded], **more: object) -> Chart:
    return lines_with_band(series, **more)  # type: ignore[arg-type]


def _floor(beside: Beside) -> Charted | None:
    here = beside.option or beside.today
    if here.forecast.line.floor is None:
        return None
    series = []
    for label, one in labelled(beside):
        low, middle, high = one.floor.area.values
        series.append(Banded(label, np.arange(1, middle.size + 1), middle, low, high))
    over, total = here.floor.over, here.accounts.floor.whole.value
    crowded = over is not None and over.figure.value > TOO_LIKELY
    levels = [Level(f"there are {total:.4g} m²", total, f"{total:.4g} m² are there" if crowded else "")]
    caption = (
        f"Floor: stations, places and what lies take {here.floor.peak.value:.3g} m² on the fullest day, on average over the runs."
        + (f" In {over.found} of {over.of} runs that is more than there is." if over is not None and over.found else "")
    )
    return charted(
        _lines(
            series, title="Floor taken", unit="m²", across=DAYS, caption=caption, levels=levels, prefix="floor-taken"
        )
    )


def _cash(beside: Beside) -> Charted | None:
    here = (beside.option or beside.today).cash
    if here is None:
        return None
    series = []
    for label, one in labelled(beside):
        if one.cash is not None:
            low, middle, high = one.cash.forecast.cash.values
            dates = np.array([np.datetime64(date) for date in one.cash.horizon.dates], dtype="datetime64[s]")
            series.append(Banded(label, dates, middle, low, high))
    dry = here.forecast.dry
    runs_dry = dry.figure.value > TOO_LIKELY
    levels = [Level("nothing left", 0.0, DRY if runs_dry else "")]
    currency = beside.today.forecast.line.currency
    said = f"Cash is lowest around {here.forecast.low_date:%-d %b %Y}, at {here.forecast.low.short(currency)} in the middle of the runs."
    caption = said + (
        f" In {dry.found} of {dry.of} runs it runs dry." if dry.found else " It runs dry in none of the runs."
    )
    return charted(
        _lines(series, title="Cash", unit=currency, across="", caption=caption, levels=levels, prefix="cash")
    )


def times_drawn(answering: Answering, width: float, prefix: str) -> str:
    """Where each station's time goes, as a drawing of our own."""
    stations = labelled(answering.beside)
    ways = answering.ways()
    rows = [(label if len(stations) > 1 else "", _times(one.forecast)) for label, one in stations]
    return station_time(rows, width=width, prefix=prefix, why_links=[way.why for way in ways[: len(rows)]])


def _times(forecast: Forecast) -> tuple[StationTime, ...]:
    names = [name.removeprefix("occupied / ") for name in forecast.outcomes if name.startswith("occupied / ")]
    return tuple(
        StationTime(
            name,
            tuple(
                (words, forecast[f"{words} / {name}"]) for _, words in TIMES if f"{words} / {name}" in forecast.outcomes
            ),
        )
        for name in names
    )


def lines_drawn(
    beside: Beside, width: float, prefix: str, whys: tuple[Callable[[str], str] | None, Callable[[str], str] | None]
) -> str:
    """Both lines, one above the other; empty without an option."""
    if beside.option is None:
        return ""
    return compare_drawings(
        beside.today.survey.picture(whys[0]),
        beside.option.survey.picture(whys[1]),
        labels=("Today", "Option"),
        width=width,
        prefix=prefix,
    )
