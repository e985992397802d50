"""How much must go round in a loop so that what is asked for lies on the shelf: base stock, in full containers or not.

Axsaeter, Inventory Control, chapters 5 and 6; Zipkin, Foundations of Inventory Management, chapter 6 (both from memory): with so many pieces
on the cards, what has not yet been asked for anew is X, what was asked for in the lead time, so that the level is `top` - X. A card that goes back
only when its container is empty (or a signal that asks for a whole lot) lets up to that many pieces be missing from what is under way: the level
is then top - X - u, with u equally likely on 0 ... levels - 1 (order point and order quantity, the same books). All functions take numbers or arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

MOST_SERVICE = 0.9999
"""No stock keeps every promise: a wish for 100 % is worked out as this."""

FINEST = 1000.0
"""Deviations above so many pieces are worked out in bundles, so that a deviation has this many of them."""

LARGEST = 20_000.0
"""Containers and lots above so many pieces likewise."""


@dataclass(frozen=True)
class Asked:
    """What is asked for in a lead time, in pieces: its mean, its variance, and how unevenly it comes.

    The law of that mean and variance is negative binomial where the variance is above the mean, Poisson where they are alike, and a mixture of two
    binomial ones where it is below (Adan, van Eenige & Resing 1995, from memory). `uneven` is the variance of what is asked for in a long time
    over its mean: 1 where pieces are asked for one at a time and independently.
    """

    mean: Any
    variance: Any
    uneven: Any = 1.0

    @classmethod
    def over(cls, demand: Any, uneven: Any, lead: Any, lead_variance: Any, together: Any = 1.0) -> Asked:
        """Compound what varies: the demand in the lead time, and the lead time itself.

        `demand` (pieces a day), `uneven` (variance of the demand of a day over its mean), `lead` (days) and its variance (days²); `together`: pieces that are taken
        in a row. Mean d L; variance v d L + d² Var(L) + (q² - 1)/12, what is left of a lot at any moment being equally likely.

        >>> asked = Asked.over(demand=20.0, uneven=1.5, lead=0.5, lead_variance=0.04)
        >>> float(asked.mean), float(asked.variance)
        (10.0, 31.0)
        """
        some = np.asarray(demand) > 0
        time = np.where(some, lead, 0.0)
        spread = np.where(some, lead_variance, 0.0)
        mean = np.asarray(demand) * time
        with np.errstate(invalid="ignore"):
            variance = (
                uneven * mean
                + np.asarray(demand) ** 2 * spread
                + np.where(some, (np.asarray(together) ** 2 - 1) / 12, 0.0)
            )
        return cls(mean, np.where(np.isfinite(mean) & np.isfinite(spread), variance, np.inf), uneven)

    @property
    def before_a_piece(self) -> Asked:
        """What does a piece that is asked for find asked for before it?

        More than at any moment where pieces are asked for in bursts: (v - 1)/2 more (renewal function; Cox 1962, Renewal Theory, from memory). With Poisson
        demand the two are the same.
        """
        mean = np.maximum(np.asarray(self.mean) + (np.asarray(self.uneven) - 1) / 2, 0.0)
        return Asked(mean, self.variance)

    def shelf(self, top: Any, levels: Any) -> tuple[Any, Any]:
        """Give the chance that something lies on the shelf, and the pieces there; see `level_of`."""
        from pullwright.pull.cards.stock_kernel import met_and_shelf

        mean, variance, top, levels = _rows(self.mean, self.variance, top, levels)
        deviation = np.sqrt(np.where(np.isfinite(variance), variance, 0.0))
        bundle = np.maximum(np.maximum(deviation / FINEST, levels / LARGEST), 1.0)
        met, pieces = met_and_shelf(
            mean / bundle, variance / bundle**2, np.round(top / bundle), np.maximum(np.round(levels / bundle), 1.0)
        )
        return met, pieces * bundle

    def fewest(self, wished: Any, each: Any, least: Any, levels: Any) -> Any:
        """Give the smallest multiple of `each` that lets something lie on the shelf with the chance `wished`."""
        from pullwright.pull.cards.stock_kernel import fewest

        mean, variance, each, least, levels, wished = _rows(self.mean, self.variance, each, least, levels, wished)
        wish = np.clip(wished, 0.0, MOST_SERVICE)
        rough = np.maximum(np.sqrt(np.where(np.isfinite(variance), variance, 0.0)) / FINEST, each / LARGEST)
        if not (rough > 1).any():
            return fewest(mean, variance, each, least, levels, wish)
        # Bundles divide a container, or are whole containers.
        finer = each / np.ceil(each / np.maximum(rough, 1.0))
        bundle = np.where(rough <= 1, 1.0, np.where(each >= rough, finer, each * np.floor(rough / each)))
        found = fewest(
            mean / bundle, variance / bundle**2, np.maximum(np.round(each / bundle), 1.0), least / bundle,
            np.maximum(np.round(levels / bundle), 1.0), wish,
        )  # fmt: skip
        return found * bundle


@dataclass(frozen=True)
class Drawn:
    """What was asked for in lead times that were seen or drawn, one number each: for a demand that fits no law. Only single numbers are asked of it.

    >>> seen = Drawn.over(days=[8, 12, 9, 11], leads=[1, 1, 2], draws=5000, rng=np.random.default_rng(1))
    >>> round(float(seen.mean), 1), float(base_stock(seen, 0.9)[0])
    (13.3, 22.0)
    """

    pieces: Any

    def __post_init__(self) -> None:
        object.__setattr__(self, "pieces", np.sort(np.asarray(self.pieces, dtype=float)))

    @classmethod
    def over(cls, days: Any, leads: Any, draws: int, rng: np.random.Generator) -> Drawn:
        """Draw lead times (days) from those in `leads`, and as many days of demand (pieces) from those in `days`; part of a day brings that part of it."""
        long = rng.choice(np.asarray(leads, dtype=float), draws)
        most = int(np.ceil(long.max(initial=0.0)))
        each = rng.choice(np.asarray(days, dtype=float), (draws, max(most, 1)))
        part = np.clip(long[:, None] - np.arange(max(most, 1)), 0.0, 1.0)
        return cls(np.round((each * part).sum(axis=1)))

    @property
    def mean(self) -> float:
        """Its mean, in pieces."""
        return float(self.pieces.mean())

    @property
    def before_a_piece(self) -> Drawn:
        """What a piece finds is taken to be what lies there at any moment."""
        return self

    def shelf(self, top: Any, levels: Any) -> tuple[Any, Any]:
        """Give the chance that something lies on the shelf, and the pieces there; see `level_of`."""
        levels_up = float(top) - np.arange(int(levels))
        left = levels_up[:, None] - self.pieces[None, :]
        return np.array([(left >= 1).mean()]), np.array([np.maximum(left, 0.0).mean()])

    def fewest(self, wished: Any, each: Any, least: Any, levels: Any) -> Any:
        """Give the smallest multiple of `each` that lets something lie on the shelf with the chance `wished`."""
        wish, step = min(float(wished), MOST_SERVICE), float(each)
        top = max(float(np.ceil(float(least) / step)), 1.0) * step
        while float(self.shelf(top, levels)[0][0]) < wish - 1e-12:
            top += step
        return np.array([top])


class Level(NamedTuple):
    """What a stock does: share of the pieces met from the shelf, chance that something lies there, pieces there, pieces waited for."""

    fill_rate: Any
    ready_rate: Any
    on_shelf: Any
    backorders: Any


def level_of(asked: Asked | Drawn, top: Any, levels: Any = 1.0) -> Level:
    """What does a stock that is ordered up to `top` pieces do?

    Parameters: `asked`, what is asked for in a lead time; `top`, pieces on the cards; `levels`, over how many levels what is ordered goes (1: each
    piece is ordered as it is asked for; n: a card of n pieces goes back when its container is empty). Result: the fill rate (share of the demand
    that is met from the shelf), the ready rate (chance that the shelf is not empty at a moment), the mean pieces on the shelf, and the mean pieces
    waited for. With Poisson demand fill rate and ready rate are the same.
    Source: Axsaeter, Inventory Control, chapter 5; Zipkin, Foundations of Inventory Management, chapter 6 (from memory).

    >>> level = level_of(Asked(2.0, 2.0), 5.0)
    >>> [round(float(one[0]), 4) for one in level]
    [0.9473, 0.9473, 3.0225, 0.0225]
    """
    ready, shelf = asked.shelf(top, levels)
    ordered = np.asarray(top) - (np.asarray(levels) - 1) / 2
    with np.errstate(invalid="ignore"):
        waited = np.where(np.isfinite(asked.mean), np.maximum(shelf - ordered + asked.mean, 0.0), np.inf)
    found = asked.before_a_piece
    return Level(ready if found is asked else fill_rate_of(asked, top, levels), ready, shelf, waited)


def fill_rate_of(asked: Asked | Drawn, top: Any, levels: Any = 1.0) -> Any:
    """Which share of the demand is met from the shelf? The first of `level_of`, by itself in half the time."""
    return asked.before_a_piece.shelf(top, levels)[0]


def base_stock(
    asked: Asked | Drawn, wished: Any, each: Any = 1.0, least: Any = 1.0, levels: Any = 1.0, by: str = "fill rate"
) -> Any:
    """How many pieces must go round at least?

    Parameters: `wished`, the share of the demand that is met from the shelf (`by` "fill rate"), or the chance that the shelf is not empty ("ready rate"); above
    99.99 % it is worked out as that; `each`, pieces in a container: the result is a multiple; `least`, below which it does not go; `levels`
    as in `level_of`. Result: pieces; without end where the lead time is.

    >>> float(base_stock(Asked(10.0, 10.0), 0.95)[0]), float(base_stock(Asked(10.0, 25.0, 2.5), 0.95, each=4.0, levels=4.0)[0])
    (16.0, 24.0)
    """
    return (asked.before_a_piece if by == "fill rate" else asked).fewest(wished, each, least, levels)


def _rows(*values: Any) -> list[Any]:
    return [np.asarray(row, dtype=float).ravel() for row in np.broadcast_arrays(*values)]
