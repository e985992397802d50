"""Which currency does a line file count in? One that is named wrongly is one slip, however many amounts there are."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pullwright.line.faults import Fault
from pullwright.line.marks import Tree

USUAL = "EUR"
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


def _codes(data: Any) -> Iterator[str]:
    if isinstance(data, dict | list):
        for item in data.values() if isinstance(data, dict) else data:
            yield from _codes(item)
    elif isinstance(data, str) and len(data) < 60 and (found := _AMOUNT.fullmatch(data.strip())):
        yield found[1]
