"""The cash that the line ties up: in material, in work, in finished goods, in bills that are not paid yet."""

from __future__ import annotations

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.rows import Account, Entry, close, total
from pullwright.account.terms import paid_at_once
from pullwright.line.kinds import KindKey

GROUPS = {"part": "material", "before": "work in process", "after": "finished goods"}
SPLIT: tuple[tuple[str, str, KindKey], ...] = (
    ("needed", "needed", "needed"),
    ("beyond", "beyond what is needed", "ahead"),
)


def tied_up_account(ground: Ground) -> Account:
    """Where is the cash that the line ties up, and what of it does the flow need?

    Material, work in process and finished goods at what they have cost, each split into needed and beyond; what customers owe; less
    what is owed to suppliers and what customers have paid ahead.
    """
    rows: list[Entry] = []
    for group, words in GROUPS.items():
        own = [one for one in ground.held if one.stock.kind == group]
        for key, tail, kind in SPLIT:
            parts = tuple(getattr(one, key) for one in own)
            amount = total(f"tied up / {words}, {tail}", parts, "money", why_none=f"no {words} is held")
            rows.append((f"{words} {key}", f"{words}, {tail}", kind, amount, parts))
    owing, by_part = ground.owing
    rows.append(("owed to us", "owed to us by customers", "needed", ground.owed, ()))
    rows.append(("owed by us", "owed by us to suppliers", "needed", owing, by_part))
    if ground.paid_ahead is not None:
        rows.append(("paid ahead", "paid ahead by customers", "needed", ground.paid_ahead, ()))
    whole = total("tied up / all", [amount for *_, amount, _ in rows], "money", "stock + owed to us - owed by us")
    return close("tied up", "Cash tied up", whole, rows, notes=_notes(ground))


def _notes(ground: Ground) -> tuple[str, ...]:
    flow = ground.flow
    at_once = paid_at_once(flow, ground.parts)
    said = (
        (
            not any(product.price for product in flow.line.products),
            "No product has a price: nothing is owed to us here.",
        ),
        (
            flow.line.money is None or flow.line.money.customers_pay_after is None,
            "When customers pay is not given: they count as paying at once.",
        ),
        (
            bool(at_once),
            f"When {', '.join(at_once)} {'is' if len(at_once) == 1 else 'are'} paid is not given: at once, it is assumed.",
        ),
        (
            any(not np.isfinite(stock.held.value) for stock in flow.stocks),
            "A queue grows without end: its money is left out.",
        ),
    )
    return tuple(words for lacks, words in said if lacks)
