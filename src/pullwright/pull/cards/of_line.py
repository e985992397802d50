"""The cards of a line: how many go round in each loop, out of its flow and of what is wished."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from pullwright.account.floor import area_of, container_of
from pullwright.figure import Figure, Source, derive, derive_many, given
from pullwright.flow import Flow
from pullwright.flow.demand import day_swing
from pullwright.flow.stock_needed import part_uses, wished_service
from pullwright.pull.cards.capped_of_line import CappedFlow, capped_of
from pullwright.pull.cards.card import Card, Cards, whole
from pullwright.pull.cards.card_rule import rounded_up
from pullwright.pull.cards.changed import changes_of
from pullwright.pull.cards.explained import Sized
from pullwright.pull.cards.lead_times import LeadTime, moves_between, production_lead, withdrawal_lead
from pullwright.pull.cards.loops import LoopKind
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
        self.flow, self.line, self.givens, self.lots = flow, flow.line, flow.givens, lots
        self.wishes = None if self.line.plan is None else self.line.plan.cards
        self.sizes = sizes_of(flow)
        self.places = places_of(flow)
        self.leads: dict[tuple[int, int | None], LeadTime] = {}
        self.safety = self._safety()

    def cards(self) -> Cards:
        refused = [*self.sizes.refused]
        found: list[Card] = []
        for place in self.places:
            size = self.sizes.of(place)
            if size is None:
                continue  # said among what is refused
            card = self._loop(place, size)
            if not np.isfinite(card.stochastic.value):
                refused.append(self._endless(place, card))
            found.append(card)
        found = self._crowded(found)
        capped = self._capped()
        wished = self.wishes is not None and self.wishes.whole_flow and capped is not None and capped.cap > 0
        says = () if not wished or capped is None else capped.says
        return Cards(tuple(found), capped, wished, changes_of(self.flow, found, capped if wished else None), says, tuple(refused))

    def _capped(self) -> CappedFlow | None:
        return capped_of(self.flow) if self.flow.rates.demand.value > 0 else None

    def _safety(self) -> Figure:
        if self.wishes is not None and self.wishes.safety is not None:
            return self.givens.figure(("plan", "cards", "safety"))
        return self.givens.once(
            ("assumed", "card safety"),
            lambda: given("assumed / safety of the card rule", USUAL_SAFETY, "share", Source("common practice", "a tenth more than is asked for meanwhile")),
        )

    def _service(self, place: Place) -> Figure:
        if self.wishes is not None and self.wishes.service is not None:
            return self.givens.figure(("plan", "cards", "service"))
        return wished_service(self.givens, list(place.products))

    def _loop(self, place: Place, size: Size) -> Card:
        demand, uneven = self._asked(place)
        kind, ordered, least, together, lead = self._way_of_working(place, size, demand)
        service = self._service(place)
        inputs = (demand, uneven, lead.mean, lead.variance, self.safety, service, size.holds, together)

        def sized(*values: Any) -> Sized:
            return Sized(*values[:7], ordered, values[7], least)

        name, what = place.name, ordered > 1
        rule = derive(
            f"cards by the rule / {name}", lambda *v: sized(*v).rule(), *inputs, unit="cards",
            formula="demand x lead time x (1 + safety) / pieces in a container, rounded up" + (" + containers of a lot" if what else ""),
            source=Source("published", "Monden, Toyota Production System; Sugimori et al. 1977 (from memory)"),
        )  # fmt: skip
        stochastic = derive(
            f"cards / {name}", lambda *v: _one(sized(*v).stochastic(), v), *inputs, unit="cards",
            formula="fewest full containers with which the wished share is met from the shelf, from the law of what is asked for in a lead time",
            source=Source("published", "Axsaeter, Inventory Control; Zipkin, Foundations of Inventory Management (from memory)"),
        )  # fmt: skip
        pieces = derive(f"pieces on the cards of the plan / {name}", lambda c, n: c * n, stochastic, size.holds, unit="pieces", formula="cards x pieces in a container")
        cards = whole(stochastic)
        signal = Signal(ordered, cards - ordered, size.pieces) if what and cards else None
        start, end, where = self._words(place)
        step = self.line.steps[place.step if place.step is not None else place.taker or 0].name
        return Card(
            name, kind, step, start, end, where, tuple(self.line.products[k].name for k in place.products), cards, size.pieces, rule, stochastic, pieces,
            size.holds, demand, uneven, lead.mean, lead.variance, lead.stretches, self.safety, service, signal, size.room, None, self._floor(place, size, pieces), None,
            says_of(self.flow, place, size, kind, cards, rule, demand, lead.mean, signal), place.step if place.step is not None else place.part or 0, inputs, (float(ordered), float(least)),
        )  # fmt: skip

    def _asked(self, place: Place) -> tuple[Figure, Figure]:
        """What is asked for in a working day (pieces/wd), and the variance of that over its mean."""
        rates, inputs = self.flow.rates, []
        if place.part is not None:
            uses = [use for use in part_uses(self.givens, rates, place.part) if use.step == place.taker]
            for use in uses:
                inputs += [rates.products[use.product], day_swing(self.givens, rates.products, use.product), use.fresh, use.each]
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
            taken = self._taken(place, self._per_piece(place))
            starts = [self.line.parts[place.part or 0].name, "receiving"]
            moves = moves_between(self.flow, starts, self.line.steps[place.taker or 0].name)
            return "withdrawal", 1, 1, taken, withdrawal_lead(self.flow, place.name, moves, size.holds, demand)
        i, lot = place.step, self._lot(place)
        ordered = 1 if lot is None else lot_in_containers(lot.value, size.pieces)
        names = [] if place.taker is None else [self.line.steps[place.taker].name]
        carried = [self.line.moves[m].batch for end in names for m in moves_between(self.flow, [self.line.steps[i].name], end)]
        least = max([1, *(int(rounded_up(batch / size.pieces)) for batch in (*carried, self._handed(i, size).value))])
        kind: LoopKind = "signal" if ordered > 1 else "production"
        return kind, ordered, least, self._taken(place, 1.0), self._production(i, place.taker, size)

    def _production(self, i: int, taker: int | None, size: Size) -> LeadTime:
        """Of a step and the one that takes from it: alike for all products that run there."""
        if (i, taker) not in self.leads:
            rate = self.flow.rates.steps[i].needed
            self.leads[i, taker] = production_lead(self.flow, i, taker, self.flow.rates.steps[i].set_up is not None, self._handed(i, size), rate)
        return self.leads[i, taker]

    def _handed(self, i: int, size: Size) -> Figure:
        """Pieces that are handed on together: the transfer lot, else the lot, at least one container."""
        step, tail = self.line.steps[i], self.line.steps[i].name
        lot = self.lots.get(step.name)
        kept = lot if lot is not None and step.transfer_lot is None else self.flow.rates.steps[i].enters
        return self.givens.once(
            ("handed on with cards", i, size.holds, kept),
            lambda: derive(
                f"handed on together / {tail}", lambda k, n: np.maximum(k, n), kept, size.holds, unit="pieces", formula="pieces that the lots keep together, at least one container"
            ),
        )  # fmt: skip

    def _lot(self, place: Place) -> Figure | None:
        """Pieces of this loop that are made in a row; None where its step is not set up for lots."""
        i = place.step or 0
        named = self.lots.get(place.name)
        if named is not None and place.tells:
            return named
        set_up = self.flow.rates.steps[i].set_up
        lot = self.lots.get(self.line.steps[i].name, None if set_up is None else set_up.lot)
        return None if lot is None else self._share(i, place, lot)

    def _share(self, i: int, place: Place, lot: Figure) -> Figure:
        """Of a lot in which the products come as they are pulled, the pieces of these products."""
        if not place.tells:
            return lot
        rates, inputs = self.flow.rates, []
        mine = []
        for k, product in enumerate(self.line.products):
            way = next(way for way in rates.ways if product.name in way.products)
            if i in way.passed:
                inputs += [rates.products[k], way.passed[i]]
                mine.append(k in place.products)

        def part(whole_lot: Any, *values: Any) -> Any:
            each = [values[2 * n] * values[2 * n + 1] for n in range(len(mine))]
            total = sum(each)
            some = np.asarray(total) > 0
            own = sum((one for one, is_mine in zip(each, mine, strict=True) if is_mine), start=0.0 * total)
            return np.where(some, np.maximum(whole_lot * own / np.where(some, total, 1.0), 1.0), 1.0)

        return self.givens.once(
            ("part of a lot", i, place.products, lot),
            lambda: derive(
                f"part of a lot / {self.line.steps[i].name} / {' and '.join(self.line.products[k].name for k in place.products)}",
                part, lot, *inputs, unit="pieces", formula="lot x share of these products in what the step makes",
            ),
        )  # fmt: skip

    def _taken(self, place: Place, each: float) -> Figure:
        """Pieces that the next step takes in a row: its lot of these products where it makes lots, else one after the other."""
        if place.taker is not None:
            here = Place("", place.taker, None, None, place.products, len(place.products) < len(self.line.route.products_of(place.taker)))
            named = [lot for name, lot in self.lots.items() if name.startswith(f"{self.line.steps[place.taker].name} / ")]
            lot = self._lot(here) if not named else max(named, key=lambda figure: figure.value)
            if lot is not None:
                taken = derive(f"taken in a row / {place.name}", lambda q: np.maximum(q * each, 1.0), lot, unit="pieces", formula="lot of the next step, as far as it is of these products, x pieces each")
                return taken
        return self.givens.once(
            ("taken one by one",),
            lambda: given("taken in a row", 1.0, "pieces", Source("computed", "what is not made in lots is taken piece by piece")),
        )

    def _per_piece(self, place: Place) -> float:
        """Of a part: how many go into one piece of the step that takes it."""
        uses = part_uses(self.givens, self.flow.rates, place.part or 0)
        return max((use.each.value for use in uses if use.step == place.taker), default=1.0)

    def _words(self, place: Place) -> tuple[str, str, str]:
        steps = self.line.steps
        if place.part is not None:
            part, end = self.line.parts[place.part].name, steps[place.taker or 0].name
            return part, end, f"at {end}"
        start = steps[place.step or 0].name
        return (start, "shipping", f"after {start}") if place.taker is None else (start, steps[place.taker].name, f"before {steps[place.taker].name}")

    def _floor(self, place: Place, size: Size, pieces: Figure) -> Figure | None:
        stock = next((stock for stock in self.flow.stocks if self.sizes.lies(place, stock)), None)
        found = None if stock is None else container_of(self.flow, stock)
        if found is None:
            return None
        path, container = found
        stack = self.givens.number((*path, "stack"), container.stack, "containers")
        return derive(
            f"floor of the cards / {place.name}", area_of, pieces, size.holds, stack, self.givens.figure((*path, "floor")), unit="m2",
            formula="containers / stacked on each other, rounded up, x floor of one",
        )  # fmt: skip

    def _crowded(self, cards: list[Card]) -> list[Card]:
        """Say of each place whether all that its loops may hold fits into it."""
        from dataclasses import replace

        found: list[Card] = []
        beside: dict[tuple[str, str], list[Card]] = {}
        for card in cards:
            beside.setdefault((card.start, card.end), []).append(card)
        for card in cards:
            if card.room is None:
                found.append(card)
                continue
            others = beside[card.start, card.end]
            crowd = self.givens.once(
                ("crowd", card.start, card.end, *(one.pieces for one in others)),
                lambda others=others, card=card: derive(  # type: ignore[misc]
                    f"room that the cards may need / {card.start} to {card.end}", lambda *v: sum(v), *(one.pieces for one in others), unit="pieces", formula="sum of the pieces on the cards of all loops there"
                ),
            )  # fmt: skip
            fits = bool(crowd.value <= card.room.value)
            says = card.says
            if not fits:
                much = f"{crowd.short()} of its cards" if len(others) == 1 else f"{crowd.short()} of the cards of all {len(others)} loops"
                says = (*says, f"There is room for {card.room.short()} {card.place}, and {much} may lie there: less safety, smaller lots or containers, a shorter lead time, or more room.")
            found.append(replace(card, crowd=crowd, fits=fits, says=says))
        return found

    def _endless(self, place: Place, card: Card) -> str:
        if place.step is None:
            return f"{card.name}: no number of cards makes up for a withdrawal without end."
        full = max((station for station in self.flow.stations if any(at.step.index == place.step for at in station.steps)), key=lambda one: one.load.value)
        return f"{card.name}: no number of cards keeps up, because {full.name} is loaded to {full.load.short()} and its queue grows without end. First take work off it (balance, set-ups, another machine, more hours)."


def _one(result: Any, values: Any) -> Any:
    """A single value is a number, not an array of one."""
    return result[0] if result.size == 1 and np.ndim(values[0]) == 0 else result


__all__ = ["USUAL_SAFETY", "cards_of"]
