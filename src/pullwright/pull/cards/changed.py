"""What the cards change in the line file, so that the forecast can run them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pullwright.flow import Flow
from pullwright.line.model import Step
from pullwright.pull.cards.capped_of_line import CappedFlow
from pullwright.pull.cards.card import Card
from pullwright.pull.cards.lot_sizes import LotSizes
from pullwright.pull.changes import Change


def changes_of(flow: Flow, cards: Sequence[Card], capped: CappedFlow | None, lots: LotSizes) -> tuple[Change, ...]:
    """Which fields of the line file say what these loops are?

    Where each product has a loop of its own, that is what is written, with the cards that its signal gathers; products that share a loop have one number of cards, which go back
    for the product that was taken. Withdrawal cards have no field of their own: the file takes parts out of their
    store. With a cap, the first step of the main flow has it and the others of the main flow begin what lies there.
    """
    line = flow.line
    main = [line.steps[i].name for i in line.route.chains[0].steps] if capped is not None else []
    found: list[Change] = []
    for i, step in enumerate(line.steps):
        path = ("steps", i, "release")
        if capped is not None and step.name == capped.first:
            found.append(Change(path, {"by": "cap", "limit": capped.cap, "until": capped.until}, capped.says[0]))
            continue
        if step.name in main:
            if step.release is not None:
                found.append(Change(path, None, f"The cap lets {step.name} begin whatever lies there."))
            continue
        here = [card for card in cards if card.kind != "withdrawal" and card.index == i]
        if (
            not here
            or not all(card.cards for card in here if card.loop.demand.value > 0)
            or not any(card.cards for card in here)
        ):
            continue
        # A place that is full of one product shuts the others out: without room for all of them cards are for whichever was taken.
        loops = [] if any(card.fits is False for card in here) else _of_each_product(flow, i, here)
        if loops:
            told = " and ".join(f"{loop['cards']} of {loop['product']}" for loop in loops)
            because = f"{sum(card.cards for card in here)} cards behind {step.name}: {told}."
            found.append(Change(path, {"by": "cards", "loops": loops}, because))
            continue
        each = here[0].per_card
        pieces = sum(card.cards * card.per_card for card in here)
        # A step that begins several products needs a card for each of them, and what is handed on together has to lie on cards.
        many = max(-(-pieces // each), len(line.route.products_of(i)), -(-lots.together(i) // each))
        told = (
            " and ".join(f"{card.cards} of {' and '.join(card.products)}" for card in here if card.cards)
            if len(here) > 1
            else ""
        )
        because = f"{many} cards of {each} {'piece' if each == 1 else 'pieces'} behind {step.name}" + (
            f": {told}." if told else "."
        )
        found.append(Change(path, {"by": "cards", "cards": many, "per_card": each}, because))
    return tuple(change for change in found if not _says(line.steps[int(change.path[1])], change.written))


def _says(step: Step, written: Any) -> bool:
    """Does the line file say that of a step already?"""
    release = step.release
    if written is None or release is None or release.by != written["by"]:
        return False
    said: dict[str, Any] = {
        "by": release.by,
        "cards": release.cards,
        "per_card": release.per_card,
        "limit": release.limit,
        "until": release.until,
    }
    said["loops"] = [(loop.product, loop.cards, loop.per_card, loop.signal) for loop in release.loops]
    wanted = {**dict.fromkeys(said), "loops": [], **written}
    wanted["loops"] = [
        (loop["product"], loop["cards"], loop["per_card"], loop.get("signal", 1)) for loop in wanted["loops"]
    ]
    return said == wanted


def _of_each_product(flow: Flow, i: int, here: Sequence[Card]) -> list[dict[str, str | int]]:
    """The loops of a step as the file says them, product by product; none where products share a loop, or where one number says the same."""
    line = flow.line
    pulled = [
        name
        for name in line.route.products_of(i)
        if next(rate for rate, one in zip(flow.rates.products, line.products, strict=True) if one.name == name).value
        > 0
    ]
    by_product = {card.products[0]: card for card in here if len(card.products) == 1 and card.cards}
    signals = {name: 1 if card.signal is None else card.signal.lot for name, card in by_product.items()}
    if set(by_product) != set(pulled) or (len(pulled) == 1 and set(signals.values()) == {1}):
        return []
    found: list[dict[str, str | int]] = []
    for name, card in by_product.items():
        loop: dict[str, str | int] = {
            "product": name,
            "cards": max(card.cards, signals[name]),
            "per_card": card.per_card,
        }
        found.append(loop | ({"signal": signals[name]} if signals[name] > 1 else {}))
    return found
