"""What a waste costs once it is everybody's: the present worth of an annuity, times those it is meant for."""

from __future__ import annotations

import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.line import Line
from pullwright.line.kinds import KINDS
from tests.account.bracket import bracket_text


def signed_off(standard: str = "", rate: str = "10 %/year") -> Accounts:
    text = bracket_text().replace("standard: {people: 3, years: 2}\n", f"standard: {standard}\n" if standard else "")
    assert "carrying_rate: 10 %/year" in text
    return accounts_of(Line.from_text(text.replace("carrying_rate: 10 %/year", f"carrying_rate: {rate}")))


@pytest.mark.parametrize(("years", "rate"), [(1, 0.10), (5, 0.16), (12, 0.03), (30, 0.25)])
def test_the_factor_is_the_sum_of_each_year_discounted(years, rate):
    factor = signed_off(f"{{years: {years}}}", f"{rate * 100:g} %/year").propagation.factor.value
    assert factor == pytest.approx(sum(1 / (1 + rate) ** year for year in range(1, years + 1)))


def test_without_a_rate_each_year_counts_whole():
    assert signed_off("{years: 7}", "0 %/year").propagation.factor.value == 7.0
    bare = bracket_text().replace("carrying_rate: 10 %/year, ", "").replace("years: 2", "years: 7")
    assert accounts_of(Line.from_text(bare)).propagation.factor.value == 7.0


def test_a_very_small_rate_is_next_to_none():
    assert signed_off("{years: 7}", "0.0001 %/year").propagation.factor.value == pytest.approx(7.0, rel=1e-5)


def test_people_it_is_meant_for_are_counted_against_the_people_here():
    assert signed_off("{people: 12, lines: 2}").propagation.multiple.value == 12.0


def test_people_of_every_shift_are_here():
    late = '    - {name: late, from: "17:00", to: "23:00"}\n'
    text = bracket_text().replace("products:\n", late + "products:\n", 1)
    both = accounts_of(Line.from_text(text))
    assert both.ground.staff.people.value == 2.0
    assert both.propagation.multiple.value == 1.5


def test_a_crew_is_here_in_its_own_shifts_only():
    late = '    - {name: late, from: "17:00", to: "23:00"}\n'
    text = (
        bracket_text()
        .replace("products:\n", late + "products:\n", 1)
        .replace("number: 1,", "number: 1, shifts: [day],")
    )
    assert accounts_of(Line.from_text(text)).ground.staff.people.value == 1.0


def test_without_people_lines_count():
    assert signed_off("{lines: 4}").propagation.multiple.value == 4.0


def test_without_a_standard_it_is_this_line_and_one_year_and_says_so():
    found = signed_off().propagation
    assert (found.multiple.value, found.years.value) == (1.0, 1.0)
    assert found.factor.value == pytest.approx(1 / 1.1)
    assert "(`standard`)" in found.note
    assert found.multiple.source is not None
    assert found.multiple.source.kind == "common practice"


def test_with_a_standard_nothing_has_to_be_said():
    assert signed_off("{lines: 4}").propagation.note == ""


def test_each_waste_costs_its_year_times_those_it_is_meant_for_times_the_factor():
    accounts = signed_off("{people: 3, years: 2}")
    found = accounts.propagation
    for row in found.rows:
        here = accounts.year.row(row.kind).amount
        assert row.here is here
        assert row.everywhere.value == pytest.approx(here.value * 3 * (1 / 1.1 + 1 / 1.1**2))
    assert found.total.value == pytest.approx(sum(row.everywhere.value for row in found.rows))
    assert found.tenth.value == pytest.approx(found.total.value / 10)


def test_only_wastes_are_propagated_each_once():
    rows = signed_off("{lines: 4}").propagation.rows
    assert [row.kind for row in rows] == [kind.key for kind in KINDS if kind.waste]


def test_a_waste_that_is_not_sure_is_not_sure_everywhere(demo):
    row = next(row for row in demo.propagation.rows if row.kind == "again")
    low, high = row.everywhere.interval()
    assert low < row.everywhere.value < high


def test_the_dearest_wastes_come_first(demo):
    amounts = [row.amount.value for row in demo.top_wastes()]
    assert amounts == sorted(amounts, reverse=True)
    assert {row.kind for row in demo.top_wastes()} == {kind.key for kind in KINDS if kind.waste}
