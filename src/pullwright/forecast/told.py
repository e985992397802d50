"""What runs tell, one number a question: one readable table of what can be asked of a forecast."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pullwright.account.floor import area_of
from pullwright.forecast.answers.interval import Floats, Interval, by_run, ratio_of, share_of
from pullwright.forecast.answers.quantiles import at_share, quantile_of
from pullwright.forecast.events.rows import HELD, NOBODY, NOT_ASKED, OFF, REPAIRED, SET_UP_TIME, SHORT, STARVED, WORKING
from pullwright.forecast.seen import Seen

PERCENTILES = (0.05, 0.5, 0.8, 0.9, 0.95)
KEPT = 0.95
"""Share of the orders that a promise is to be kept for, where it is asked what could be promised."""
TIMES: tuple[tuple[int, str], ...] = (
    (WORKING, "working"),
    (SET_UP_TIME, "set up"),
    (REPAIRED, "repaired"),
    (HELD, "held"),
    (OFF, "out of its shifts"),
    (NOBODY, "without people"),
    (SHORT, "short of a part"),
    (NOT_ASKED, "not asked"),
    (STARVED, "starved"),
)
"""Where a machine's time goes, in words; together they are all of it."""


@dataclass(frozen=True)
class Told:
    """One number that runs tell: a mean over all of them, `above` over `below`, or the `percentile` of `samples`.

    `name`, `unit` (a key of the units of figures) and `formula` in words; `share`: it is a share of things counted; `about`: words in the names of
    the fields that say what it is held against.
    """

    name: str
    unit: str
    formula: str
    above: Floats | None = None
    below: Floats | None = None
    samples: Sequence[Floats] = ()
    percentile: float = 0.0
    share: bool = False
    about: str = ""

    def interval(self, level: float) -> Interval:
        """The number, and how sure the runs make it."""
        if self.above is None or self.below is None:
            return quantile_of(self.samples, self.percentile, level)
        return (share_of if self.share else ratio_of)(self.above, self.below, level)

    @cached_property
    def silent(self) -> bool:
        """Have all runs nothing to say of it (no piece ended, no order was due)?"""
        if self.above is None or self.below is None:
            return not any(one.size for one in self.samples)
        return not float(self.below.sum()) > 0

    @cached_property
    def each(self) -> Floats:
        """The number of each run alone (R,); NaN where a run has nothing to say."""
        if self.above is None or self.below is None:
            return np.array([at_share(np.sort(one), self.percentile) if one.size else np.nan for one in self.samples])
        with np.errstate(all="ignore"):
            return np.where(self.below > 0, self.above / self.below, np.nan)

    @cached_property
    def by_run(self) -> Floats:
        """What each run says of the number of all (R,): it differs as the runs do, and can be compared run by run."""
        return self.each if self.above is None or self.below is None else by_run(self.above, self.below)


def told_by(seen: Seen) -> Iterator[Told]:
    """All that the runs tell."""
    yield from _throughput(seen)
    yield from _times(seen, "lead time", "of the pieces ended, from their first step to the finished store", seen.leads)
    yield from _times(seen, "response time", "of the orders shipped, from the order to the unit", seen.replies)
    yield from _promises(seen)
    yield from _stock(seen)
    yield from _waiting(seen)
    yield from _floor(seen)
    yield from _stations(seen)
    yield from _scrap(seen)


def headlines(seen: Seen) -> Iterator[Told]:
    """What decides how many runs are enough: pieces shipped, promises kept, stock in the line."""
    yield next(_throughput(seen))
    yield next(_stock(seen))
    kept = next(_promises(seen), None)
    if kept is not None and kept.share:
        yield kept


def _products(seen: Seen) -> list[tuple[str, int | None]]:
    """All products together, and each one where there are several."""
    names = seen.layout.products
    return [("", None), *((f" / {name}", p) for p, name in enumerate(names) if len(names) > 1)]


def _per_day(seen: Seen, name: str, amounts: Floats, formula: str, unit: str = "pieces/wd") -> Told:
    return Told(name, unit, formula, amounts, np.full(seen.runs, float(seen.counted)))


def _throughput(seen: Seen) -> Iterator[Told]:
    shipped = seen.shipped[:, seen.warm :].sum(axis=1)
    for tail, p in _products(seen):
        amounts = shipped.sum(axis=1) if p is None else shipped[:, p]
        yield _per_day(seen, f"throughput{tail}", amounts, "units shipped / working days counted")


def _times(seen: Seen, name: str, words: str, of: Callable[[int | None], list[Floats]]) -> Iterator[Told]:
    for tail, p in _products(seen):
        taken: list[Floats] = of(p)
        sums, many = np.array([one.sum() for one in taken]), np.array([float(one.size) for one in taken])
        yield Told(f"{name}{tail}", "wd", f"mean {words}", sums, many)
        if name == "response time":
            taken = _resolved(seen, p)
        for share in PERCENTILES:
            yield Told(
                f"{name}, {100 * share:g} %{tail}", "wd", f"{100 * share:g} % take no longer, {words}", samples=taken, percentile=share
            )  # fmt: skip


def _resolved(seen: Seen, product: int | None) -> list[Floats]:
    """Orders placed long enough before the end that it is known how long all but the slowest twentieth waited."""
    for part in (0.05, 0.1, 0.25, 0.5):
        margin = float(np.ceil(part * seen.counted))
        placed = seen.placed(product, margin)
        pooled = np.sort(np.concatenate(placed))
        if pooled.size and at_share(pooled, PERCENTILES[-1]) <= margin:
            break
    return placed


def _promises(seen: Seen) -> Iterator[Told]:
    kept: dict[int | None, Floats] = {}
    due: dict[int | None, Floats] = {}
    for p, within in enumerate(seen.terms.within):
        if np.isnan(within) or within >= seen.counted:
            continue
        placed = seen.placed(p, float(within))
        kept[p] = np.array([float(np.count_nonzero(one <= within * (1 + 1e-12))) for one in placed])
        due[p] = np.array([float(one.size) for one in placed])
    formula = "orders shipped within the promise / orders placed, of those that were due before the end"
    if kept:
        every_kept, every_due = np.sum(list(kept.values()), axis=0), np.sum(list(due.values()), axis=0)
        yield Told("on time", "share", formula, every_kept, every_due, share=True, about="promise")
    for tail, product in _products(seen):
        if product in kept:
            yield Told(f"on time{tail}", "share", formula, kept[product], due[product], share=True, about="promise")
        yield Told(
            f"promise kept at {100 * KEPT:g} %{tail}", "wd",
            f"{100 * KEPT:g} % of the orders placed were shipped within it", samples=_resolved(seen, product), percentile=KEPT,
        )  # fmt: skip


def _places(seen: Seen) -> list[tuple[str, int]]:
    return [
        ("stock in the line", -1),
        ("finished stock", -2),
        *((f"stock before {name}", i) for i, name in enumerate(seen.layout.steps)),
    ]


def _stock(seen: Seen) -> Iterator[Told]:
    one = np.ones(seen.runs)
    for name, k in _places(seen):
        yield Told(name, "pieces", "mean over working time", seen.lying[:, k], one)
        yield Told(
            f"{name}, 95 %", "pieces", "no more lies there at the end of 95 % of the working days",
            samples=list(seen.lying_by_day[:, seen.warm :, k]), percentile=0.95,
        )  # fmt: skip
        yield Told(f"{name}, peak", "pieces", "mean over the runs of the most that lay there", seen.peak[:, k], one)


def _waiting(seen: Seen) -> Iterator[Told]:
    for tail, p in _products(seen):
        waiting = seen.waiting[:, seen.warm :]
        by_day = waiting.sum(axis=2) if p is None else waiting[:, :, p]
        yield Told(
            f"orders waiting{tail}",
            "pieces",
            "mean over the ends of the working days",
            by_day.mean(axis=1),
            np.ones(seen.runs),
        )
        yield Told(
            f"orders waiting, 95 %{tail}", "pieces", "no more wait at the end of 95 % of the working days", samples=list(by_day), percentile=0.95
        )  # fmt: skip
        yield Told(
            f"orders waiting, at the end{tail}", "pieces", "mean over the runs of the last day", by_day[:, -1], np.ones(seen.runs)
        )  # fmt: skip


def floor_by_day(seen: Seen) -> Floats:
    """Floor (m²) that what lies takes at each day's end, (R, D): whole containers, stacked as high as allowed, where the file gives them."""
    taken = np.zeros(seen.lying_by_day.shape[:2])
    for _, kind, k, in_a_set, holds, stack, each in seen.terms.beds:
        taken += area_of(seen.pieces(kind, k) / in_a_set, holds, stack, each)
    return taken


def _floor(seen: Seen) -> Iterator[Told]:
    if not seen.terms.beds:
        return
    taken = floor_by_day(seen)[:, seen.warm :]
    formula = (
        "containers, rounded up, / stacked on each other, rounded up, x floor of one, at the ends of the working days"
    )
    yield Told(
        "floor of what lies", "m2", f"mean of {formula}", taken.mean(axis=1), np.ones(seen.runs), about="container"
    )
    yield Told("floor of what lies, 95 %", "m2", f"enough on 95 % of the days: {formula}", samples=list(taken), percentile=0.95, about="container")  # fmt: skip
    yield Told("floor of what lies, peak", "m2", f"mean over the runs of the most of {formula}", taken.max(axis=1), np.ones(seen.runs), about="container")  # fmt: skip


def _stations(seen: Seen) -> Iterator[Told]:
    whole = seen.times.sum(axis=2)
    for s, name in enumerate(seen.layout.stations):
        busy = seen.times[:, s, WORKING] + seen.times[:, s, SET_UP_TIME] + seen.times[:, s, REPAIRED]
        yield Told(f"occupied / {name}", "share", "time working, set up and repaired / machine time", busy, whole[:, s])
        for kind, words in TIMES:
            yield Told(
                f"{words} / {name}", "share", f"time {words} / machine time", seen.times[:, s, kind], whole[:, s]
            )


def _scrap(seen: Seen) -> Iterator[Told]:
    scrapped = seen.scrapped[:, seen.warm :].sum(axis=1)
    yield _per_day(seen, "scrap", scrapped.sum(axis=1), "pieces scrapped / working days counted")
    for i, name in enumerate(seen.layout.steps):
        yield _per_day(seen, f"scrap / {name}", scrapped[:, i], "pieces scrapped there / working days counted")
        yield _per_day(seen, f"made / {name}", seen.made[:, i], "pieces ended there / working days counted")
