"""Trips: how many pieces go over each move, how long that takes, and what travels twice because it finds no room."""

from __future__ import annotations

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line

LINE = """
line: frames
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
products:
  - {name: frame, demand: 60 /d, uses: [{part: bar, quantity: 3, at: cut}, {part: bar, quantity: 2, at: join}]}
  - {name: gate, demand: 30 /d, uses: [{part: bar, quantity: 5, at: cut}]}
parts: [{name: bar, price: 2 EUR}]
stations: [{name: bench}, {name: rig}]
steps:
  - {name: cut, station: bench, manual: 20 s, scrap: 10 %}
  - {name: grind, station: rig, for: [gate], manual: 40 s}
  - {name: join, station: bench, manual: 30 s}
  - {name: test, station: rig, manual: 10 s, rework: {share: 20 %, to: join}}
"""


def carried(move: str) -> dict[str, float]:
    """Person-seconds a day of each move."""
    found = accounts_of(Line.from_text(LINE + f"moves:\n  - {{{move}, distance: 10 m, speed: 1 m/s}}\n"))
    (only,) = found.ground.carrying
    return {"hours": only.value, "pieces": only.inputs[0].value}


def test_there_and_back_with_handling_by_two():
    one = "from: test, to: shipping, batch: 9, people: 2, handling: 5 s"
    assert carried(one)["hours"] == pytest.approx(90 / 9 * 2 * (20 + 5))


def test_one_way_only_where_nobody_walks_back():
    assert carried("from: test, to: shipping, batch: 9, back: no")["hours"] == pytest.approx(10 * 10)


@pytest.mark.parametrize(
    ("move", "pieces"),
    [
        ("from: receiving, to: cut", 90 / 0.9),
        ("from: bar, to: cut", (60 * 3 + 30 * 5) / 0.9),
        ("from: bar, to: join", 60 * 2),
        ("from: cut, to: grind", 30),
        ("from: cut, to: join", 60),
        ("from: grind, to: join", 30),
        ("from: join, to: test", 90 / 0.8),
        ("from: test, to: join", 0.2 * 90 / 0.8),
        ("from: test, to: shipping", 90),
        ("from: cut, to: test", 0),
        ("from: bar, to: grind", 0),
    ],
)
def test_as_many_pieces_go_as_the_way_says(move, pieces):
    assert carried(move)["pieces"] == pytest.approx(pieces)


def test_what_goes_back_is_carried_as_it_was_put_together():
    text = """
line: racks
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
products: [{name: rack, demand: 50 /d}]
stations: [{name: bench}]
steps:
  - {name: cut, station: bench, manual: 5 s}
  - {name: join, station: bench, after: [{step: cut, quantity: 4}], manual: 20 s}
  - {name: test, station: bench, manual: 20 s, rework: {share: 50 %, to: cut}}
moves: [{from: test, to: cut, distance: 1 m}, {from: cut, to: join, distance: 1 m}]
"""
    back, on = accounts_of(Line.from_text(text)).ground.carrying
    assert (back.inputs[0].value, on.inputs[0].value) == pytest.approx((50, 4 * 100))


def test_each_end_of_the_line_ships_its_own():
    text = """
line: two ends
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
products: [{name: frame, demand: 60 /d}, {name: gate, demand: 30 /d}]
stations: [{name: bench}]
steps:
  - {name: cut, station: bench, manual: 20 s}
  - {name: join, station: bench, for: [frame], manual: 20 s}
  - {name: weld, station: bench, for: [gate], after: [cut], manual: 20 s}
moves: [{from: join, to: shipping, distance: 1 m}, {from: weld, to: shipping, distance: 1 m}]
"""
    first, second = accounts_of(Line.from_text(text)).ground.carrying
    assert (first.inputs[0].value, second.inputs[0].value) == pytest.approx((60, 30))


STORE = """
line: plates
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
products: [{name: frame, demand: 50 /d, uses: [{part: plate, quantity: 1, at: cut}]}]
stations: [{name: bench}, {name: rig}]
"""
STEPS = "steps: [{name: cut, station: bench, manual: 20 s}, {name: join, station: rig, manual: 30 s}]\n"


def twice(store: str, part: str = "", steps: str = STEPS) -> float:
    overflow = "overflow: {distance: 11 m, batch: 10, handling: 4 s}"
    text = f"{STORE}parts: [{{name: plate, price: 1 EUR{part}}}]\n{steps}stores: [{{{store}, {overflow}}}]\n"
    return sum(figure.value for figure in accounts_of(Line.from_text(text)).ground.carrying)


A_TRIP = 2 * 11 / 1.1 + 4


def test_of_a_delivery_that_does_not_fit_the_rest_travels_twice():
    assert twice("part: plate, capacity: 100", ", delivery_lot: 400") == pytest.approx(50 * 0.75 * 2 / 10 * A_TRIP)


def test_a_pile_that_does_not_fit_travels_twice_even_where_deliveries_do():
    assert twice("part: plate, capacity: 100, counted: 250", ", delivery_lot: 80") == pytest.approx(
        50 * 0.6 * 2 / 10 * A_TRIP
    )


def test_what_fits_is_not_carried_away():
    assert twice("part: plate, capacity: 400, counted: 250", ", delivery_lot: 80") == 0.0


def test_a_pile_between_two_steps_travels_twice_as_far_as_it_does_not_fit():
    assert twice("before: join, capacity: 20, counted: 80") == pytest.approx(50 * 0.75 * 2 / 10 * A_TRIP)


def test_a_queue_without_end_that_nobody_counted_is_not_carried():
    overloaded = STEPS.replace("30 s", "900 s")
    assert twice("before: join, capacity: 20", steps=overloaded) == 0.0


def moving(accounts: Accounts) -> float:
    return accounts.hours.row("moving").amount.value


def test_every_trip_is_in_the_hours_once():
    text = LINE + "moves:\n  - {from: test, to: shipping, distance: 10 m, batch: 9, speed: 1 m/s}\n"
    assert moving(accounts_of(Line.from_text(text))) == pytest.approx(10 * 20)
    assert moving(accounts_of(Line.from_text(LINE))) == 0.0
