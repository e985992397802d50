"""How long does a sheet take, from a line that is worked out to the bytes of the PDF?

Compared with working the line out, which everybody who prints has to do anyway, and with the press alone: a sheet is
fitted to its page by trying, so the difference is what the fitting costs.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from time import perf_counter

from bench.lines import line_text
from bench.timing import Row, row
from pullwright.line import Line
from pullwright.paper import accounts_sheet
from pullwright.paper.contents import contents
from pullwright.paper.fit import TEMPLATE, plan_for, ready_for_press
from pullwright.paper.press import press
from pullwright.survey import Survey, survey_of

DEMO = Path(__file__).parents[1] / "examples" / "hand_pump.yaml"
WHEN = datetime(2026, 3, 2, 9, 30)
ROUNDS = 7


def worked_out(text: str) -> tuple[Survey, float]:
    """A survey with everything in it that a sheet shows, and how long that took."""
    start = perf_counter()
    survey = survey_of(Line.from_text(text, name="line.yaml"))
    survey.picture()
    survey.bars()
    survey.watch_next()
    return survey, perf_counter() - start


def _rows(called: str, text: str) -> list[Row]:
    whole, shares, ratios = [], [], []
    for number in range(ROUNDS):
        # A new date each time, so that nothing kept from the round before is printed again.
        when = WHEN.replace(minute=number)
        survey, working = worked_out(text)
        start = perf_counter()
        accounts_sheet(survey, printed=when)
        whole.append(perf_counter() - start)
        ratios.append(whole[-1] / working)
        said = contents(survey, "", when)
        data = ready_for_press(survey, said, plan_for(survey, said)) | {"title": f"{called} {number}"}
        start = perf_counter()
        press(TEMPLATE, data, when)
        shares.append((perf_counter() - start) / whole[-1])
    return [
        row(f"a sheet of {called}", whole, "ms", 1000),
        row(f"a sheet of {called} / working it out", ratios, "x"),
        row(f"share of the press in a sheet of {called}", shares, "%", 100),
    ]


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); the first sheet of all is told apart, as typefaces are loaded for it."""
    survey, _ = worked_out(DEMO.read_text("utf-8"))
    start = perf_counter()
    pdf = accounts_sheet(survey, printed=WHEN)
    first = perf_counter() - start
    size = len(pdf) / 1000
    return [
        ("the first sheet of a process", first * 1000, first * 1000, first * 1000, "ms"),
        *_rows("the demo line, 11 stations", DEMO.read_text("utf-8")),
        *_rows("a made-up line, 30 stations", line_text(30, 1)),
        ("size of the demo sheet", size, size, size, "kB"),
    ]
