"""Every account adds up whatever the line, and what is left over is what two ways of looking do not agree on."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from pullwright.account import Account, accounts_of
from pullwright.figure import Figure
from pullwright.line import Line
from tests.account.accounted_lines import accounted_lines
from tests.strategies import lines

law = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def adds_up(parts: list[Figure], whole: Figure) -> bool:
    """Do they, for the value and for every draw, but for rounding?"""
    sizes = [abs(whole.value) + sum(abs(part.value) for part in parts)]
    sizes += [float(np.max(np.abs(figure.draws))) for figure in (whole, *parts)]
    most = 1e-9 * max(1.0, *sizes)
    by_draw = np.abs(sum(part.draws for part in parts) - whole.draws)
    return abs(sum(part.value for part in parts) - whole.value) <= most and bool(np.all(by_draw <= most))


def every_account(line: Line) -> tuple[Account, ...]:
    return accounts_of(line).all()


@law
@given(accounted_lines())
def test_every_account_adds_up_whatever_the_line(line):
    for account in every_account(line):
        assert adds_up([row.amount for row in account.rows], account.whole), account.title


@law
@given(lines(8))
def test_every_account_of_a_long_line_adds_up(line):
    for account in every_account(line):
        assert adds_up([row.amount for row in account.rows], account.whole), account.title


@law
@given(accounted_lines())
def test_the_parts_of_a_row_add_up_to_the_row(line):
    for account in every_account(line):
        for row in account.rows:
            assert not row.parts or adds_up(list(row.parts), row.amount), (account.title, row.words)


@law
@given(accounted_lines())
def test_only_what_is_not_explained_or_owed_may_be_below_zero(line):
    may = {"unexplained", "owed by us", "paid ahead", "drawn"}
    for account in every_account(line)[:-1]:
        for row in account.rows:
            assert row.key in may or row.amount.draws.min() >= -1e-9 * max(1.0, abs(account.whole.value)), (
                account.key,
                row.words,
            )


@law
@given(accounted_lines())
def test_attended_work_stands_once_in_the_hours(line):
    accounts = accounts_of(line)
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
@given(accounted_lines())
def test_a_year_is_what_is_paid_and_nothing_else(line):
    accounts = accounts_of(line)
    ground, year = accounts.ground, accounts.year
    days = accounts.flow.givens.working_days("year").value
    paid = accounts.hours.whole.value * ground.wage.value * days
    paid += accounts.floor.whole.value * ground.rent.value
    paid += accounts.material.whole.value * days
    paid += accounts.tied_up.whole.value * ground.carrying_rate.value
    paid += sum(figure.value for figure in ground.deliveries) * days
    paid += line.money.fixed_costs.value if line.money and line.money.fixed_costs else 0.0
    assert year.whole.value == pytest.approx(paid, rel=1e-9, abs=1e-6)


@law
@given(accounted_lines())
def test_a_year_leaves_unexplained_only_what_hours_floor_and_material_do(line):
    accounts = accounts_of(line)
    ground = accounts.ground
    days = accounts.flow.givens.working_days("year").value
    left = accounts.hours.unexplained.amount.value * ground.wage.value * days
    left += accounts.floor.unexplained.amount.value * ground.rent.value
    left += accounts.material.unexplained.amount.value * days
    size = 1.0 + sum(abs(row.amount.value) for row in accounts.year.rows)
    assert accounts.year.unexplained.amount.value == pytest.approx(left, abs=1e-9 * size)


@law
@given(accounted_lines())
def test_where_nobody_looked_nothing_contradicts_and_nothing_is_left_over(line):
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
@given(accounted_lines())
def test_people_who_are_assumed_are_never_short_of_hands(line):
    alone = line.model_copy(update={"people": (), "samples": ()})
    assert accounts_of(alone).hours.unexplained.amount.value >= 0.0


@law
@given(accounted_lines())
def test_every_figure_of_the_accounts_has_a_name_of_its_own(line):
    accounts = accounts_of(line)
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
@given(accounted_lines())
def test_waiting_is_never_made_of_less_than_nothing(line):
    for part in accounts_of(line).hours.row("waiting").parts:
        assert part.draws.min() >= -1e-6, part.name


@law
@given(accounted_lines())
def test_all_work_and_all_parts_go_into_what_is_shipped(line):
    """What has gone into a shipped piece, times what is shipped, is all attended work and all parts used: once, and nothing beside."""
    accounts = accounts_of(line)
    flow, contents = accounts.flow, accounts.ground.contents
    shipped = [stock for stock in flow.stocks if stock.kind == "after"]
    hands = sum(contents.hands(stock).value * stock.taken.value for stock in shipped)
    attended = sum(figure.value for figure in flow.people.attended.values()) * flow.made.value
    assert hands == pytest.approx(attended, rel=1e-9, abs=1e-9)
    for one in accounts.ground.parts:
        inside = sum(contents.parts(stock)[one.part].value * stock.taken.value for stock in shipped if one.part in contents.parts(stock))  # fmt: skip
        assert inside == pytest.approx(one.used.value, rel=1e-9, abs=1e-9)
    price = sum(contents.material(stock).value * stock.taken.value for stock in shipped)
    used = sum(one.used.value * line.parts[one.part].price.value for one in accounts.ground.parts)
    assert price == pytest.approx(used, rel=1e-9, abs=1e-9)
