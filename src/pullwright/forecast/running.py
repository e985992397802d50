"""Running what a forecast needs, a few runs at a time: it says how far it is, and stops when it is asked to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pullwright.forecast.errors import Stopped
from pullwright.forecast.layout import Layout
from pullwright.forecast.plan import fit, one_of, samples_for
from pullwright.forecast.run_by import run_by
from pullwright.forecast.runs import Run
from pullwright.forecast.seen import Seen, Terms, seen_in, thinned

_AT_A_TIME = 12
"""Runs of each thread between two looks at the clock; the twenty of a what-if on two cores are one batch."""
_MOST_SAMPLES = 50_000_000


@dataclass
class Running:
    """Runs with one seed, on so many `workers`. `whole`: runs that are planned, `done`: those behind us; `kernel`: which ran last."""

    seed: int
    workers: int
    stop: Callable[[], bool] | None = None
    progress: Callable[[int, int], None] | None = None
    whole: int = 0
    done: int = 0
    kernel: str = ""

    def run(
        self, layout: Layout, terms: Terms, numbers: Sequence[int], *, warm: int, days: int, at_most: int = 0
    ) -> Seen:
        """Run these numbers for so many working days, of which the first `warm` are not counted; there may be `at_most` so many with others.

        Errors: TooMuch before anything is run; Stopped where `stop` says so.
        """
        most = max(at_most, len(numbers))
        fit(layout, most, days)
        every = one_of(layout, most, days)
        samples, found = samples_for(layout, days), list[Run]()
        step = _AT_A_TIME * self.workers
        while len(found) < len(numbers):
            chunk = numbers[len(found) : len(found) + step]
            runs = self._chunk(layout, chunk, warm, days, samples)
            if (
                any(max(run.lead.shape[1], run.response.shape[1]) >= samples for run in runs)
                and samples < _MOST_SAMPLES
            ):
                samples *= 4
                continue
            found += [thinned(run, every) for run in runs]
            self.done += len(runs)
            if self.progress is not None:
                self.progress(self.done, max(self.whole, self.done))
        return seen_in(layout, found, terms, warm=warm, days=days, one_of=every)

    def _chunk(self, layout: Layout, numbers: Sequence[int], warm: int, days: int, samples: int) -> list[Run]:
        if self.stop is not None and self.stop():
            raise Stopped("the forecast was stopped")
        runs, self.kernel = run_by(
            layout, numbers=numbers, until=days * layout.day, warm=warm * layout.day, seed=self.seed, samples=samples,
            workers=self.workers, stop=self.stop,
        )  # fmt: skip
        if len(runs) < len(numbers):
            raise Stopped("the forecast was stopped")
        return runs
