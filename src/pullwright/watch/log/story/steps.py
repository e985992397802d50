"""What does each step take: touch time per booking and per piece, waiting before it, set-ups, lots?"""

from __future__ import annotations

from dataclasses import dataclass

from .measured import Measured


@dataclass(frozen=True, slots=True)
class StepWork:
    """One step. Times are seconds.

    `touch`: a visit of one case, all its bookings together, set-ups left out; `touch_cv` its spread (standard deviation
    by mean); `per_piece`: touch time by pieces (good, scrapped and held), over all; `waiting`: clock time from the end
    of the case's visit before to the begin of this one, `waiting_worked` its part in working time; `setup`: one set-up,
    `setup_every`: visits to a set-up; `setup_from` says "kind" where the log marks set-ups, "inferred" where they were
    taken from longer first pieces after a change of product, "" where nothing is known. `lot`: pieces of a visit.
    `stations` are where it is done, with the share of its visits.
    """

    step: str
    cases: int
    visits: int
    bookings: int
    touch: Measured
    touch_cv: float
    booking: Measured
    per_piece: Measured
    waiting: Measured
    waiting_worked: Measured
    waiting_median: float
    setup: Measured
    setup_every: float
    setup_from: str
    lot: Measured
    stations: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Steps:
    """All steps in their usual order; `touch_total` and `waiting_total` are seconds over all cases (waiting by the clock)."""

    steps: tuple[StepWork, ...]
    touch_total: float
    waiting_total: float
    rows: tuple[int, ...]
    found: str

    def of(self, step: str) -> StepWork:
        """The row of one step. Raises KeyError where the log has no such step."""
        for row in self.steps:
            if row.step == step:
                return row
        raise KeyError(f"the log has no step {step!r} (it has: {', '.join(row.step for row in self.steps[:10])})")
