"""What a line is: the frozen model behind a line file. Every field that a file may hold is in here or in the files that it gathers.

Quantities are in SI units with what is known of them (see `quantity`); names refer to one another and are checked by `references`.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from pullwright.line.evidence import Sample, Study, StudyReading
from pullwright.line.goods import Container, Part, Product, Supplier, Use
from pullwright.line.item import LineItem
from pullwright.line.means import Crew, Floor, FloorPlace, MoneyTerms, Pressure, RedTag, Standard
from pullwright.line.shifts import Calendar, ExtraDay, Pause, Shift
from pullwright.line.stations import Breakdowns, Spot, Station
from pullwright.line.steps import (
    After,
    Alternative,
    Asked,
    CardLoop,
    Element,
    ProductLot,
    Release,
    Rework,
    SetUp,
    SetUpPair,
    Step,
)
from pullwright.line.stock import Count, Move, Overflow, Store
from pullwright.line.wishes import Wishes
from pullwright.line.words import Currency, Name, Text, YesNo

__all__ = [
    "After", "Alternative", "Asked", "Breakdowns", "Calendar", "CardLoop", "Container", "Count", "Crew", "Element", "ExtraDay", "Floor",
    "FloorPlace", "LineItem", "LineModel", "MoneyTerms", "Move", "Overflow", "Part", "Pause", "Pressure", "Product", "ProductLot", "RedTag",
    "Release", "Rework", "Sample", "SetUp", "SetUpPair", "Shift", "Spot", "Standard", "Station", "Step", "Store", "Study",
    "StudyReading", "Supplier", "Use", "Wishes",
]  # fmt: skip


class LineModel(LineItem):
    """A whole line as one file gives it."""

    line: Name
    """What the line is called."""
    about: Text = ""
    """What it makes, with how many people, on how much floor."""
    invented: YesNo = False
    """Is the line made up, for trying things out? Screens and prints then say so."""
    currency: Currency = "EUR"
    """The currency in which the whole line counts (ISO 4217)."""
    calendar: Calendar
    """When the line works."""
    products: Annotated[tuple[Product, ...], Field(min_length=1)]
    """What customers pull."""
    parts: tuple[Part, ...] = ()
    """What is bought."""
    suppliers: tuple[Supplier, ...] = ()
    """Where it is bought."""
    stations: Annotated[tuple[Station, ...], Field(min_length=1)]
    """Where work is done."""
    steps: Annotated[tuple[Step, ...], Field(min_length=1)]
    """The way through, in the order of the work."""
    stores: tuple[Store, ...] = ()
    """What lies before, between and after the steps."""
    moves: tuple[Move, ...] = ()
    """What is carried, and how far."""
    people: tuple[Crew, ...] = ()
    """Who works there, by kind; never by person."""
    floor: Floor | None = None
    """The floor that is paid for."""
    money: MoneyTerms | None = None
    """Cash, terms, rent."""
    pressure: Pressure | None = None
    """What happens when work piles up."""
    standard: Standard | None = None
    """Whom this way of working is meant for."""
    plan: Wishes | None = None
    """What is wished of the pull plan."""
    studies: tuple[Study, ...] = ()
    """Readings taken with a stopwatch."""
    samples: tuple[Sample, ...] = ()
    """Activity samples: what people were seen doing."""
