"""Lines written in a few words, to run: stations one after another with what each test needs besides."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.forecast.layout import Layout, layout_of
from pullwright.forecast.runs import Run, runs_of
from pullwright.line import Line

DAY = 28_800.0
"""Working seconds of the day of these lines: 06:00 to 14:00 without a break."""


def line_text(steps: Sequence[str], *, demand: str, more: str = "", stations: Sequence[str] = ()) -> str:
    """A line of one product P; each step is what stands in its braces besides its name (t0, t1 ...) and station (s0, s1 ...)."""
    names = [
        f"{{name: s{k}{', ' + stations[k] if k < len(stations) and stations[k] else ''}}}" for k in range(len(steps))
    ]
    rows = "".join(
        f"  - {{name: t{k}, {'' if step.startswith('station:') else f'station: s{k}, '}{step}}}\n"
        for k, step in enumerate(steps)
    )
    return (
        "line: small\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        f"products: [{{name: P, demand: {demand}}}]\nstations: [{', '.join(names)}]\nsteps:\n{rows}{more}"
    )


def machine(mean: str, law: str = "constant") -> str:
    """The work of a step by machine alone."""
    spread = {"constant": "", "exponential": ", distribution: exponential"}.get(law, f", {law}")
    return f"machine: {{mean: {mean}{spread}}}, people: 0"


def stores(spaces: Sequence[int]) -> str:
    """Places before the second step and those after it."""
    return "stores:\n" + "".join(f"  - {{before: t{k + 1}, capacity: {many}}}\n" for k, many in enumerate(spaces))


def laid(text: str) -> Layout:
    return layout_of(Line.from_text(text))


def run(
    text: str, *, days: float, runs: int = 1, warm_days: float = 0.0, samples: int = 200_000, seed: int = 0
) -> list[Run]:
    found = laid(text)
    assert found.day == DAY
    return runs_of(
        found.plant, numbers=range(runs), until=days * DAY, warm=warm_days * DAY, day=DAY, samples=samples, seed=seed
    )


def ends(text: str, days: float = 1.0) -> list[float]:
    """When the units of one run end, in seconds from its start."""
    return [round(float(one), 6) for one in run(text, days=days)[0].lead[1]]
