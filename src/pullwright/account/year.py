"""Where a year's money goes: wages, floor, material, deliveries, fixed costs and the cost of tied-up cash, each coin in one row."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pullwright.account.ground import Ground
from pullwright.account.rows import Account, Entry, close, total
from pullwright.account.wages import wage_notes
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.line.kinds import BY_KEY, KindKey

_UNIT = "money/year"
Costs = dict[KindKey, list[Figure]]


def year_account(ground: Ground, hours: Account, floor: Account, material: Account) -> Account:
    """Where does a year's money go?

    Every row takes the hours, square metres, material and tied-up cash of its own kind; as each of those accounts is closed, so is this
    one: what is not explained here is what is not explained there, in money.
    """
    flow = ground.flow
    days, wage, rent = flow.givens.working_days("year"), ground.wage, ground.rent
    costs: Costs = {kind: [] for kind in BY_KEY}
    priced: tuple[tuple[str, Account, str, Callable[..., Any], tuple[Figure, ...]], ...] = (
        ("wages", hours, "hours a day x average wage x working days per year", lambda h, w, d: h * w * d, (wage, days)),
        ("floor", floor, "floor x rent", lambda a, r: a * r, (rent,)),
        ("material", material, "material a day x working days per year", lambda m, d: m * d, (days,)),
    )
    wholes = []
    for words, account, formula, price, prices in priced:
        for row in account.rows:
            costs[row.kind].append(
                derive(f"year / {words} / {row.words}", price, row.amount, *prices, unit=_UNIT, formula=formula)
            )
        wholes.append(derive(f"year / {words}", price, account.whole, *prices, unit=_UNIT, formula=formula))
    wholes += [_carrying(ground, costs), *_deliveries(ground, days, costs), *_fixed(flow, costs)]
    rows: list[Entry] = [
        (
            key,
            kind.words,
            key,
            total(f"year / {kind.words}", costs[key], _UNIT, why_none="nothing of this kind costs money here"),
            tuple(costs[key]),
        )
        for key, kind in BY_KEY.items()
        if key != "unexplained"
    ]
    whole = total(
        "year / all", wholes, _UNIT, "wages + floor + material + cost of tied-up cash, and what is paid besides"
    )
    return close("year", "A year's money", whole, rows, notes=_notes(flow), unexplained=tuple(costs["unexplained"]))


def _carrying(ground: Ground, costs: Costs) -> Figure:
    """What the tied-up cash costs: stock needed, stock beyond, and what is owed both ways."""
    rate = ground.carrying_rate
    owing, _ = ground.owing
    ahead = () if ground.paid_ahead is None else (ground.paid_ahead,)
    needed = tuple(one.needed for one in ground.held)
    beyond = tuple(one.beyond for one in ground.held)

    def cost(words: str, formula: str, *money: Figure) -> Figure:
        return derive(f"year / carrying{words}", lambda r, *v: r * sum(v), rate, *money, unit=_UNIT, formula=formula)

    if ground.held:
        costs["needed"].append(cost(" / stock needed", "carrying rate x money in the stock that is needed", *needed))
        costs["ahead"].append(cost(" / stock beyond", "carrying rate x money in the stock beyond that", *beyond))
    costs["needed"].append(
        cost(" / owed to us, less owed by us", "carrying rate x (owed to us - owed by us)", ground.owed, owing, *ahead)
    )
    return cost("", "carrying rate x cash tied up", *needed, *beyond, ground.owed, owing, *ahead)


def _deliveries(ground: Ground, days: Figure, costs: Costs) -> tuple[Figure, ...]:
    if not ground.deliveries:
        return ()
    found = derive(
        "year / deliveries",
        lambda n, *v: n * sum(v),
        days,
        *ground.deliveries,
        unit=_UNIT,
        formula="cost of a day's deliveries x working days per year",
    )
    costs["needed"].append(found)
    return (found,)


def _fixed(flow: Flow, costs: Costs) -> tuple[Figure, ...]:
    if flow.line.money is None or flow.line.money.fixed_costs is None:
        return ()
    found = flow.givens.figure(("money", "fixed_costs"))
    costs["needed"].append(found)
    return (found,)


def _notes(flow: Flow) -> tuple[str, ...]:
    money = flow.line.money
    said = (
        (money is None or money.floor_rent is None, "No rent is given: floor costs nothing here."),
        (money is None or money.carrying_rate is None, "No carrying rate is given: tied-up cash costs nothing here."),
    )
    return (*wage_notes(flow), *(words for lacks, words in said if lacks))
