"""Five weeks of a works with a known shift and two breaks: what is found of it in logs of 700 to 1,000 rows."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from pullwright.watch.log.invented import made_log
from pullwright.watch.log.invented_works import Works
from pullwright.watch.log.laid import Laid
from pullwright.watch.log.story.calendar import FoundCalendar, calendar_of

from .made_rows import log_of

BREAKS = [(9 * 3600, 9 * 3600 + 900), (12 * 3600, 12 * 3600 + 1800)]


def found(seed: int) -> FoundCalendar:
    log = made_log(Works(days=35), rng=np.random.default_rng(seed))
    moment = dt.datetime.fromisoformat
    return calendar_of(Laid(log_of({"start": moment(row["Start"]), "end": moment(row["End"])} for row in log.rows)))


@pytest.mark.parametrize("seed", range(12))
def test_the_shift_and_its_breaks_are_found_in_five_weeks(seed: int) -> None:
    (shift,) = found(seed).shifts

    assert (shift.start, shift.end, shift.days) == (6 * 3600, 14 * 3600 + 1800, (0, 1, 2, 3, 4))
    assert [(one.start, one.end) for one in shift.breaks] == BREAKS


def test_a_quiet_time_in_which_work_goes_on_is_no_break_and_is_told() -> None:
    """With seed 0 it is quiet from 11:35 to 11:50 by chance."""
    assert found(0).doubts == ("it is quiet from 11:35 to 11:50, and work goes on: no break",)
