"""What a paid hour costs: the mean over the crews by what they are paid for, those without a wage at the mean of the others."""

from __future__ import annotations

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line

LINE = """
line: frames
calendar:
  shifts:
    - {name: early, from: "06:00", to: "14:00"}
    - {name: late, from: "14:00", to: "18:00"}
products: [{name: frame, demand: 90 /d}]
stations: [{name: saw}]
steps: [{name: cut, station: saw, manual: 20 s}]
people:
"""


def with_crews(*crews: str) -> Accounts:
    return accounts_of(Line.from_text(LINE + "".join(f"  - {{{crew}}}\n" for crew in crews)))


def a_year(accounts: Accounts) -> float:
    return next(figure.value for figure in accounts.year.whole.inputs if figure.name == "year / wages")


DAYS = 365.2425 * 5 / 7


def test_each_crew_weighs_as_much_as_it_is_paid_for():
    accounts = with_crews(
        "name: sawyers, number: 2, wage: 30 EUR/h, shifts: [early]", "name: helpers, number: 1, wage: 18 EUR/h"
    )
    assert accounts.ground.wage.value * 3600 == pytest.approx((2 * 8 * 30 + 12 * 18) / (2 * 8 + 12))
    assert a_year(accounts) == pytest.approx((2 * 8 * 30 + 12 * 18) * DAYS)
    assert not [note for note in accounts.year.notes if "wage" in note]


def test_a_crew_without_a_wage_costs_what_the_others_do_and_is_named():
    accounts = with_crews("name: sawyers, number: 2, wage: 30 EUR/h", "name: helpers, number: 1")
    assert a_year(accounts) == pytest.approx(3 * 12 * 30 * DAYS)
    assert "No wage is given for helpers: their hours count at the mean of the others." in accounts.year.notes


def test_where_no_wage_is_given_hours_cost_nothing_and_a_note_says_so():
    accounts = with_crews("name: helpers, number: 1")
    assert a_year(accounts) == 0.0
    assert "No wage is given: hours cost nothing here." in accounts.year.notes
