"""Which kernel runs a line: the recursion from piece to piece where the line is plain, the event kernel where it is not."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.forecast.layout import Layout
from pullwright.forecast.paths.path_runs import path_runs_of
from pullwright.forecast.paths.plain import NotPlain, plain_of
from pullwright.forecast.runs import Run, runs_of


def runs_by_best(
    layout: Layout,
    *,
    numbers: Sequence[int],
    until: float,
    day: float,
    warm: float = 0.0,
    seed: int = 0,
    samples: int = 10_000,
    workers: int = 1,
) -> tuple[list[Run], str]:
    """Run a line with the kernel that is quickest for it: the same runs either way.

    Parameters: a layout, and what `runs_of` takes. Result: the runs, and in a sentence which kernel ran them and why.
    Errors: as `runs_of`.
    """
    plain = plain_of(layout)
    asked = {"until": until, "day": day, "warm": warm, "seed": seed, "samples": samples, "workers": workers}
    if isinstance(plain, NotPlain):
        return runs_of(layout.plant, numbers=numbers, **asked), f"Run event by event: {_lower(plain.why)}"  # type: ignore[arg-type]
    runs = path_runs_of(plain, numbers=numbers, **asked)  # type: ignore[arg-type]
    if not any(one.events for one in runs):
        return runs, "Run from piece to piece: the line is plain."
    return runs, (
        f"Run from piece to piece, for the line is plain; {sum(one.events > 0 for one in runs)} of {len(runs)} runs event by event, "
        "because machines side by side ended pieces at the same moment, or too much lay somewhere."
    )


def _lower(sentence: str) -> str:
    """A sentence of ours after a colon; names of steps and stations stay as they are."""
    return "the" + sentence[3:] if sentence.startswith("The ") else sentence
