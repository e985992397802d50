"""What a line has to work with: people, floor, money, and what happens under pressure."""

from __future__ import annotations

from pullwright.line.item import LineItem
from pullwright.line.measures import Area, Cash, Factor, MoneyPerYear, Ratio, Rent, Share, Span, Wage, YearlyShare
from pullwright.line.words import AtLeastOne, Date, Name


class Crew(LineItem):
    """People of one kind: how many in each shift, what an hour of one costs, which steps they can do. Never a single person's pay."""

    name: Name
    """What the crew is called."""
    number: AtLeastOne
    """How many are there in each of its shifts."""
    wage: Wage | None = None
    """What a paid hour of one of them costs, all in."""
    skills: tuple[Name, ...] | None = None
    """The steps or stations that they can do; all where nothing is said."""
    shifts: tuple[Name, ...] | None = None
    """The shifts in which they work; all where nothing is said."""
    absent: Share | None = None
    """The share of its people who are away on a usual day: ill, on leave, at school."""


class FloorPlace(LineItem):
    """A place on the floor that is no station: tool wall, office corner."""

    name: Name
    """What it is."""
    area: Area
    """The floor that it takes."""


class RedTag(LineItem):
    """A thing on the floor that nobody needs, since when it was not used."""

    what: Name
    """What it is."""
    area: Area
    """The floor that it takes."""
    last_used: Date | None = None
    """When it was used last."""


class Floor(LineItem):
    """The floor that is paid for, and what stands on it besides stations and stock."""

    total: Area
    """All the floor of the line."""
    ways: Area | None = None
    """The floor of ways and gangways."""
    places: tuple[FloorPlace, ...] = ()
    """Places that are no station."""
    red_tagged: tuple[RedTag, ...] = ()
    """Things that nobody needs."""


class MoneyTerms(LineItem):
    """Cash in hand, when customers and suppliers pay and are paid, what tied-up money and floor cost."""

    cash: Cash | None = None
    """Cash in hand today; below 0 where the account is overdrawn."""
    customers_pay_after: Span | None = None
    """How long after shipping customers pay."""
    deposit: Share | None = None
    """The share of the price that customers pay with the order."""
    suppliers_paid_after: Span | None = None
    """How long after the delivery suppliers are paid, where they have no term of their own."""
    carrying_rate: YearlyShare | None = None
    """What tied-up money costs in a year, as a share of it: interest, insurance, what spoils."""
    floor_rent: Rent | None = None
    """What the floor costs."""
    fixed_costs: MoneyPerYear | None = None
    """What is paid however much is made, besides wages and floor."""


class Pressure(LineItem):
    """What happens when work piles up: from how much stock on (as a multiple of the usual), how much faster, how many more defects."""

    above: Ratio
    """From how many times the usual stock on."""
    faster: Share
    """The share of the time by which people then work faster."""
    more_defects: Factor
    """How many times the usual share of defects there are then: 150 % is half as many again."""


class Standard(LineItem):
    """Whom today's way of working is meant for once it is signed off: how many such lines, people, and years."""

    lines: AtLeastOne = 1
    """How many lines will work this way."""
    people: AtLeastOne | None = None
    """How many people will work this way."""
    years: AtLeastOne = 1
    """For how many years."""
