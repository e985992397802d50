"""How long does it take to draw a line and its accounts, once the line is worked out?

A page has to answer in less than 200 ms, so that the drawing and the bars of a line of thirty stations together have to
stay well under 100 ms. Reading the drawing back with the XML parser of the standard library is measured beside it: both
grow with the drawing, and the ratio holds on slow machines and fast ones. Times are those of the processor: what else
the machine is doing is not in them.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import process_time
from xml.etree import ElementTree

from bench.lines import line_text
from bench.timing import Row, row
from pullwright import Line
from pullwright.draw import account_bars, line_drawing
from pullwright.survey import Survey

DEMO = Path(__file__).parents[1] / "examples" / "hand_pump.yaml"
STATIONS = 30
SEED = 7
ROUNDS = 15
WIDTHS = {"desk": 1200.0, "phone": 380.0}


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); everything warm but for the row that says it is the first."""
    rows: list[Row] = []
    lines = {"demo": Line.read(DEMO), f"{STATIONS} stations": Line.from_text(line_text(STATIONS, SEED))}
    for name, line in lines.items():
        survey = line.survey
        survey.findings  # noqa: B018 - what is out of place is worked out before drawing
        rows += _of(name, survey)
    return rows


def _of(name: str, survey: Survey) -> list[Row]:
    picture, bars, currency = survey.picture(), survey.bars(), survey.line.currency
    rows = [row(f"{name}: the first drawing", _timed(lambda: line_drawing(picture), 1), "ms", 1e3)]
    rows.append(row(f"{name}: scene of the drawing", _timed(survey.picture), "ms", 1e3))
    for place, width in WIDTHS.items():
        drawn = _timed(lambda width=width: line_drawing(picture, width=width))  # type: ignore[misc]
        rows.append(row(f"{name}: drawing for a {place}", drawn, "ms", 1e3))
    rows.append(row(f"{name}: account bars", _timed(lambda: account_bars(bars, currency=currency)), "ms", 1e3))
    together = _timed(lambda: (line_drawing(survey.picture()), account_bars(survey.bars(), currency=currency)))
    rows.append(row(f"{name}: scene, drawing and bars together", together, "ms", 1e3))
    svg = line_drawing(picture)
    pairs = [
        min(_timed(lambda: line_drawing(picture), 3)) / min(_timed(lambda: ElementTree.fromstring(svg), 3))  # noqa: S314
        for _ in range(ROUNDS)
    ]
    rows.append(row(f"{name}: drawing / reading its {len(svg) // 1000} kB back", pairs, "times"))
    return rows


def _timed(work: Callable[[], object], rounds: int = ROUNDS) -> list[float]:
    times = []
    for _ in range(rounds):
        start = process_time()
        work()
        times.append(process_time() - start)
    return times
