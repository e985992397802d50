"""Bookings that were left on can be ended with their shift; very many names and very short logs are taken as they come."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl
import pytest

from pullwright.line.calendar import Shift, WorkCalendar
from pullwright.watch.log.decide import decide
from pullwright.watch.log.events import Events
from pullwright.watch.log.oddities import oddities
from pullwright.watch.log.spellings import MOST_COMPARED, spellings
from tests.watch.log_story.floor import MONDAY, busy_floor, events, row


def floor_with(*rows: dict[str, Any]) -> Events:
    """Eight weeks of one shift from 06:00 to 14:00, and some rows more."""
    floor = busy_floor(WorkCalendar((Shift("day", 6 * 3600, 14 * 3600),)), days=56)
    return Events(pl.concat([floor.table, events(rows).table]), floor.file, floor.has)


@pytest.mark.parametrize(
    ("begins", "ends", "closes"),
    [(4 * 24 + 13, 7 * 24 + 7, 4 * 24 + 14), (13.5, 26, 14), (7 * 24 + 6, 9 * 24 + 6.5, 7 * 24 + 14)],
    ids=["over a weekend", "into the night", "for two days"],
)
def test_a_booking_left_on_can_be_ended_with_its_shift(begins: float, ends: float, closes: float) -> None:
    log = floor_with(row("B", "extra", begins, ends))

    ended, kept = decide(log, {"long": "end with the shift"}), decide(log)

    def end(of: pl.DataFrame) -> float:
        return (of.filter(case="B")["end"].item() - MONDAY) / dt.timedelta(hours=1)

    assert end(ended.events.table) == closes
    assert end(kept.events.table) == ends
    assert set(ended.changed["why"].to_list()) == {"long"}
    assert end(ended.source.table) == ends


def test_work_wholly_outside_the_shifts_is_not_cut() -> None:
    weekend = row("B", "extra", 5 * 24 + 8, 5 * 24 + 17)  # nine hours on a Saturday

    ended = decide(floor_with(weekend), {"long": "end with the shift"})

    assert ended.events.table.filter(case="B")["end"].item() == MONDAY + dt.timedelta(days=5, hours=17)


def test_of_very_many_names_blanks_case_and_accents_are_still_seen() -> None:
    names = {f"part {k} x": 3 for k in range(MOST_COMPARED + 1)}

    found = spellings("product", names | {"PART 7 X": 1, "pärt 007 x": 1})

    assert [(one.name, set(one.others)) for one in found] == [("part 7 x", {"PART 7 X", "pärt 007 x"})]


def test_a_slipped_year_is_found_in_a_short_log_too() -> None:
    log = [row(f"A{k}", "saw", 8 + k, 8.5 + k) for k in range(30)] + [row("Z", "saw", 24 * 1826, 24 * 1826 + 1)]

    assert {one.key: one.rows for one in oddities(events(log))}["far away in time"] == (32,)
