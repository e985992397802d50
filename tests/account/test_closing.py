"""Every account adds up whatever the line, and what is left over is what two ways of looking do not agree on."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from pullwright.account import Accounts, accounts_of
from pullwright.figure import Figure
from tests.account.accounted_lines import accounted_lines
from tests.strategies import lines

Law = Callable[[Accounts], None]
LAWS: list[Law] = []
many = [HealthCheck.too_slow, HealthCheck.data_too_large]


def law(holds: Law) -> Law:
    """One of the laws that are tried on every line."""
    LAWS.append(holds)
    return holds


def adds_up(parts: list[Figure], whole: Figure) -> bool:
    """Do they, for the value and for every draw, but for rounding?"""
    sizes = [abs(whole.value) + sum(abs(part.value) for part in parts)]
    sizes += [float(np.max(np.abs(figure.draws))) for figure in (whole, *parts)]
    most = 1e-9 * max(1.0, *sizes)
    by_draw = np.abs(sum(part.draws for part in parts) - whole.draws)
    return abs(sum(part.value for part in parts) - whole.value) <= most and bool(np.all(by_draw <= most))


@law
def every_account_adds_up(accounts: Accounts) -> None:
    for account in accounts.all():
        assert adds_up([row.amount for row in account.rows], account.whole), account.title


@settings(max_examples=40, deadline=None, suppress_health_check=many)
@given(lines(8))
def test_every_account_of_a_long_line_adds_up(line):
    every_account_adds_up(accounts_of(line))


@law
def the_parts_of_a_row_add_up_to_the_row(accounts: Accounts) -> None:
    for account in accounts.all():
        for row in account.rows:
            assert not row.parts or adds_up(list(row.parts), row.amount), (account.title, row.words)


@law
def only_what_is_not_explained_or_owed_may_be_below_zero(accounts: Accounts) -> None:
    may = {"unexplained", "owed by us", "paid ahead", "drawn"}
    for account in accounts.all()[:-1]:
        for row in account.rows:
            assert row.key in may or row.amount.draws.min() >= -1e-9 * max(1.0, abs(account.whole.value)), (
                account.key,
                row.words,
            )


@law
def attended_work_stands_once_in_the_hours(accounts: Accounts) -> None:
    flow, ground = accounts.flow, accounts.ground
    found = [part for row in accounts.hours.rows if row.key not in ("waiting", "unexplained") for part in row.parts]
    at_steps = [
        figure
        for figure in found
        if all(figure is not other for other in (ground.staff.pauses, *ground.carrying, *ground.made_ahead))
    ]
    waited = [kinds["waiting"].value * flow.made.value for kinds in flow.people.by_step.values() if "waiting" in kinds]
    attended = sum(figure.value for figure in flow.people.attended.values()) * flow.made.value
    assert sum(figure.value for figure in at_steps) + sum(waited) == pytest.approx(attended, rel=1e-9, abs=1e-9)


@law
def a_year_is_what_is_paid_and_nothing_else(accounts: Accounts) -> None:
    ground, year = accounts.ground, accounts.year
    days = accounts.flow.givens.working_days("year").value
    paid = accounts.hours.whole.value * ground.wage.value * days
    paid += accounts.floor.whole.value * ground.rent.value
    paid += accounts.material.whole.value * days
    paid += accounts.tied_up.whole.value * ground.carrying_rate.value
    paid += sum(figure.value for figure in ground.deliveries) * days
    money = accounts.flow.line.money
    paid += money.fixed_costs.value if money and money.fixed_costs else 0.0
    assert year.whole.value == pytest.approx(paid, rel=1e-9, abs=1e-6)


@law
def a_year_leaves_unexplained_only_what_hours_floor_and_material_do(accounts: Accounts) -> None:
    ground = accounts.ground
    days = accounts.flow.givens.working_days("year").value
    left = accounts.hours.unexplained.amount.value * ground.wage.value * days
    left += accounts.floor.unexplained.amount.value * ground.rent.value
    left += accounts.material.unexplained.amount.value * days
    size = 1.0 + sum(abs(row.amount.value) for row in accounts.year.rows)
    assert accounts.year.unexplained.amount.value == pytest.approx(left, abs=1e-9 * size)


@law
def where_nobody_looked_nothing_contradicts_and_nothing_is_left_over(accounts: Accounts) -> None:
    line = accounts.flow.line
    bare = line.model_copy(
        update={
            "samples": (),
            "floor": None,
            "parts": tuple(part.model_copy(update={"bought": None}) for part in line.parts),
        }
    )
    accounts = accounts_of(bare)
    paid, idle = accounts.hours.whole, accounts.hours.row("waiting").amount.find("hours / paid time without work")
    assert accounts.hours.unexplained.amount.value == pytest.approx(min(idle.value, 0.0), abs=1e-9 * paid.value)
    assert accounts.floor.unexplained.amount.value == 0.0
    drawn_dry = any(one.drawn.value > one.used.value + one.piled.value for one in accounts.ground.parts)
    assert drawn_dry or accounts.material.unexplained.amount.value == pytest.approx(0.0, abs=1e-9)
    assert accounts.tied_up.unexplained.amount.value == 0.0


@law
def people_who_are_assumed_are_never_short_of_hands(accounts: Accounts) -> None:
    alone = accounts.flow.line.model_copy(update={"people": (), "samples": ()})
    assert accounts_of(alone).hours.unexplained.amount.value >= 0.0


@law
def every_figure_of_the_accounts_has_a_name_of_its_own(accounts: Accounts) -> None:
    waiting = [
        figure for account in accounts.all() for row in account.rows for figure in (row.amount, row.share, *row.parts)
    ]
    waiting += accounts.figures().values()
    named: dict[str, Figure] = {}
    met: set[Figure] = set()
    while waiting:
        figure = waiting.pop()
        if figure not in met:
            met.add(figure)
            assert named.setdefault(figure.name, figure) is figure, figure.name
            waiting.extend(figure.inputs)


def test_the_demo_line_closes(demo):
    for account in demo.all():
        assert adds_up([row.amount for row in account.rows], account.whole), account.title


def test_what_is_only_rounding_is_nothing(demo):
    assert demo.tied_up.unexplained.amount.value == 0.0
    assert demo.tied_up.unexplained.amount.certain or not demo.tied_up.unexplained.amount.draws.any()


@law
def waiting_is_never_made_of_less_than_nothing(accounts: Accounts) -> None:
    for part in accounts.hours.row("waiting").parts:
        assert part.draws.min() >= -1e-6, part.name


@law
def all_work_and_all_parts_go_into_what_is_shipped(accounts: Accounts) -> None:
    """What has gone into a shipped piece, times what is shipped, is all attended work and all parts used: once, and nothing beside."""
    flow, contents = accounts.flow, accounts.ground.contents
    shipped = [stock for stock in flow.stocks if stock.kind == "after"]
    hands = sum(contents.hands(stock).value * stock.taken.value for stock in shipped)
    attended = sum(figure.value for figure in flow.people.attended.values()) * flow.made.value
    assert hands == pytest.approx(attended, rel=1e-9, abs=1e-9)
    for one in accounts.ground.parts:
        inside = sum(contents.parts(stock)[one.part].value * stock.taken.value for stock in shipped if one.part in contents.parts(stock))  # fmt: skip
        assert inside == pytest.approx(one.used.value, rel=1e-9, abs=1e-9)
    price = sum(contents.material(stock).value * stock.taken.value for stock in shipped)
    used = sum(one.used.value * flow.line.parts[one.part].price.value for one in accounts.ground.parts)
    assert price == pytest.approx(used, rel=1e-9, abs=1e-9)


@settings(max_examples=60, deadline=None, suppress_health_check=many)
@given(accounted_lines())
def test_every_law_holds_whatever_the_line(line):
    """To work out a line takes longer than to try the laws: each is tried on every line that is made."""
    accounts = accounts_of(line)
    for holds in LAWS:
        holds(accounts)


def test_no_law_is_left_out():
    assert len(LAWS) == 11
