"""How long do the oddities and the whole story of a log take, beside one table of means per step out of a plain data frame (polars, pandas)?

A person would otherwise group the rows by step in a data frame and have the mean time of each, and nothing about orders,
calendar, waiting or oddities. Data made here: 5,000,000 events of 500,000 orders on 40 steps and 25 stations over a year of
working days, and the same with 5,000 events; and the large one as a file, read and told. Memory is the highest of a process of
its own that makes, searches and tells, and of one that reads the file first. Compiled loops are compiled once on a machine:
what that takes, and what the first log in a process takes, is in none of the medians.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np

from bench.timing import Row

if TYPE_CHECKING:
    from pullwright.watch.log.events import Events

SIZES = (5_000_000, 5_000)
ROLES = ("case", "activity", "station", "start", "end", "span", "kind", "product", "person", "asked", "good", "scrap")
CHAPTERS = (
    "calendar", "way", "steps", "stations", "effective", "lead", "wip", "bottlenecks", "yields", "breakdowns", "demand", "people", "watch_next",
)  # fmt: skip


def made_events(size: int, seed: int = 1) -> Events:
    """A made log: ten bookings an order, most of them on a usual way, in two shifts of a year of working days."""
    import polars as pl

    from pullwright.watch.log.events import Events

    rng = np.random.default_rng(seed)
    orders, many = max(size // 10, 1), 10
    begin = np.sort(rng.uniform(0, 250 * 57_600, orders))[:, None]
    gaps = rng.exponential(5_000, (orders, many))
    at = (begin + np.cumsum(gaps, axis=1)).ravel()[:size]
    took = rng.gamma(2.0, 300.0, at.size)
    step = (np.tile(np.arange(many), orders) + np.repeat(rng.integers(0, 4, orders) * 10, many))[: at.size]
    odd = rng.random(at.size) < 0.03
    step[odd] = rng.integers(0, 40, odd.sum())

    def moments(worked: np.ndarray) -> np.ndarray:
        day, second = np.divmod(worked, 57_600)  # two shifts, 06:00 to 22:00
        day = day + 2 * (day // 5)  # Monday to Friday
        micro = ((day * 86_400 + 6 * 3600 + second) * 1e6).astype(np.int64)
        return np.datetime64("2024-01-01", "us") + micro.astype("timedelta64[us]")

    order = np.argsort(at, kind="stable")
    case = np.repeat(np.arange(orders), many)[: at.size][order]
    step, at, took = step[order], at[order], took[order]
    good = rng.integers(1, 60, at.size).astype(float)
    table = pl.DataFrame(
        {
            "row": np.arange(2, at.size + 2, dtype=np.uint32),
            "case": pl.Series(case).cast(pl.String).cast(pl.Categorical),
            "activity": _words("step", step),
            "station": _words("M", step % 25),
            "start": moments(at),
            "end": moments(at + took),
            "clock": np.zeros(at.size, np.int32),
            "span": np.round(took),
            "kind": pl.Series(np.where(rng.random(at.size) < 0.1, 1, np.where(rng.random(at.size) < 0.01, 2, 0))).replace_strict({0: "run", 1: "set-up", 2: "down"}, return_dtype=pl.String).cast(pl.Categorical),
            "product": _words("P", case % 40),
            "person": _words("W", rng.integers(0, 60, at.size)),
            "asked": good + 2,
            "good": good,
            "scrap": rng.integers(0, 2, at.size).astype(float),
            "held": pl.Series([None], dtype=pl.Float64).new_from_index(0, at.size),
            "rework": np.zeros(at.size, bool),
        }
    )  # fmt: skip
    roles = set(ROLES)
    return Events(table, "made.csv", frozenset(roles))


def _words(word: str, codes: np.ndarray) -> object:
    import polars as pl

    names = {int(code): f"{word} {code}" for code in np.unique(codes)}
    return pl.Series(codes).replace_strict(names, return_dtype=pl.String).cast(pl.Categorical)


def told(events: Events) -> None:
    """Oddities, decisions, and every chapter, as the command tells them."""
    from pullwright.watch.log.decide import decide
    from pullwright.watch.log.laid import Laid
    from pullwright.watch.log.looked import Looked
    from pullwright.watch.log.oddities import oddities
    from pullwright.watch.log.story import story

    log = Looked(Laid(events))
    oddities(events, log)
    story(decide(events, log=log)).tell()


def as_file(events: Events, path: Path) -> None:
    """The made log as a table of text."""
    events.table.select(ROLES).write_csv(path, datetime_format="%Y-%m-%d %H:%M:%S")


def read_and_told(path: Path) -> None:
    """From the file to the last chapter."""
    from pullwright.watch.log.convert import to_events
    from pullwright.watch.log.guess import guess_columns
    from pullwright.watch.log.reading import open_log

    raw = open_log(path)
    told(to_events(raw, guess_columns(raw)))


def chapters(events: Events) -> list[tuple[str, float]]:
    """Seconds of each part, in order; what a chapter needs of earlier ones is done by then."""
    from pullwright.watch.log.decide import decide
    from pullwright.watch.log.laid import Laid
    from pullwright.watch.log.looked import Looked
    from pullwright.watch.log.oddities import oddities
    from pullwright.watch.log.story import story

    log = Looked(Laid(events))
    found = [("oddities", _seconds(lambda: oddities(events, log)))]
    start = perf_counter()
    whole = story(decide(events, log=log))
    found.append(("decide", perf_counter() - start))
    found.append(("visits", _seconds(lambda: whole.shop.visits)))
    return [*found, *((name, _seconds(lambda name=name: getattr(whole, name))) for name in CHAPTERS)]  # type: ignore[misc]


def _seconds(act: object) -> float:
    start = perf_counter()
    act()  # type: ignore[operator]
    return perf_counter() - start


def measure() -> list[Row]:
    """Seconds of the whole, its ratio to two plain tables of means, and the memory of the large one."""
    import pandas as pd
    import polars as pl

    rows: list[Row] = []
    told(made_events(SIZES[0] // 10))  # compiles what no other log on this machine has had compiled
    for size in SIZES:
        events = made_events(size)
        table = events.table
        codes = table["activity"].to_physical().to_numpy()
        frame = pd.DataFrame({"step": codes, "start": table["start"].to_numpy(), "end": table["end"].to_numpy()})

        def in_polars(table: pl.DataFrame = table) -> object:
            return table.group_by("activity").agg((pl.col("end") - pl.col("start")).mean())

        def in_pandas(frame: pd.DataFrame = frame) -> object:
            return (frame["end"] - frame["start"]).groupby(frame["step"]).mean()

        ours, polars, pandas = (
            [_seconds(act) for _ in range(3)] for act in (lambda events=events: told(events), in_polars, in_pandas)
        )
        rows.append((f"{size:,} events, oddities and the whole story", median(ours), min(ours), max(ours), "s"))
        for name, theirs in (("polars", polars), ("pandas", pandas)):
            rows.append((f"{size:,} events, means per step ({name})", median(theirs), min(theirs), max(theirs), "s"))
            ratios = [a / b for a, b in zip(ours, theirs, strict=True)]
            rows.append((f"{size:,} events: whole / means per step ({name})", median(ratios), min(ratios), max(ratios), "x"))  # fmt: skip
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "log.csv"
            as_file(events, path)
            whole = [_seconds(lambda path=path: read_and_told(path)) for _ in range(3)]  # type: ignore[misc]
            rows.append((f"{size:,} events, read from CSV and told", median(whole), min(whole), max(whole), "s"))
            if size == SIZES[0]:
                memory = [_memory(f"read_and_told(Path({str(path)!r}))") for _ in range(2)]
                rows.append((f"memory, {size:,} events read and told", max(memory), min(memory), max(memory), "GiB"))
    memory = [_memory(f"told(made_events({SIZES[0]}))") for _ in range(2)]
    rows.append((f"memory, {SIZES[0]:,} events made and told", max(memory), min(memory), max(memory), "GiB"))
    return rows


def _memory(what: str) -> float:
    code = (
        "import resource; from pathlib import Path; from bench.log_story import made_events, read_and_told, told; "
        f"{what}; print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2)"
    )
    found = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    return float(found.stdout.split()[-1])


if __name__ == "__main__":
    for part, seconds in chapters(made_events(int(sys.argv[1]) if len(sys.argv) > 1 else SIZES[0])):
        print(f"{part:<12} {seconds:8.2f} s")
