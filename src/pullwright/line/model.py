"""What a line is: the frozen model behind a line file. Every field that a file may hold is here, with its meaning.

Quantities are in SI units with what is known of them (see `quantity`); names refer to one another and are checked by `checks`.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from pullwright.line.kinds import ELEMENT_KINDS, ElementKind
from pullwright.line.quantity import (
    Area,
    Demand,
    Duration,
    Factor,
    Length,
    Mass,
    Money,
    Pieces,
    Ratio,
    Rent,
    Share,
    Span,
    Speed,
    Time,
    VaryingSpan,
    Wage,
    YearlyShare,
)  # fmt: skip
from pullwright.line.words import AtLeastOne, AtLeastZero, Clock, Currency, Date, Name, Text, Weekday, YesNo, choice


def _alias(name: str) -> str:
    return name.rstrip("_")


class LineItem(BaseModel):
    """What all pieces of the model have in common: frozen, no unknown keys; `from_` and `for_` are "from" and "for" in the file."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=_alias, populate_by_name=False, arbitrary_types_allowed=True
    )


ElementKindWord = Annotated[ElementKind, choice(*ELEMENT_KINDS)]


class Pause(LineItem):
    """A break or a planned stop (meeting, cleaning) inside a shift."""

    name: Name
    from_: Clock
    to: Clock
    paid: YesNo = True


class Shift(LineItem):
    """One shift: it belongs to the day on which it starts; an end at or before its start is on the next day."""

    name: Name
    from_: Clock
    to: Clock
    days: tuple[Weekday, ...] | None = None
    breaks: tuple[Pause, ...] = ()
    planned_stops: tuple[Pause, ...] = ()


class Calendar(LineItem):
    """When the line works."""

    days: tuple[Weekday, ...] = (0, 1, 2, 3, 4)
    shifts: Annotated[tuple[Shift, ...], Field(min_length=1)]
    days_off: tuple[Date, ...] = ()


class Use(LineItem):
    """A part that goes into a product: how many, and at which step."""

    part: Name
    quantity: Pieces
    at: Name


class Product(LineItem):
    """What customers pull: how much of it, how soon, and what they pay."""

    name: Name
    what: Text = ""
    demand: Demand
    promise: Span | None = None
    on_time: Share | None = None
    price: Money | None = None
    uses: tuple[Use, ...] = ()


class Container(LineItem):
    """What pieces lie in: how many it holds, the floor it takes, how many stand on each other."""

    holds: AtLeastOne = 1
    floor: Area
    stack: AtLeastOne = 1


class Part(LineItem):
    """Bought material: from whom, how soon, in which lots, at what price."""

    name: Name
    what: Text = ""
    supplier: Name | None = None
    price: Money
    mass: Mass | None = None
    lead_time: VaryingSpan | None = None
    delivery_lot: Pieces | None = None
    bought: Demand | None = None
    container: Container | None = None


class Supplier(LineItem):
    """Where parts come from, and when they are paid for."""

    name: Name
    paid_after: Span | None = None


class Breakdowns(LineItem):
    """How often a machine stands still and for how long; counted by its running time or by the clock."""

    between: Duration
    repair: Time
    counted_by: Annotated[Literal["running", "clock"], choice("running", "clock")] = "running"


class Spot(LineItem):
    """Where a station stands on the floor, from one corner of the hall."""

    x: Length
    y: Length


class Station(LineItem):
    """A place where work is done: its machines (or places to work), floor, position, breakdowns, shifts."""

    name: Name
    what: Text = ""
    machines: AtLeastOne = 1
    floor: Area | None = None
    at: Spot | None = None
    breakdowns: Breakdowns | None = None
    shifts: tuple[Name, ...] | None = None


class Element(LineItem):
    """One element of the work at a step: what is done, by hand, by the machine or on foot, and what it is for."""

    what: Name
    kind: ElementKindWord
    manual: Time | None = None
    machine: Time | None = None
    walking: Time | None = None
    watched: Share | None = None
    for_: tuple[Name, ...] | None = None
    because: Text = ""


class SetUpPair(LineItem):
    """The set-up from one product to another, where it differs from the usual one."""

    from_: Name
    to: Name
    time: Time


class SetUp(LineItem):
    """Getting a step ready for the next lot: how long, by how many people."""

    time: Time
    people: AtLeastZero = 1
    pairs: tuple[SetUpPair, ...] = ()


class Rework(LineItem):
    """Pieces that go back: to an earlier step, or are put right on the spot in a time of its own."""

    share: Share
    to: Name | None = None
    time: Time | None = None
    people: AtLeastZero = 1


class Asked(LineItem):
    """A tolerance or finish that is asked for, the one that is needed, and the time that the difference costs."""

    what: Name
    asked: Length
    needed: Length
    costs: Duration | None = None
    because: Text = ""


class Alternative(LineItem):
    """Another station that can do the same step, with its share of the pieces and how much longer it takes."""

    station: Name
    share: Share
    times: Factor | None = None


def _as_after(read: Any) -> Any:
    return read if isinstance(read, dict | After) else {"step": read}


class After(LineItem):
    """A step whose good pieces this step takes, and how many for one of its own."""

    step: Name
    quantity: Pieces | None = None


class Release(LineItem):
    """What lets a step begin its next piece: a schedule that pushes, cards, a cap on work in process, or an order."""

    by: Annotated[Literal["push", "cards", "cap", "order"], choice("push", "cards", "cap", "order")]
    cards: AtLeastOne | None = None
    per_card: AtLeastOne | None = None
    limit: AtLeastOne | None = None
    until: Name | None = None
    rate: Demand | None = None


class Step(LineItem):
    """One step of the way through: where, after what, the elements of its work, set-up, lots, yield, release.

    The work is given as `elements`, or in short as `manual`, `machine` and `walking` with the `value_adding` share of manual and
    machine time; the rest of those is then `rest` (needed, if nothing is said), and walking is motion.
    """

    name: Name
    what: Text = ""
    station: Name
    also_at: tuple[Alternative, ...] = ()
    after: tuple[Annotated[After, BeforeValidator(_as_after)], ...] | None = None
    for_: tuple[Name, ...] | None = None
    elements: tuple[Element, ...] = ()
    manual: Time | None = None
    machine: Time | None = None
    walking: Time | None = None
    watched: Share | None = None
    value_adding: Share | None = None
    rest: ElementKindWord = "needed"
    because: Text = ""
    people: AtLeastZero = 1
    set_up: SetUp | None = None
    lot: AtLeastOne | None = None
    transfer_lot: AtLeastOne | None = None
    first_pass_yield: Share | None = None
    scrap: Share | None = None
    rework: Rework | None = None
    asked: tuple[Asked, ...] = ()
    release: Release | None = None


class Count(LineItem):
    """A count of stock: how many pieces lay there, and when."""

    on: Date
    pieces: Pieces
    who: Text = ""


class Overflow(LineItem):
    """Where stock goes that does not fit its place: how far away, and how many pieces are carried at a time."""

    distance: Length
    batch: AtLeastOne = 1
    handling: Duration | None = None


class Store(LineItem):
    """Stock before a step, after the last step, or of a part: what was counted, what fits, how it lies."""

    before: Name | None = None
    after: Name | None = None
    part: Name | None = None
    counted: Pieces | None = None
    counts: tuple[Count, ...] = ()
    grows: Demand | None = None
    capacity: Pieces | None = None
    container: Container | None = None
    overflow: Overflow | None = None


class Move(LineItem):
    """Carrying between two steps (or of a part to its step): how far, how many at a time, which way, by how many people."""

    from_: Name
    to: Name
    distance: Length
    batch: AtLeastOne = 1
    by: Text = "hand"
    speed: Speed | None = None
    handling: Duration | None = None
    people: AtLeastOne = 1
    back: YesNo = True


class Crew(LineItem):
    """People of one kind: how many in each shift, what an hour of one costs, which steps they can do. Never a single person's pay."""

    name: Name
    number: AtLeastOne
    wage: Wage | None = None
    skills: tuple[Name, ...] | None = None
    shifts: tuple[Name, ...] | None = None


class FloorPlace(LineItem):
    """A place on the floor that is no station: tool wall, office corner."""

    name: Name
    area: Area


class RedTag(LineItem):
    """A thing on the floor that nobody needs, since when it was not used."""

    what: Name
    area: Area
    last_used: Date | None = None


class Floor(LineItem):
    """The floor that is paid for, and what stands on it besides stations and stock."""

    total: Area
    ways: Area | None = None
    places: tuple[FloorPlace, ...] = ()
    red_tagged: tuple[RedTag, ...] = ()


class MoneyTerms(LineItem):
    """Cash in hand, when customers and suppliers pay and are paid, what tied-up money and floor cost."""

    cash: Money | None = None
    customers_pay_after: Span | None = None
    suppliers_paid_after: Span | None = None
    carrying_rate: YearlyShare | None = None
    floor_rent: Rent | None = None


class Pressure(LineItem):
    """What happens when work piles up: from how much stock on (as a multiple of the usual), how much faster, how many more defects."""

    above: Ratio
    faster: Share
    more_defects: Factor


class Standard(LineItem):
    """Whom today's way of working is meant for once it is signed off: how many such lines, people, and years."""

    lines: AtLeastOne = 1
    people: AtLeastOne | None = None
    years: AtLeastOne = 1


class StudyReading(LineItem):
    """One reading of a study with who took it and when."""

    value: Duration
    on: Date | None = None
    who: Text = ""


def _as_reading(read: Any) -> Any:
    return read if isinstance(read, dict | StudyReading) else {"value": read}


class Study(LineItem):
    """Readings taken at the line, referred to by name from any quantity."""

    name: Name
    of: Text = ""
    on: Date | None = None
    who: Text = ""
    readings: Annotated[tuple[Annotated[StudyReading, BeforeValidator(_as_reading)], ...], Field(min_length=1)]


class Sample(LineItem):
    """Activity sampling: of so many looks at people, how many found each kind of work."""

    on: Date | None = None
    who: Text = ""
    looks: AtLeastOne
    value: AtLeastZero = 0
    needed: AtLeastZero = 0
    waiting: AtLeastZero = 0
    moving: AtLeastZero = 0
    motion: AtLeastZero = 0
    extra: AtLeastZero = 0
    again: AtLeastZero = 0
    ahead: AtLeastZero = 0


class LineModel(LineItem):
    """A whole line as one file gives it."""

    line: Name
    about: Text = ""
    invented: YesNo = False
    currency: Currency = "EUR"
    calendar: Calendar
    products: Annotated[tuple[Product, ...], Field(min_length=1)]
    parts: tuple[Part, ...] = ()
    suppliers: tuple[Supplier, ...] = ()
    stations: Annotated[tuple[Station, ...], Field(min_length=1)]
    steps: Annotated[tuple[Step, ...], Field(min_length=1)]
    stores: tuple[Store, ...] = ()
    moves: tuple[Move, ...] = ()
    people: tuple[Crew, ...] = ()
    floor: Floor | None = None
    money: MoneyTerms | None = None
    pressure: Pressure | None = None
    standard: Standard | None = None
    studies: tuple[Study, ...] = ()
    samples: tuple[Sample, ...] = ()
