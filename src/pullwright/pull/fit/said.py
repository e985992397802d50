"""What the fit says, in sentences that a foreman would say: what gives first, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pullwright.figure import Source, given, percent
from pullwright.flow import Flow
from pullwright.pull.fit.side import Side

if TYPE_CHECKING:
    from pullwright.pull.fit.of_plan import ChangeSet, Fit

UNITS = {"floor": "m2", "people": "persons", "cash": "money"}


def sentences_of(flow: Flow, fit: Fit) -> tuple[str, ...]:
    """What did the fit find?"""
    currency = flow.line.currency
    return (*_sides(fit, currency), *_sets(fit, currency), *_notes(fit))


def gives_first(fit: Fit) -> Side | None:
    """Which side gives first: the one that is short by the largest share of what there is, else the one with the smallest share left?"""
    known = [
        (side, side.left.value / max(abs(side.there.value), 1e-12)) for side in fit.sides if side.left and side.there
    ]
    return min(known, key=lambda one: one[1])[0] if known else None


def _sides(fit: Fit, currency: str) -> Iterator[str]:
    first = gives_first(fit)
    if first is None:
        yield "Nobody has said how much floor, how many people and how much cash there are: nobody can say whether the plan fits."
        return
    short = sorted((side for side in fit.sides if side.short > 0), key=lambda side: side is not first)
    if not short:
        assert first.left is not None
        assert first.there is not None
        left, there = first.left.text(currency), first.there.short(currency)
        begin = "The plan fits" if fit.fits else "As far as it is known, the plan fits"
        sure = "" if first.sure else ", and that is not sure"
        yield f"{begin}. {first.name.capitalize()} would give first: {left} of {there} are left{sure}."
    for side in short:
        assert side.left is not None
        assert side.there is not None
        lacks, share = _amount(side.name, side.short, currency), side.short / max(abs(side.there.value), 1e-12)
        people = side.name == "people"
        if side is first:
            begin = f"{side.name.capitalize()} {'give' if people else 'gives'} first"
        else:
            begin = f"{side.name.capitalize()} {'are' if people else 'is'} short too"
        sure = "" if side.sure else ", and that is not sure"
        of = (
            f", {percent(share)} of the {side.there.short(currency)} that there {'are' if people else 'is'}"
            if side.there.value > 0
            else ""
        )
        yield f"{begin}: {lacks} are lacking{of}{sure}."


def _sets(fit: Fit, currency: str) -> Iterator[str]:
    if fit.cheapest is not None:
        yield f"The cheapest changes that make it fit: {_told(fit.cheapest, currency)}."
    if fit.fewest is not None and fit.cheapest is not None and fit.fewest.made != fit.cheapest.made:
        yield f"The fewest changes that make it fit: {_told(fit.fewest, currency)}."
    if fit.nearest is not None:
        lacking = _list([_amount(side, amount, currency) for side, amount in fit.nearest.still_short.items()])
        what = _told(fit.nearest, currency) if fit.nearest.made else "none that helps"
        yield f"No set of these changes makes it fit. The nearest: {what}; then {lacking} are still lacking."
    for made in (fit.cheapest, fit.fewest, fit.nearest):
        if made is not None and not made.proven:
            yield "Whether there is a better set is not proven: there are too many changes to go through all of them."
            return


def _told(made: ChangeSet, currency: str) -> str:
    done = _list([one.said(times) for one, times in made.made])
    if len(made.unpriced) == len(made.made):
        return f"{done}; nobody has said what that costs"
    price = made.yearly
    cost = "that costs nothing in a year" if price.value == 0 else (
        f"that costs {price.short(currency)}" if price.value > 0 else f"that saves {_amount('yearly', -price.value, currency)}"
    )  # fmt: skip
    without = f", and nobody has said what {_list(list(made.unpriced))} would cost" if made.unpriced else ""
    return f"{done}; {cost}{without}"


def _notes(fit: Fit) -> Iterator[str]:
    for side in fit.sides:
        if side.left is None and side.note:
            yield f"{side.note} Nobody can say whether the plan fits it."


def _amount(side: str, amount: float, currency: str) -> str:
    return given("amount", amount, UNITS.get(side, "money/year"), Source("computed", "amount")).short(currency)


def _list(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)
