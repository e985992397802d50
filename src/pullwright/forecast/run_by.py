"""The one place where a forecast meets the kernels."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pullwright.forecast.layout import Layout
from pullwright.forecast.paths.path_runs import path_runs_of
from pullwright.forecast.paths.plain import NotPlain, plain_of
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

    A plain line is run from piece to piece, any other one event by event: the same runs either way.
    Parameters: `until` and `warm`, seconds of working time; the others as `runs_of` takes them. Result: the runs, only those that were done where
    `stop` said so, and in words which kernel ran them, and why not the quicker one.
    """
    plain, day = plain_of(layout), layout.day
    if isinstance(plain, NotPlain):
        runs = runs_of(
            layout.plant, numbers=numbers, until=until, day=day, warm=warm, seed=seed, samples=samples, workers=workers, stop=stop
        )  # fmt: skip
        return runs, f"event kernel ({_within(plain.why)})"
    runs = path_runs_of(
        plain, numbers=numbers, until=until, day=day, warm=warm, seed=seed, samples=samples, workers=workers, stop=stop
    )
    by_events = sum(one.events > 0 for one in runs)
    return runs, f"path kernel ({by_events} of {len(runs)} runs by the event kernel)" if by_events else "path kernel"


def _within(sentence: str) -> str:
    """A sentence of ours in brackets; names of steps and stations stay as they are."""
    own = sentence.startswith(("The ", "People ", "Stations "))
    return (sentence[0].lower() if own else sentence[0]) + sentence[1:].rstrip(".")
