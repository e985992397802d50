"""What a line file must say before cash can be counted through time."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.line import Line


@dataclass(frozen=True, slots=True)
class Lacking:
    """A field that is not there, and what it is needed for."""

    field: str
    words: str


class CannotCount(ValueError):  # noqa: N818  (says what happened)
    """The line file lacks what cash is counted from; `lacking` has all of it, the message says it."""

    def __init__(self, lacking: tuple[Lacking, ...]) -> None:
        self.lacking = lacking
        super().__init__("; ".join(one.words for one in lacking))


def lacking_for_cash(line: Line) -> tuple[Lacking, ...]:
    """What does the line file lack, so that cash cannot be counted? Empty where it can.

    Without cash in hand there is nothing to count from, and a product without a price would be given away. Terms that are not given
    are another matter: then it is paid at once, as in the accounts, and a note says so.

    >>> line = Line.from_text('''
    ... line: brackets
    ... calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
    ... products: [{name: bracket, demand: 20 /d}]
    ... stations: [{name: a}]
    ... steps: [{name: bend, station: a, manual: 60 s}]
    ... ''')
    >>> for one in lacking_for_cash(line):
    ...     print(one.words)
    the line file has no money section: write `money: cash`, the cash in hand today
    bracket has no price: write what a customer pays for one in `products: price`
    """
    found = []
    if line.money is None:
        words = "the line file has no money section: write `money: cash`, the cash in hand today"
        found.append(Lacking("money", words))
    elif line.money.cash is None:
        found.append(Lacking("money: cash", "cash in hand today is not given: write it in `money: cash`"))
    for product in line.products:
        if product.price is None and product.demand.value > 0:
            words = f"{product.name} has no price: write what a customer pays for one in `products: price`"
            found.append(Lacking(f"products: {product.name}: price", words))
    return tuple(found)
