"""How long do the shares of 100,000 looks take, beside a library's loop over the kinds and a table library's grouping?"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np

from bench.timing import Row, row, timed
from pullwright.watch.sample.looks import Look, Tour
from pullwright.watch.sample.shares import SEEN, shares_of

LOOKS = 100_000
EACH = 20
ROUNDS = 5
SEED = 7


def _looks() -> tuple[Look, ...]:
    kinds = np.random.default_rng(SEED).integers(0, len(SEEN), LOOKS).tolist()
    start = datetime(2026, 3, 16, 7)
    return tuple(
        Look(str(k), k // EACH, f"station {k % EACH}", start + timedelta(minutes=k // EACH), SEEN[kind], "planner")
        for k, kind in enumerate(kinds)
    )


def _statsmodels(looks: tuple[Look, ...]) -> object:
    from statsmodels.stats.proportion import proportion_confint

    return [proportion_confint(sum(look.seen == kind for look in looks), len(looks), method="wilson") for kind in SEEN]


def _polars(looks: tuple[Look, ...]) -> object:
    import polars as pl

    table = pl.DataFrame({"round": [look.round for look in looks], "seen": [look.seen for look in looks]})
    return table.group_by("round", "seen").len()


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); ratios compare runs that follow each other."""
    looks = _looks()
    tour = Tour("made", (), looks)
    _statsmodels(looks[:100]), _polars(looks[:100]), shares_of(Tour("made", (), looks[:100]))
    ours, library, table, weighted = [], [], [], []
    for _ in range(ROUNDS):
        ours.append(timed(lambda: shares_of(tour)))
        library.append(timed(lambda: _statsmodels(looks)))
        table.append(timed(lambda: _polars(looks)))
        weighted.append(timed(lambda: shares_of(tour, by="station")))
    return [
        row(f"shares of {LOOKS:,} looks with figures and honest intervals", ours, "ms", 1e3),
        row("the same with stations at their weight", weighted, "ms", 1e3),
        row("shares / a library's loop over the kinds", [a / b for a, b in zip(ours, library, strict=True)], "times"),
        row("shares / grouping by a table library", [a / b for a, b in zip(ours, table, strict=True)], "times"),
    ]


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
