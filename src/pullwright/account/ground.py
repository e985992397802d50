"""What several accounts of a line stand on, each worked out once: the same figure wherever it is used."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from pullwright.account.ahead import Ahead, ahead_of
from pullwright.account.carrying import carrying_hours, overflow_hours
from pullwright.account.content import Contents
from pullwright.account.idle import idle_parts
from pullwright.account.parts import PartFlow, part_flows
from pullwright.account.staff import Staff, staff_of
from pullwright.account.terms import (
    carrying_rate,
    deliveries_a_day,
    floor_rent,
    owed_by_us,
    owed_to_us,
    paid_ahead,
    sales_a_day,
)
from pullwright.account.wages import average_wage
from pullwright.account.worth import HeldMoney, held_money
from pullwright.figure import Figure
from pullwright.flow import Flow
from pullwright.flow.stock import Stock


@dataclass(frozen=True)
class Ground:
    """The flow, and what follows from it before any account is closed."""

    flow: Flow

    @cached_property
    def stocks(self) -> tuple[Stock, ...]:
        """All stock: of the flow, and of parts that no product takes."""
        return (*self.flow.stocks, *idle_parts(self.flow))

    @cached_property
    def contents(self) -> Contents:
        """What is in a piece, stock by stock."""
        return Contents(self.flow)

    @cached_property
    def ahead(self) -> tuple[Ahead, ...]:
        """The piles that grow."""
        return ahead_of(self.flow)

    @cached_property
    def carrying(self) -> tuple[Figure, ...]:
        """Person-time of every move, and of what is carried away and back (person-s/wd)."""
        return (*carrying_hours(self.flow), *overflow_hours(self.flow))

    @cached_property
    def made_ahead(self) -> tuple[Figure, ...]:
        """Person-time that goes into every pile that grows (person-s/wd)."""
        return tuple(self.contents.hours_of(one.stock, one.growth) for one in self.ahead)

    @cached_property
    def staff(self) -> Staff:
        """The people who are paid."""
        return staff_of(self.flow, (*self.carrying, *self.made_ahead))

    @cached_property
    def parts(self) -> tuple[PartFlow, ...]:
        """What becomes of every part."""
        return part_flows(self.flow, self.stocks, self.contents, self.ahead)

    @cached_property
    def wage(self) -> Figure:
        """What a paid hour costs on average (money/s)."""
        return average_wage(self.flow)

    @cached_property
    def held(self) -> tuple[HeldMoney, ...]:
        """The money in each stock."""
        return held_money(self.flow, self.stocks, self.contents, self.wage)

    @cached_property
    def owed(self) -> Figure:
        """What customers owe (money)."""
        return owed_to_us(self.flow, sales_a_day(self.flow))

    @cached_property
    def owing(self) -> tuple[Figure, tuple[Figure, ...]]:
        """What is owed to suppliers, all of it and part by part (money, below 0)."""
        return owed_by_us(self.flow, self.parts)

    @cached_property
    def paid_ahead(self) -> Figure | None:
        """What customers have paid for what is not shipped yet (money, below 0)."""
        return paid_ahead(self.flow)

    @cached_property
    def deliveries(self) -> tuple[Figure, ...]:
        """What deliveries cost besides the goods (money/wd)."""
        return deliveries_a_day(self.flow, self.parts)

    @cached_property
    def rent(self) -> Figure:
        """What the floor costs (money/m2/year)."""
        return floor_rent(self.flow)

    @cached_property
    def carrying_rate(self) -> Figure:
        """What tied-up cash costs in a year, as a share of it."""
        return carrying_rate(self.flow)
