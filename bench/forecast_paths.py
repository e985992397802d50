"""How much quicker is a plain line run from piece to piece than event by event, and how close to drawing its times alone?

The line of `bench.forecast`: ten machines, lognormal times, room for three between. Seconds are of the processor, so that what else the machine does counts
little; the quick question is also timed by the clock, on two cores.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

import numpy as np
from numba import njit

from bench.forecast import plain_line
from bench.timing import Row, row, timed
from pullwright.forecast.layout import layout_of
from pullwright.forecast.paths import rows as r
from pullwright.forecast.paths.lane_draws import ROW, begin_luck, draw_work
from pullwright.forecast.paths.laying import aligned, laid, luck_of, runs_in
from pullwright.forecast.paths.path_runs import glance, path_runs_of
from pullwright.forecast.paths.plain import Plain, plain_of
from pullwright.forecast.runs import Run, runs_of

STATIONS, RUNS, DAYS, TIMES = 10, 16, 50, 7
QUESTION_RUNS, QUESTION_PIECES = 200, 2000


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit)."""
    layout = layout_of(plain_line())
    line = plain_of(layout)
    assert isinstance(line, Plain)
    until = layout.day * DAYS
    found: list[Run] = []

    def path() -> None:
        found[:] = path_runs_of(line, numbers=range(RUNS), until=until, day=layout.day, samples=1000)

    def lean() -> None:
        glance(line, numbers=range(RUNS), until=until, samples=100)

    def event() -> None:
        runs_of(layout.plant, numbers=range(2), until=until, day=layout.day, samples=1000)

    luck, (plan, start, _, _) = luck_of(line), laid(line, deep=2, warm=0.0)
    floats = aligned(start.size)
    begin_luck(luck, np.uint64(0), runs_in([0]))

    @njit(nogil=True, error_model="numpy")  # type: ignore[untyped-decorator]
    def draw_all(plan, floats, luck, blocks):  # type: ignore[no-untyped-def]
        for n in range(blocks):
            for k in range(STATIONS):
                draw_work(plan, floats, luck, r.LINE_WIDE + k * r.STEP_WIDE, n * r.BLOCK)

    def draws(rows: int) -> None:
        draw_all(plan, floats, luck, rows // STATIONS)

    for once in (path, lean, event, lambda: draws(STATIONS)):
        once()  # compiles
    pieces = sum(int(one.made.sum()) for one in found)
    each = sum(int(one.made.sum()) for one in found[:2])
    works: list[tuple[Callable[[], object], int]] = [
        (path, pieces), (lean, pieces), (event, each), (lambda: draws(pieces // ROW), pieces // ROW // STATIONS * STATIONS * ROW),
    ]  # fmt: skip
    # One after another in each round, so that all of them meet the machine in the same mood.
    rounds = [[many / timed(work) / 1e6 for work, many in works] for _ in range(TIMES)]
    whole, quick, by_event, drawn = (list(one) for one in zip(*rounds, strict=True))
    by_clock = []
    for _ in range(TIMES):
        begin = perf_counter()
        glance(line, numbers=range(QUESTION_RUNS), until=QUESTION_PIECES * 67.0, samples=50, workers=2)
        by_clock.append(perf_counter() - begin)

    def ratio(a: list[float], b: list[float]) -> list[float]:
        return [x / y for x, y in zip(a, b, strict=True)]

    return [
        row("pieces at steps, whole runs from piece to piece", whole, "million/s"),
        row("pieces at steps, a glance", quick, "million/s"),
        row("pieces at steps, drawing their times alone", drawn, "million/s"),
        row("whole runs from piece to piece / event by event", ratio(whole, by_event), "times"),
        row("a glance / event by event", ratio(quick, by_event), "times"),
        row("time of a glance / drawing its times", ratio(drawn, quick), "times"),
        row(
            f"a question: 10 stations, {QUESTION_PIECES} pieces, {QUESTION_RUNS} runs, two cores",
            by_clock,
            "ms",
            1000.0,
        ),
    ]


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
