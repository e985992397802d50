"""One side of the fit, floor, people or cash: what the plan takes, row by row, against what there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.account.rows import nothing, total
from pullwright.figure import Figure, derive
from pullwright.pull.errors import BadPlanInput

NOISE = 1e-9
"""What is left counts as nothing, and not as short, up to this share of what there is."""


@dataclass(frozen=True)
class Asks:
    """What one part of the plan asks for: floor (m2), people (persons, of all shifts together), cash (money that it ties up); None where it asks
    for none of it.

    `instead_of`: what of today it stands for, so that it is not counted twice: stocks by their words ("barrel tube", "before hone bore"),
    "work at the steps", "carrying".
    """

    name: str
    floor: Figure | None = None
    people: Figure | None = None
    cash: Figure | None = None
    instead_of: tuple[str, ...] = ()


@dataclass(frozen=True)
class FitRow:
    """A row: its words, its amount, the parts that add up to it, and whether the plan asks for it (else it stands there today)."""

    words: str
    amount: Figure
    parts: tuple[Figure, ...] = ()
    asked: bool = False


@dataclass(frozen=True)
class Side:
    """What the plan takes of the floor, the people or the cash, against what there is.

    `there`: what there is, None where nobody has said; `rows` add up to `taken`; `left` = there - taken, below 0 where it is short, None
    where nobody has said what there is. `note`: what the rows rest on, in one sentence.
    """

    name: str
    there: Figure | None
    rows: tuple[FitRow, ...]
    taken: Figure
    left: Figure | None
    note: str = ""

    @property
    def short(self) -> float:
        """By how much is it short, in its own unit? 0 where it fits, or where nobody has said what there is."""
        if self.left is None or self.there is None:
            return 0.0
        lacking = -self.left.value
        return lacking if lacking > NOISE * max(1.0, abs(self.there.value)) else 0.0

    @property
    def sure(self) -> bool:
        """Is it sure that it fits, or that it does not (nineteen of twenty times)?"""
        if self.left is None:
            return False
        low, high = self.left.interval()
        return low >= -1e-9 or high < 0


def close_side(name: str, there: Figure | None, rows: Sequence[FitRow], unit: str, note: str = "") -> Side:
    """Add the rows up and set them against what there is."""
    taken = total(f"fit / {name} / taken", [row.amount for row in rows], unit, "sum of its rows")
    left = None if there is None else derive(
        f"fit / {name} / left",
        lambda have, takes: have - takes,
        there,
        taken,
        unit=unit,
        formula="what there is - what the plan takes",
    )  # fmt: skip
    return Side(name, there, tuple(rows), taken, left, note)


def row_of(side: str, words: str, parts: Sequence[Figure], unit: str, why_none: str) -> FitRow:
    """A row of several figures that add up."""
    name = f"fit / {side} / {words}"
    return FitRow(
        words, total(name, parts, unit, why_none=why_none) if parts else nothing(name, unit, why_none), tuple(parts)
    )


def asked_rows(side: str, asks: Sequence[Asks], field: str, unit: str) -> list[FitRow]:
    """The rows that the plan asks for."""
    found = []
    for one in asks:
        figure: Figure | None = getattr(one, field)
        if figure is not None:
            if figure.unit != unit:
                raise BadPlanInput(f"{one.name} asks for {side} in {figure.unit!r}; allowed: {unit!r}")
            found.append(FitRow(one.name, figure, (figure,), asked=True))
    return found


def instead_of(asks: Sequence[Asks], known: Sequence[str]) -> dict[str, frozenset[str]]:
    """What of today do the asks stand for, side by side ("floor", "people", "cash")? Only where they ask for something on that side.

    BadPlanInput for what is not there, and for what two of them stand for on one side.
    """
    taken: dict[str, dict[str, str]] = {"floor": {}, "people": {}, "cash": {}}
    for one in asks:
        for words in one.instead_of:
            if words not in known:
                raise BadPlanInput(
                    f"{one.name} stands for {words!r}, and there is no such thing; there are {', '.join(known)}"
                )
            for side, found in taken.items():
                if getattr(one, side) is None:
                    continue
                if words in found:
                    raise BadPlanInput(
                        f"both {found[words]} and {one.name} ask for {side} in place of {words!r}; allowed: one of them"
                    )
                found[words] = one.name
    return {side: frozenset(found) for side, found in taken.items()}
