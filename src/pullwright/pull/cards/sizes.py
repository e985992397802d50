"""How many pieces lie in a container at each place of a line: as wished, as today, and no more than hands and the place allow."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from pullwright.figure import Figure, Source, given
from pullwright.flow import Flow
from pullwright.flow.stock import Stock
from pullwright.pull.cards.containers import Limit, caution, lift_limit, nearest, room_limit
from pullwright.pull.cards.lead_times import moves_between
from pullwright.pull.cards.places import Place
from pullwright.pull.errors import NoSuchPlan

_UNSAID = Source("computed", "no container is given: as many as move on together")


@dataclass(frozen=True, slots=True)
class Size:
    """Pieces in a container of one place, as a number and as a figure; the room there; what has to be said of it; what a full one weighs (kg), where that is known."""

    pieces: int
    holds: Figure
    room: Figure | None
    says: tuple[str, ...]
    weight: float | None = None

    @property
    def given(self) -> bool:
        """Does anybody say what goes into one?"""
        return self.holds.source != _UNSAID


@dataclass
class Sizes:
    """The containers of all places, and those that cannot be."""

    flow: Flow
    found: dict[tuple[int | None, int | None, int | None], Size | None] = field(default_factory=dict)
    refused: list[str] = field(default_factory=list)

    def of(self, place: Place) -> Size | None:
        """What a place's container holds; None where not even one piece goes into one."""
        return self.found[place.step, place.part, place.taker]

    def lies(self, place: Place, stock: Stock) -> bool:
        """Is this the stock that lies at the place?"""
        if place.part is not None:
            return stock.kind == "part" and stock.part == place.part
        if place.taker is None:
            return stock.kind == "after" and stock.step == place.step
        return stock.kind == "before" and stock.step == place.taker

    def add(self, place: Place) -> None:
        """Size the container of one place."""
        key = (place.step, place.part, place.taker)
        if key in self.found:
            return
        stock = next((stock for stock in self.flow.stocks if self.lies(place, stock)), None)
        room = None if stock is None else stock.capacity
        wished, insisted = self._wished(place, stock)
        mass = self._mass(place)
        limits = [*self._lift(place, mass), *([room_limit(room.value, self._where(place))] if room is not None else [])]
        words = self._what(place)
        try:
            held = nearest(wished.value, "", limits)
        except NoSuchPlan as fault:
            self.refused.append(f"{words}: {fault} {fault.instead}")
            self.found[key] = None
            return
        says: list[str] = []
        if held.because:
            text = f"{words}: a container of {wished.value:g} pieces does not go with {held.because}; {held.pieces} {'piece fits' if held.pieces == 1 else 'pieces fit'}."
            (self.refused if insisted else says).append(text)
            if insisted:
                says.append(text)
            figure = given(
                f"containers / {words}", float(held.pieces), "pieces/container", Source("computed", held.because)
            )
        else:
            figure = given(f"containers / {words}", float(held.pieces), "pieces/container", wished.source or _UNSAID)
        if mass is not None and (heavy := caution(held.pieces, mass)):
            says.append(heavy)
        self.found[key] = Size(held.pieces, figure, room, tuple(says), None if mass is None else held.pieces * mass)

    def _wished(self, place: Place, stock: Stock | None) -> tuple[Figure, bool]:
        """Pieces in a container, before any limit, and whether somebody asked for so many."""
        line, givens = self.flow.line, self.flow.givens
        wish = line.plan.cards.holds if line.plan is not None else ()
        name = line.parts[place.part].name if place.part is not None else line.steps[place.step or 0].name
        for h, holds in enumerate(wish):
            if holds.of == name:
                return givens.number(("plan", "cards", "holds", h, "pieces"), holds.pieces, "pieces/container"), True
        if stock is not None and stock.store is not None and (box := line.stores[stock.store].container) is not None:
            return givens.number(("stores", stock.store, "container", "holds"), box.holds, "pieces/container"), False
        if place.part is not None and (box := line.parts[place.part].container) is not None:
            return givens.number(("parts", place.part, "container", "holds"), box.holds, "pieces/container"), False
        on_card = None if place.step is None else self._on_card(place.step, place)
        if on_card is not None:
            return on_card, False
        together = 1.0 if place.step is None else self.flow.rates.steps[place.step].together.value
        return given(f"containers as they are / {self._what(place)}", together, "pieces/container", _UNSAID), False

    def _on_card(self, i: int, place: Place) -> Figure | None:
        """What goes with one card there today: that of the products of the place, where they have loops of their own the largest."""
        release, path = self.flow.line.steps[i].release, ("steps", i, "release")
        if release is None:
            return None
        names = [self.flow.line.products[k].name for k in place.products]
        mine = [(k, loop) for k, loop in enumerate(release.loops) if loop.product in names]
        if mine:
            k, loop = max(mine, key=lambda one: one[1].per_card)
            return self.flow.givens.number((*path, "loops", k, "per_card"), loop.per_card, "pieces/card")
        if release.per_card is None:
            return None
        return self.flow.givens.number((*path, "per_card"), release.per_card, "pieces/card")

    def _lift(self, place: Place, mass: float | None) -> list[Limit]:
        plan = self.flow.line.plan
        if plan is None or plan.cards.heaviest is None or mass is None or mass <= 0 or not self._by_hand(place):
            return []
        return [lift_limit(plan.cards.heaviest.value, mass)]

    def _by_hand(self, place: Place) -> bool:
        """Is a container taken up by hand? It is where the file says so (hand, hand trolley ...) and where it says nothing."""
        line = self.flow.line
        starts = (
            [line.parts[place.part].name, "receiving"] if place.part is not None else [line.steps[place.step or 0].name]
        )
        end = "shipping" if place.taker is None else line.steps[place.taker].name
        ways = [line.moves[m].by for m in moves_between(self.flow, starts, end)]
        return not ways or any(way.strip().lower().startswith("hand") for way in ways)

    def _mass(self, place: Place) -> float | None:
        """Mass of a piece (kg): of a part, or of all the parts that have gone into it, the heaviest product counts; None where one is not known."""
        line = self.flow.line
        if place.part is not None:
            mass = line.parts[place.part].mass
            return None if mass is None else mass.value
        masses = {part.name: None if part.mass is None else part.mass.value for part in line.parts}
        index = {step.name: i for i, step in enumerate(line.steps)}
        heaviest = 0.0
        for k in place.products:
            inside = 0.0
            for use in line.products[k].uses:
                if line.route.comes_before(index[use.at], place.step or 0):
                    one = masses[use.part]
                    if one is None:
                        return None
                    inside += one * use.quantity.value
            heaviest = max(heaviest, inside)
        return heaviest or None

    def _what(self, place: Place) -> str:
        line = self.flow.line
        if place.part is not None:
            return place.name
        end = "" if place.taker is None or self._one_taker(place) else f" / to {line.steps[place.taker].name}"
        return line.steps[place.step or 0].name + end

    def _one_taker(self, place: Place) -> bool:
        return len(self.takers.get(place.step or 0, ())) < 2

    @cached_property
    def takers(self) -> dict[int, set[int]]:
        """The steps that take from each step."""
        found: dict[int, set[int]] = {}
        for way in self.flow.rates.ways:
            for i, each in enumerate(self.flow.line.route.takes_for(way.products[0])):
                for taking in each:
                    found.setdefault(taking.step, set()).add(i)
        return found

    def _where(self, place: Place) -> str:
        steps = self.flow.line.steps
        if place.part is not None:
            return f"for {self.flow.line.parts[place.part].name}"
        return f"after {steps[place.step or 0].name}" if place.taker is None else f"before {steps[place.taker].name}"


def sizes_of(flow: Flow, places: Iterable[Place]) -> Sizes:
    """What do the containers of this line hold, place by place?"""
    sizes = Sizes(flow)
    for place in places:
        sizes.add(place)
    return sizes
