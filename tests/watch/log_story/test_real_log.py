"""What an open production log of a machine shop holds: counts that were made by hand beside it. It is not part of the project."""

from __future__ import annotations

import os
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest

from pullwright.line import Line
from pullwright.survey import survey_of
from pullwright.watch.log.convert import to_events
from pullwright.watch.log.decide import Decided, decide
from pullwright.watch.log.draft import draft_line
from pullwright.watch.log.events import Events
from pullwright.watch.log.guess import guess_columns
from pullwright.watch.log.oddities import oddities
from pullwright.watch.log.reading import open_log
from pullwright.watch.log.story import Story, story

from .made_rows import CHAPTERS

SHARED = Path(os.environ.get("PULLWRIGHT_SHARED_DATA", Path(__file__).parents[4] / "shared" / "data"))
REAL = SHARED / "production_log" / "Production_Data.csv"
pytestmark = pytest.mark.skipif(
    not REAL.exists(), reason="the open production log is not here (set PULLWRIGHT_SHARED_DATA)"
)


class Real(NamedTuple):
    """The log, and what is made of it."""

    events: Events
    decided: Decided
    story: Story


@pytest.fixture(scope="module")
def real() -> Real:
    raw = open_log(REAL)
    events = to_events(raw, guess_columns(raw))
    decided = decide(events)
    return Real(events, decided, story(decided))


def test_what_is_odd_in_it(real: Real) -> None:
    found = {one.key: one.count for one in oddities(real.events)}

    assert real.events.table.height == 4_543
    assert found["duplicates"] == 22
    assert found["zero span"] == 9
    assert found["span differs"] == 705
    assert found["station in two places"] == 1_735
    assert "spellings" not in found  # machines that differ by their number alone


def test_nothing_of_it_is_lost(real: Real) -> None:
    assert real.decided.events.table.height + real.decided.aside.height == 4_543
    assert set(real.decided.aside["why"].to_list()) == {"duplicates"}


def test_its_story_is_told(real: Real) -> None:
    said = {chapter: getattr(real.story, chapter) for chapter in CHAPTERS}

    assert all((text if isinstance(text, str) else text.found).endswith(".") for text in said.values())
    assert real.story.way.cases == real.story.lead.cases.height == 225
    assert real.story.wip.little.exact_error < 1e-9
    people = [name for name in real.events.table["person"].unique().drop_nulls().to_list() if len(name) > 4]
    assert people
    assert not any(name in repr(said) for name in people)


def test_shifts_of_its_calendar_neither_touch_nor_overlap(real: Real) -> None:
    calendar = real.story.calendar
    shifts = calendar.shifts
    for weekday in range(7):
        mine = sorted(
            (one.start, one.end if one.end > one.start else one.end + 86_400) for one in shifts if weekday in one.days
        )
        assert all(one[1] < other[0] for one, other in pairwise(mine))
    assert calendar.outside < 0.1


def test_a_line_can_be_drafted_from_it(real: Real) -> None:
    draft = draft_line(real.story, real.decided, name="Machine shop")
    line = Line.from_text(draft.text, name="draft")

    assert len(line.steps) >= 5
    assert survey_of(line).drawing()
