"""The pull plan of a line: each part worked out when it is first asked for, from the same flow and the same wishes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from pullwright.account import Accounts
from pullwright.account.ground import Ground
from pullwright.figure import Figure
from pullwright.flow import Flow
from pullwright.line import Line
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

if TYPE_CHECKING:
    from pullwright.pull.balance.of_line import LineBalance
    from pullwright.pull.cards.card import Cards
    from pullwright.pull.crew.of_line import CrewPlan
    from pullwright.pull.deliveries.of_line import Deliveries
    from pullwright.pull.fit.of_plan import Fit
    from pullwright.pull.lots.of_line import Lots
    from pullwright.pull.sequence.day import Day


@dataclass(frozen=True)
class PullPlan:
    """A plan of a line.

    Each part raises NoSuchPlan where there is none, naming what binds and the nearest that works; the other parts stand all the same.
    """

    accounts: Accounts

    @property
    def flow(self) -> Flow:
        """The flow arithmetic of the line as it is."""
        return self.accounts.flow

    @property
    def line(self) -> Line:
        """The line."""
        return self.flow.line

    @cached_property
    def posts(self) -> LineBalance:
        """Which post does which element."""
        from pullwright.pull.balance.of_line import balance_of

        return balance_of(self.flow)

    @cached_property
    def cards(self) -> Cards:
        """Loops of cards and their containers, for the lots as they are."""
        from pullwright.pull.cards.of_line import cards_of

        return cards_of(self.flow)

    @cached_property
    def cards_for_planned_lots(self) -> Cards:
        """The same loops with the lots of this plan: a lot that is smaller takes fewer cards."""
        from pullwright.pull.cards.of_line import cards_of

        return cards_of(self.flow, self._lots_by_loop())

    @cached_property
    def lots(self) -> Lots:
        """Lots and set-ups, station by station."""
        from pullwright.pull.lots.of_line import lots_of

        return lots_of(self.flow, self.ground)

    def _lots_by_loop(self) -> dict[str, Figure]:
        """The lots that are planned, by the names of the loops of their steps."""
        return {
            made.loop: lot
            for station in self.lots.stations
            if station.keeps_up
            for made, lot in zip(station.there.made, station.chosen.whole, strict=True)
        }

    @property
    def ground(self) -> Ground:
        """What the accounts of the line stand on."""
        return self.accounts.ground

    @cached_property
    def deliveries(self) -> Deliveries:
        """Rhythm and lots of what is bought."""
        from pullwright.pull.deliveries.of_line import deliveries_of

        return deliveries_of(self.flow)

    @cached_property
    def day(self) -> Day:
        """Today's sequence and its box."""
        from pullwright.pull.sequence.of_line import day_of

        return day_of(self.flow)

    @cached_property
    def fit(self) -> Fit:
        """The plan against the floor, the people and the cash that there are; a part that is refused counts as it is today."""
        from pullwright.pull.asks import asks_of
        from pullwright.pull.fit.of_plan import fit_of, possible_of_line

        asks = asks_of(self.ground, self._unless_refused("cards"), self._unless_refused("deliveries"))
        return fit_of(self.flow, asks, possible_of_line(self.flow, self.ground), self.ground)

    def _unless_refused(self, part: str) -> Any:
        try:
            return getattr(self, part)
        except (NoSuchPlan, BadPlanInput):
            return None

    @cached_property
    def crew(self) -> CrewPlan:
        """Skills, crews, cover and training."""
        from pullwright.pull.crew.of_line import crew_plan_of

        return crew_plan_of(self.flow, ground=self.ground)


def plan_of(accounts: Accounts) -> PullPlan:
    """Plan a line, with the wishes of its file."""
    return PullPlan(accounts)
