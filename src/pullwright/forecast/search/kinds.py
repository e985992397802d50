"""What can be turned in a line: one row for each kind of knob, with its places in a line, today's value there, and how it is turned."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from pullwright.flow.counting import counted_now
from pullwright.flow.givens import Givens
from pullwright.forecast.search.rebuilding import rebuilt, replaced, with_fields
from pullwright.line import Line
from pullwright.line.model import CardLoop, ProductLot, Release, Step, Store
from pullwright.line.quantity import Quantity

Places = dict[str, float | None]
"""Names of places with today's value; None where nothing limits it today."""


@dataclass(frozen=True)
class Kind:
    """One kind of knob.

    `words`: how it begins in text ("cards of"); `unit`: "cards", "pieces", "people", "machines", "times" (of today's) or "money"; `least`:
    the smallest value that makes sense; `whole`: only whole numbers do; `places(line)`; `turn(line, where, value)` gives the new line.
    """

    key: str
    words: str
    unit: str
    least: float
    whole: bool
    places: Callable[[Line], Places]
    turn: Callable[[Line, str, float], Line]

    def named(self, where: str) -> str:
        return f"{self.words} {where}" if where else self.words


def _released(by: str, field: str) -> Callable[[Line], Places]:
    def places(line: Line) -> Places:
        found: Places = {}
        for step in line.steps:
            if step.release is None or step.release.by != by:
                continue
            if not step.release.loops:
                found[step.name] = getattr(step.release, field)
            for loop in step.release.loops:
                found[_of_product(step, loop.product)] = getattr(loop, field)
        return found

    return places


def _of_product(step: Step, product: str) -> str:
    """How a product's own loop or lot at a step is named."""
    return f"{step.name} / {product}"


def _own(line: Line, where: str, items: Callable[[Step], Iterable[CardLoop | ProductLot]]) -> tuple[str, int] | None:
    """The step and the place in its list of a loop or lot of this name; None where the name is that of a step as a whole."""
    for step in line.steps:
        for k, item in enumerate(items(step)):
            if _of_product(step, item.product) == where:
                return step.name, k
    return None


def _loops(step: Step) -> tuple[CardLoop, ...]:
    return () if step.release is None else step.release.loops


def _index(items: Iterable[Any], name: str, field: str = "name") -> int:
    return next(k for k, item in enumerate(items) if getattr(item, field) == name)


def _with_step(line: Line, where: str, change: Callable[[Step], dict[str, Any]]) -> Line:
    steps = replaced(
        line.steps, _index(line.steps, where), lambda step: with_fields(step, line.currency, **change(step))
    )
    return rebuilt(line, steps=steps)


def _turn_release(field: str) -> Callable[[Line, str, float], Line]:
    def turn(line: Line, where: str, value: float) -> Line:
        own = _own(line, where, _loops)
        name = where if own is None else own[0]

        def change(step: Step) -> dict[str, Any]:
            assert isinstance(step.release, Release)
            if own is None:
                return {"release": with_fields(step.release, line.currency, **{field: value})}
            loops = replaced(step.release.loops, own[1], lambda loop: _with_cards(line, loop, field, int(value)))
            return {"release": with_fields(step.release, line.currency, loops=loops)}

        new = _with_step(line, name, change)
        return new if field == "limit" else _no_more_than_the_cards(new, name)

    return turn


def _with_cards(line: Line, loop: CardLoop, field: str, value: int) -> CardLoop:
    """A loop with another number of cards, or of pieces on them; no more cards are gathered than there are."""
    signal = min(loop.signal, value) if field == "cards" else loop.signal
    return with_fields(loop, line.currency, **{field: value, "signal": signal})


def _no_more_than_the_cards(line: Line, where: str) -> Line:
    """What was counted behind a step beyond its cards is taken as used up: pieces without a card would go round like pieces with one."""
    i = _index(line.steps, where)
    release = line.steps[i].release
    assert release is not None
    left = release.on_cards
    behind = {line.steps[j].name for j, takes in enumerate(line.route.takes) for one in takes if one.step == i}
    stores, givens = list(line.stores), Givens(line)
    for s, store in enumerate(stores):
        if store.before in behind or store.after == where:
            stores[s] = _holding(line, givens, s, left)
            left -= min(left, _counted(givens, s))
    return line if stores == list(line.stores) else rebuilt(line, stores=tuple(stores))


def _counted(givens: Givens, s: int) -> int:
    held = counted_now(givens, s)
    return 0 if held is None else round(held.value)


def _holding(line: Line, givens: Givens, s: int, most: int) -> Store:
    """The store as it was counted, but with no more pieces than `most`."""
    store = line.stores[s]
    if _counted(givens, s) <= most:
        return store
    return with_fields(store, line.currency, counted=Quantity(float(most), "pieces"), counts=())


def _rooms(field: str) -> Callable[[Line], Places]:
    def places(line: Line) -> Places:
        return {
            getattr(store, field): None if store.capacity is None else store.capacity.value
            for store in line.stores
            if getattr(store, field) is not None and store.overflow is None
        }

    return places


def _turn_room(field: str) -> Callable[[Line, str, float], Line]:
    def turn(line: Line, where: str, value: float) -> Line:
        """A place begins with no more in it than fits: one that was counted fuller would stop nobody (docs/forecast.md)."""
        s = _index(line.stores, where, field)
        fits = with_fields(
            _holding(line, Givens(line), s, int(value)), line.currency, capacity=Quantity(float(value), "pieces")
        )
        return rebuilt(line, stores=replaced(line.stores, s, lambda _: fits))

    return turn


def _lots(field: str) -> Callable[[Line], Places]:
    def places(line: Line) -> Places:
        found: Places = {step.name: getattr(step, field) for step in line.steps if getattr(step, field) is not None}
        if field == "lot":
            found |= {_of_product(step, lot.product): float(lot.pieces) for step in line.steps for lot in step.lots}
        return found

    return places


def _turn_lot(field: str) -> Callable[[Line, str, float], Line]:
    def turn(line: Line, where: str, value: float) -> Line:
        own = _own(line, where, lambda step: step.lots) if field == "lot" else None
        if own is None:
            return _with_step(line, where, lambda _: {field: value})
        name, k = own
        return _with_step(line, name, lambda step: {
            "lots": replaced(step.lots, k, lambda lot: with_fields(lot, line.currency, pieces=int(value)))
        })  # fmt: skip

    return turn


def _turn_people(line: Line, where: str, value: float) -> Line:
    k = _index(line.people, where)
    return rebuilt(line, people=replaced(line.people, k, lambda crew: with_fields(crew, line.currency, number=value)))


def _turn_machines(line: Line, where: str, value: float) -> Line:
    k = _index(line.stations, where)
    return rebuilt(
        line, stations=replaced(line.stations, k, lambda one: with_fields(one, line.currency, machines=value))
    )


def scaled(quantity: Quantity, times: float, line: Line) -> Quantity:
    """So many times a quantity, with what is known of it and how it varies in proportion; a study becomes its readings."""
    readings = quantity.readings
    if quantity.study is not None:
        study = next(one for one in line.studies if one.name == quantity.study)
        readings = tuple(one.value.value for one in study.readings)
        value = sum(readings) / len(readings)
        quantity = replace(quantity, given="readings", study=None, value=value, field_of=("readings",))
    return replace(
        quantity,
        value=quantity.value * times,
        low=None if quantity.low is None else quantity.low * times,
        high=None if quantity.high is None else quantity.high * times,
        readings=tuple(one * times for one in readings),
    )


def _turn_set_up(line: Line, where: str, value: float) -> Line:
    def change(step: Step) -> dict[str, Any]:
        assert step.set_up is not None
        pairs = tuple(
            with_fields(pair, line.currency, time=scaled(pair.time, value, line)) for pair in step.set_up.pairs
        )
        time = scaled(step.set_up.time, value, line)
        return {"set_up": with_fields(step.set_up, line.currency, time=time, pairs=pairs)}

    return _with_step(line, where, change)


def _turn_demand(line: Line, where: str, value: float) -> Line:
    k = _index(line.products, where)
    return rebuilt(
        line,
        products=replaced(
            line.products, k, lambda one: with_fields(one, line.currency, demand=scaled(one.demand, value, line))
        ),
    )


def _cash(line: Line) -> Places:
    return {"": line.money.cash.value} if line.money is not None and line.money.cash is not None else {}


def _turn_cash(line: Line, where: str, value: float) -> Line:
    assert line.money is not None
    assert line.money.cash is not None
    cash = replace(line.money.cash, value=float(value), given="text", low=None, high=None)
    return rebuilt(line, money=with_fields(line.money, line.currency, cash=cash))


KINDS: dict[str, Kind] = {
    kind.key: kind
    for kind in (
        Kind("cards", "cards of", "cards", 1, True, _released("cards", "cards"), _turn_release("cards")),
        Kind("per card", "pieces a card of", "pieces", 1, True, _released("cards", "per_card"), _turn_release("per_card")),
        Kind("cap", "cap of", "pieces", 1, True, _released("cap", "limit"), _turn_release("limit")),
        Kind("room before", "room before", "pieces", 0, True, _rooms("before"), _turn_room("before")),
        Kind("room after", "room after", "pieces", 1, True, _rooms("after"), _turn_room("after")),
        Kind("lot", "lot of", "pieces", 1, True, _lots("lot"), _turn_lot("lot")),
        Kind("transfer lot", "transfer lot of", "pieces", 1, True, _lots("transfer_lot"), _turn_lot("transfer_lot")),
        Kind("people", "people of", "people", 1, True, lambda line: {one.name: one.number for one in line.people}, _turn_people),
        Kind("machines", "machines of", "machines", 1, True, lambda line: {one.name: one.machines for one in line.stations}, _turn_machines),
        Kind("set-up", "set-up of", "times", 0, False, lambda line: {one.name: 1.0 for one in line.steps if one.set_up}, _turn_set_up),
        Kind("demand", "demand of", "times", 0, False, lambda line: {one.name: 1.0 for one in line.products}, _turn_demand),
        Kind("cash", "cash", "money", float("-inf"), False, _cash, _turn_cash),
    )
}  # fmt: skip
"""Kinds of knobs by name: text of a search, sliders and documentation are read off this table."""
