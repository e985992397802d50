"""Which numbers of the story rest on little, and what would make them surer?"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from pullwright.figure import percent
from pullwright.watch.log.story.measured import Measured

if TYPE_CHECKING:
    from pullwright.watch.log.story import Story


@dataclass(frozen=True, slots=True)
class Weak:
    """A number that rests on little: what it is, why it is weak, what to go and watch, how many more readings (0: not by number).

    `weight` orders them: how much hangs on it, 0 to 1. `about` is "calendar", "step", "station", "lead", "yield",
    "breakdown", "demand" or "data"; `name` the step or station, where there is one.
    """

    about: str
    name: str
    what: str
    why: str
    do: str
    more: int
    weight: float
    rows: tuple[int, ...] = ()


@dataclass(frozen=True)
class WatchNext:
    """What to watch next, the most telling first."""

    items: tuple[Weak, ...]
    found: str


FEW, WIDE, MOST, MOST_ALIKE = 20, 0.15, 12, 3
"""A number rests on little below so many readings, or where its interval reaches further than so much of it either way."""


def watch_next_of(story: Story, set_aside: float) -> WatchNext:
    """Which numbers of the story rest on little? `set_aside`: the share of the rows that are not used."""
    found = [*_data(story, set_aside), *_steps(story), *_stations(story), *_breakdowns(story), *_lead(story)]
    items: tuple[Weak, ...] = ()
    for one in sorted(found, key=lambda one: -one.weight):
        # A few of each kind are enough to go and look for.
        if len(items) < MOST and sum(1 for other in items if other.about == one.about) < MOST_ALIKE:
            items = (*items, one)
    if not items:
        return WatchNext(
            (), "Every number of this story rests on enough rows; go and look whether the bookings say what happens."
        )
    return WatchNext(items, f"Least is known of {items[0].what}: {items[0].why}.")


def _data(story: Story, set_aside: float) -> list[Weak]:
    found = []
    calendar, wip, yields = story.calendar, story.wip, story.yields
    if calendar.sure < 0.8:
        why = "; ".join(calendar.doubts[:2]) or "the bookings do not show clear shifts"
        found.append(
            Weak(
                "calendar",
                "",
                "the working time",
                why,
                "Ask when the shop works, and put it into the line file.",
                0,
                0.9 - 0.4 * calendar.sure,
                calendar.rows,
            )
        )
    if set_aside > 0.02:
        found.append(
            Weak(
                "data",
                "",
                "the rows that are set aside",
                f"{percent(set_aside)} of the log count in nothing",
                "Go through them with whoever booked them.",
                0,
                min(2 * set_aside, 0.9),
            )
        )
    if abs(wip.little.ratio - 1) > 0.3:
        found.append(
            Weak(
                "lead",
                "",
                "the lead time",
                "rate times lead time does not give what is in the shop",
                "Bring in a longer log, or follow ten orders on foot.",
                10,
                0.6,
            )
        )
    if not yields.says_pieces:
        found.append(
            Weak(
                "yield",
                "",
                "scrap",
                "the log has no quantities",
                "Count good and scrapped pieces at each step for a week.",
                0,
                0.5,
            )
        )
    return found


def _steps(story: Story) -> list[Weak]:
    found = []
    total = sum(one.touch.value * one.visits for one in story.steps.steps if one.touch.known) or 1.0
    for one in story.steps.steps:
        part = one.touch.value * one.visits / total if one.touch.known else 0.0
        if not one.touch.known and (one.setup.known or one.visits < MOST_ALIKE):
            continue  # nothing but set-ups, or hardly ever visited: no work there to time
        if not one.touch.known:
            found.append(
                Weak(
                    "step",
                    one.step,
                    f"the work at {one.step}",
                    "no booking there takes any time",
                    "Time it with a stopwatch.",
                    FEW,
                    0.3,
                )
            )
        elif (more := _more(one.touch)) and part > 0.01:
            found.append(
                Weak(
                    "step",
                    one.step,
                    f"the work at {one.step}",
                    f"{one.visits:,} visits say it to {percent(_reach(one.touch))}",
                    f"Time about {more} more.",
                    more,
                    min(0.2 + part, 0.8),
                    one.touch.rows,
                )
            )
    return found


def _stations(story: Story) -> list[Weak]:
    return [
        Weak(
            "station", one.station, f"how many work at {one.station} at once", "bookings overlap there",
            "Go and look: several machines, several pieces in one, or bookings left on?", 0, min(0.15 + 0.5 * one.utilisation, 0.7), one.rows,
        )
        for one in story.stations.stations[:40]
        if one.most_at_once > one.at_once and one.utilisation > 0.05
    ]  # fmt: skip


def _breakdowns(story: Story) -> list[Weak]:
    return [
        Weak(
            "breakdown",
            one.station,
            f"breakdowns of {one.station}",
            f"{one.count} are booked",
            "Write down every stop for a month.",
            0,
            0.25,
            one.repair.rows,
        )
        for one in story.breakdowns.stations
        if one.count < 10
    ]


def _lead(story: Story) -> list[Weak]:
    whole = story.lead.all
    if whole.finished < FEW:
        return [
            Weak(
                "lead",
                "",
                "the lead time",
                f"{whole.finished} orders are seen from begin to end",
                "Bring in a longer log.",
                0,
                0.7,
                story.lead.rows,
            )
        ]
    return []


def _reach(one: Measured) -> float:
    return (one.high - one.low) / 2 / one.value if one.value > 0 and one.low == one.low else float("inf")


def _more(one: Measured) -> int:
    """How many more readings until the interval reaches no further than `WIDE` (0: enough)? One visit counts as FEW."""
    reach = _reach(one)
    if one.count < 2 or reach == float("inf"):
        return FEW
    return max(ceil(one.count * ((reach / WIDE) ** 2 - 1)), 0) if reach > WIDE else 0
