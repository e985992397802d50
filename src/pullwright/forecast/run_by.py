"""The one place where a forecast meets the kernels."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pullwright.forecast.layout import Layout
from pullwright.forecast.runs import Run, runs_of


def run_by(
    layout: Layout,
    *,
    numbers: Sequence[int],
    until: float,
    warm: float = 0.0,
    seed: int = 0,
    samples: int = 10_000,
    workers: int = 1,
    stop: Callable[[], bool] | None = None,
) -> tuple[list[Run], str]:
    """Run a line for these numbers of runs, by the kernel that is best for it.

    Parameters: `until` and `warm`, seconds of working time; the others as `runs_of` takes them. Result: the runs, only those that were done where
    `stop` said so, and the name of the kernel.
    """
    runs = runs_of(
        layout.plant,
        numbers=numbers,
        until=until,
        day=layout.day,
        warm=warm,
        seed=seed,
        samples=samples,
        workers=workers,
        stop=stop,
    )
    return runs, "event kernel"
