"""Who is paid when, and what a delivery costs besides the goods."""

from __future__ import annotations

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line
from tests.account.bracket import bracket_text

DAYS = 365.2425 * 5 / 7


def bought(supplier: str, lot: str = "delivery_lot: 400, ", money: str = "suppliers_paid_after: 4 d, ") -> Accounts:
    text = bracket_text().replace("parts:\n", f"suppliers: [{{name: smithy, {supplier}}}]\nparts:\n")
    text = text.replace("delivery_lot: 400, ", f"supplier: smithy, {lot}").replace("suppliers_paid_after: 4 d, ", money)
    return accounts_of(Line.from_text(text))


def owed(accounts: Accounts) -> float:
    return accounts.tied_up.row("owed by us").amount.value


def deliveries(accounts: Accounts) -> float:
    return sum(figure.value for figure in accounts.ground.deliveries)


def test_a_supplier_with_a_term_of_its_own_is_paid_after_that():
    assert owed(bought("paid_after: 9 d")) == pytest.approx(-110 * 5 * 9)


def test_a_supplier_without_one_is_paid_after_the_term_of_the_line():
    assert owed(bought("per_delivery: 1 EUR")) == pytest.approx(-110 * 5 * 4)


def test_calendar_days_are_turned_into_working_days():
    assert owed(bought("paid_after: 14 cal d")) == pytest.approx(-110 * 5 * 10)


def test_where_nobody_says_when_it_is_paid_at_once_and_a_note_says_so():
    accounts = bought("per_delivery: 1 EUR", money="")
    assert owed(accounts) == 0.0
    assert "When blank is paid is not given: at once, it is assumed." in accounts.tied_up.notes


def test_each_delivery_costs_once_for_its_lot():
    assert deliveries(bought("per_delivery: 48 EUR")) == pytest.approx(110 / 400 * 48)


def test_without_a_lot_a_delivery_comes_every_working_day():
    accounts = bought("per_delivery: 48 EUR", lot="")
    assert deliveries(accounts) == pytest.approx(48)
    (cost,) = [figure for figure in accounts.year.whole.inputs if figure.name == "year / deliveries"]
    assert cost.value == pytest.approx(48 * DAYS)


def test_nothing_is_delivered_where_nothing_is_bought():
    text = bracket_text().replace("bought: 110 /d", "bought: 0 /d, supplier: smithy")
    text = text.replace("parts:\n", "suppliers: [{name: smithy, per_delivery: 48 EUR}]\nparts:\n").replace(
        "delivery_lot: 400, ", ""
    )
    assert deliveries(accounts_of(Line.from_text(text))) == 0.0


def test_customers_who_pay_at_once_owe_nothing_and_a_note_says_so():
    accounts = accounts_of(Line.from_text(bracket_text().replace("customers_pay_after: 10 d, ", "")))
    assert accounts.tied_up.row("owed to us").amount.value == 0.0
    assert "When customers pay is not given: they count as paying at once." in accounts.tied_up.notes


def test_without_a_price_nobody_owes_anything_and_a_note_says_so():
    accounts = accounts_of(Line.from_text(bracket_text().replace("    price: 20 EUR\n", "")))
    assert accounts.tied_up.row("owed to us").amount.value == 0.0
    assert "No product has a price: nothing is owed to us here." in accounts.tied_up.notes
