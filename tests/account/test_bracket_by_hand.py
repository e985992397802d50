"""One station, one step, one person, one part: every row of every account against paper and pencil. The line is on docs/accounts.md."""

from __future__ import annotations

import pytest

from pullwright.account import Account, Accounts, accounts_of
from pullwright.line import Line
from tests.account.bracket import bracket_text

DAYS = 365.2425 * 5 / 7
WAGE = 18 / 3600
RENT = 10 * 12
RATE = 0.10


@pytest.fixture(scope="module")
def bracket() -> Accounts:
    return accounts_of(Line.from_text(bracket_text()))


def amounts(account: Account) -> dict[str, float]:
    return {row.key: row.amount.value for row in account.rows}


def test_hours(bracket):
    started, good, on_a_piece = 100, 80, 30 + 60 + 0.5 * 40 + 10 + 20
    set_ups, pauses = 2 * 600, 600 + 600
    trips = 5 * (2 * 10 / 1 + 20) + 10 * (2 * 15 / 1) + (300 / 400) * 100 * 2 / 25 * (2 * 11 / 1.1 + 10)
    hands_in_one = (started * on_a_piece + set_ups) / good
    assert bracket.hours.whole.value == 8 * 3600
    rows = {
        "value": good * 60,
        "needed": good * 30 + set_ups + pauses,
        "moving": trips,
        "motion": good * 20,
        "extra": good * 10,
        "again": (started - good) * on_a_piece,
        "ahead": 4 * hands_in_one,
        "unexplained": 0.0,
    }
    rows["waiting"] = 8 * 3600 - sum(rows.values())
    assert amounts(bracket.hours) == pytest.approx(rows)


def test_waiting_at_the_steps_for_repair_and_for_work(bracket):
    at_steps, repair, work = (part.value for part in bracket.hours.row("waiting").parts)
    assert at_steps == pytest.approx(80 * 0.5 * 40)
    assert repair == pytest.approx(100 * 140 * (1 / 0.9 - 1))
    assert work == pytest.approx(28800 - 4800 - 4800 - 680 - 1600 - 800 - 2800 - 760 - at_steps - repair)


def test_floor(bracket):
    assert bracket.floor.whole.value == 50
    assert amounts(bracket.floor) == pytest.approx(
        {"stations": 12, "places": 3, "ways": 8, "stock needed": 1.5 + 1.2, "stock beyond": 3 * 1.5 - 1.5, "red-tagged": 2, "unexplained": 19.3}
    )  # fmt: skip


def test_material_in_money_and_in_kilograms(bracket):
    pieces = {"value": 80, "again": 20, "ahead": 4 * 1.25, "unexplained": 110 - 100 - 5}
    assert bracket.material.whole.value == pytest.approx(110 * 5)
    assert amounts(bracket.material) == pytest.approx({key: 5 * number for key, number in pieces.items()})
    assert bracket.mass is not None
    assert amounts(bracket.mass) == pytest.approx({key: 2 * number for key, number in pieces.items()})


def test_cash_tied_up(bracket):
    bracket_costs = 1.25 * 5 + 190 * WAGE
    assert bracket_costs == pytest.approx(7.20)
    assert amounts(bracket.tied_up) == pytest.approx(
        {
            "material needed": 50 * 5, "material beyond": 250 * 5, "work in process needed": 0, "work in process beyond": 0,
            "finished goods needed": 4 * bracket_costs, "finished goods beyond": 116 * bracket_costs,
            "owed to us": 80 * 20 * 10, "owed by us": -110 * 5 * 4, "unexplained": 0,
        }
    )  # fmt: skip
    assert bracket.tied_up.whole.value == pytest.approx(300 * 5 + 120 * 7.20 + 16000 - 2200)
    assert {row.key: row.kind for row in bracket.tied_up.rows if row.kind != "needed"} == {
        "material beyond": "ahead", "work in process beyond": "ahead", "finished goods beyond": "ahead", "unexplained": "unexplained",
    }  # fmt: skip


def test_a_year(bracket):
    by_hours = {key: number * WAGE * DAYS for key, number in amounts(bracket.hours).items()}
    expected = {
        "value": by_hours["value"] + 12 * RENT + 400 * DAYS,
        "needed": by_hours["needed"] + (8 + 3 + 2.7) * RENT + RATE * (250 + 4 * 7.2 + 16000 - 2200),
        "waiting": by_hours["waiting"],
        "moving": by_hours["moving"],
        "motion": by_hours["motion"],
        "extra": by_hours["extra"] + 2 * RENT,
        "again": by_hours["again"] + 100 * DAYS,
        "ahead": by_hours["ahead"] + 3 * RENT + 25 * DAYS + RATE * (1250 + 116 * 7.2),
        "unexplained": 19.3 * RENT + 25 * DAYS,
    }
    assert amounts(bracket.year) == pytest.approx(expected)
    assert bracket.year.whole.value == pytest.approx(8 * 18 * DAYS + 50 * RENT + 550 * DAYS + RATE * 16164)


def test_a_deposit_deliveries_and_fixed_costs_come_to_a_year(bracket):
    text = bracket_text().replace("carrying_rate:", "deposit: 25 %, fixed_costs: 3000 EUR/year, carrying_rate:")
    text = text.replace("price: 20 EUR\n", "price: 20 EUR\n    promise: 6 d\n")
    text = text.replace("parts:\n", "suppliers: [{name: smithy, per_delivery: 48 EUR}]\nparts:\n").replace("delivery_lot: 400", "supplier: smithy, delivery_lot: 400")  # fmt: skip
    more = accounts_of(Line.from_text(text))
    assert more.tied_up.row("owed to us").amount.value == pytest.approx(16000 * 0.75)
    assert more.tied_up.row("paid ahead").amount.value == pytest.approx(-0.25 * 1600 * 6)
    cash = bracket.tied_up.whole.value - 0.25 * 16000 - 0.25 * 1600 * 6
    assert more.tied_up.whole.value == pytest.approx(cash)
    assert more.year.whole.value - bracket.year.whole.value == pytest.approx(
        3000 + 110 / 400 * 48 * DAYS - RATE * (0.25 * 16000 + 0.25 * 1600 * 6)
    )
    assert more.year.unexplained.amount.value == pytest.approx(bracket.year.unexplained.amount.value)


def test_each_row_of_the_floor_and_cash_has_the_kind_that_it_costs_in_a_year(bracket):
    year = {row.key: row.parts for row in bracket.year.rows}
    for account in (bracket.hours, bracket.floor, bracket.material):
        for row in account.rows:
            assert any(row.amount in part.inputs for part in year[row.kind]), (account.key, row.words)


def test_an_unknown_row_is_refused_by_name(bracket):
    with pytest.raises(KeyError, match="no row 'searching'; it has value, needed"):
        bracket.hours.row("searching")
