"""What customers pull and what is bought for it: products, parts, suppliers, containers."""

from __future__ import annotations

from pullwright.line.item import LineItem
from pullwright.line.measures import Area, Demand, Mass, Money, Pieces, Share, Span, VaryingSpan
from pullwright.line.words import AtLeastOne, Name, Text


class Use(LineItem):
    """A part that goes into a product: how many, and at which step."""

    part: Name
    """Which part."""
    quantity: Pieces
    """How many of it go into one product."""
    at: Name
    """The step that takes it."""


class Product(LineItem):
    """What customers pull: how much of it, how soon, and what they pay."""

    name: Name
    """What it is called; other fields refer to it by this name."""
    what: Text = ""
    """What it is, in a few words."""
    demand: Demand
    """How many customers pull in a working day, week, month or year; its cv says how much that count differs from one to the next."""
    promise: Span | None = None
    """How soon after the order it is promised."""
    on_time: Share | None = None
    """The wished share of orders that keep the promise."""
    price: Money | None = None
    """What a customer pays for one."""
    uses: tuple[Use, ...] = ()
    """The parts that go into one."""


class Container(LineItem):
    """What pieces lie in: how many it holds, the floor it takes, how many stand on each other."""

    holds: AtLeastOne = 1
    """How many pieces go into one."""
    floor: Area
    """The floor that one takes, with what must stay free around it."""
    stack: AtLeastOne = 1
    """How many stand on each other."""


class Part(LineItem):
    """Bought material: from whom, how soon, in which lots, at what price."""

    name: Name
    """What it is called; other fields refer to it by this name."""
    what: Text = ""
    """What it is, in a few words."""
    supplier: Name | None = None
    """Who delivers it."""
    price: Money
    """What one costs."""
    mass: Mass | None = None
    """What one weighs."""
    lead_time: VaryingSpan | None = None
    """From the order to the delivery; its cv says how much that differs from delivery to delivery."""
    delivery_lot: Pieces | None = None
    """How many come at once."""
    order_at: Pieces | None = None
    """A delivery is ordered when the stock and what is under way have fallen to so many."""
    bought: Demand | None = None
    """How many were bought in a time, from the invoices; what is bought and neither shipped, scrapped nor in stock is not explained."""
    container: Container | None = None
    """What it is delivered and stored in."""


class Supplier(LineItem):
    """Where parts come from, and on what terms."""

    name: Name
    """What it is called."""
    paid_after: Span | None = None
    """How long after the delivery it is paid; the line's own term where nothing is said."""
    per_delivery: Money | None = None
    """What one delivery costs besides the goods: freight, ordering, booking in."""
