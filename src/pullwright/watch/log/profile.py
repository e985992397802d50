"""What stands in a column of a log: how much of it, how many different values, and what they can be read as."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pullwright.watch.log.numbers_read import is_number, is_span
from pullwright.watch.log.time_forms import CLOCK, EPOCHS, SERIAL, form_of

if TYPE_CHECKING:
    import polars as pl

SAMPLE = 20_000
BLOCKS = 40
TEXTS = 300
_ZERO = re.compile(r"(?:1899[-/.]12[-/.]3[01]|1900[-/.]01[-/.]\d\d)[ T]")


@dataclass(frozen=True, slots=True)
class Profile:
    """One column of the sample: shares are of the filled cells, from 0 to 1."""

    name: str
    filled: float
    rows: int
    distinct: int
    times: float
    dates_only: float
    clocks: float
    numbers: float
    spans: float
    numeric_times: bool
    words: Sequence[str]
    """The most frequent values as text, the most frequent first."""
    counts: Sequence[int]
    texts: Sequence[str]
    """Values spread over the sample, as text."""
    flag: bool

    @property
    def empty(self) -> bool:
        """Does nothing stand in it?"""
        return self.distinct == 0


def sample_of(table: pl.DataFrame) -> pl.DataFrame:
    """Rows spread over the whole table, in blocks of neighbours, so that what follows in a case can be seen."""
    import polars as pl

    if table.height <= SAMPLE:
        return table
    size, gap = SAMPLE // BLOCKS, (table.height - SAMPLE // BLOCKS) // (BLOCKS - 1)
    return pl.concat([table.slice(block * gap, size) for block in range(BLOCKS)])


def profile(column: pl.Series) -> Profile:
    """Look at one column of the sample."""
    import polars as pl

    rows, kind = column.len(), column.dtype
    filled = column.drop_nulls()
    counted = filled.value_counts(sort=True).head(60) if filled.len() else None
    distinct = filled.n_unique() if filled.len() else 0
    spread = filled.unique(maintain_order=True)
    if spread.len() > TEXTS:
        spread = spread.gather_every(spread.len() // TEXTS).head(TEXTS)
    texts: list[str] = [str(value) for value in spread.cast(pl.String, strict=False).to_list()]
    words = [] if counted is None else [str(v) for v in counted[column.name].cast(pl.String, strict=False).to_list()]
    counts = [] if counted is None else counted["count"].to_list()
    n = max(1, len(texts))
    if isinstance(kind, pl.Datetime) or kind == pl.Date:
        times, dates, clocks, numbers, spans = 1.0, float(_midnights(filled)), 0.0, 0.0, 0.0
    elif kind == pl.Time:
        times, dates, clocks, numbers, spans = 0.0, 0.0, 1.0, 0.0, 0.9
    elif isinstance(kind, pl.Duration):
        times, dates, clocks, numbers, spans = 0.0, 0.0, 0.0, 0.0, 1.0
    elif kind == pl.Boolean:
        times = dates = clocks = numbers = spans = 0.0
    elif kind.is_numeric():
        times, dates, clocks, numbers, spans = 0.0, 0.0, 0.0, 1.0, 0.0
    else:
        forms = [form_of(text, day_first=True) for text in texts]
        times = sum(form is not None for form in forms) / n
        dates = sum(form is not None and not form.clock for form in forms) / n
        # A time of day alone is written by spreadsheets as a moment on their day zero.
        bare = [_ZERO.sub("", text.strip()) for text in texts]
        times -= sum(bool(_ZERO.match(text.strip())) for text in texts) / n
        clocks = sum(bool(CLOCK.fullmatch(text)) and int(text.split(":")[0]) < 25 for text in bare) / n
        numbers = sum(is_number(text) for text in texts) / n
        spans = sum(is_span(text) for text in bare) / n
    return Profile(
        column.name, filled.len() / max(1, rows), rows, distinct, times, dates, clocks, numbers, spans,
        numbers >= 0.9 and _like_times(texts), words, counts, texts, kind == pl.Boolean,
    )  # fmt: skip


def _midnights(filled: pl.Series) -> bool:
    import polars as pl

    return filled.dtype == pl.Date or bool(filled.len() and (filled.dt.truncate("1d") == filled).all())


def _like_times(texts: Sequence[str]) -> bool:
    values = []
    for text in texts:
        try:
            values.append(float(text.replace(",", ".")))
        except ValueError:
            continue
    if not values:
        return False
    values.sort()
    low, high = values[len(values) // 20], values[-1 - len(values) // 20]
    spans = [(a, b) for a, b, *_ in EPOCHS] + [SERIAL]
    return any(a <= low and high < b for a, b in spans) and (high - low) < 0.5 * high
