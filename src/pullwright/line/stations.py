"""Where work is done: stations with their machines, floor, place and breakdowns."""

from __future__ import annotations

from typing import Annotated, Literal

from pullwright.line.item import LineItem
from pullwright.line.measures import Area, Duration, Length, Time
from pullwright.line.words import AtLeastOne, Name, Text, choice


class Breakdowns(LineItem):
    """How often a machine stands still and for how long; counted by its running time or by the clock."""

    between: Duration
    """The mean time from a repair to the next breakdown."""
    repair: Time
    """How long it stands still."""
    counted_by: Annotated[Literal["running", "clock"], choice("running", "clock")] = "running"
    """Whether `between` counts only while the machine runs, or working time by the clock."""


class Spot(LineItem):
    """Where a station stands on the floor, from one corner of the hall."""

    x: Length
    """Along the hall."""
    y: Length
    """Across the hall."""


class Station(LineItem):
    """A place where work is done: its machines (or places to work), floor, position, breakdowns, shifts."""

    name: Name
    """What it is called; other fields refer to it by this name."""
    what: Text = ""
    """What it is, in a few words."""
    machines: AtLeastOne = 1
    """How many pieces can be worked on side by side: like machines, or places to work."""
    floor: Area | None = None
    """The floor of the whole station."""
    at: Spot | None = None
    """Where it stands."""
    breakdowns: Breakdowns | None = None
    """How often each of its machines stands still, and for how long."""
    shifts: tuple[Name, ...] | None = None
    """The shifts in which it works; all of them where nothing is said."""
