"""With how many pieces the slow twin begins a lot of a product: with the whole of it, or as many as are sure to come together."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.forecast.twin_of_line import TwinLine, TwinStep


def find_enough(line: TwinLine) -> None:
    """Fill in `enough` and `full` of all steps."""
    for step in line.steps:
        givers = {giver for takes in step.takes.values() for giver, _ in takes}
        if step.capacity < inf:
            step.full = max(1, step.capacity - max((line.steps[j].transfer for j in givers), default=1) + 1)
        for p, lot in [(p, lot) for p, lot in step.lots.items() if line.rates[p] > 0]:
            own = max(1, min(lot, _leave(line, step, p)))
            sure = min([lot, *_capped(line, step), *([own] if _is_first(step) else [])])
            step.enough[p] = int(max(1, 1 + (sure - 1) // len(step.benches)))
            step.leave[p] = 1 if _is_first(step) else int(own)


def _mine(line: TwinLine, step: TwinStep) -> list[int]:
    return [p for p in step.takes if line.rates[p] > 0]


def _open(step: TwinStep) -> int:
    """Pieces that may stand at the benches of a step and wait for the last one of their transfer lot."""
    return len(step.benches) * (step.transfer - 1)


def _is_first(step: TwinStep) -> bool:
    return not any(step.takes.values())


def _free_of_others(line: TwinLine, step: TwinStep) -> int:
    """Pieces that cards for all products are sure to go with, whatever cards are used up in part or held."""
    return (step.cards - len(_mine(line, step))) * step.per_card + len(_mine(line, step)) - _open(step)


def parted_of_any(line: TwinLine, step: TwinStep) -> dict[int, int]:
    """The pieces of cards for any product at the start: one of each product, and the others to whichever is furthest behind its share of them all."""
    mine, pieces = _mine(line, step), step.cards * step.per_card
    wanted = {p: max(1.0, pieces * line.mix[p] / sum(line.mix[q] for q in mine)) for p in mine}
    given = dict.fromkeys(mine, 0)
    for _ in range(pieces):
        without = [p for p in mine if given[p] == 0]
        best = max(without or mine, key=lambda p: (wanted[p] - given[p], -p))
        given[best] += 1
    return given


def _dealt(line: TwinLine, step: TwinStep, p: int) -> int:
    """Of the cards for all products of a first step, those that this product has from the beginning: dealt one by one to who is furthest behind."""
    owed, dealt = dict.fromkeys(step.takes, 0.0), dict.fromkeys(step.takes, 0)
    for _ in range(step.cards):
        for q in owed:
            owed[q] += line.mix[q]
        best = max(owed, key=lambda q: (owed[q], -q))
        owed[best] -= sum(line.mix[q] for q in owed)
        dealt[best] += 1
    return dealt[p]


def _leave(line: TwinLine, step: TwinStep, p: int) -> float:
    """Pieces that the step's own cards or cap are sure to let begin."""
    if step.by == "cap":
        return step.limit
    if step.by != "cards" or step.loops:
        return inf
    if _is_first(step):
        return (_dealt(line, step, p) - 1) * step.per_card + 1
    return _free_of_others(line, step)


def _capped(line: TwinLine, step: TwinStep) -> list[float]:
    """Pieces that each cap around the step is sure to have room for there."""
    found: list[float] = []
    before = line.line.route.comes_before
    for first in line.steps:
        if first.until is None or first is step:
            continue
        inside = [one for one in line.steps if before(first.index, one.index) and before(one.index, first.until)]
        if step in inside:
            mine, making = _mine(line, first), [one for one in inside if one.lots and one is not first]
            left = first.limit - sum(_open(one) for one in inside) - max(first.lots.get(p, 1) for p in mine)
            found.append(1 + left // (len(mine) * len(making)))
    return found
