"""Where the file says too little of money, nothing is made up."""

from __future__ import annotations

import pytest

from pullwright.forecast.money import CannotCount, cash_terms, lacking_for_cash
from pullwright.line import Line
from tests.forecast.money.books import accounts, line_text


def said(*args: str, **more: str) -> list[str]:
    return [one.field for one in lacking_for_cash(Line.from_text(line_text(*args, **more)))]


def test_without_money_or_a_price_it_says_both_at_once():
    with pytest.raises(CannotCount) as refused:
        cash_terms(accounts("", product="what: bent"))

    assert str(refused.value) == (
        "the line file has no money section: write `money: cash`, the cash in hand today; "
        "bracket has no price: write what a customer pays for one in `products: price`"
    )
    assert [one.field for one in refused.value.lacking] == ["money", "products: bracket: price"]


def test_terms_without_cash_in_hand_are_nothing_to_count_from():
    assert said("customers_pay_after: 10 d") == ["money: cash"]


def test_cash_and_prices_are_enough():
    assert said("cash: 0 EUR") == []


def test_what_may_be_left_out_is_said_in_notes():
    notes = cash_terms(accounts("cash: 1 EUR")).notes

    assert "No people are given: no wages are paid here." in notes
    assert "No rent is given: floor costs nothing here." in notes
    assert "No fixed costs are given: none are paid here." in notes


def test_people_without_wages_are_a_note_too():
    notes = cash_terms(accounts("cash: 1 EUR", people="{name: a, number: 1}")).notes

    assert "No wage is given: hours cost nothing here." in notes


def test_a_whole_file_has_no_notes():
    money = "cash: 1 EUR, customers_pay_after: 1 d, suppliers_paid_after: 1 d, floor_rent: 1 EUR/m2/month, fixed_costs: 1 EUR/month"

    assert cash_terms(accounts(money, people="{name: a, number: 1, wage: 20 EUR/h}")).notes == ()


def test_of_what_is_not_known_well_a_draw_can_be_taken_for_true():
    line = accounts("cash: {low: 100 EUR, likely: 200 EUR, high: 600 EUR}")

    assert cash_terms(line).cash == 200.0
    draws = {cash_terms(line, draw=k).cash for k in range(20)}
    assert len(draws) == 20
    assert 100 < min(draws) < max(draws) < 600
