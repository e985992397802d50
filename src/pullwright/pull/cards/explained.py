"""What explains the difference between the card rule and the stochastic answer, in cards, one reason after the other.

One thing after another is put in the place of what the rule takes: each step's difference is that reason's part, so that the parts add up to the whole difference.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from pullwright.pull.cards.base_stock import Asked, base_stock
from pullwright.pull.cards.card_rule import cards_by_rule, needed_by_rule, rounded_up

USUAL_SERVICE = 0.95
"""What the reason "service" is counted from: nineteen of twenty demands met from the shelf (common practice)."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason for a difference: what it is called, and what it says."""

    key: str
    words: str
    says: str


REASONS: tuple[Reason, ...] = (
    Reason("rounding of the rule", "the rule rounds up", "The rule fills up its last container; that is taken off first, because the stochastic answer rounds by itself."),
    Reason("safety as a share", "safety as a share", "The rule adds a share of what is asked for meanwhile, whether that swings or not."),
    Reason("demand", "demand swings", "What is asked for in a lead time is now more, now less; this is what that needs at the usual service of 95 %."),
    Reason("service", "wished service", "More where a higher share than the usual 95 % has to be met from the shelf, less where a lower one will do."),
    Reason("taken in lots", "the next step takes in lots", "The next step takes its whole lot in a row, and then for a while nothing."),
    Reason("lead time", "lead time swings", "A container is back now sooner, now later."),
    Reason("container", "cards wait for an empty container", "A card goes back only when all its pieces are taken, a signal only for a whole lot: what is taken before that is not on order yet."),
    Reason("rounding", "full containers", "Only whole containers go round."),
)  # fmt: skip


@dataclass(frozen=True)
class Sized:
    """What a loop was sized from, as numbers or arrays: see `loop_of`. `ordered`: containers that are asked for at a time (1, or the lot); `together`: pieces
    that are taken in a row; `least`: containers without which nothing would move.
    """

    demand: Any
    uneven: Any
    lead: Any
    lead_variance: Any
    safety: Any
    service: Any
    holds: Any
    ordered: Any = 1.0
    together: Any = 1.0
    least: Any = 1.0

    @property
    def asked(self) -> Asked:
        """What is asked for in a lead time, all that swings in it."""
        return Asked.over(self.demand, self.uneven, self.lead, self.lead_variance, self.together)

    @property
    def levels(self) -> Any:
        """Over how many levels what is ordered goes: a card goes back with its last piece, and whoever takes a lot takes it one by one."""
        return np.asarray(self.ordered) * np.asarray(self.holds, dtype=float)

    def rule(self) -> Any:
        """Cards by the rule; a lot-maker's lot besides."""
        several = np.asarray(self.ordered) > 1
        return cards_by_rule(
            self.demand,
            self.lead,
            self.safety,
            self.holds,
            np.where(several, np.asarray(self.ordered) * self.holds, 0.0),
        )

    def stochastic(self) -> Any:
        """Cards by the stochastic answer; 0 where nothing is asked for."""
        least = np.maximum(self.ordered, self.least) * np.asarray(self.holds)
        pieces = base_stock(self.asked, self.service, self.holds, least, self.levels)
        return np.where(np.asarray(self.demand) > 0, rounded_up(pieces / np.asarray(self.holds)), 0.0)


def explained(sized: Sized) -> tuple[Any, ...]:
    """How many cards is each reason, in the order of `REASONS`? They add up to stochastic - rule.

    Where the lead time has no end there is nothing to explain: all parts are 0, and both answers are without end. The order decides how what two reasons
    make together is shared between them.
    """
    sized = Sized(*np.broadcast_arrays(*(np.atleast_1d(one).astype(float) for one in vars(sized).values())))
    n, service, together, levels = sized.holds, sized.service, sized.together, sized.levels
    some = (sized.demand > 0) & np.isfinite(sized.lead) & np.isfinite(sized.lead_variance)
    lead, spread = np.where(some, sized.lead, 0.0), np.where(some, sized.lead_variance, 0.0)
    lot = np.where(sized.ordered > 1, sized.ordered, 0.0)
    usual, one, none = np.full_like(n, USUAL_SERVICE), np.ones_like(n), np.zeros_like(n)
    least = np.maximum(sized.ordered, sized.least) * n
    # One reason more from column to column; a row has all of a draw, so that what is alike in it is worked out once.
    asked = Asked.over(
        sized.demand[:, None],
        sized.uneven[:, None],
        lead[:, None],
        np.column_stack([none, none, none, spread, spread, spread]),
        np.column_stack([one, one, together, together, together, together]),
    )
    swings, served, in_lots, late, emptied, full = (
        base_stock(
            asked,
            np.column_stack([usual, service, service, service, service, service]),
            each=np.column_stack([one, one, one, one, one, n]),
            least=np.column_stack([one, one, one, one, one, least]),
            levels=np.column_stack([one, one, one, one, levels, levels]),
        )
        .reshape(-1, 6)
        .T
    )
    at = [
        sized.rule(),
        needed_by_rule(sized.demand, lead, sized.safety, n) + lot,
        sized.demand * lead / n + lot,
        swings / n + lot,
        served / n + lot,
        in_lots / n + lot,
        late / n + lot,
        emptied / n,
        rounded_up(full / n),
    ]
    with np.errstate(invalid="ignore"):
        return tuple(np.where(some, after - before, 0.0) for before, after in pairwise(at))
