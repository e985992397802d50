"""Bought parts: which pieces take them, and when the next delivery is ordered."""

from __future__ import annotations

import math

import numpy as np

from pullwright.figure import Figure, given
from pullwright.flow.stock_needed import order_point, part_used
from pullwright.forecast.errors import CannotRun
from pullwright.forecast.laying.source import Source
from pullwright.forecast.luck.shapes import shape_of
from pullwright.forecast.plant import NEVER


def parts(of: Source) -> dict[str, np.ndarray]:
    """The parts, their order points and stocks, and the pieces that take them.

    A part with neither a delivery lot nor a lead time nor an order point is there whenever it is needed. Where only a lot is missing, as many
    as were used come at a time. Where nobody counted, there is the order point and half a lot.
    """
    index = {part.name: q for q, part in enumerate(of.line.parts)}
    stores = {store.part: s for s, store in enumerate(of.line.stores) if store.part is not None}
    rows: list[tuple[float, float, int, float]] = []
    for q, part in enumerate(of.line.parts):
        lot = order_at = 0.0
        lead = NEVER
        if any(one is not None for one in (part.delivery_lot, part.lead_time, part.order_at)):
            lot = 1.0 if part.delivery_lot is None else of.value(("parts", q, "delivery_lot"))
            order_at = _order_at(of, q)
            lead = _lead(of, q)
        counted = of.counted_or_none(stores[part.name]) if part.name in stores else None
        stock = order_at + math.floor(lot / 2) if counted is None else counted
        rows.append((lot, order_at, lead, stock if lot > 0 else counted or 0.0))
    uses = [
        (p, of.step_index[use.at], index[use.part], of.value(("products", p, "uses", u, "quantity")))
        for p, product in enumerate(of.line.products)
        for u, use in enumerate(product.uses)
        if of.step_index[use.at] in of.through[p]
    ]
    table = np.array(rows, float).reshape(-1, 4)
    return {
        "part_lot": table[:, 0],
        "part_order_at": table[:, 1],
        "part_lead": table[:, 2].astype(np.int64),
        "part_stock": table[:, 3],
        "use": np.array([use[:3] for use in uses], np.int64).reshape(-1, 3),
        "use_quantity": np.array([use[3] for use in uses], float),
    }


def _order_at(of: Source, q: int) -> float:
    part, givens = of.line.parts[q], of.givens
    if part.order_at is not None:
        return of.value(("parts", q, "order_at"))

    def reached() -> Figure:
        rates = of.rates
        everything = given("share of the demand that is made", 1.0, "share", givens.source(("products",)))
        used = part_used(givens, rates, q, everything)
        if used is None:
            return given(f"order point / part {part.name}", 0.0, "pieces", givens.source(("parts", q)))
        return order_point(givens, rates, q, used[0], everything)

    return float(math.ceil(of.taken(givens.once(("order point of a run", q), reached)) - 1e-9))


def _lead(of: Source, q: int) -> int:
    """The stream of the lead time of a part (s of working time); NEVER where it comes at once."""
    lead = of.line.parts[q].lead_time
    if lead is None:
        return NEVER
    days = of.taken(of.givens.span_days(("parts", q, "lead_time")))
    cv = 0.0 if lead.cv is None else of.taken(of.givens.figure(("parts", q, "lead_time", "cv"), lead.cv))
    family = lead.distribution or ("constant" if cv == 0 else "lognormal")
    try:
        shape = shape_of(family, days * of.taken(of.givens.day_seconds()), cv, lead.readings)
    except ValueError as error:
        raise CannotRun(f"{of.givens.name(('parts', q, 'lead_time'))}: {error}") from error
    return of.stream(shape, "delivery", of.line.parts[q].name)
