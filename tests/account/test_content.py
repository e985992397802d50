"""What a piece has in it: the hands and the parts of the steps before, once for each piece, whatever goes round or is thrown away."""

from __future__ import annotations

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line

HEAD = """
line: frames
calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
stations: [{name: bench}, {name: rig}]
people: [{name: crew, number: 4, wage: 36 EUR/h}]
parts: [{name: bar, price: 2 EUR}, {name: pin, price: 1 EUR}]
"""
CENT_A_SECOND = 0.01


def accounts(text: str) -> Accounts:
    return accounts_of(Line.from_text(HEAD + text))


def piece(found: Accounts, words: str) -> float:
    """What a piece in this place has cost."""
    return next(one.piece.value for one in found.ground.held if one.stock.words == words)


def hands(found: Accounts, words: str) -> float:
    """Attended work in a piece in this place (s)."""
    return next(found.ground.contents.hands(stock).value for stock in found.flow.stocks if stock.words == words)


ONE = "products: [{name: frame, demand: 90 /d, uses: [{part: bar, quantity: 3, at: cut}, {part: pin, quantity: 1, at: join}]}]\n"


def test_each_step_adds_its_hands_and_its_parts():
    found = accounts(
        ONE + "steps: [{name: cut, station: bench, manual: 20 s}, {name: join, station: bench, manual: 30 s}]"
    )
    assert piece(found, "before join") == pytest.approx(3 * 2 + 20 * CENT_A_SECOND)
    assert piece(found, "after join") == pytest.approx(3 * 2 + 1 + 50 * CENT_A_SECOND)


def test_scrap_on_the_way_is_in_the_pieces_that_got_through():
    found = accounts(
        ONE
        + "steps: [{name: cut, station: bench, manual: 20 s, scrap: 20 %}, {name: join, station: bench, manual: 30 s}]"
    )
    assert piece(found, "before join") == pytest.approx((3 * 2 + 20 * CENT_A_SECOND) / 0.8)


def test_a_scrap_further_on_is_not_in_a_piece_before_it():
    found = accounts(
        ONE
        + "steps: [{name: cut, station: bench, manual: 20 s}, {name: join, station: bench, manual: 30 s, scrap: 20 %}]"
    )
    assert piece(found, "before join") == pytest.approx(3 * 2 + 20 * CENT_A_SECOND)
    assert piece(found, "after join") == pytest.approx((7 + 50 * CENT_A_SECOND) / 0.8)


ROUND = """
steps:
  - {name: cut, station: bench, manual: 20 s}
  - {name: join, station: bench, manual: 30 s}
  - {name: test, station: rig, manual: 10 s, rework: {share: 25 %, to: join}}
"""


def test_a_piece_that_comes_round_again_is_the_same_piece_with_one_set_of_parts():
    found = accounts(ONE + ROUND)
    # Of 100 pieces, 33.3 come round again: join and test are done 133.3 times.
    assert hands(found, "before join") == pytest.approx(20)
    assert hands(found, "before test") == pytest.approx(20 + 30 / 0.75)
    assert hands(found, "after test") == pytest.approx(20 + 40 / 0.75)
    assert piece(found, "before test") == pytest.approx(7 + (20 + 40) * CENT_A_SECOND)


def test_a_loop_within_a_loop_counts_each_piece_once():
    found = accounts(
        ONE
        + """
steps:
  - {name: cut, station: bench, manual: 20 s}
  - {name: join, station: bench, manual: 30 s}
  - {name: look, station: bench, manual: 5 s, rework: {share: 20 %, to: join}}
  - {name: test, station: rig, manual: 10 s, rework: {share: 50 %, to: cut}}
"""
    )
    # Half of all go back from the test to the cut: two rounds each; in each round the look sends a fifth back to the join.
    assert hands(found, "after test") == pytest.approx(2 * (20 + 30 / 0.8 + 5 / 0.8 + 10))
    assert hands(found, "before test") == pytest.approx(2 * (20 + 30 / 0.8 + 5 / 0.8))
    assert hands(found, "before look") == pytest.approx(2 * (20 + 30 / 0.8))


def test_several_of_a_step_go_into_one():
    found = accounts(
        "products: [{name: frame, demand: 90 /d, uses: [{part: bar, quantity: 1, at: cut}]}]\n"
        "steps: [{name: cut, station: bench, manual: 20 s}, {name: join, station: bench, after: [{step: cut, quantity: 4}], manual: 30 s}]"
    )
    assert piece(found, "before join") == pytest.approx(4 * (2 + 20 * CENT_A_SECOND))


def test_where_flows_come_together_a_piece_is_a_whole_set():
    found = accounts(
        ONE.replace("pin, quantity: 1, at: join", "pin, quantity: 1, at: turn")
        + """
steps:
  - {name: cut, station: bench, manual: 20 s}
  - {name: turn, station: rig, after: [], manual: 7 s}
  - {name: join, station: bench, after: [cut, {step: turn, quantity: 2}], manual: 30 s}
"""
    )
    assert hands(found, "before join") == pytest.approx(20 + 2 * 7)
    assert piece(found, "before join") == pytest.approx(3 * 2 + 2 * 1 + 34 * CENT_A_SECOND)


TWO = """
products:
  - {name: frame, demand: %s /d, uses: [{part: bar, quantity: 3, at: cut}]}
  - {name: gate, demand: %s /d, uses: [{part: bar, quantity: 5, at: cut}]}
steps:
  - {name: cut, station: bench, manual: 20 s}
  - {name: grind, station: rig, for: [gate], manual: 40 s}
  - {name: join, station: bench, manual: 30 s}
stores: [{before: grind, counted: 12}]
"""


def test_a_pile_of_one_product_holds_the_work_on_that_product_only():
    found = accounts(TWO % (60, 30))
    assert piece(found, "before grind") == pytest.approx(5 * 2 + 20 * CENT_A_SECOND)


def test_a_pile_of_several_products_holds_their_mean_by_demand():
    found = accounts(TWO % (60, 30))
    mean = (60 * (3 * 2 + 20 * CENT_A_SECOND) + 30 * (5 * 2 + 60 * CENT_A_SECOND)) / 90
    assert piece(found, "before join") == pytest.approx(mean)


def test_stock_of_a_product_that_nobody_pulls_has_cost_what_it_cost():
    found = accounts(TWO % (60, 0))
    assert piece(found, "before grind") == pytest.approx(5 * 2 + 20 * CENT_A_SECOND)
    assert found.tied_up.row("work in process beyond").amount.value == pytest.approx(12 * piece(found, "before grind"))


def test_work_on_a_product_that_nobody_pulls_is_that_on_one_piece():
    paint = "  - {name: paint, station: rig, for: [gate], manual: 10 s}\n  - {name: join"
    found = accounts((TWO % (60, 0)).replace("  - {name: join", paint))
    assert hands(found, "before paint") == pytest.approx(20 + 40)


def test_what_is_counted_before_the_first_step_is_the_parts_that_it_takes():
    steps = "steps: [{name: cut, station: bench, manual: 20 s}, {name: join, station: bench, manual: 30 s}]\n"
    uncounted = accounts(ONE + steps)
    counted = accounts(ONE + steps + "stores: [{before: cut, counted: 10}]")
    assert piece(uncounted, "before cut") == 0.0
    assert piece(counted, "before cut") == pytest.approx(3 * 2)


def test_set_ups_are_shared_by_their_lot():
    found = accounts(
        ONE
        + "steps: [{name: cut, station: bench, manual: 20 s, set_up: {time: 5 min}, lot: 30}, {name: join, station: bench, manual: 30 s}]"
    )
    assert hands(found, "before join") == pytest.approx(20 + 300 / 30)


def test_putting_right_on_the_spot_is_in_the_piece():
    found = accounts(
        ONE
        + "steps: [{name: cut, station: bench, manual: 20 s, rework: {share: 10 %, time: 60 s}}, {name: join, station: bench, manual: 30 s}]"
    )
    assert hands(found, "before join") == pytest.approx(20 + 0.1 * 60)
    assert piece(found, "before join") == pytest.approx(6 + 26 * CENT_A_SECOND)
