"""Rounds come at any working second alike, never in a break, never while one is still walking the last."""

from __future__ import annotations

import itertools
from datetime import date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.line.calendar import Pause, Shift, WorkCalendar
from pullwright.watch.misread import SampleError
from pullwright.watch.sample.looks import Round
from pullwright.watch.sample.plan import most_that_fit, plan_rounds, plan_text

LUNCH = Pause("lunch", 12 * 3600, 12 * 3600 + 1800, paid=False)
MEETING = Pause("meeting", 7 * 3600, 7 * 3600 + 600, paid=True, kind="planned stop")
DAY = WorkCalendar((Shift("day", 7 * 3600, 15 * 3600 + 1800, breaks=(LUNCH, MEETING)),))
TWO = WorkCalendar(
    (
        Shift("late", 14 * 3600, 22 * 3600),
        Shift("night", 22 * 3600, 6 * 3600, breaks=(Pause("night meal", 7200, 9000),)),
    )
)
MONDAY = date(2026, 3, 16)


@settings(max_examples=30)
@given(
    st.integers(1, 45),
    st.sampled_from([60.0, 300.0, 601.5]),
    st.integers(0, 4),
    st.integers(0, 2**32),
    st.sampled_from([DAY, TWO]),
)
def test_no_round_falls_into_a_break_or_onto_the_last_one(
    rounds: int, walk: float, days: int, seed: int, calendar: WorkCalendar
) -> None:
    last = MONDAY + timedelta(days=days)

    planned = plan_rounds(calendar, MONDAY, last, rounds, ["saw", "press", "kiln"], seed=seed, walk_s=walk)

    assert [one.number for one in planned] == list(range(1, rounds + 1))
    assert all(calendar.is_working(one.at) for one in planned)
    assert all(sorted(one.stations) == ["kiln", "press", "saw"] for one in planned)
    assert all((b.at - a.at).total_seconds() >= walk for a, b in itertools.pairwise(planned))
    assert all(calendar.between(a.at, b.at) >= walk for a, b in itertools.pairwise(planned))


@pytest.mark.parametrize("walk", [60.0, 3000.0])
def test_every_working_second_is_as_likely_as_any_other(walk: float) -> None:
    """Chi-square over 20 equal stretches of the time, one round of each plan, so that the moments are independent.

    The bound is the 99.9 % quantile of chi-square with 19 degrees of freedom, 43.82: a sound plan passes it in 999 of 1000 choices of seeds.
    """
    start = datetime(2026, 3, 16)
    total = DAY.working_seconds(MONDAY)
    reached = []
    for seed in range(1000):
        planned = plan_rounds(DAY, MONDAY, MONDAY, 7, ["saw"], seed=seed, walk_s=walk)
        chosen = planned[np.random.default_rng(seed + 10**6).integers(7)]
        reached.append(DAY.between(start, chosen.at) / total)

    counts = np.histogram(reached, bins=20, range=(0, 1))[0]

    assert float(((counts - 50.0) ** 2 / 50.0).sum()) < 43.82


def test_hours_have_their_turn_more_evenly_than_by_plain_chance() -> None:
    """Plain chance would give 64 x 1/16 x 15/16 as the variance of the rounds in one hour of sixteen."""
    counts = []
    for seed in range(60):
        planned = plan_rounds(TWO, MONDAY, MONDAY + timedelta(days=4), 64, ["saw"], seed=seed, walk_s=60)
        late = [one.at.hour for one in planned if 14 <= one.at.hour < 22]
        counts.append(np.bincount(late, minlength=24)[14:22])

    plain_chance = 64 * (1 / 16) * (15 / 16)
    assert np.var(np.array(counts), axis=0).mean() < plain_chance / 2


def test_the_same_seed_gives_the_same_rounds_and_a_generator_may_be_handed_in() -> None:
    first = plan_rounds(DAY, MONDAY, MONDAY, 6, ["saw", "press"], seed=7)

    assert first == plan_rounds(DAY, MONDAY, MONDAY, 6, ["saw", "press"], seed=np.random.default_rng(7))
    assert first != plan_rounds(DAY, MONDAY, MONDAY, 6, ["saw", "press"], seed=8)


def test_as_many_as_fit_do_fit_and_one_more_is_refused_with_their_number() -> None:
    most = most_that_fit(DAY, MONDAY, MONDAY, walk_s=900)

    assert most == 31  # 8.5 h less 40 min, in quarters of an hour
    assert len(plan_rounds(DAY, MONDAY, MONDAY, most, ["saw"], seed=1, walk_s=900)) == 31
    with pytest.raises(SampleError) as refused:
        plan_rounds(DAY, MONDAY, MONDAY, most + 1, ["saw"], seed=1, walk_s=900)
    assert str(refused.value) == (
        "32 rounds of 15 min do not fit into 7.833 h of working time (allowed: at most 31); plan fewer rounds, shorter ones or more days"
    )


def test_paid_breaks_are_looked_at_where_the_paid_time_is_meant() -> None:
    found = [
        one.at
        for seed in range(40)
        for one in plan_rounds(DAY, MONDAY, MONDAY, 40, ["saw"], seed=seed, walk_s=60, within="paid")
    ]

    assert any(at.hour == 7 and at.minute < 10 for at in found)
    assert not any(at.hour == 12 and at.minute < 30 for at in found)


def test_days_without_a_shift_hold_no_round() -> None:
    with pytest.raises(SampleError, match="2026-03-21 to 2026-03-22 holds no working time"):
        plan_rounds(DAY, date(2026, 3, 21), date(2026, 3, 22), 1, ["saw"], seed=1)


@pytest.mark.parametrize(
    ("rounds", "stations", "said"),
    [
        (0, ["saw"], "0 rounds cannot be planned"),
        (2, [], "are no places to look at"),
        (2, ["saw", "saw"], "station saw stands twice in the round"),
    ],
)
def test_wishes_that_mean_nothing_are_refused(rounds: int, stations: list[str], said: str) -> None:
    with pytest.raises(SampleError, match=said):
        plan_rounds(DAY, MONDAY, MONDAY, rounds, stations, seed=1)


def test_the_plan_reads_day_by_day() -> None:
    rounds = [
        Round(1, datetime(2026, 3, 16, 8, 5, 9), ("saw", "press")),
        Round(2, datetime(2026, 3, 17, 14, 2), ("press", "saw")),
    ]

    assert plan_text(rounds).splitlines() == [
        "Monday 2026-03-16",
        "   1  08:05  saw, press",
        "Tuesday 2026-03-17",
        "   2  14:02  press, saw",
    ]
