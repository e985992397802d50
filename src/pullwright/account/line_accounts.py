"""All accounts of a line in one place: hours, floor, material, money, and what propagation costs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from pullwright.account.floor import floor_account
from pullwright.account.ground import Ground
from pullwright.account.hours import hours_account
from pullwright.account.material import mass_account, material_account
from pullwright.account.propagation import Propagation, propagation
from pullwright.account.rows import Account, Row
from pullwright.account.tied_up import tied_up_account
from pullwright.account.year import year_account
from pullwright.figure import Figure
from pullwright.flow import Flow, flow_of
from pullwright.line import Line


@dataclass(frozen=True)
class Accounts:
    """The closed accounts of a line; each is worked out when it is first asked for."""

    flow: Flow

    @cached_property
    def ground(self) -> Ground:
        """What several accounts stand on."""
        return Ground(self.flow)

    @cached_property
    def hours(self) -> Account:
        """Paid person-hours of a working day."""
        return hours_account(self.ground)

    @cached_property
    def floor(self) -> Account:
        """Square metres."""
        return floor_account(self.ground)

    @cached_property
    def material(self) -> Account:
        """Bought material of a working day, in money."""
        return material_account(self.ground)

    @cached_property
    def mass(self) -> Account | None:
        """Bought material of a working day, in kilograms, where all masses are known."""
        return mass_account(self.ground)

    @cached_property
    def tied_up(self) -> Account:
        """Cash tied up."""
        return tied_up_account(self.ground)

    @cached_property
    def year(self) -> Account:
        """Where a year's money goes."""
        return year_account(self.ground, self.hours, self.floor, self.material)

    @cached_property
    def propagation(self) -> Propagation:
        """What today's way of working costs once it is everybody's."""
        return propagation(self.ground, self.year)

    def all(self) -> tuple[Account, ...]:
        """Give all accounts in the order in which they are read."""
        found = (self.hours, self.floor, self.material, self.mass, self.tied_up, self.year)
        return tuple(account for account in found if account is not None)

    def top_wastes(self) -> tuple[Row, ...]:
        """Give the wastes of the year's money, the dearest first: what to watch or change next."""
        wastes = {spread.kind for spread in self.propagation.rows}
        return tuple(sorted((row for row in self.year.rows if row.kind in wastes), key=lambda row: -row.amount.value))

    def figures(self) -> dict[str, Figure]:
        """Give every figure of the flow and the accounts by name."""
        found = dict(self.flow.figures())
        for account in self.all():
            found |= account.figures()
        spread = self.propagation
        for figure in (
            spread.multiple,
            spread.years,
            spread.factor,
            spread.total,
            spread.tenth,
            *(row.everywhere for row in spread.rows),
        ):
            found[figure.name] = figure
        return found


def accounts_of(line: Line, flow: Flow | None = None) -> Accounts:
    """Where do the paid hours, the floor, the material and the money of a line go?

    Parameters: the line, and its flow where that is worked out already. Result: the accounts, each closed when it is first asked for;
    hours in person-seconds a working day, floor in m², material in money or kg a working day, cash in money, a year in money a year.

    >>> line = Line.from_text('''
    ... line: brackets
    ... calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
    ... products: [{name: bracket, demand: 100 /d}]
    ... stations: [{name: bench}]
    ... steps: [{name: bend, station: bench, manual: 180 s, value_adding: 80 %}]
    ... people: [{name: crew, number: 1}]
    ... ''')
    >>> for row in accounts_of(line).hours.rows[:3]:
    ...     print(row.words, row.amount.text(), row.share.text())
    value-adding 4 h/d 50 %
    needed, not value-adding 1 h/d 12.5 %
    waiting 3 h/d 37.5 %
    """
    return Accounts(flow_of(line) if flow is None else flow)
