"""What is owed: by customers who have not paid yet, to suppliers who have not been paid yet, and to customers who paid ahead."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.account.parts import PartFlow
from pullwright.account.rows import nothing, total
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.givens import Path
from pullwright.line import Line


def sales_a_day(flow: Flow) -> Figure:
    """What do customers pay for a working day's pieces (money/wd)?"""
    inputs = [
        figure
        for k, product in enumerate(flow.line.products)
        if product.price is not None
        for figure in (flow.rates.products[k], flow.givens.figure(("products", k, "price")))
    ]
    if not inputs:
        return nothing("sales a day", "money/wd", "no product has a price")
    return derive(
        "sales a day",
        lambda m, *v: m * sum(v[k] * v[k + 1] for k in range(0, len(v), 2)),
        flow.made,
        *inputs,
        unit="money/wd",
        formula="demand, as far as made, x price",
    )


def owed_to_us(flow: Flow, sales: Figure) -> Figure:
    """What do customers owe, at any time (money)? What they paid with the order they do not owe."""
    name = "tied up / owed to us by customers"
    money = flow.line.money
    if money is None or money.customers_pay_after is None:
        return nothing(name, "money", "when customers pay is not given (`money: customers_pay_after`)")
    days = flow.givens.span_days(("money", "customers_pay_after"))
    deposit = () if money.deposit is None else (flow.givens.figure(("money", "deposit")),)
    return derive(
        name,
        lambda s, d, *paid: s * d * (1 - sum(paid)),
        sales,
        days,
        *deposit,
        unit="money",
        formula="sales a day x working days until customers pay" + (" x (1 - deposit)" if deposit else ""),
    )


def paid_ahead(flow: Flow) -> Figure | None:
    """What have customers paid for what is not shipped yet (money, below 0)? None where nobody pays a deposit.

    An order is under way as long as the product is promised in; a product without a promise is taken from stock at once.
    """
    if flow.line.money is None or flow.line.money.deposit is None:
        return None
    name = "tied up / paid ahead by customers"
    inputs: list[Figure] = []
    for k, product in enumerate(flow.line.products):
        if product.price is not None and product.promise is not None:
            inputs += [
                flow.rates.products[k],
                flow.givens.figure(("products", k, "price")),
                flow.givens.span_days(("products", k, "promise")),
            ]
    if not inputs:
        return nothing(name, "money", "no product has both a price and a promise")
    return derive(
        name,
        lambda m, d, *v: -m * d * sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3)),
        flow.made,
        flow.givens.figure(("money", "deposit")),
        *inputs,
        unit="money",
        formula="- deposit x demand, as far as made, x price x working days from the order to the promised day",
    )


def owed_by_us(flow: Flow, parts: tuple[PartFlow, ...]) -> tuple[Figure, tuple[Figure, ...]]:
    """What is owed to suppliers, at any time (money, below 0), all of it and part by part?"""
    found = []
    for one in parts:
        days = _paid_after(flow, one.part)
        if days is not None:
            found.append(
                derive(
                    f"tied up / owed for {flow.line.parts[one.part].name}",
                    lambda n, p, d: -n * p * d,
                    one.bought,
                    flow.givens.figure(("parts", one.part, "price")),
                    days,
                    unit="money",
                    formula="- bought a day x price x working days until it is paid",
                )
            )
    name = "tied up / owed by us to suppliers"
    return total(name, found, "money", why_none="when suppliers are paid is not given"), tuple(found)


def paid_at_once(flow: Flow, parts: tuple[PartFlow, ...]) -> tuple[str, ...]:
    """Name the parts of which nobody said when they are paid: they count as paid at once."""
    return tuple(flow.line.parts[one.part].name for one in parts if _paid_after(flow, one.part) is None)


def _paid_after(flow: Flow, p: int) -> Figure | None:
    path = paid_after(flow.line, p)
    return None if path is None else flow.givens.span_days(path)


def paid_after(line: Line, p: int) -> Path | None:
    """Where does the line say how long after the delivery part `p` is paid? The term of its supplier, else that of the line; None: at once."""
    at = supplier_of(line, p)
    if at is not None and line.suppliers[at].paid_after is not None:
        return ("suppliers", at, "paid_after")
    if line.money is not None and line.money.suppliers_paid_after is not None:
        return ("money", "suppliers_paid_after")
    return None


def supplier_of(line: Line, p: int) -> int | None:
    """Who delivers part `p`, by index of the supplier? None where nothing is said."""
    return next((k for k, one in enumerate(line.suppliers) if one.name == line.parts[p].supplier), None)


def deliveries_a_day(flow: Flow, parts: tuple[PartFlow, ...]) -> tuple[Figure, ...]:
    """What do deliveries cost besides the goods (money/wd), part by part? Without a delivery lot one comes every working day."""
    return tuple(cost for one in parts if (cost := delivery_cost(flow, one)) is not None)


def delivery_cost(flow: Flow, one: PartFlow) -> Figure | None:
    """What do the deliveries of one part cost besides the goods (money/wd)? None where its supplier asks nothing for them."""
    part, at = flow.line.parts[one.part], supplier_of(flow.line, one.part)
    if at is None or flow.line.suppliers[at].per_delivery is None:
        return None
    lot = () if part.delivery_lot is None else (flow.givens.figure(("parts", one.part, "delivery_lot")),)
    return derive(
        f"deliveries a day / {part.name}",
        _deliveries,
        one.bought,
        flow.givens.figure(("suppliers", at, "per_delivery")),
        *lot,
        unit="money/wd",
        formula="bought a day / delivery lot x cost of one delivery" if lot else "cost of one delivery, one a day",
    )


def _deliveries(bought: Any, cost: Any, *lot: Any) -> Any:
    return np.where(bought > 0, (bought / np.maximum(lot[0], 1e-12) if lot else 1.0) * cost, 0.0)


def floor_rent(flow: Flow) -> Figure:
    """What does a square metre cost in a year? 0 where nothing is said."""
    if flow.line.money is None or flow.line.money.floor_rent is None:
        return nothing("floor rent", "money/m2/year", "no rent is given (`money: floor_rent`)")
    return flow.givens.figure(("money", "floor_rent"))


def carrying_rate(flow: Flow) -> Figure:
    """What does tied-up cash cost, as a share of it in a year? 0 where nothing is said."""
    if flow.line.money is None or flow.line.money.carrying_rate is None:
        return nothing("carrying rate", "1/year", "no carrying rate is given (`money: carrying_rate`)")
    return flow.givens.figure(("money", "carrying_rate"))
