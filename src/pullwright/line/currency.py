"""Which currency does a line file count in? One that is named wrongly is one slip, however many amounts there are."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pullwright.line.faults import Fault
from pullwright.line.marks import Tree

USUAL = "EUR"
MONEY_FIELDS = ("price", "wage", "per_delivery", "per_trip", "cash", "floor_rent", "fixed_costs")
"""The fields that hold amounts of money."""

_AMOUNT = re.compile(r"[-+]?[0-9][0-9 .]* ?([A-Z]{3})(/.*)?")


def currency_of(tree: Tree) -> tuple[str, Fault | None]:
    """Give the code in which amounts are read (empty where any is, because none is given that can be), and what is wrong with it."""
    given = tree.data.get("currency", USUAL)
    code = given.strip() if isinstance(given, str) else ""
    if not re.fullmatch("[A-Z]{3}", code):
        return "", None  # the field itself has a fault
    typed = set(_codes(tree.data))
    if not typed or code in typed or len(typed) > 1:
        return code, None
    other = typed.pop()
    counts = f"the line counts in {code}" + ("" if "currency" in tree.data else " where nothing is said")
    fault = tree.fault(
        ("currency",),
        code,
        f"the currency of the amounts, {other}",
        f"write `currency: {other}`",
        f"{counts}, and every amount is in {other}",
    )
    return other, fault


def _codes(data: Any, *, money: bool = False) -> Iterator[str]:
    """Give the codes of all amounts, those inside a judgement or a list of readings too."""
    if isinstance(data, dict):
        for key, item in data.items():
            yield from _codes(item, money=money or key in MONEY_FIELDS)
    elif isinstance(data, list):
        for item in data:
            yield from _codes(item, money=money)
    elif money and isinstance(data, str) and len(data) < 60 and (found := _AMOUNT.fullmatch(data.strip())):
        yield found[1]
