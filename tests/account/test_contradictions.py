"""Where counts or looks contradict what is computed, the difference lands in "not explained", with its sign and size."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line
from tests.account.bracket import bracket_text


def bracket_with(*changes: tuple[str, str]) -> Accounts:
    text = bracket_text()
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return accounts_of(Line.from_text(text))


def sampled(**seen: int) -> Accounts:
    looks = ", ".join(f"{kind}: {number}" for kind, number in seen.items())
    return accounts_of(Line.from_text(bracket_text() + f"samples: [{{{looks}}}]\n"))


# Paid 28 800 s; found: value 4800, needed 4800, moving 680, motion 1600, extra 800, again 2800, ahead 760; 16 240 s in all.


def test_less_waiting_seen_than_is_left_over_is_not_explained():
    hours = sampled(looks=100, value=20, needed=20, waiting=25, motion=20, moving=10).hours
    assert hours.row("waiting").amount.value == pytest.approx(0.25 * 28800)
    assert hours.unexplained.amount.value == pytest.approx(28800 - 16240 - 7200)
    assert hours.unexplained.amount.value > 0


def test_more_waiting_seen_than_there_is_room_for_goes_below_zero():
    hours = sampled(looks=100, value=10, needed=10, waiting=70).hours
    assert hours.row("waiting").amount.value == pytest.approx(20160)
    assert hours.unexplained.amount.value == pytest.approx(28800 - 16240 - 20160)
    assert hours.unexplained.amount.value < 0


def test_looks_that_agree_leave_nothing_over():
    hours = sampled(
        looks=2880, value=480, needed=480, waiting=1256, moving=68, motion=160, extra=80, again=280, ahead=76
    ).hours
    assert hours.unexplained.amount.value == pytest.approx(0.0, abs=1e-6)
    low, high = hours.unexplained.amount.interval()
    assert low < 0 < high


def test_what_is_not_explained_says_kind_by_kind_where_the_looks_disagree():
    hours = sampled(looks=100, value=20, needed=20, waiting=25, motion=20, moving=10).hours
    parts = {part.name: part for part in hours.unexplained.parts}
    said = {
        "hours / value-adding / seen beyond what was found": 0.20 * 28800 - 4800,
        "hours / needed, not value-adding / seen beyond what was found": 0.20 * 28800 - 4800,
        "hours / moving things / seen beyond what was found": 0.10 * 28800 - 680,
        "hours / moving oneself / seen beyond what was found": 0.20 * 28800 - 1600,
        "hours / doing more than is needed / seen beyond what was found": -800,
        "hours / scrapped or done again / seen beyond what was found": -2800,
        "hours / made before anybody pulled / seen beyond what was found": -760,
        "hours / looks that found nothing of the kind": 0.05 * 28800,
    }
    assert {name: part.value for name, part in parts.items()} == pytest.approx(said)
    together = sum(part.draws for part in parts.values())
    assert np.allclose(together, hours.unexplained.amount.draws)


def test_sampled_waiting_still_says_what_it_consists_of():
    at_steps, repair, work = (part.value for part in sampled(looks=100, waiting=10).hours.row("waiting").parts)
    assert (at_steps, repair, work) == pytest.approx((1600, 2880 - 1600, 0))


def test_less_waiting_seen_than_machines_are_watched_is_all_of_it_watching():
    parts = [part.value for part in sampled(looks=100, waiting=2).hours.row("waiting").parts]
    assert parts == pytest.approx([576, 0, 0])


def test_waiting_seen_is_a_share_with_its_interval():
    row = sampled(looks=100, waiting=25).hours.row("waiting")
    assert row.seen is not None
    assert row.seen.value == 0.25
    low, high = row.amount.interval()
    assert 0.15 * 28800 < low < 0.25 * 28800 < high < 0.35 * 28800


def test_rounds_are_put_together_and_each_is_named():
    text = (
        bracket_text()
        + "samples: [{on: 2026-03-17, looks: 60, waiting: 12}, {on: 2026-03-19, looks: 40, waiting: 13}]\n"
    )
    seen = accounts_of(Line.from_text(text)).hours.row("waiting").seen
    assert seen is not None
    assert seen.value == 0.25
    assert seen.source is not None
    assert [(reading.value, reading.unit, reading.when) for reading in seen.source.readings] == [
        (12.0, "looks", "2026-03-17"),
        (13.0, "looks", "2026-03-19"),
    ]


def test_more_bought_than_used_leaves_no_trace():
    accounts = bracket_with(("bought: 110 /d", "bought: 130 /d"))
    assert accounts.material.unexplained.amount.value == pytest.approx((130 - 105) * 5)


def test_less_bought_than_used_goes_below_zero():
    accounts = bracket_with(("bought: 110 /d", "bought: 90 /d"))
    assert accounts.material.unexplained.amount.value == pytest.approx((90 - 105) * 5)


def test_a_store_that_shrinks_explains_what_was_not_bought():
    counts = "counts: [{on: 2026-03-02, pieces: 400}, {on: 2026-03-09, pieces: 325}, {on: 2026-03-16, pieces: 250}]"
    accounts = bracket_with(("bought: 110 /d", "bought: 90 /d"), ("counted: 300,", f"{counts},"))
    assert accounts.material.row("drawn").amount.value == pytest.approx(-15 * 5)
    assert accounts.material.unexplained.amount.value == pytest.approx(0.0)
    assert [part.value for part in accounts.material.unexplained.parts] == pytest.approx([0.0])


def test_a_store_that_grows_explains_what_was_bought_beyond_use():
    accounts = bracket_with(("counted: 300, capacity", "counted: 300, grows: 3 /d, capacity"))
    assert accounts.material.row("ahead").amount.value == pytest.approx((5 + 3) * 5)
    assert accounts.material.unexplained.amount.value == pytest.approx((110 - 108) * 5)


def test_without_invoices_a_store_that_shrinks_means_that_less_was_bought():
    counts = "counts: [{on: 2026-03-02, pieces: 400}, {on: 2026-03-09, pieces: 325}, {on: 2026-03-16, pieces: 250}]"
    accounts = bracket_with((" bought: 110 /d,", ""), ("counted: 300,", f"{counts},"))
    assert accounts.material.whole.value == pytest.approx((105 - 15) * 5)
    assert accounts.material.unexplained.amount.value == pytest.approx(0.0)


def test_parts_that_are_bought_for_nothing_are_not_explained():
    accounts = bracket_with(("stations:\n", "  - {name: brass plate, price: 3 EUR, bought: 4 /d}\nstations:\n"))
    assert accounts.material.whole.value == pytest.approx(550 + 12)
    assert accounts.material.unexplained.amount.value == pytest.approx(25 + 12)
    assert [part.name for part in accounts.material.unexplained.parts] == [
        "material / no trace / blank",
        "material / no trace / brass plate",
    ]


def test_more_things_on_the_floor_than_floor_goes_below_zero():
    assert bracket_with(("total: 50 m2", "total: 25 m2")).floor.unexplained.amount.value == pytest.approx(25 - 30.7)


def test_a_floor_total_equal_to_the_sum_leaves_nothing_over():
    assert bracket_with(("total: 50 m2", "total: 30.7 m2")).floor.unexplained.amount.value == 0.0


def test_without_invoices_everything_bought_is_used_or_piled_up():
    accounts = bracket_with((" bought: 110 /d,", ""))
    assert accounts.material.whole.value == pytest.approx(105 * 5)
    assert accounts.material.unexplained.amount.value == 0.0


def test_more_work_than_paid_time_goes_below_zero():
    accounts = bracket_with(("distance: 15 m, batch: 8", "distance: 90 m, batch: 1"))
    work = 16240 - 300 + 80 * 2 * 90
    assert accounts.hours.row("waiting").amount.value == pytest.approx(1600)
    assert accounts.hours.unexplained.amount.value == pytest.approx(28800 - 1600 - work)
    assert accounts.hours.unexplained.amount.value < 0


def test_the_why_of_what_is_not_explained_ends_at_the_rounds_with_who_when_and_from_where():
    text = bracket_text() + (
        "samples: [{on: 2026-03-17, who: line lead, from: 'March, rounds 1 to 6', looks: 60, waiting: 12}, "
        "{on: 2026-03-19, who: planner, from: rows 2 to 41 of looks.csv, looks: 40, waiting: 13}]\n"
    )
    unexplained = accounts_of(Line.from_text(text)).hours.unexplained.amount
    share = unexplained.find("looks that found waiting")
    assert share is not None
    assert share.source is not None
    assert [(one.value, one.when, one.who, one.origin) for one in share.source.readings] == [
        (12.0, "2026-03-17", "line lead", "March, rounds 1 to 6"),
        (13.0, "2026-03-19", "planner", "rows 2 to 41 of looks.csv"),
    ]
    waiting = share.draws * 28800
    assert np.std(unexplained.draws) == pytest.approx(np.std(waiting), rel=0.05)
