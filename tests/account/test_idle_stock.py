"""Parts that no product takes lie there like any others: on the floor, in the cash, and out of place."""

from __future__ import annotations

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.account.findings import findings_of, sentence
from pullwright.line import Line
from tests.account.bracket import bracket_text


def with_plates(store: str = "counted: 40", part: str = "") -> Accounts:
    text = bracket_text().replace(
        "stations:\n",
        f"  - {{name: brass plate, price: 3 EUR, container: {{holds: 15, floor: 1 m2}}{part}}}\nstations:\n",
    )
    return accounts_of(Line.from_text(text.replace("stores:\n", f"stores:\n  - {{part: brass plate, {store}}}\n")))


@pytest.fixture(scope="module")
def bracket() -> Accounts:
    return accounts_of(Line.from_text(bracket_text()))


def test_they_take_floor_beyond_what_the_flow_needs(bracket):
    assert with_plates().floor.row("stock beyond").amount.value == bracket.floor.row("stock beyond").amount.value + 3
    assert with_plates().floor.unexplained.amount.value == pytest.approx(bracket.floor.unexplained.amount.value - 3)


def test_they_tie_up_cash_beyond_what_is_needed(bracket):
    more = (
        with_plates().tied_up.row("material beyond").amount.value - bracket.tied_up.row("material beyond").amount.value
    )
    assert more == pytest.approx(40 * 3)
    assert (
        with_plates().tied_up.row("material needed").amount.value == bracket.tied_up.row("material needed").amount.value
    )


def test_they_cost_floor_and_money_in_a_year(bracket):
    more = with_plates().year.row("ahead").amount.value - bracket.year.row("ahead").amount.value
    assert more == pytest.approx(3 * 120 + 0.10 * 40 * 3)


def test_a_store_that_nobody_counted_holds_nothing():
    assert with_plates("capacity: 9").tied_up.row("material beyond").amount.value == pytest.approx(1250)


def test_a_mass_that_nobody_needs_is_not_asked_for(bracket):
    assert with_plates().mass is not None
    assert with_plates(part=", bought: 2 /d").mass is None


def test_plates_that_are_bought_only_to_lie_there_are_grown_stock(bracket):
    found = with_plates("counted: 40, grows: 2 /d", ", bought: 2 /d")
    assert found.material.row("ahead").amount.value == pytest.approx(25 + 2 * 3)
    assert found.material.unexplained.amount.value == bracket.material.unexplained.amount.value


def test_they_are_out_of_place_but_no_customer_waits_for_them():
    line = with_plates()
    findings = findings_of(line)
    said = [one.sentence for one in findings]
    assert "40 pieces of brass plate lie in store; nobody takes any." in said
    assert "brass plate" not in sentence(line, findings)
