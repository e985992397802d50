"""What happens to the accounts when one thing in the line is doubled, removed or made to fit."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pullwright.account import Account, Accounts, accounts_of
from pullwright.line import Line
from tests.account.accounted_lines import accounted_dicts
from tests.account.bracket import bracket_text
from tests.flow.generated_lines import as_text

law = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def amounts(account: Account, times: float = 1.0) -> dict[str, float]:
    return {row.key: times * row.amount.value for row in account.rows}


def accounts(text: str) -> Accounts:
    return accounts_of(Line.from_text(text))


def changed(old: str, new: str, text: str | None = None) -> Accounts:
    text = bracket_text() if text is None else text
    assert old in text, old
    return accounts(text.replace(old, new))


def near(account: Account, other: Account, times: float) -> bool:
    size = 1e-9 * (1.0 + sum(abs(row.amount.value) for row in account.rows))
    return amounts(account) == pytest.approx(amounts(other, times), rel=1e-9, abs=size)


def dearer(text: str) -> str:
    """Every amount of money twice as much, in the same currency."""
    return re.sub(r"([\d.]+) EUR", lambda found: f"{2 * float(found[1]):.10g} EUR", text)


@law
@given(accounted_dicts())
def test_twice_the_prices_wages_and_rent_are_twice_the_money_and_the_same_hours(line):
    before, after = accounts(as_text(line)), accounts(dearer(as_text(line)))
    assert near(after.year, before.year, 2.0)
    assert near(after.tied_up, before.tied_up, 2.0)
    assert near(after.material, before.material, 2.0)
    assert near(after.hours, before.hours, 1.0)
    assert near(after.floor, before.floor, 1.0)


def test_twice_the_money_in_the_demo(demo, demo_text):
    after = accounts(dearer(demo_text))
    assert near(after.year, demo.year, 2.0)
    assert near(after.hours, demo.hours, 1.0)


def test_money_counted_in_another_currency_has_the_same_rows():
    text = bracket_text().replace("line: brackets", "line: brackets\ncurrency: CHF").replace(" EUR", " CHF")
    assert near(accounts(text).year, accounts(bracket_text()).year, 1.0)


LATE = """    - name: late
      from: "17:00"
      to: "01:30"
      breaks:
        - {name: lunch, from: "21:00", to: "21:30", paid: no}
        - {name: coffee, from: "19:00", to: "19:10"}
      planned_stops: [{name: meeting, from: "17:00", to: "17:10"}]
"""
"""The same shift once more: as long, with as long pauses."""


def test_two_shifts_alike_are_twice_the_paid_hours_and_pauses_and_the_same_work():
    before, after = accounts(bracket_text()), changed("products:\n", LATE + "products:\n")
    assert after.hours.whole.value == 2 * before.hours.whole.value
    more = {
        key: after.hours.row(key).amount.value - before.hours.row(key).amount.value for key in amounts(before.hours)
    }
    assert more.pop("needed") == pytest.approx(1200)
    assert more.pop("waiting") == pytest.approx(28800 - 1200)
    assert all(value == pytest.approx(0.0, abs=1e-6) for value in more.values())


def test_twice_the_demand_within_what_the_line_can_do_is_twice_the_work():
    little = bracket_text().replace("mean: 80 /d", "mean: 20 /d").replace("grows: 4 /d", "grows: 1 /d")
    before, after = (
        accounts(little),
        changed("mean: 20 /d", "mean: 40 /d", little.replace("grows: 1 /d", "grows: 2 /d")),
    )
    for key in ("value", "motion", "extra", "again", "ahead", "moving"):
        assert after.hours.row(key).amount.value == pytest.approx(2 * before.hours.row(key).amount.value), key
    assert after.material.row("value").amount.value == pytest.approx(2 * before.material.row("value").amount.value)


def test_a_demand_beyond_what_the_line_can_do_adds_no_more_work():
    full, more = changed("mean: 80 /d", "mean: 400 /d"), changed("mean: 80 /d", "mean: 800 /d")
    assert not full.flow.keeps_up
    for key in ("value", "motion", "extra", "again"):
        assert more.hours.row(key).amount.value == pytest.approx(full.hours.row(key).amount.value), key


@law
@given(accounted_dicts(certain=True), st.data())
def test_a_loss_removed_never_raises_what_is_done_again(line, data):
    """As long as the line keeps up: one that does not makes more, good and bad, when it loses less."""
    losing = [step for step in line["steps"] if {"scrap", "rework", "first_pass_yield"} & set(step)]
    before = accounts(as_text(line))
    if not losing or not before.flow.keeps_up:
        return
    step = data.draw(st.sampled_from(losing))
    for loss in ("scrap", "rework", "first_pass_yield"):
        step.pop(loss, None)
    after = accounts(as_text(line))
    assert after.hours.row("again").amount.value <= before.hours.row("again").amount.value * (1 + 1e-9) + 1e-9
    assert after.material.row("again").amount.value <= before.material.row("again").amount.value * (1 + 1e-9) + 1e-9


def test_without_scrap_nothing_is_scrapped():
    found = changed("    scrap: 20 %\n", "")
    assert found.hours.row("again").amount.value == 0.0
    assert found.material.row("again").amount.value == 0.0


@pytest.mark.parametrize("account", ["hours", "material", "floor", "tied_up", "year"])
def test_without_a_pile_that_grows_or_lies_too_high_nothing_is_ahead(account):
    found = changed(
        "counted: 120, grows: 4 /d,", "counted: 4, grows: 0 /d,", bracket_text().replace("counted: 300", "counted: 50")
    )
    ahead = {
        "tied_up": ("material beyond", "work in process beyond", "finished goods beyond"),
        "floor": ("stock beyond",),
    }
    for key in ahead.get(account, ("ahead",)):
        assert getattr(found, account).row(key).amount.value == 0.0


def test_a_store_that_fits_makes_nobody_carry_anything_away():
    assert changed("capacity: 100", "capacity: 400").hours.row("moving").amount.value == pytest.approx(500)


def test_a_machine_that_never_fails_makes_nobody_wait_for_repair():
    found = changed(", breakdowns: {between: 9 h, repair: {mean: 1 h, cv: 1}}", "")
    assert found.hours.row("waiting").parts[1].value == 0.0


def test_a_tighter_finish_moves_time_from_value_to_more_than_is_needed():
    asked = "scrap: 20 %\n    asked: [{what: finish, asked: 1 um, needed: 2 um, costs: 15 s}]\n"
    by_hand = bracket_text().replace("      - {what: press, machine: 40 s, watched: 50 %, kind: value}\n", "")
    before, after = accounts(by_hand), changed("scrap: 20 %\n", asked, by_hand)
    assert after.hours.row("value").amount.value == pytest.approx(before.hours.row("value").amount.value - 80 * 15)
    assert after.hours.row("extra").amount.value == pytest.approx(before.hours.row("extra").amount.value + 80 * 15)


def test_half_of_a_step_done_elsewhere_waits_for_half_of_the_repairs():
    away = (
        bracket_text()
        .replace("stations:\n", "stations:\n  - {name: hammer}\n")
        .replace("    station: press\n", "    station: press\n    also_at: [{station: hammer, share: 50 %}]\n")
    )
    assert accounts(away).hours.row("waiting").parts[1].value == pytest.approx(0.5 * 14000 * (1 / 0.9 - 1))


def test_ways_of_counting_the_same_growth_agree():
    straight = "counts: [{on: 2026-03-02, pieces: 80}, {on: 2026-03-09, pieces: 100}, {on: 2026-03-16, pieces: 120}]"
    counted = changed("counted: 120, grows: 4 /d", straight)
    given_rate = accounts(bracket_text())
    assert counted.hours.row("ahead").amount.value == pytest.approx(given_rate.hours.row("ahead").amount.value)
    assert counted.material.row("ahead").amount.value == pytest.approx(given_rate.material.row("ahead").amount.value)


def test_a_finished_pile_that_shrinks_counts_as_none():
    falling = "counts: [{on: 2026-03-02, pieces: 160}, {on: 2026-03-09, pieces: 140}, {on: 2026-03-16, pieces: 120}]"
    assert changed("counted: 120, grows: 4 /d", falling).hours.row("ahead").amount.value == 0.0


PUSHED = """
line: frames
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
products: [{name: frame, demand: 90 /d, uses: [{part: bar, quantity: 3, at: cut}]}]
parts: [{name: bar, price: 2 EUR}]
stations: [{name: saw}, {name: bench}]
steps:
  - {name: cut, station: saw, manual: 20 s, scrap: 10 %, release: {by: push, rate: RATE /d}}
  - {name: join, station: bench, QUANTITYmanual: 30 s}
people: [{name: crew, number: 4}]
"""


def pushed(rate: int, quantity: str = "") -> Callable[[], Accounts]:
    return lambda: accounts(PUSHED.replace("RATE", str(rate)).replace("QUANTITY", quantity))


@pytest.mark.parametrize(
    ("line", "growth"),
    [
        (pushed(100), 0.0),
        (pushed(80), 0.0),
        (pushed(120), 120 * 0.9 - 90),
        (pushed(2000), 28800 / 20 * 0.9 - 90),
        (pushed(300, "after: [{step: cut, quantity: 2}], "), 300 * 0.9 / 2 - 90),
    ],
)
def test_what_a_schedule_pushes_beyond_what_is_taken_piles_up(line, growth):
    found = line()
    (ahead,) = found.ground.ahead
    assert ahead.growth.value == pytest.approx(growth, abs=1e-9)
    hands_in_one = found.ground.contents.hands(ahead.stock).value
    assert found.hours.row("ahead").amount.value == pytest.approx(growth * hands_in_one, abs=1e-6)


def test_what_goes_back_is_not_pushed_on():
    text = (
        PUSHED.replace("RATE", "150")
        .replace("QUANTITY", "")
        .replace("scrap: 10 %", "scrap: 10 %, rework: {share: 20 %, to: cut}")
    )
    (ahead,) = accounts(text).ground.ahead
    assert ahead.growth.value == pytest.approx(150 * 0.7 - 90)


def test_a_schedule_for_the_last_step_piles_up_finished_goods():
    text = PUSHED.replace("RATE", "100").replace(
        "QUANTITYmanual: 30 s", "manual: 30 s, release: {by: push, rate: 95 /d}"
    )
    growth = {one.stock.words: one.growth.value for one in accounts(text).ground.ahead}
    assert growth == pytest.approx({"before join": 0.0, "after join": 5.0}, abs=1e-9)


def test_carrying_that_needs_more_hands_is_given_them_where_no_people_are_known():
    text = PUSHED.replace("RATE", "100").replace("QUANTITY", "").replace("people: [{name: crew, number: 4}]\n", "")
    text = text.replace("manual: 20 s", "manual: 200 s").replace("manual: 30 s", "manual: 100 s")
    near_by, far = accounts(text), accounts(text + "moves: [{from: cut, to: join, distance: 200 m}]\n")
    assert near_by.hours.whole.value == 2 * 28800
    assert far.hours.whole.value == 3 * 28800  # 29 000 s at the steps and 32 727 s on the way
    assert far.hours.unexplained.amount.value == 0.0
    assert "as many are assumed" in far.hours.notes[0]
