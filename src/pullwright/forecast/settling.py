"""Does a line settle, how long does that take, and what grows if it does not?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pullwright.forecast.answers.growth import growth_of
from pullwright.forecast.answers.interval import Floats, Interval
from pullwright.forecast.answers.warm_up import WarmUp, mser5
from pullwright.forecast.seen import Seen

NEGLIGIBLE = 0.005
"""Share of a day's orders by which a pile may grow in a day without being told of."""
_FEWEST_DAYS = 20


@dataclass(frozen=True, slots=True)
class Growing:
    """A pile, or orders that wait, which go on growing: by `rate` (pieces a working day, with its interval)."""

    name: str
    rate: Interval

    @property
    def sentence(self) -> str:
        """Say it."""
        verb = "go" if self.name.startswith("orders") else "goes"
        return (
            f"{self.name[0].upper()}{self.name[1:]} {verb} on growing, by {self.rate.value:.2g} pieces a day "
            f"({self.rate.low:.2g} to {self.rate.high:.2g})."
        )


def warm_up_of(seen: Seen) -> WarmUp:
    """How many working days does it take until stock and waiting orders no longer remember how they began?

    The longest of the warm-ups of the stock in the line, the finished stock and the orders waiting, each averaged over the runs.
    """
    found = [mser5(series.mean(axis=0)) for series in _slow_ones(seen)]
    return WarmUp(max(one.cut for one in found), all(one.settled for one in found), seen.days)


def growing_in(seen: Seen) -> tuple[Growing, ...]:
    """What goes on growing in the second half of the days that count? The fastest first; nothing where they are too few to tell.

    A pile that grows while all stock together does not is only on its way through the line.
    """
    if seen.counted < _FEWEST_DAYS or seen.runs < 2:
        return ()
    negligible = NEGLIGIBLE * float(seen.ordered.sum()) / (seen.runs * seen.days)
    told: list[Growing] = []
    for whole, parts in _piles(seen):
        if growth_of(whole[:, seen.warm :], negligible).grows:
            found = [(name, growth_of(series[:, seen.warm :], negligible)) for name, series in parts]
            told += [Growing(name, growth.rate) for name, growth in found if growth.grows]
    return tuple(sorted(told, key=lambda one: -one.rate.value))


def _slow_ones(seen: Seen) -> list[Floats]:
    return [seen.lying_by_day[:, :, -1], seen.lying_by_day[:, :, -2], seen.waiting.sum(axis=2)]


def _piles(seen: Seen) -> Iterator[tuple[Floats, list[tuple[str, Floats]]]]:
    """All stock, and all orders that wait; each with the piles that it is made of."""
    lying, names = seen.lying_by_day, seen.layout.products
    stock = [(f"stock before {name}", lying[:, :, i]) for i, name in enumerate(seen.layout.steps)]
    yield lying[:, :, -1] + lying[:, :, -2], [*stock, ("finished stock", lying[:, :, -2])]
    tails = [f" / {name}" if len(names) > 1 else "" for name in names]
    yield seen.waiting.sum(axis=2), [(f"orders waiting{tail}", seen.waiting[:, :, p]) for p, tail in enumerate(tails)]
