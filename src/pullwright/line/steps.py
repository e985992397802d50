"""The way through: steps with their work, set-ups, lots, yields, and what lets them begin."""

from __future__ import annotations

from typing import Annotated, Literal

from pullwright.line.item import Alone, ElementKindWord, LineItem
from pullwright.line.measures import Demand, Duration, Factor, Length, Pieces, Share, Time
from pullwright.line.words import AtLeastOne, AtLeastZero, Name, Text, choice


class Element(LineItem):
    """One element of the work at a step: what is done, by hand, by the machine or on foot, and what it is for."""

    what: Name
    """What is done."""
    kind: ElementKindWord
    """What the time is for: value-adding, needed, or which waste."""
    manual: Time | None = None
    """Time by hand."""
    machine: Time | None = None
    """Time of the machine by itself."""
    walking: Time | None = None
    """Time on foot."""
    watched: Share | None = None
    """The share of the machine time in which somebody stands there; that of the step where nothing is said."""
    for_: tuple[Name, ...] | None = None
    """The products for which it is done; all that go through the step where nothing is said."""
    because: Text = ""
    """Why it is of this kind."""


class SetUpPair(LineItem):
    """The set-up from one product to another, where it differs from the usual one."""

    from_: Name
    """The product before."""
    to: Name
    """The product after."""
    time: Time
    """How long the set-up takes."""


class SetUp(LineItem):
    """Getting a step ready for the next lot: how long, by how many people."""

    time: Time
    """How long a usual set-up takes, from the last piece to the first good one."""
    people: AtLeastZero = 1
    """How many people it takes all that time."""
    pairs: tuple[SetUpPair, ...] = ()
    """Set-ups between two products that take another time."""


class Rework(LineItem):
    """Pieces that go back to an earlier step, or are done again where they are, in a time of its own where one is given."""

    share: Share
    """The share of pieces that are done again."""
    to: Name | None = None
    """The earlier step that they go back to; done again where they are where nothing is said."""
    time: Time | None = None
    """How long it takes to put one right on the spot; as long as the first time where nothing is said."""
    people: AtLeastZero = 1
    """How many people that takes."""


class Asked(LineItem):
    """A tolerance or finish that is asked for, the one that is needed, and the time that the difference costs."""

    what: Name
    """Which tolerance or finish."""
    asked: Length
    """What the drawing asks for."""
    needed: Length
    """What the use of the piece needs."""
    costs: Duration | None = None
    """The time of a piece that goes into the difference."""
    because: Text = ""
    """Where the asked one comes from."""


class Alternative(LineItem):
    """Another station that can do the same step, with its share of the pieces and how much longer it takes."""

    station: Name
    """Which station."""
    share: Share
    """The share of the pieces that are done there."""
    times: Factor | None = None
    """How many times as long the work takes there: 1.3 or 130 % is three tenths longer."""


class After(LineItem):
    """A step whose good pieces this step takes, and how many for one of its own; written as a name alone, it takes one."""

    step: Name
    """Which step."""
    quantity: Pieces | None = None
    """How many of its pieces go into one of this step; 1 where nothing is said."""


class CardLoop(LineItem):
    """The cards of one product: how many go round behind a step, with how many pieces each, and how many are gathered before any lets it begin."""

    product: Name
    """The product whose cards they are."""
    cards: AtLeastOne
    """How many go round."""
    per_card: AtLeastOne
    """How many pieces go with one."""
    signal: AtLeastOne = 1
    """So many cards are gathered, and let it begin together."""


class ProductLot(LineItem):
    """The lot of one product."""

    product: Name
    """The product that is made in it."""
    pieces: AtLeastOne
    """How many pieces of it are made between two set-ups."""


class Release(LineItem):
    """What lets a step begin its next piece: a schedule that pushes, cards, a cap on work in process, or an order."""

    by: Annotated[Literal["push", "cards", "cap", "order"], choice("push", "cards", "cap", "order")]
    """push: a schedule, taken or not; cards: a card that came back; cap: room below a cap on work in process; order: an order."""
    cards: AtLeastOne | None = None
    """With cards: how many go round."""
    per_card: AtLeastOne | None = None
    """With cards: how many pieces go with one."""
    loops: tuple[CardLoop, ...] = ()
    """With cards, in place of one number for all: the loop of each product."""
    limit: AtLeastOne | None = None
    """With cap: the most pieces between the start of this step and the end of the step `until`."""
    until: Name | None = None
    """With cap: the last step that the cap counts."""
    rate: Demand | None = None
    """With push: how many the schedule starts; as many as are pulled where nothing is said."""

    def loop_of(self, product: str) -> CardLoop | None:
        """The loop of a product, None where it has none of its own."""
        return next((loop for loop in self.loops if loop.product == product), None)

    @property
    def on_cards(self) -> int:
        """How many pieces all its cards go with."""
        return sum(loop.cards * loop.per_card for loop in self.loops) or (self.cards or 0) * (self.per_card or 1)


class Step(LineItem):
    """One step of the way through: where, after what, the elements of its work, set-up, lots, yield, release.

    The work is given as `elements`, or in short as `manual`, `machine` and `walking` with the `value_adding` share of manual and
    machine time; the rest of those is then `rest` (needed, if nothing is said), and walking is motion.
    """

    name: Name
    """What it is called; other fields refer to it by this name."""
    what: Text = ""
    """What is done, in a few words."""
    station: Name
    """Where it is done."""
    also_at: tuple[Alternative, ...] = ()
    """Other stations that can do it too."""
    after: tuple[Annotated[After, Alone("step")], ...] | None = None
    """The steps that it takes from: several where sub-flows join, [] where a flow begins; the step above where nothing is said."""
    for_: tuple[Name, ...] | None = None
    """The products that go through it; all of them where nothing is said."""
    elements: tuple[Element, ...] = ()
    """Its work, element by element."""
    manual: Time | None = None
    """In short: time by hand."""
    machine: Time | None = None
    """In short: time of the machine by itself."""
    walking: Time | None = None
    """In short: time on foot."""
    watched: Share | None = None
    """The share of the machine time in which somebody stands there."""
    value_adding: Share | None = None
    """In short: the share of the manual and machine time that the customer pays for."""
    rest: ElementKindWord = "needed"
    """In short: what the rest of that time is for."""
    because: Text = ""
    """Why that share adds value, and the rest does not."""
    people: AtLeastZero = 1
    """How many people attend while there is manual work."""
    set_up: SetUp | None = None
    """Getting ready for the next lot."""
    lot: AtLeastOne | None = None
    """How many pieces are made between two set-ups, of whatever product they are."""
    lots: tuple[ProductLot, ...] = ()
    """In place of one lot for all: the lot of each product; a set-up then comes before each, and with each change of product."""
    transfer_lot: AtLeastOne | None = None
    """How many pieces are handed on at a time; the whole lot where nothing is said, of several lots the smallest."""
    first_pass_yield: Share | None = None
    """The share of pieces that are good the first time; what scrap and rework leave where nothing is said."""
    scrap: Share | None = None
    """The share of pieces that are thrown away."""
    rework: Rework | None = None
    """Pieces that are done again."""
    asked: tuple[Asked, ...] = ()
    """Tolerances or finishes that are tighter than needed."""
    release: Release | None = None
    """What lets it begin the next piece."""

    def lot_of(self, product: str) -> int | None:
        """How many pieces of a product are made between two set-ups; of a product that nobody pulls, the smallest of the others."""
        return next((lot.pieces for lot in self.lots if lot.product == product), self.smallest_lot)

    @property
    def smallest_lot(self) -> int | None:
        """The smallest number of pieces that is made between two set-ups; None where nothing is said of lots."""
        return min((lot.pieces for lot in self.lots), default=self.lot)
