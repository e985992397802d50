"""Why a loop has so many cards, in sentences."""

from __future__ import annotations

from pullwright.figure import Figure, parts
from pullwright.flow import Flow
from pullwright.pull.cards.card import Loop
from pullwright.pull.cards.places import Place
from pullwright.pull.cards.signal import Signal
from pullwright.pull.cards.sizes import Size


def says_of(
    flow: Flow, place: Place, size: Size, loop: Loop, cards: int, rule: int, signal: Signal | None
) -> tuple[str, ...]:
    """Say what the loop is, what it was made from, and how it stands beside the rule."""
    demand, lead = loop.demand, loop.lead.mean
    if not demand.value > 0:
        names = " and ".join(flow.line.products[k].name for k in place.products)
        return (f"Nobody pulls {names} here: no cards. Make it to order, or take it out of the place.",)
    if not cards:
        return (
            f"{_plain(demand)} are asked for, and the lead time has no end: no number of cards makes up for that.",
            *size.says,
        )
    of = f"{_cards(cards)} of {size.pieces} {'piece' if size.pieces == 1 else 'pieces'}"
    said = [
        f"{of}: {_plain(demand)} are asked for, and a card takes {_plain(lead)} until its container is full and in its place."
    ]
    if rule == cards:
        said.append("The card rule gives as many.")
    else:
        more = cards - rule
        said.append(
            f"The card rule gives {rule}: {abs(more)} {'fewer than the swings ask for' if more > 0 else 'more than the swings ask for'}."
        )
    if signal is not None:
        said.append(signal.says)
    if loop.kind == "withdrawal" and cards == 2:
        said.append("Two containers: while one is used up, the other is fetched.")
    if len(place.products) > 1 and place.part is None:
        said.append(
            f"{' and '.join(flow.line.products[k].name for k in place.products)} are alike here: one loop serves all of them."
        )
    return (*said, *size.says)


def _cards(number: int) -> str:
    return "1 card" if number == 1 else f"{number} cards"


def _plain(figure: Figure) -> str:
    """Its value alone: how sure it is stands beside the figure itself."""
    value, unit, _ = parts(figure.value, figure.value, figure.value, figure.unit)
    return f"{value} {unit}"
