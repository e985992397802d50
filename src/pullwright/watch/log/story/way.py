"""Which way do the cases go through the shop: variants, the usual way, the usual order, loops, what runs side by side?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import percent
from pullwright.watch.log.laid import Ints, distinct, first_rows, is_large, rows_at, run_lengths
from pullwright.watch.log.story.measured import MOST_ROWS
from pullwright.watch.log.story.visits import Visits

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class Variant:
    """One way through: its steps in order (bookings of one step in a row count once), how many cases took it, their share.

    `rows` are the first source rows of the first cases that took it; `example` is one of those cases.
    """

    steps: tuple[str, ...]
    cases: int
    share: float
    example: str
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class OrderedStep:
    """A step at its place in the usual order.

    `cases` and `share`: how many cases visit it; `place`: where between the first (0) and the last (1) visit of a case
    it usually comes; `first` and `last`: share of those cases that begin and end with it; `again`: share of them that
    come back to it after another step; `main` is true where at least half of the cases visit it.
    """

    step: str
    cases: int
    share: float
    place: float
    first: float
    last: float
    again: float
    main: bool
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    """A loop: cases that come from step `after` back to step `step`, which they had visited before."""

    step: str
    after: str
    cases: int
    times: int
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Parallel:
    """Two steps of one case that overlap in time (`overlapping`) or come in either order (`either`): shares of cases with both."""

    one: str
    other: str
    cases: int
    overlapping: float
    either: float
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Way:
    """The ways through the shop.

    `variants` holds the commonest (at most 50) of `distinct` ways; `pooled` is the share of cases on the others; `carry`
    is how many of the commonest ways carry four fifths of the cases. `usual` is the commonest way of all. `order` has
    all steps in their usual order, `edges` one row for each two steps that follow one another: before, after, times,
    cases. `cases` counts those with at least one step.
    """

    cases: int
    distinct: int
    variants: tuple[Variant, ...]
    pooled: float
    carry: int
    usual: tuple[str, ...]
    order: tuple[OrderedStep, ...]
    repeats: tuple[Repeat, ...]
    parallel: tuple[Parallel, ...]
    edges: pl.DataFrame
    rows: tuple[int, ...]
    found: str


MOST_VARIANTS, MOST_PAIRED, MOST_ORDERED = 50, 25, 300
MOST_COMPARED, MOST_CELLS = 20_000_000, 4_000_000
_MIX = np.uint64(0x9E3779B97F4A7C15)


def way_of(visits: Visits) -> Way:
    """Which ways do the orders go, and what is the usual order of the steps?"""
    cases = visits.begins.size
    if not cases:
        return Way(0, 0, (), 0.0, 0, (), (), (), (), _edges(visits), (), "No order in this log has a step.")
    variants, distinct, carried, usual = _variants(visits)
    order = _ordered(visits)
    repeats, parallel = _repeats(visits), _parallel(visits, order)
    pooled = 1 - sum(one.share for one in variants)
    found = _sentence(cases, distinct, carried, variants, repeats)
    rows = tuple(visits.row[visits.begins[:MOST_ROWS]].tolist())
    return Way(
        cases,
        distinct,
        variants,
        max(pooled, 0.0),
        carried,
        usual,
        order,
        repeats,
        parallel,
        _edges(visits),
        rows,
        found,
    )


def _digests(visits: Visits) -> NDArray[np.uint64]:
    """One number for the sequence of steps of each order; two sequences share it by a chance of one in 10^19 or so."""
    place = np.arange(visits.size) - np.repeat(visits.begins, run_lengths(visits.begins, visits.size))
    with np.errstate(over="ignore"):
        mixed = (visits.step.astype(np.uint64) + np.uint64(1)) * _MIX + place.astype(np.uint64) * np.uint64(
            0xBF58476D1CE4E5B9
        )
        for shift, by in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
            mixed = (mixed ^ (mixed >> np.uint64(shift))) * np.uint64(by)
        return np.add.reduceat(mixed ^ (mixed >> np.uint64(31)), visits.begins)


def _variants(visits: Visits) -> tuple[tuple[Variant, ...], int, int, tuple[str, ...]]:
    digests = _digests(visits)
    _, first, back, counts = np.unique(digests, return_index=True, return_inverse=True, return_counts=True)
    cases, names = visits.begins.size, visits.shop.laid.step.names
    ranked = np.lexsort((first, -counts))
    carried = int(np.searchsorted(np.cumsum(counts[ranked]), 0.8 * cases) + 1)
    lengths = run_lengths(visits.begins, visits.size)
    top = ranked[:MOST_VARIANTS]
    place_of = np.full(counts.size, -1)
    place_of[top] = np.arange(top.size)
    rows = first_rows(place_of[back], visits.row[visits.begins], top.size, MOST_ROWS)
    told = []
    for place, kind in enumerate(top.tolist()):
        case = int(first[kind])
        at = int(visits.begins[case])
        steps = tuple(names[code] for code in visits.step[at : at + int(lengths[case])].tolist())
        example = visits.shop.laid.case.names[int(visits.case[at])]
        told.append(Variant(steps, int(counts[kind]), float(counts[kind] / cases), example, rows[place]))
    return tuple(told), int(counts.size), carried, told[0].steps


def _ordered(visits: Visits) -> tuple[OrderedStep, ...]:
    """Steps by where in an order they first come, neighbours put right by which of the two comes first more often."""
    steps, cases = visits.shop.laid.step.size, visits.begins.size
    lengths = run_lengths(visits.begins, visits.size)
    position = (np.arange(visits.size) - np.repeat(visits.begins, lengths)) / np.maximum(
        np.repeat(lengths, lengths) - 1, 1
    )
    new = ~visits.again
    count = np.bincount(visits.step[new], minlength=steps)
    with np.errstate(invalid="ignore", divide="ignore"):
        place = np.bincount(visits.step[new], position[new], steps) / count
        first = np.bincount(visits.step[visits.begins], minlength=steps) / count
        last = np.bincount(visits.step[visits.last], minlength=steps) / count
    back = visits.case[visits.again].astype(np.int64) * steps + visits.step[visits.again]
    again = np.bincount((distinct(back)[0] % max(steps, 1)).astype(np.int64), minlength=steps)
    order = [code for code in np.argsort(place, kind="stable").tolist() if count[code]]
    if len(order) <= MOST_ORDERED:
        order = _neighbours(visits, order)
    rows = first_rows(visits.step, visits.row, steps, MOST_ROWS)
    names = visits.shop.laid.step.names
    return tuple(
        OrderedStep(
            names[code], int(count[code]), float(count[code] / cases), float(place[code]), float(first[code]), float(last[code]),
            float(again[code] / count[code]), bool(count[code] >= 0.5 * cases), rows[code],
        )
        for code in order
    )  # fmt: skip


def _neighbours(visits: Visits, order: list[int]) -> list[int]:
    """Change neighbours round while the second one comes before the first in more orders."""
    if len(order) * visits.begins.size > MOST_COMPARED:
        return order
    comes_later = _later(visits, order)
    rows = list(range(len(order)))
    for _ in range(len(order)):
        moved = False
        for k in range(len(rows) - 1):
            if comes_later(rows[k], rows[k + 1]):
                rows[k], rows[k + 1] = rows[k + 1], rows[k]
                moved = True
        if not moved:
            break
    return [order[row] for row in rows]


def _later(visits: Visits, order: list[int]) -> Callable[[int, int], bool]:
    """Does the first of two steps (by their places in `order`) come after the second in most of the orders that have both?"""
    place = np.full(visits.shop.laid.step.size, -1, np.int64)
    place[order] = np.arange(len(order))
    new = ~visits.again
    if is_large(visits.size):
        from .pairs_kernel import ahead_of

        ahead = ahead_of(visits.step, visits.begins, new, place, len(order))
        return lambda one, other: bool(ahead[other, one] > ahead[one, other])
    case, step = visits.case[new], visits.step[new]
    table = np.full((len(order), visits.begins.size), -1, np.int64)
    of_case = np.zeros(int(visits.case.max()) + 1, np.int64)
    of_case[visits.case[visits.begins]] = np.arange(visits.begins.size)
    table[place[step], of_case[case]] = np.arange(case.size)

    def later(one: int, other: int) -> bool:
        both = (table[one] >= 0) & (table[other] >= 0)
        return bool((table[other][both] < table[one][both]).sum() * 2 > both.sum())

    return later


def _repeats(visits: Visits) -> tuple[Repeat, ...]:
    back = np.flatnonzero(visits.again & ~visits.is_first)
    if not back.size:
        return ()
    steps, names = max(visits.shop.laid.step.size, 1), visits.shop.laid.step.names
    pairs = visits.step[back - 1].astype(np.int64) * steps + visits.step[back]
    kinds, which, times = np.unique(pairs, return_inverse=True, return_counts=True)
    cases = np.unique(which.astype(np.int64) * (int(visits.case.max()) + 1) + visits.case[back])
    many = np.bincount(cases // (int(visits.case.max()) + 1), minlength=kinds.size)
    ranked = np.argsort(-times, kind="stable")[:MOST_VARIANTS]
    place_of = np.full(kinds.size, -1)
    place_of[ranked] = np.arange(ranked.size)
    rows = first_rows(place_of[which], visits.row[back], ranked.size, MOST_ROWS)
    return tuple(
        Repeat(names[int(kinds[k]) % steps], names[int(kinds[k]) // steps], int(many[k]), int(times[k]), rows[place])
        for place, k in enumerate(ranked.tolist())
    )


def _parallel(visits: Visits, order: tuple[OrderedStep, ...]) -> tuple[Parallel, ...]:
    """Pairs of steps that overlap in time, or that come in either order."""
    codes = {name: code for code, name in enumerate(visits.shop.laid.step.names)}
    chosen = [codes[one.step] for one in sorted(order, key=lambda one: -one.cases)[:MOST_PAIRED]]
    place = np.full(visits.shop.laid.step.size, -1)
    place[chosen] = np.arange(len(chosen))
    pairs = (
        _paired(visits, place, len(chosen)) if is_large(visits.size) else _paired_by_table(visits, place, len(chosen))
    )
    names = visits.shop.laid.step.names
    found = [
        Parallel(names[chosen[one]], names[chosen[other]], both, over / both, min(ahead / both, 1 - ahead / both), rows)
        for one, other, both, over, ahead, rows in pairs
        if max(over / both, min(ahead / both, 1 - ahead / both)) >= 0.1
    ]
    return tuple(sorted(found, key=lambda pair: -max(pair.overlapping, pair.either)))


Pair = tuple[int, int, int, int, int, tuple[int, ...]]
"""Places of two steps, orders with both, those that overlap, those in which the first begins first, first rows of those that overlap."""
FEW_ORDERS = 3


def _paired(visits: Visits, place: Ints, many: int) -> list[Pair]:
    from .pairs_kernel import side_by_side

    both, over, ahead, shown = side_by_side(
        visits.step, visits.begins, ~visits.again, place, many, visits.start, visits.end, MOST_ROWS
    )
    pairs = np.argwhere(both >= FEW_ORDERS).tolist()
    rows = rows_at(np.array([shown[a, b] for a, b in pairs], np.int64).reshape(-1, MOST_ROWS), visits.row)
    return [
        (a, b, int(both[a, b]), int(over[a, b]), int(ahead[a, b]), some)
        for (a, b), some in zip(pairs, rows, strict=True)
    ]


def _paired_by_table(visits: Visits, place: Ints, many: int) -> list[Pair]:
    new = ~visits.again & (place[visits.step] >= 0)
    of_case = np.zeros(int(visits.case.max()) + 1, np.int64)
    of_case[visits.case[visits.begins]] = np.arange(visits.begins.size)
    at = np.full((many, visits.begins.size), -1, np.int64)
    at[place[visits.step[new]], of_case[visits.case[new]]] = np.flatnonzero(new)
    found: list[Pair] = []
    for one in range(many):
        for other in range(one + 1, many):
            both = np.flatnonzero((at[one] >= 0) & (at[other] >= 0))
            if both.size < FEW_ORDERS:
                continue
            first, second = at[one][both], at[other][both]
            over = (visits.start[first] < visits.end[second]) & (visits.start[second] < visits.end[first])
            ahead = int((visits.start[first] < visits.start[second]).sum())
            rows = tuple(visits.row[first[over][:MOST_ROWS]].tolist())
            found.append((one, other, int(both.size), int(over.sum()), ahead, rows))
    return found


def _edges(visits: Visits) -> pl.DataFrame:
    import polars as pl

    names = visits.shop.laid.step.names
    steps = visits.shop.laid.step.size
    if is_large(visits.size) and steps * steps <= MOST_CELLS:
        from .pairs_kernel import followers

        times, orders = followers(visits.step, visits.begins, steps)
        before, after = np.nonzero(times)
        counted = pl.DataFrame(
            {"before": before, "after": after, "times": times[before, after], "cases": orders[before, after]},
            schema_overrides={"times": pl.UInt32, "cases": pl.UInt32},
        )
    else:
        then = np.flatnonzero(~visits.is_first) if visits.size else np.zeros(0, np.int64)
        table = pl.DataFrame({"before": visits.step[then - 1], "after": visits.step[then], "case": visits.case[then]})
        counted = table.group_by("before", "after").agg(times=pl.len(), cases=pl.col("case").n_unique())
    counted = counted.sort("times", "before", "after", descending=[True, False, False])
    return counted.with_columns(
        pl.Series(name, [names[code] for code in counted[name].to_list()], dtype=pl.String)
        for name in ("before", "after")
    )


def _sentence(
    cases: int, distinct: int, carried: int, variants: tuple[Variant, ...], repeats: tuple[Repeat, ...]
) -> str:
    top = variants[0]
    if distinct == 1:
        said = f"All {cases:,} orders go the same way, through {len(top.steps)} steps."
    elif distinct > 0.8 * cases:
        said = f"Nearly every order goes a way of its own: {distinct:,} ways for {cases:,} orders."
    else:
        ways = "One way carries" if carried == 1 else f"{carried:,} of {distinct:,} ways carry"
        said = f"{ways} four fifths of the {cases:,} orders; the commonest, through {len(top.steps)} steps, has {percent(top.share)}."
    if repeats and repeats[0].cases >= 0.02 * cases:
        worst = repeats[0]
        said += f" The commonest way back is from {worst.after} to {worst.step}, {worst.cases:,} orders."
    return said
