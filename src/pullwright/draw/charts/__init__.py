"""Charts: plain values in, a picture for a desk and one for a phone out, with the table of the same numbers.

Each kind is one function; all of them are Vega-Lite, drawn to SVG here on the machine, with no script in the page.
"""

from __future__ import annotations

from pullwright.draw.charts.band import Banded, lines_with_band
from pullwright.draw.charts.bars import Bar, bars
from pullwright.draw.charts.chart import Chart, ChartError, ChartTable, Level
from pullwright.draw.charts.dots import Dot, Sloping, dots_in_order
from pullwright.draw.charts.press import warm, warm_in_background
from pullwright.draw.charts.spread import spread
from pullwright.draw.charts.steps import Steps, steps_over_time
from pullwright.draw.charts.weeks import weeks_by_station
from pullwright.draw.charts.within import Within, shares_within

__all__ = [
    "Banded",
    "Bar",
    "Chart",
    "ChartError",
    "ChartTable",
    "Dot",
    "Level",
    "Sloping",
    "Steps",
    "Within",
    "bars",
    "dots_in_order",
    "lines_with_band",
    "shares_within",
    "spread",
    "steps_over_time",
    "warm",
    "warm_in_background",
    "weeks_by_station",
]
