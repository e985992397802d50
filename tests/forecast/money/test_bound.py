"""What is bound in the line day by day, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.account import accounts_of
from pullwright.forecast.money import Before, bound_of, cash_terms, piece_costs, statement_of
from pullwright.line import Line
from tests.forecast.money.books import MONDAY, accounts, book_of

PEOPLE = "{name: a, number: 1, wage: 18 EUR/h}"


def test_a_piece_has_cost_its_parts_and_its_hands():
    costs = piece_costs(accounts("cash: 0 EUR", people=PEOPLE))

    # A blank of 5 EUR, and 20 minutes of 18 EUR/h.
    assert costs.finished == pytest.approx(11.0)
    assert costs.working == pytest.approx(11.0)
    assert costs.parts.tolist() == [5.0]


def test_money_lies_in_parts_in_work_in_the_store_and_in_bills():
    line = accounts("cash: 0 EUR, customers_pay_after: 1 d, suppliers_paid_after: 2 d, deposit: 25 %", people=PEOPLE)
    terms = cash_terms(line)
    book = book_of(
        [4, 0, 6],
        ordered=[8, 4, 0],
        received=[20, 0, 0],
        part_stock=[12, 9, 1],
        lying=[[0, 2, 3], [0, 5, 1], [0, 0, 0]],
    )
    statement = statement_of(book, terms, start=MONDAY, before=Before.nothing(1, 1))

    bound = bound_of(book, piece_costs(line), statement, terms)

    assert bound.material[0].tolist() == [60.0, 45.0, 5.0]
    assert bound.work_in_process[0] == pytest.approx([33.0, 11.0, 0.0])
    assert bound.finished[0] == pytest.approx([22.0, 55.0, 0.0])
    assert bound.owed_to_us[0] == pytest.approx([60.0, 0.0, 90.0])
    assert bound.owed_by_us[0] == pytest.approx([-100.0, -100.0, 0.0])
    assert bound.paid_ahead[0] == pytest.approx([-20.0, -40.0, -10.0])
    assert bound.all[0] == pytest.approx([55.0, -29.0, 85.0])


def test_on_days_without_work_it_lies_as_on_the_last_working_day():
    line = accounts("cash: 0 EUR")
    terms = cash_terms(line)
    book = book_of([0] * 6, part_stock=[1, 2, 3, 4, 5, 6])
    statement = statement_of(book, terms, start=MONDAY, before=Before.nothing(1, 1))

    bound = bound_of(book, piece_costs(line), statement, terms)

    assert bound.material[0].tolist() == [5.0, 10.0, 15.0, 20.0, 25.0, 25.0, 25.0, 30.0]


CART = """
line: carts
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: cart, demand: 10 /d, uses: [{part: tube, quantity: 1, at: frame}, {part: disc, quantity: 1, at: wheel}]}]
parts: [{name: tube, price: 20 EUR}, {name: disc, price: 3 EUR}]
stations: [{name: a}, {name: b}, {name: c}]
steps:
  - {name: frame, station: a, machine: 60 s}
  - {name: wheel, station: b, machine: 60 s, after: []}
  - {name: join, station: c, machine: 120 s, after: [frame, {step: wheel, quantity: 4}]}
"""


def test_before_a_joint_the_cost_of_a_set_is_shared_by_its_pieces():
    costs = piece_costs(accounts_of(Line.from_text(CART)))

    # A tube and four discs are a set of five pieces.
    assert costs.before.tolist() == pytest.approx([0.0, 0.0, 32.0 / 5])
    assert costs.finished == pytest.approx(32.0)


def test_what_is_in_work_is_weighed_by_how_much_of_it_there_is():
    costs = piece_costs(accounts_of(Line.from_text(CART)))

    # In 60 s a frame of 20, in 4 x 60 s a wheel of 3, in 120 s a cart of 32.
    assert costs.working == pytest.approx(np.average([20.0, 3.0, 32.0], weights=[60, 240, 120]))


def test_a_queue_without_end_has_its_price_all_the_same():
    too_much = CART.replace("machine: 120 s", "machine: 1 h")

    assert piece_costs(accounts_of(Line.from_text(too_much))).before[2] == pytest.approx(32.0 / 5)
