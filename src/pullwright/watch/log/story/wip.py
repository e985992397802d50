"""How much was in the shop, day by day and before each step, and does Little's law hold on the log itself?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class Little:
    """Little's law as a check of the data. Times in seconds of the clock.

    `area` is the integral of the number of cases in the shop over the window, from its daily curve; `time_in_window` the
    time of all cases inside the window, added up case by case: the two must be equal whatever the log (`exact_error` is
    their relative difference). `mean_wip` = area / window. The steady-state check sets it beside `rate` (cases finished
    a second) times `mean_lead` (of the cases finished); `ratio` is that product by mean_wip, 1 where the window is long
    and steady. What makes the difference, as time by mean_wip and window: `from_open` cases not finished in the window,
    `from_before` time of finished cases that lies before it.
    """

    window: float
    area: float
    time_in_window: float
    exact_error: float
    mean_wip: float
    rate: float
    mean_lead: float
    ratio: float
    from_open: float
    from_before: float
    cause: str


@dataclass(frozen=True)
class Wip:
    """Work in process over time.

    `days` has one row a date: day, cases and pieces (means over that day; pieces nan where the log has no quantities),
    cases_end (at its last moment), begun, finished. `waiting` has: day, step, cases (mean number waiting before that
    step). `before` gives for each step, in usual order, the mean number of cases waiting before it over the window.
    """

    days: pl.DataFrame
    waiting: pl.DataFrame
    before: tuple[tuple[str, float], ...]
    mean_cases: float
    mean_pieces: float
    little: Little
    rows: tuple[int, ...]
    found: str
