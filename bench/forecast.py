"""How much processor time does a run of a line take, beside drawing the times of its pieces alone?

The plain line: ten machines, lognormal times, room for three between, blocking after service. The full one: the same with people shared
among stations, breakdowns, two machines at a station, scrap and rework.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bench.timing import Row, row, timed
from pullwright.forecast.layout import layout_of
from pullwright.forecast.luck.shapes import fill_times, shape_of
from pullwright.forecast.runs import Run, runs_of
from pullwright.line import Line

STATIONS, DAYS, TIMES = 10, 50, 7


def _line(station: Callable[[int], str], step: Callable[[int], str], more: str = "") -> Line:
    return Line.from_text(
        "line: bench\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        "products: [{name: P, demand: 430 /d}]\nstations:\n"
        + "".join(f"  - {{name: s{k}{station(k)}}}\n" for k in range(STATIONS))
        + "steps:\n"
        + "".join(f"  - {{name: t{k}, station: s{k}, {step(k)}}}\n" for k in range(STATIONS))
        + "stores:\n"
        + "".join(f"  - {{before: t{k}, capacity: 3}}\n" for k in range(1, STATIONS))
        + more
    )


def plain_line() -> Line:
    return _line(lambda _: "", lambda _: "machine: {mean: 55 s, cv: 0.4, distribution: lognormal}, people: 0")


def full_line() -> Line:
    return _line(
        lambda k: ", machines: 2" if k == 4 else ", breakdowns: {between: 10 h, repair: 10 min}",
        lambda k: (
            f"manual: {{mean: {90 if k == 4 else 48} s, cv: 0.4}}, scrap: 0.5 %"
            + (", rework: {share: 3 %, to: t5}" if k == 7 else "")
        ),
        "people: [{name: front, number: 5, skills: [t0, t1, t2, t3, t4, t5]}, {name: back, number: 5, skills: [t4, t5, t6, t7, t8, t9]}]\n",
    )


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit)."""
    rows: list[Row] = []
    out, chances, places = np.empty(64), np.empty(64), np.empty(64, np.int64)
    shape = shape_of("lognormal", 55.0, 0.4)

    def draws(pieces: int) -> None:
        for first in range(0, pieces, 64):
            fill_times(
                shape.kind,
                shape.mean,
                shape.a,
                shape.b,
                shape.c,
                np.empty(0),
                np.uint64(1),
                first,
                out,
                chances,
                places,
            )

    for name, line in (("plain", plain_line()), ("full", full_line())):
        layout = layout_of(line)
        until = layout.day * DAYS
        found: list[Run] = []

        def once(number: int) -> None:
            found[:] = runs_of(layout.plant, numbers=[number], until=until, day=layout.day, samples=1000)  # noqa: B023

        once(0)  # compiles
        times = [timed(lambda number=number: once(number)) for number in range(TIMES)]  # type: ignore[misc]
        pieces = int(found[0].made.sum())
        draws(64)
        drawing = [timed(lambda: draws(pieces)) for _ in range(TIMES)]  # noqa: B023
        rows.append(row(f"pieces at steps, {name} line", [pieces / one / 1e6 for one in times], "million/s"))
        rows.append(
            row(
                f"a run / drawing its times, {name} line", [t / d for t, d in zip(times, drawing, strict=True)], "times"
            )
        )
    return rows


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
