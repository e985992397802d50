"""What is wished of the pull plan of a line: who may do what, cards, lots, deliveries, and what is asked for today.

Nothing here is needed: a plan is made without any wish too. Elements are named "STEP / ELEMENT"; the name of a step alone means all its elements.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from pullwright.line.item import LineItem
from pullwright.line.measures import Duration, Mass, Money, Pieces, Share, Span
from pullwright.line.words import AtLeastOne, AtLeastZero, Name, YesNo, choice

SEVERAL = Field(min_length=2)


class FixedElement(LineItem):
    """An element that stays at one post, counted from where the work begins."""

    element: Name
    """Which element, or which step with all its elements."""
    post: AtLeastOne
    """At which post: 1 is where the work begins."""


class LeftOf(LineItem):
    """Two elements that keep their order along the line, although the work would let them change places."""

    element: Name
    """What stays on the left: at an earlier post."""
    of: Name
    """What stays on its right: at a later post."""


class ElementZone(LineItem):
    """Elements that are done in one part of the hall, or on one side of the piece: no post works in two zones."""

    name: Name
    """What the zone or side is called."""
    elements: Annotated[tuple[Name, ...], Field(min_length=1)]
    """Which elements, or steps with all their elements."""


class BalanceWishes(LineItem):
    """What is wished of the posts: how many, for which takt, what must stay together, apart, or in place."""

    takt: Duration | None = None
    """The time in which each post has to do its round; the takt of the demand where nothing is said."""
    posts: AtLeastOne | None = None
    """At most so many posts; as few as can be where nothing is said."""
    people_at_a_post: AtLeastOne = 1
    """How many people may work at one post at once."""
    u_shaped: YesNo = False
    """Is the line bent, so that one person can work where it begins and where it ends?"""
    walking: YesNo = False
    """Is the way between the stations of one post counted, from where they stand on the floor?"""
    overrun: Share | None = None
    """The wished chance, at most, that a round takes longer than the takt; rounds are as long as on average where nothing is said."""
    load: Share | None = None
    """The highest load that a post may have: its round as a share of the takt, such as 90 %; the whole takt where nothing is said."""
    together: tuple[Annotated[tuple[Name, ...], SEVERAL], ...] = ()
    """Elements that stay at one post, list by list."""
    apart: tuple[Annotated[tuple[Name, ...], SEVERAL], ...] = ()
    """Elements of which no two are at one post, list by list."""
    fixed: tuple[FixedElement, ...] = ()
    """Elements that stay at one post."""
    left_of: tuple[LeftOf, ...] = ()
    """Elements that keep their order along the line."""
    zones: tuple[ElementZone, ...] = ()
    """Parts of the hall or sides of the piece: no post works in two of them."""


class Holds(LineItem):
    """How many pieces are wished in a container."""

    of: Name
    """Of a part, or of what comes out of a step."""
    pieces: AtLeastOne
    """How many."""


class CardWishes(LineItem):
    """What is wished of the cards: how sure, how heavy a container may be, where they go round."""

    safety: Share | None = None
    """By which share of the demand in its lead time a loop is made larger; 10 % where nothing is said (common practice)."""
    service: Share | None = None
    """The wished share of demands that find what they need on the shelf; the wished on-time share where nothing is said."""
    heaviest: Mass | None = None
    """What a container that is lifted by hand may weigh; local rules come first."""
    holds: tuple[Holds, ...] = ()
    """Containers of another size than today's."""
    whole_flow: YesNo = False
    """Is one cap on the work in process of the whole flow wished, in place of a loop for each step?"""


class LotWishes(LineItem):
    """What is wished of the lots: how much time set-ups may take, how long a product may wait for its turn."""

    set_ups: Share | None = None
    """The share of a day's net working time that set-ups may take at a machine; all that production leaves where nothing is said."""
    interval: Span | None = None
    """In which time, at most, every product is to be made once."""


class Trip(LineItem):
    """Suppliers that one vehicle calls at on one round trip."""

    name: Name
    """What the trip is called."""
    suppliers: Annotated[tuple[Name, ...], Field(min_length=1)]
    """Whom it calls at."""
    per_trip: Money
    """What one round trip costs."""
    carries: Mass | None = None
    """What the vehicle can carry."""


class DeliveryWishes(LineItem):
    """What is wished of the deliveries: which suppliers share a round trip, how often at most."""

    trips: tuple[Trip, ...] = ()
    """Round trips that may be made in place of a delivery by each supplier."""
    a_week: AtLeastOne | None = None
    """At most so many deliveries of one supplier in a week."""


class Order(LineItem):
    """What is ordered for the day."""

    product: Name
    """Which product."""
    pieces: AtLeastZero
    """How many."""


class DayWishes(LineItem):
    """What is asked for today, and in which order it is to come."""

    orders: tuple[Order, ...] = ()
    """What is ordered; a day's demand where nothing is said."""
    pitch: Pieces | None = None
    """How many pieces are asked for at a time: what goes into one slot of the day's box; one container where nothing is said."""
    by: Annotated[Literal["rate", "parts"], choice("rate", "parts")] = "rate"
    """What comes evenly: with rate every product, with parts the use of every part."""
    set_ups: AtLeastZero | None = None
    """At most so many set-ups in the day; as many as an even sequence needs where nothing is said."""


class Wishes(LineItem):
    """What is wished of the pull plan."""

    balance: BalanceWishes = BalanceWishes()
    """Of the posts."""
    cards: CardWishes = CardWishes()
    """Of the cards and containers."""
    lots: LotWishes = LotWishes()
    """Of the lots."""
    deliveries: DeliveryWishes = DeliveryWishes()
    """Of the deliveries."""
    day: DayWishes = DayWishes()
    """Of today's sequence."""
