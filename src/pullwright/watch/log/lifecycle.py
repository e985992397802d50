"""Pairs what began with what ended, where a row of a log is one moment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pullwright.watch.log.raw import ROW

if TYPE_CHECKING:
    import polars as pl


def paired(moments: pl.DataFrame, phase: pl.Series, instance: pl.Series | None) -> pl.DataFrame:
    """One row an event out of one row a moment: the n-th start goes with the n-th end of the same case, step and station.

    `moments` has the columns of events and `moment`; `phase` says "start", "end", "other" or "unknown" of each row ("other" is
    left out, "unknown" stays with neither a start nor an end); `instance` ties a start to its end where it says something. A start without an end keeps its end null, and an end
    without a start its start. The row is that of the start where there is one; numbers are taken from the end, and from
    the start where the end says nothing. An end before any start that is left is an end without a start.
    """
    import polars as pl

    by = ["case", "activity", "station"]
    table = moments.with_columns(
        phase.alias("phase"),
        (instance.cast(pl.String) if instance is not None else pl.lit(None, pl.String)).alias("tie"),
    )
    # A case's number holds for its steps, whatever the station is called.
    unknown = table.filter(pl.col("phase") == "unknown")
    table = table.filter(pl.col("phase").is_in(["start", "end"]))
    by = [*by, "tie"]
    begin = pl.col("phase") == "start"
    table = table.sort(["moment", "phase", ROW], descending=[False, True, False], nulls_last=True, maintain_order=True)
    open_before = pl.when(begin).then(1).otherwise(-1).cum_sum().over(by)
    # An end below the lowest level so far has no start: each new low is one such end.
    low = pl.min_horizontal(pl.col("level").cum_min().over(by), pl.lit(0))
    table = table.with_columns(open_before.alias("level")).with_columns(low.alias("low"))
    table = table.with_columns(
        (
            (~begin)
            & (pl.col("low") < pl.col("low").shift(1, fill_value=0).over(by))
            & (pl.col("level") == pl.col("low"))
        ).alias("alone")
    )
    counted = pl.when(~pl.col("alone")).then(pl.int_range(pl.len()).over([*by, "phase", "alone"]))
    table = table.with_columns(counted.alias("n"))
    starts = table.filter(begin)
    ends = table.filter(~begin)
    said = [name for name in moments.columns if name not in (ROW, *by[:3], "start", "end", "moment")]
    both = starts.select(*by, "n", ROW, *said, pl.col("moment").alias("start")).join(
        ends.select(
            *by,
            "n",
            pl.col(ROW).alias("row of end"),
            *(pl.col(c).alias(f"{c} of end") for c in said),
            pl.col("moment").alias("end"),
        ),
        on=[*by, "n"],
        how="full",
        nulls_equal=True,
        coalesce=True,
    )
    # An end that stands alone has no number, nor has any start: it finds nothing to go with.
    first = {"clock", "kind"}
    words = [
        pl.coalesce(*((c, f"{c} of end") if c in first else (f"{c} of end", c))).alias(c)
        if c != "rework"
        else (pl.col(c).fill_null(value=False) | pl.col(f"{c} of end").fill_null(value=False)).alias(c)
        for c in said
    ]
    pairs = both.select(pl.coalesce(ROW, "row of end").alias(ROW), *by[:3], "start", "end", *words)
    nothing = pl.lit(None, pl.Datetime("us"))
    unknown = unknown.with_columns(start=nothing, end=nothing)
    return pl.concat([pairs, unknown.select(pairs.columns)]).sort(ROW)
