"""The cards of a line: how many go round in each loop, out of its flow and of what is wished."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from pullwright.account.floor import container_of
from pullwright.figure import Figure, Source, derive_many, given
from pullwright.flow import Flow
from pullwright.flow.demand import day_swing
from pullwright.flow.stock_needed import part_uses, wished_service
from pullwright.pull.cards.capped_of_line import capped_of
from pullwright.pull.cards.card import Card, Cards, Loop
from pullwright.pull.cards.card_rule import rounded_up
from pullwright.pull.cards.changed import changes_of
from pullwright.pull.cards.explained import Sized
from pullwright.pull.cards.lead_times import LeadTime, moves_between, production_lead, withdrawal_lead
from pullwright.pull.cards.loops import LoopKind
from pullwright.pull.cards.lot_sizes import LotSizes
from pullwright.pull.cards.places import Place, places_of
from pullwright.pull.cards.said import says_of
from pullwright.pull.cards.signal import Signal, lot_in_containers
from pullwright.pull.cards.sizes import Size, sizes_of

USUAL_SAFETY = 0.1


def cards_of(flow: Flow, lots: Mapping[str, Figure] | None = None) -> Cards:
    """How many cards go round in each loop of this line, with how many pieces each, and why?

    Parameters: `flow` of the line, with what is wished in `line.plan.cards`; `lots`: pieces that a step makes between two set-ups, by the name of the step (parted among its
    products as they are pulled, as the file means it) or of its loop ("hone bore / P-32"); those of the file where nothing is said.
    Result: the loops with their figures, the cap that could stand in their place, the changes of the line file, and what is refused: loops that no number of cards makes up for,
    containers that do not fit. A loop that nobody pulls from has 0 cards and a sentence.
    """
    return _Sizing(flow, dict(lots or {})).cards()


class _Sizing:
    def __init__(self, flow: Flow, lots: dict[str, Figure]) -> None:
        self.flow, self.line, self.givens, self.lots = flow, flow.line, flow.givens, LotSizes(flow, lots)
        self.wishes = None if self.line.plan is None else self.line.plan.cards
        self.places = places_of(flow)
        self.sizes = sizes_of(flow, self.places)
        self.leads: dict[tuple[int, int | None], LeadTime] = {}
        self.safety = self._safety()

    def cards(self) -> Cards:
        refused = [*self.sizes.refused]
        loops = [
            (place, size, self._loop(place, size))
            for place in self.places
            if (size := self.sizes.of(place)) is not None
        ]
        found: list[Card] = []
        for (place, size, loop), rule, cards in zip(loops, *_answers([loop for *_, loop in loops]), strict=True):
            if not np.isfinite(cards):
                refused.append(self._endless(place))
            found.append(
                self._card(
                    place, size, loop, int(rule) if np.isfinite(rule) else 0, int(cards) if np.isfinite(cards) else 0
                )
            )
        found = self._crowded(found)
        capped = capped_of(self.flow, self.safety)
        wished = self.wishes is not None and self.wishes.whole_flow and capped is not None and capped.cap > 0
        says = () if not wished or capped is None else capped.says
        changes = changes_of(self.flow, found, capped if wished else None, self.lots)
        return Cards(tuple(found), capped, wished, changes, says, tuple(refused))

    def _safety(self) -> Figure:
        if self.wishes is not None and self.wishes.safety is not None:
            return self.givens.figure(("plan", "cards", "safety"))
        return self.givens.once(
            ("assumed", "card safety"),
            lambda: given(
                "assumed / safety of the card rule",
                USUAL_SAFETY,
                "share",
                Source("common practice", "a tenth more than is asked for meanwhile"),
            ),
        )

    def _service(self, place: Place) -> Figure:
        if self.wishes is not None and self.wishes.service is not None:
            return self.givens.figure(("plan", "cards", "service"))
        return wished_service(self.givens, list(place.products))

    def _loop(self, place: Place, size: Size) -> Loop:
        demand, uneven = self._asked(place)
        kind, ordered, least, together, lead = self._way_of_working(place, size, demand)
        return Loop(
            place.name,
            kind,
            demand,
            uneven,
            lead,
            self.safety,
            self._service(place),
            size.holds,
            together,
            ordered,
            least,
        )

    def _card(self, place: Place, size: Size, loop: Loop, rule: int, cards: int) -> Card:
        signal = Signal(loop.ordered, cards - loop.ordered, size.pieces) if loop.ordered > 1 and cards else None
        start, end, where = self._words(place)
        own = place.step if place.step is not None else place.taker or 0
        return Card(
            loop, self.line.steps[own].name, start, end, where, tuple(self.line.products[k].name for k in place.products), cards, size.pieces, rule,
            signal, size.room, cards * size.pieces, None, says_of(self.flow, place, size, loop, cards, rule, signal),
            place.step if place.step is not None else place.part or 0, self._stands_on(place), size.weight,
        )  # fmt: skip

    def _asked(self, place: Place) -> tuple[Figure, Figure]:
        """What is asked for in a working day (pieces/wd), and the variance of that over its mean."""
        rates, inputs = self.flow.rates, []
        if place.part is not None:
            uses = [use for use in part_uses(self.givens, rates, place.part) if use.step == place.taker]
            for use in uses:
                inputs += [
                    rates.products[use.product],
                    day_swing(self.givens, rates.products, use.product),
                    use.fresh,
                    use.each,
                ]
            products, wide = [use.product for use in uses], 4
        else:
            for k in place.products:
                way = next(way for way in rates.ways if self.line.products[k].name in way.products)
                inputs += [rates.products[k], day_swing(self.givens, rates.products, k), way.passed[place.step or 0]]
            products, wide = list(place.products), 3

        def asked(*values: Any) -> tuple[Any, Any]:
            each: dict[int, Any] = {}
            total: Any = 0.0
            for n, k in enumerate(products):
                row = values[n * wide : (n + 1) * wide]
                per_unit = row[2] * row[3] if wide == 4 else row[2]
                total = total + row[0] * per_unit
                # What one product's orders swing by swings all its pieces alike; products swing by themselves.
                each[k] = each.get(k, 0.0) + row[1] * per_unit
            square = sum(one * one for one in each.values())
            some = np.asarray(total) > 0
            return total, np.where(some, square / np.where(some, total, 1.0), 1.0)

        demand, uneven = derive_many(
            (f"asked for in a day / {place.name}", f"variance of what is asked for in a day over its mean / {place.name}"), asked, *inputs, units=("pieces/wd", "1"),
            formulas=("sum over the products of demand x pieces of this place for one good unit", "sum over the products of (swing of a day's demand x pieces for one unit)² / what is asked for"),
        )  # fmt: skip
        return demand, uneven

    def _way_of_working(self, place: Place, size: Size, demand: Figure) -> tuple[LoopKind, int, int, Figure, LeadTime]:
        """Kind of loop, containers that are asked for at a time, the fewest that move at all, pieces that are taken in a row, lead time."""
        if place.part is not None or place.step is None:
            taken = self.lots.taken(place)
            starts = [self.line.parts[place.part or 0].name, "receiving"]
            moves = moves_between(self.flow, starts, self.line.steps[place.taker or 0].name)
            return "withdrawal", 1, 1, taken, withdrawal_lead(self.flow, place.name, moves, size.holds, demand)
        i, lot = place.step, self.lots.of(place)
        ordered = 1 if lot is None else lot_in_containers(lot.value, size.pieces)
        names = [] if place.taker is None else [self.line.steps[place.taker].name]
        carried = [
            self.line.moves[m].batch for end in names for m in moves_between(self.flow, [self.line.steps[i].name], end)
        ]
        # A lot of several products is handed on when all their loops together have enough cards for it: see `changed`.
        whole_lots = [] if place.tells else [*carried, self.lots.handed(i, place.taker, size.holds).value]
        least = max([1, *(int(rounded_up(batch / size.pieces)) for batch in whole_lots)])
        kind: LoopKind = "signal" if ordered > 1 else "production"
        return kind, ordered, least, self.lots.taken(place), self._production(i, place.taker, size)

    def _production(self, i: int, taker: int | None, size: Size) -> LeadTime:
        """Of a step and the one that takes from it: alike for all products that run there."""
        if (i, taker) not in self.leads:
            rate = self.flow.rates.steps[i].needed
            self.leads[i, taker] = production_lead(
                self.flow,
                i,
                taker,
                self.flow.rates.steps[i].set_up is not None,
                self.lots.handed(i, taker, size.holds),
                rate,
            )
        return self.leads[i, taker]

    def _words(self, place: Place) -> tuple[str, str, str]:
        steps = self.line.steps
        if place.part is not None:
            part, end = self.line.parts[place.part].name, steps[place.taker or 0].name
            return part, end, f"at {end}"
        start = steps[place.step or 0].name
        return (
            (start, "shipping", f"after {start}")
            if place.taker is None
            else (start, steps[place.taker].name, f"before {steps[place.taker].name}")
        )

    def _stands_on(self, place: Place) -> tuple[Figure, Figure] | None:
        """How many containers stand on each other, and the floor of one (m²), where the file says so."""
        stock = next((stock for stock in self.flow.stocks if self.sizes.lies(place, stock)), None)
        found = None if stock is None else container_of(self.flow, stock)
        if found is None:
            return None
        path, container = found
        stack = self.givens.number((*path, "stack"), container.stack, "containers")
        return stack, self.givens.figure((*path, "floor"))

    def _crowded(self, cards: list[Card]) -> list[Card]:
        """Say of each place whether all that its loops may hold fits into it."""
        beside: dict[tuple[str, str], list[Card]] = {}
        for card in cards:
            beside.setdefault((card.start, card.end), []).append(card)
        return [self._in_room(card, beside[card.start, card.end]) for card in cards]

    def _in_room(self, card: Card, there: list[Card]) -> Card:
        if card.room is None:
            return card
        crowd = sum(one.cards * one.per_card for one in there)
        if crowd <= card.room.value:
            return replace(card, crowd=crowd, fits=True)
        whose = "of its cards" if len(there) == 1 else f"of the cards of all {len(there)} loops"
        said = (
            f"There is room for {card.room.short()} {card.place}, and {crowd} {whose} may lie there: "
            "smaller lots or containers, a shorter lead time, a lower service, or more room."
        )
        return replace(card, crowd=crowd, fits=False, says=(*card.says, said))

    def _endless(self, place: Place) -> str:
        there = [station for station in self.flow.stations if any(at.step.index == place.step for at in station.steps)]
        full = max(there, key=lambda one: one.load.value, default=None)
        if full is None:
            return f"{place.name}: no number of cards makes up for a lead time without end."
        return (
            f"{place.name}: no number of cards keeps up, because {full.name} is loaded to {full.load.short()} and its queue grows without end. "
            "First take work off it: balance, set-ups, another machine, more hours."
        )


def _answers(loops: list[Loop]) -> tuple[Any, Any]:
    """Cards by the rule and by the stochastic answer of all loops at once, as numbers."""
    if not loops:
        return (), ()
    rows = (np.array([one.value for one in column]) for column in zip(*(loop.inputs for loop in loops), strict=True))
    demand, uneven, lead, varies, safety, service, holds, together = rows
    ordered, least = (np.array([getattr(loop, name) for loop in loops]) for name in ("ordered", "least"))
    sized = Sized(demand, uneven, lead, varies, safety, service, holds, ordered, together, least)
    return sized.rule(), sized.stochastic()


__all__ = ["USUAL_SAFETY", "cards_of"]
