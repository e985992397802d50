"""Why a loop has so many cards, in sentences."""

from __future__ import annotations

from pullwright.figure import Figure
from pullwright.flow import Flow
from pullwright.pull.cards.places import Place
from pullwright.pull.cards.signal import Signal
from pullwright.pull.cards.sizes import Size


def says_of(
    flow: Flow, place: Place, size: Size, kind: str, cards: int, rule: Figure, demand: Figure, lead: Figure, signal: Signal | None
) -> tuple[str, ...]:  # fmt: skip
    """Say what the loop is, what it was made from, and how it stands beside the rule."""
    if not demand.value > 0:
        names = " and ".join(flow.line.products[k].name for k in place.products)
        return (f"Nobody pulls {names} here: no cards. Make it to order, or take it out of the place.",)
    if not cards:
        return (f"{demand.short()} are asked for, and the lead time has no end: no number of cards makes up for that.", *size.says)
    of = f"{_cards(cards)} of {size.pieces} {'piece' if size.pieces == 1 else 'pieces'}"
    said = [f"{of}: {demand.short()} are asked for, and a card takes {lead.short()} until its container is full and in its place."]
    by_rule = int(rule.value)
    if by_rule == cards:
        said.append("The card rule gives as many.")
    else:
        more = cards - by_rule
        said.append(f"The card rule gives {by_rule}: {abs(more)} {'fewer than the swings ask for' if more > 0 else 'more than the swings ask for'}.")
    if signal is not None:
        said.append(signal.says)
    if kind == "withdrawal" and cards == 2:
        said.append("Two containers: while one is used up, the other is fetched.")
    if len(place.products) > 1 and place.part is None:
        said.append(f"{' and '.join(flow.line.products[k].name for k in place.products)} are alike here: one loop serves all of them.")
    return (*said, *size.says)


def _cards(number: int) -> str:
    return "1 card" if number == 1 else f"{number} cards"
