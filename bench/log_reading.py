"""How long does it take to make events of a log, beside only reading the same file into a table?

A person would otherwise read the CSV with a table library and the XES with the standard library, and have neither
guessed columns nor events. Data made here, 5,000,000 rows of 10 columns of CSV, 1,000,000 of which every third
one is too short or too long for its header, and 50,000 events of XES.
"""

from __future__ import annotations

import tempfile
import xml.etree.ElementTree as Tree
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

from bench.timing import Row

ROWS, SMALL, UNEVEN, EVENTS, ROUNDS = 5_000_000, 5_000, 1_000_000, 50_000, 3


def measure() -> list[Row]:
    """Time each, and the ratio to only reading; median, low and high of the rounds."""
    import polars as pl

    from pullwright.watch.log.convert import to_events
    from pullwright.watch.log.guess import guess_columns
    from pullwright.watch.log.reading import open_log

    def whole(path: Path) -> None:
        raw = open_log(path)
        to_events(raw, guess_columns(raw))

    def walked(path: Path) -> None:
        for _, element in Tree.iterparse(path):  # noqa: S314 (made here)
            if element.tag.endswith("trace"):
                element.clear()

    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        large, small, xes = (Path(folder) / name for name in ("large.csv", "small.csv", "log.xes"))
        made_csv(large, ROWS)
        made_csv(small, SMALL)
        made_xes(xes, EVENTS)
        for what, path, bare in ((f"{ROWS:,} rows of CSV", large, pl.read_csv), (f"{SMALL:,} rows of CSV", small, pl.read_csv), (f"{EVENTS:,} events of XES", xes, walked)):  # fmt: skip
            ours = [seconds(whole, path) for _ in range(ROUNDS)]
            theirs = [seconds(bare, path) for _ in range(ROUNDS)]
            rows.append((f"{what} to events", median(ours), min(ours), max(ours), "s"))
            rows.append((f"{what}, only read", median(theirs), min(theirs), max(theirs), "s"))
            ratios = [a / b for a, b in zip(ours, theirs, strict=True)]
            rows.append((f"{what}: to events / only read", median(ratios), min(ratios), max(ratios), "x"))
        even, uneven = Path(folder) / "even.csv", Path(folder) / "uneven.csv"
        made_csv(even, UNEVEN)
        made_uneven(even, uneven)
        clean, ragged = ([seconds(open_log, path) for _ in range(ROUNDS)] for path in (even, uneven))
        what = f"{UNEVEN:,} rows of CSV, every third too short or too long, opened"
        rows.append((what, median(ragged), min(ragged), max(ragged), "s"))
        ratios = [a / b for a, b in zip(ragged, clean, strict=True)]
        rows.append((f"{what}: / all of them even", median(ratios), min(ratios), max(ratios), "x"))
    return rows


def seconds(act: Callable[[Path], object], path: Path) -> float:
    """How long does one take?"""
    start = perf_counter()
    act(path)
    return perf_counter() - start


def made_csv(path: Path, rows: int) -> None:
    """A made log of bookings, 30 to an order."""
    import polars as pl

    n = pl.int_range(rows)
    start = pl.datetime(2024, 1, 1) + pl.duration(seconds=n * 7_776_000 // rows)
    table = pl.select(
        order=pl.format("P-{}", n // 30), step=pl.format("step {}", n % 40), machine=pl.format("M{}", n % 25), start=start,
        end=start + pl.duration(seconds=60 + n * 7919 % 9000), kind=pl.when(n % 4 == 1).then(pl.lit("setup")).otherwise(pl.lit("run")),
        operator=pl.format("W{}", n % 60), qty_ordered=n // 30 % 90 + 1, good=n * 31 % 50, scrap=n * 17 % 3,
    )  # fmt: skip
    table.write_csv(path, datetime_format="%Y-%m-%d %H:%M:%S")


def made_uneven(even: Path, path: Path) -> None:
    """The same log with every sixth row cut short and every sixth with cells that no column has."""
    with even.open() as source, path.open("w") as target:
        for n, line in enumerate(source):
            odd = n % 6 if n > 300 else 0
            target.write(line.rsplit(",", 2)[0] + "\n" if odd == 2 else f"{line[:-1]},x,y\n" if odd == 5 else line)


def made_xes(path: Path, events: int) -> None:
    """A made event log, ten events to a trace."""
    with path.open("w", encoding="utf-8") as file:
        file.write("<log>")
        for n in range(events):
            if n % 10 == 0:
                file.write(f'<trace><string key="concept:name" value="P-{n // 10}"/>')
            word = ("start", "complete")[n % 2]
            file.write(f'<event><string key="concept:name" value="step {n % 10 // 2}"/><string key="lifecycle:transition" value="{word}"/><date key="time:timestamp" value="2024-05-13T{n // 60 % 24:02d}:{n % 60:02d}:00+02:00"/></event>')  # fmt: skip
            if n % 10 == 9:
                file.write("</trace>")
        file.write("</log>")
