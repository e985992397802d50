"""What was seen at the line: studies with their readings, activity samples."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from pullwright.line.item import Alone, LineItem
from pullwright.line.measures import Measured
from pullwright.line.words import AtLeastOne, AtLeastZero, Date, Name, Text


class StudyReading(LineItem):
    """One reading of a study with who took it and when; written as a time alone, the study says both."""

    value: Measured
    """What was read."""
    on: Date | None = None
    """When."""
    who: Text = ""
    """Which post took it, not whose name."""
    from_: Text = ""
    """Where it was written down first: a row of a file, a reading of the stopwatch."""


class Study(LineItem):
    """Readings taken at the line, referred to by name from any time."""

    name: Name
    """What it is called: `{study: T-014}` in place of a time refers to it."""
    of: Text = ""
    """What was timed."""
    on: Date | None = None
    """When."""
    who: Text = ""
    """Which post took the readings, not whose name."""
    from_: Text = ""
    """Where they were written down first: a file, the stopwatch."""
    readings: Annotated[tuple[Annotated[StudyReading, Alone("value")], ...], Field(min_length=1)]
    """What was read, one after another."""


class Sample(LineItem):
    """Activity sampling: of so many looks at people, how many found each kind of work."""

    on: Date | None = None
    """When."""
    who: Text = ""
    """Which post looked, not whose name."""
    from_: Text = ""
    """Where the looks were written down first: a tour of rounds, a file."""
    looks: AtLeastOne
    """How many looks at a person there were."""
    worth: AtLeastOne | None = None
    """How many looks taken one by one these are worth, where people were looked at together; all of them where nothing is said."""
    value: AtLeastZero = 0
    """Looks that found value-adding work."""
    needed: AtLeastZero = 0
    """Looks that found work that is needed and adds no value."""
    waiting: AtLeastZero = 0
    """Looks that found somebody waiting."""
    moving: AtLeastZero = 0
    """Looks that found somebody moving things."""
    motion: AtLeastZero = 0
    """Looks that found somebody walking, reaching, searching."""
    extra: AtLeastZero = 0
    """Looks that found somebody doing more than is needed."""
    again: AtLeastZero = 0
    """Looks that found somebody doing something again."""
    ahead: AtLeastZero = 0
    """Looks that found somebody making what nobody had pulled yet."""
