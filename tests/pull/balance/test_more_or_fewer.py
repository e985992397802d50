"""More or fewer people at a line: every row is a plan that holds, people of the line file come first, and figures answer why."""

from __future__ import annotations

import pytest

from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.line.edit import set_field
from pullwright.pull.balance.checked_conditions import broken
from pullwright.pull.balance.more_or_fewer import more_or_fewer
from pullwright.pull.balance.of_line import balance_of

BENCH = """
line: lamps
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: lamp, demand: 480 /d}]
stations: [{name: bench}, {name: table}]
people: [{name: fitters, number: 3}]
steps:
  - {name: fit, station: bench, elements: [{what: base, kind: value, manual: 30 s}, {what: arm, kind: value, manual: 25 s}, {what: shade, kind: value, manual: 20 s}]}
  - {name: test, station: table, elements: [{what: plug in, kind: value, manual: 15 s}, {what: look, kind: value, manual: 30 s}]}
"""


def flow(**wishes):
    text = BENCH
    for name, value in wishes.items():
        text = set_field(text, ("plan", "balance", name), value)
    return flow_of(Line.from_text(text))


@pytest.fixture(scope="module")
def lamps():
    return more_or_fewer(flow(), range(1, 6))


def test_the_work_is_shared_as_by_hand(lamps):
    # 30, 25, 20, 15, 30 s in this order: 55 and 65; 30, 45 and 45; 30, 25, 35 and 30; the longest alone.
    assert [row.balance.takt for row in lamps.rows] == pytest.approx([120.0, 65.0, 45.0, 35.0, 30.0], abs=1e-3)
    assert all(row.proven and not broken(row.balance) for row in lamps.rows)


def test_the_number_that_keeps_the_takt_is_that_of_the_plan(lamps):
    assert lamps.asked is lamps.customers
    assert lamps.needed.posts == len(balance_of(flow()).posts)


def test_the_figures_follow_from_the_round_and_answer_why(lamps):
    row = lamps.rows[1]
    assert row.takt.value == pytest.approx(65.0)
    assert row.made.value == pytest.approx(lamps.customers.value * 480 / 65.0)
    assert row.efficiency.value == pytest.approx(120 / (2 * 65.0))
    assert row.fullest.value == pytest.approx(65.0 / lamps.asked.value)
    assert row.made.find("time for one good unit / test / look").value == 30.0
    assert lamps.best.posts == 1


def test_more_people_than_today_are_said(lamps):
    assert [row.more for row in lamps.rows][:3] == [(), (), ()]
    assert lamps.rows[3].more == ("4 of fitters, 1 more than today",)


def test_a_highest_load_asks_for_a_longer_takt_with_every_number():
    loaded = more_or_fewer(flow(load="80 %"), [2, 3])
    assert [row.takt.value for row in loaded.rows] == pytest.approx([65 / 0.8, 45 / 0.8])
    for row in loaded.rows:
        assert max(row.balance.loads) <= 0.8 * row.balance.takt + 1e-6


def test_more_posts_than_wished_are_shown_and_the_wish_is_known():
    found = more_or_fewer(flow(posts=2), [2, 3])
    assert found.most_wished == 2
    assert found.rows[1].balance is not None


def test_what_is_longer_than_the_takt_is_cut_again_for_a_longer_one():
    # A takt of 20 s makes two posts take turns at what takes 25 and 30 s; one person alone has no use for that.
    found = more_or_fewer(flow(takt="20 s"), [1, 2, 6, 7])
    assert found.rows[0].takt.value == pytest.approx(120.0, abs=1e-3)
    assert found.rows[1].takt.value == pytest.approx(65.0, abs=1e-3)
    assert found.rows[3].takt.value <= found.rows[2].takt.value
    assert any("take turns" in note for note in found.notes)


def test_what_the_plan_found_is_never_told_worse():
    line = flow()
    plan = balance_of(line)
    found = more_or_fewer(line, [len(plan.posts)], seconds=0.01, plan=plan)
    assert found.rows[0].balance.takt <= plan.balance.takt


def test_the_wish_of_a_load_in_the_file_is_kept_by_the_balance_of_the_line():
    plan = balance_of(flow(load="60 %"))
    assert max(load.value for load in plan.figures.loads) <= 0.6 + 1e-6
    assert any("costs" in reason for reason in plan.reasons)
