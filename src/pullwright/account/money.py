"""The money account: the cash that is tied up in stock and in bills, and where a year's money goes."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.account.material import part_flows
from pullwright.account.rows import Account, close, nothing, total
from pullwright.account.worth import HeldMoney, average_wage, held_money, sales_a_day, sum_money
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.line.kinds import BY_KEY, KindKey

Entry = tuple[str, str, KindKey, Figure, tuple[Figure, ...]]


def tied_up_account(flow: Flow) -> Account:
    """Where is the cash that the line ties up, and what of it does the flow need?

    Material, work in process and finished goods at what they have cost, each split into needed and beyond; what customers owe; less what is
    owed to suppliers.
    """
    held = held_money(flow)
    groups = {"part": "material", "before": "work in process", "after": "finished goods"}
    rows: list[Entry] = []
    for kind, words in groups.items():
        own = [one for one in held if one.stock.kind == kind]
        for share, tail, hatch in (("needed", "needed", "needed"), ("beyond", "beyond what is needed", "ahead")):
            parts = [getattr(one, share) for one in own]
            name = f"tied up / {words}, {tail}"
            key: KindKey = hatch  # type: ignore[assignment]
            rows.append(
                (
                    f"{words} {share}",
                    f"{words}, {tail}",
                    key,
                    sum_money(name, parts, f"no {words} is held"),
                    tuple(parts),
                )
            )
    owed = _owed_to_us(flow)
    owing = _owed_by_us(flow)
    rows.append(("owed to us", "owed to us by customers", "waiting", owed, ()))
    rows.append(("owed by us", "owed by us to suppliers", "value", owing, ()))
    whole = total("tied up / all", [amount for *_, amount, _ in rows], "money")
    missing = tuple(
        said
        for lacks, said in (
            (
                not any(product.price for product in flow.line.products),
                "No product has a price: nothing is owed to us here.",
            ),
            (
                flow.line.money is None or flow.line.money.customers_pay_after is None,
                "When customers pay is not given: they count as paying at once.",
            ),
            (
                any(not np.isfinite(stock.held.value) for stock in flow.stocks),
                "A queue grows without end: its money is left out.",
            ),
        )
        if lacks
    )
    return close("tied up", "Cash tied up", whole, rows, notes=missing)


def _owed_to_us(flow: Flow) -> Figure:
    money = flow.line.money
    if money is None or money.customers_pay_after is None:
        return nothing(
            "tied up / owed to us by customers",
            "money",
            "when customers pay is not given (`money: customers_pay_after`)",
        )
    days = flow.givens.span_days(("money", "customers_pay_after"))
    return derive(
        "tied up / owed to us by customers",
        lambda s, d: s * d,
        sales_a_day(flow),
        days,
        unit="money",
        formula="sales a day x working days until customers pay",
    )


def _owed_by_us(flow: Flow) -> Figure:
    line, givens = flow.line, flow.givens
    supplier = {one.name: k for k, one in enumerate(line.suppliers)}
    parts = []
    for one in part_flows(flow):
        part = line.parts[one.part]
        terms = None
        if part.supplier is not None and line.suppliers[supplier[part.supplier]].paid_after is not None:
            terms = givens.span_days(("suppliers", supplier[part.supplier], "paid_after"))
        elif line.money is not None and line.money.suppliers_paid_after is not None:
            terms = givens.span_days(("money", "suppliers_paid_after"))
        if terms is not None:
            price = givens.figure(("parts", one.part, "price"))
            parts.append(
                derive(
                    f"tied up / owed for {part.name}",
                    lambda n, p, d: -n * p * d,
                    one.bought,
                    price,
                    terms,
                    unit="money",
                    formula="- bought a day x price x working days until it is paid",
                )
            )
    return sum_money("tied up / owed by us to suppliers", parts, "when suppliers are paid is not given")


def year_account(flow: Flow, hours: Account, floor: Account, material: Account) -> Account:
    """Where does a year's money go? Wages, floor, material and the cost of tied-up cash, each coin in one row.

    Every row takes the hours, square metres, material and tied-up cash of its own kind; as each of those accounts is closed, so is this one.
    """
    days = flow.givens.working_days("year")
    wage = average_wage(flow)
    rent = _rent(flow)
    held = held_money(flow)
    carrying = _carrying(flow)
    by_kind: dict[KindKey, list[Figure]] = {kind: [] for kind in BY_KEY}
    for row in hours.rows:
        by_kind[row.kind].append(
            derive(
                f"year / wages / {row.words}",
                lambda h, w, d: h * w * d,
                row.amount,
                wage,
                days,
                unit="money/year",
                formula="hours a day x average wage x working days per year",
            )
        )
    for row in floor.rows:
        kind = FLOOR_KIND[row.key]
        by_kind[kind].append(
            derive(
                f"year / floor / {row.words}",
                lambda a, r: a * r,
                row.amount,
                rent,
                unit="money/year",
                formula="floor x rent",
            )
        )
    for row in material.rows:
        by_kind[row.kind].append(
            derive(
                f"year / material / {row.words}",
                lambda m, d: m * d,
                row.amount,
                days,
                unit="money/year",
                formula="material a day x working days per year",
            )
        )
    for share, kind in (("needed", "needed"), ("beyond", "ahead")):
        key: KindKey = kind
        parts = [getattr(one, share) for one in held]
        if parts:
            by_kind[key].append(
                derive(
                    f"year / carrying / stock {share}",
                    lambda r, *v: r * sum(v),
                    carrying,
                    *parts,
                    unit="money/year",
                    formula="carrying rate x money in stock",
                )
            )
    by_kind["needed"].append(
        derive(
            "year / carrying / owed to us, less owed by us",
            lambda r, a, b: r * (a + b),
            carrying,
            _owed_to_us(flow),
            _owed_by_us(flow),
            unit="money/year",
            formula="carrying rate x (owed to us - owed by us)",
        )
    )
    rows: list[Entry] = []
    for key, kind_row in BY_KEY.items():
        if key != "unexplained":
            rows.append(
                (
                    key,
                    kind_row.words,
                    key,
                    total(
                        f"year / {kind_row.words}",
                        by_kind[key],
                        "money/year",
                        why_none="nothing of this kind costs money here",
                    ),
                    tuple(by_kind[key]),
                )
            )
    whole = total(
        "year / all",
        [
            _wages(hours, wage, days),
            _all_floor(floor, rent),
            _all_material(material, days),
            _all_carrying(flow, held, carrying),
        ],
        "money/year",
        "wages + floor + material + cost of tied-up cash",
    )
    notes = tuple(
        said
        for lacks, said in (
            (not any(crew.wage for crew in flow.line.people), "No wage is given: hours cost nothing here."),
            (
                flow.line.money is None or flow.line.money.floor_rent is None,
                "No rent is given: floor costs nothing here.",
            ),
            (
                flow.line.money is None or flow.line.money.carrying_rate is None,
                "No carrying rate is given: tied-up cash costs nothing here.",
            ),
        )
        if lacks
    )
    return close("year", "A year's money", whole, rows, notes=notes)


FLOOR_KIND: dict[str, KindKey] = {
    "stations": "value",
    "places": "needed",
    "ways": "needed",
    "stock needed": "needed",
    "stock beyond": "ahead",
    "red-tagged": "extra",
    "unexplained": "unexplained",
}
"""Which kind of cost each row of the floor account is."""


def _wages(hours: Account, wage: Figure, days: Figure) -> Figure:
    return derive(
        "year / wages",
        lambda h, w, d: h * w * d,
        hours.whole,
        wage,
        days,
        unit="money/year",
        formula="paid hours a day x average wage x working days per year",
    )


def _all_floor(floor: Account, rent: Figure) -> Figure:
    return derive("year / floor", lambda a, r: a * r, floor.whole, rent, unit="money/year", formula="floor x rent")


def _all_material(material: Account, days: Figure) -> Figure:
    return derive(
        "year / material",
        lambda m, d: m * d,
        material.whole,
        days,
        unit="money/year",
        formula="material bought a day x working days per year",
    )


def _all_carrying(flow: Flow, held: tuple[HeldMoney, ...], carrying: Figure) -> Figure:
    parts = [figure for one in held for figure in (one.needed, one.beyond)]

    def cost(rate: Any, *v: Any) -> Any:
        return rate * sum(v)

    return derive(
        "year / carrying",
        cost,
        carrying,
        _owed_to_us(flow),
        _owed_by_us(flow),
        *parts,
        unit="money/year",
        formula="carrying rate x cash tied up",
    )


def _rent(flow: Flow) -> Figure:
    if flow.line.money is None or flow.line.money.floor_rent is None:
        return nothing("floor rent", "money/m2/year", "no rent is given (`money: floor_rent`)")
    return flow.givens.figure(("money", "floor_rent"))


def _carrying(flow: Flow) -> Figure:
    if flow.line.money is None or flow.line.money.carrying_rate is None:
        return nothing("carrying rate", "1/year", "no carrying rate is given (`money: carrying_rate`)")
    return flow.givens.figure(("money", "carrying_rate"))
