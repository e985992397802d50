"""The box of the day: pitches by the clock, with breaks left out."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.line.worktime import Pause, Shift
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.day_box import box, moment, stretches_of, worked_until, working_time

LUNCH = Pause("lunch", 12 * 3600, 12 * 3600 + 1800, paid=False)
MEETING = Pause("meeting", 6 * 3600, 6 * 3600 + 600, kind="planned stop")
DAY = Shift("day", 6 * 3600, 14 * 3600 + 1800, breaks=(LUNCH, MEETING))


@given(st.lists(st.sampled_from("abc"), min_size=1, max_size=60), st.integers(1, 12))
def test_the_box_adds_up_to_the_sequence(sequence: list[str], pitch: int) -> None:
    stretches = stretches_of([DAY])
    takt = working_time(stretches) / len(sequence)

    slots = box(sequence, pitch, takt, stretches)

    assert [piece for slot in slots for piece in slot.pieces] == sequence
    assert sum((Counter(slot.counts) for slot in slots), Counter()) == Counter(sequence)
    assert all(slot.full for slot in slots[:-1])
    assert slots[-1].full == (len(sequence) % pitch == 0)
    assert slots[-1].end == pytest.approx(14 * 3600 + 1800)
    for slot in slots:
        worked = worked_until(stretches, slot.end) - worked_until(stretches, slot.start)
        assert worked == pytest.approx(len(slot.pieces) * takt)


def test_slots_go_round_breaks_and_planned_stops() -> None:
    slots = box(["a"] * 40, 4, 600.0, stretches_of([DAY]))

    assert [str(slot)[:14] for slot in slots[:3]] == ["06:10 to 06:50", "06:50 to 07:30", "07:30 to 08:10"]
    over_lunch = next(slot for slot in slots if slot.start < LUNCH.start < slot.end)
    assert over_lunch.end - over_lunch.start == pytest.approx(4 * 600 + 1800)


def test_a_slot_that_begins_with_a_break_begins_after_it() -> None:
    slots = box(["a"] * 4, 2, 1800.0, ((0.0, 3600.0), (5400.0, 9000.0)))

    assert [(slot.start, slot.end) for slot in slots] == [(0.0, 3600.0), (5400.0, 9000.0)]


def test_shifts_over_midnight_go_on_by_the_clock() -> None:
    night = Shift("night", 22 * 3600, 6 * 3600)
    slots = box(["a", "b"], 1, 4 * 3600.0, stretches_of([night]))

    assert [str(slot) for slot in slots] == ["22:00 to 02:00 next day: 1 a", "02:00 next day to 06:00 next day: 1 b"]


def test_the_last_slot_says_that_it_is_partly_filled() -> None:
    slots = box(["a", "b", "a"], 2, 600.0, ((0.0, 3600.0),))

    assert str(slots[-1]) == "00:20 to 00:30: 1 a (1 of 2 pieces)"


def test_what_is_done_keeps_its_time_and_the_rest_has_its_own_takt() -> None:
    slots = box(["a"] * 6, 2, 300.0, ((0.0, 7200.0),), done=3, done_takt=600.0, now=2400.0)

    assert [slot.done for slot in slots] == [2, 1, 0]
    assert slots[0].end == pytest.approx(1600.0)  # three pieces were made in 2400 s
    assert slots[1].end == pytest.approx(2400.0 + 300.0)
    assert slots[2].end == pytest.approx(2400.0 + 900.0)


def test_beyond_the_end_of_work_the_clock_runs_on() -> None:
    assert moment(((0.0, 60.0),), 90.0) == 90.0


@pytest.mark.parametrize(
    ("pitch", "takt", "done", "said"),
    [(0, 60.0, 0, "a pitch of 0"), (1, 0.0, 0, "a takt of 0.0 s"), (1, 60.0, 3, "3 pieces done of 2")],
)
def test_what_cannot_be_is_refused(pitch: int, takt: float, done: int, said: str) -> None:
    with pytest.raises(BadPlanInput, match=said):
        box(["a", "b"], pitch, takt, ((0.0, 60.0),), done=done)
