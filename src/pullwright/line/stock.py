"""What lies between the steps and how it is carried: stores, counts, moves."""

from __future__ import annotations

from pullwright.line.goods import Container
from pullwright.line.item import LineItem
from pullwright.line.measures import Demand, Duration, Length, Pieces, Speed
from pullwright.line.words import AtLeastOne, Date, Name, Text, YesNo


class Count(LineItem):
    """A count of stock: how many pieces lay there, and when."""

    on: Date
    """When."""
    pieces: Pieces
    """How many lay there."""
    who: Text = ""
    """Which post or round counted, not whose name."""
    from_: Text = ""
    """Where it was written down first: a round of counting, a file."""


class Overflow(LineItem):
    """Where stock goes that does not fit its place: how far away, and how many pieces are carried at a time."""

    distance: Length
    """How far away, one way."""
    batch: AtLeastOne = 1
    """How many pieces are carried at a time."""
    handling: Duration | None = None
    """Time to take up and put down a batch."""


class Store(LineItem):
    """Stock before a step, after the last step, or of a part: what was counted, what fits, how it lies."""

    before: Name | None = None
    """The step that takes from it."""
    after: Name | None = None
    """The last step, for finished goods."""
    part: Name | None = None
    """The part that lies there."""
    counted: Pieces | None = None
    """How many pieces lay there when somebody looked."""
    counts: tuple[Count, ...] = ()
    """Several counts, instead of `counted`."""
    grows: Demand | None = None
    """How fast it grows, where that is known otherwise than from counts."""
    capacity: Pieces | None = None
    """How many pieces fit."""
    container: Container | None = None
    """What they lie in; that of the part where nothing is said."""
    overflow: Overflow | None = None
    """Where the pieces go that do not fit."""


class Move(LineItem):
    """Carrying between two steps (or of a part to its step): how far, how many at a time, which way, by how many people."""

    from_: Name
    """A step, a part, or receiving."""
    to: Name
    """A step, or shipping."""
    distance: Length
    """How far, one way."""
    batch: AtLeastOne = 1
    """How many pieces are carried at a time."""
    by: Text = "hand"
    """By hand, with a trolley, with a pallet truck ..."""
    speed: Speed | None = None
    """How fast; a person's walk where nothing is said."""
    handling: Duration | None = None
    """Time to take up and put down a batch."""
    people: AtLeastOne = 1
    """How many people carry."""
    back: YesNo = True
    """Does somebody walk back empty?"""
