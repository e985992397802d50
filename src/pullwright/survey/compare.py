"""Two revisions or options of a line beside each other: what is different, how much, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from pullwright.figure import Figure, derive

if TYPE_CHECKING:
    from pullwright.survey.survey import Survey


@dataclass(frozen=True, slots=True)
class Change:
    """One figure in both: before, after, and the difference (after - before).

    Given figures of the same name have the same draws in both, so that what is not known alike cancels out of the difference.
    """

    words: str
    before: Figure
    after: Figure
    difference: Figure


def compare(before: Survey, after: Survey) -> tuple[Change, ...]:
    """What is different between two lines? The headline figures that both have and that differ, in the order in which they are read."""
    found = []
    others = dict(_headline(after))
    for words, old in _headline(before):
        new = others.get(words)
        if new is None or new.unit != old.unit or _same(old, new):
            continue
        difference = derive(f"difference / {words}", _less, new, old, unit=old.unit, formula="after - before")
        found.append(Change(words, old, new, difference))
    return tuple(found)


def _headline(survey: Survey) -> list[tuple[str, Figure]]:
    flow, accounts = survey.flow, survey.accounts
    named = [
        ("takt time", flow.takt),
        ("pieces shipped a day", flow.shipped),
        ("lead time", flow.ladder.lead_days),
        ("touch time", flow.ladder.touch),
        ("process cycle efficiency", flow.ladder.efficiency),
        ("rolled throughput yield", flow.rolled_throughput_yield),
    ]
    named += [(f"load of {station.name}", station.load) for station in flow.stations]
    named += [(f"load of {crew.name}", crew.load) for crew in flow.people.crews]
    named += [(f"stock {stock.words}", stock.held) for stock in flow.stocks]
    for account in accounts.all():
        named.append((account.title, account.whole))
        named += [(f"{account.title}: {row.words}", row.amount) for row in account.rows]
    return named


SMALLEST = 1e-6
"""Below this part of its size, a difference is rounding (common practice)."""


def _same(old: Figure, new: Figure) -> bool:
    """Do two figures differ by no more than rounding, in their values and in every draw?"""
    with np.errstate(invalid="ignore"):
        apart = np.abs(_less(new.draws, old.draws))
        size = np.maximum(np.abs(old.draws), np.abs(new.draws))
    drawn = bool(np.all((apart <= SMALLEST * size) | (size == 0)))
    return drawn and bool(np.isclose(old.value, new.value, rtol=SMALLEST, atol=0.0, equal_nan=False))


def _less(new: Any, old: Any) -> Any:
    """What never ends on both sides differs by nothing that can be said."""
    both = np.isinf(new) & np.isinf(old)
    return np.where(both, 0.0, np.where(both, 0.0, new) - np.where(both, 0.0, old))
