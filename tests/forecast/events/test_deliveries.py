"""Bought parts, shifts of single stations and crews, and stopping: worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.events.rows import OFF, SHORT, WORKING
from pullwright.forecast.runs import runs_of
from pullwright.line import Line
from tests.forecast.small_lines import DAY, laid, machine, run

CALENDAR = "{shifts: [{name: early, from: '06:00', to: '14:00'}, {name: late, from: '14:00', to: '22:00'}]}"


def text(part: str, counted: str = "", step: str = machine("10 s"), demand: str = "{mean: 480 /d, cv: 0}") -> str:
    stock = f"stores: [{{part: plate, counted: {counted}}}]\n" if counted else ""
    return (
        "line: small\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
        f"products: [{{name: P, demand: {demand}, uses: [{{part: plate, quantity: 2, at: t0}}]}}]\n"
        f"parts: [{{name: plate, price: 1 EUR{part}}}]\nstations: [{{name: s0}}]\nsteps: [{{name: t0, station: s0, {step}}}]\n{stock}"
    )


def test_a_part_of_which_nothing_is_said_comes_as_it_is_needed():
    (found,) = run(text(""), days=2)
    # The first order comes at 60 s, so the last of a day at its very end, which is the next day's.
    assert found.used[:, 0].tolist() == found.received[:, 0].tolist() == [958, 960]
    assert found.deliveries.sum() == 0
    assert found.part_stock[:, 0].tolist() == [0, 0]


def test_what_was_counted_is_used_before_more_comes():
    (found,) = run(text("", "100"), days=1)
    assert (found.used[0, 0], found.received[0, 0]) == (958, 858)


def test_a_piece_waits_for_the_delivery_of_its_part():
    # 4 plates for two pieces, at 60 and 120 s; at 60 s two are left, which is the order point; 10 come an hour (0.125 d) later.
    (found,) = run(text(", delivery_lot: 10, order_at: 2, lead_time: 0.125 d", "4"), days=1)
    assert found.lead[1][:4].tolist() == [70, 130, 3670, 3680]
    assert found.times[0, SHORT] > 0
    assert np.isclose(found.times[0].sum(), DAY)


def test_as_many_lots_are_ordered_as_lift_the_stock_above_the_order_point():
    # 0 in stock, 25 wished: three lots of 10 at once, at the start.
    (found,) = run(
        text(", delivery_lot: 10, order_at: 25, lead_time: 0.5 d", "0", demand="{mean: 1 /d, cv: 0}"), days=1
    )
    assert (found.received[0, 0], found.deliveries[0, 0], found.part_stock[0, 0]) == (30, 1, 30)


def test_without_an_order_point_it_covers_the_lead_time_and_its_swings():
    steady = laid(text(", delivery_lot: 600, lead_time: 2 d")).plant
    varied = laid(text(", delivery_lot: 600, lead_time: 2 d", demand="{mean: 480 /d, cv: 0.3}")).plant
    assert steady.part_order_at[0] == 2 * 960
    assert steady.part_stock[0] == 2 * 960 + 300
    # z(95 %) = 1.645 standard deviations of the use of two days: 2 plates a piece, 0.3 x 480 pieces a day.
    assert varied.part_order_at[0] == pytest.approx(1920 + 1.645 * 2 * 0.3 * 480 * np.sqrt(2), abs=1)


def test_deliveries_may_overtake_one_another_and_come_each_at_its_own_time():
    (found,) = run(text(", delivery_lot: 10, order_at: 500, lead_time: {mean: 0.2 d, cv: 1}", "500"), days=20)
    assert found.received.sum() % 10 == 0
    assert found.part_stock[-1, 0] == 500 + found.received.sum() - found.used.sum()


def shift_text(station: str = "", crew: str = "", step: str = machine("100 s")) -> str:
    people = f"people: [{{name: hands, number: 1{crew}}}]\n" if crew else ""
    return (
        f"line: small\ncalendar: {CALENDAR}\nproducts: [{{name: P, demand: {{mean: 960 /d, cv: 0}}}}]\n"
        f"stations: [{{name: s0{station}}}]\nsteps: [{{name: t0, station: s0, {step}, release: {{by: push, rate: 960 /d}}}}]\n{people}"
    )


def two_days(found_text: str):
    layout = laid(found_text)
    assert layout.day == 2 * DAY
    (found,) = runs_of(layout.plant, numbers=[0], until=2 * layout.day, day=layout.day)
    return found


def test_a_station_ends_its_piece_after_its_shift_and_begins_none_before_the_next():
    found = two_days(shift_text(", shifts: [late]"))
    assert found.lead[1][0] == DAY + 100
    # 288 pieces fit into a shift to the second; the next one is begun in the late shift of the next day.
    assert found.lead[1][287:289].tolist() == [2 * DAY, 3 * DAY + 100]
    assert found.times[0, OFF] == 2 * DAY
    assert found.times[0, WORKING] == 2 * DAY
    early = two_days(shift_text(", shifts: [early]", step=machine("110 s")))
    assert early.lead[1][261:263].tolist() == [262 * 110, 2 * DAY + 110]
    assert 261 * 110 < DAY < 262 * 110


def test_people_of_a_shift_end_what_they_are_at_and_go():
    found = two_days(shift_text(crew=", shifts: [early]", step="manual: {mean: 110 s, cv: 0}"))
    assert found.lead[1][261:263].tolist() == [262 * 110, 2 * DAY + 110]


def test_a_run_that_is_stopped_gives_back_what_was_done():
    layout = laid(shift_text())
    asked = iter([False, True])
    found = runs_of(
        layout.plant,
        numbers=range(3),
        until=3e6 * layout.day,
        day=layout.day * 1e5,
        samples=1,
        stop=lambda: next(asked),
    )
    assert found == []
    assert len(runs_of(layout.plant, numbers=range(3), until=layout.day, day=layout.day, stop=lambda: False)) == 3


def test_the_day_book_counts_what_lies_at_each_days_end():
    found = run("line: small\n" + text("").split("\n", 1)[1], days=3)[0]
    assert found.lying_by_day.shape == (3, 3)
    waiting = found.ordered.cumsum(axis=0)[:, 0] - found.finished.cumsum(axis=0)[:, 0]
    assert found.lying_by_day[:, 2].tolist() == waiting.tolist()
    assert isinstance(Line.from_text(text("")), Line)
