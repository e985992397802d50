"""The chapter of the lots: how many of each product are made between two set-ups, in which order, and what a shorter set-up buys."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from pullwright.figure import Figure, parts
from pullwright.pull.lots.of_line import Lots, StationLots
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Cell, Chapter, PlanRow, PlanTable


def told_lots(plan: PullPlan) -> Chapter:
    """In which lots, and how often, is every product made?"""
    lots = plan.lots
    short = [one for one in lots.stations if not one.keeps_up]
    return Chapter(
        key="lots",
        title="Lots and set-ups",
        sentence=_sentence(lots, short, plan.flow.line.currency),
        look=bool(short),
        tables=tuple(_tables(lots)),
        reasons=tuple(
            said.removeprefix("Why: ") for said in (*lots.said, *(said for one in lots.stations for said in one.said))
        ),
        changes=lots.changes,
    )


def _sentence(lots: Lots, short: list[StationLots], currency: str) -> str:
    if short:
        return _no_room(short[0])
    if not lots.stations:
        return lots.said[0] if lots.said else "No step of this line is set up: there are no lots."
    longest = max(lots.stations, key=lambda one: one.chosen.interval.value)
    said = f"Every product is made once in {longest.chosen.interval.short()} at {longest.station}, and at least as often everywhere else."
    return f"{said}{_price(lots, currency)}"


def _no_room(one: StationLots) -> str:
    """What cannot be at a station, and what would make room for it."""
    said = [words for words in one.said if words.startswith(("Every product every", "For every product"))]
    return f"At {one.station}: {' '.join(said)}" if said else one.said[0]


def _price(lots: Lots, currency: str) -> str:
    """What these lots cost more in a year than today's, and how much sooner they are there."""
    pairs = [
        (one.chosen, one.choice("today"))
        for one in lots.stations
        if any(choice.key == "today" for choice in one.choices)
    ]
    if not pairs or any(a.cost is None or b.cost is None for a, b in pairs):
        return ""
    more = sum(a.cost.value - b.cost.value for a, b in pairs if a.cost is not None and b.cost is not None)
    days = sum(b.wait.value - a.wait.value for a, b in pairs)
    if not isfinite(more) or not isfinite(days):
        return ""
    bought = f"{abs(days):.2g} d {'less' if days > 0 else 'more'} waiting, added up over the stations"
    if abs(more) < 1:
        return ""
    money = parts(abs(more), abs(more), abs(more), "money", currency)
    return (
        f" Against today's lots that costs {money.value} {money.unit} {'more' if more > 0 else 'less'} a year in hands for set-ups "
        f"and in carrying of stock, for {bought}."
    )


def _tables(lots: Lots) -> Iterator[PlanTable]:
    if not lots.stations:
        return
    yield PlanTable(
        "Each station that is set up", ("every product once in", "once in, today", "lots", "lots today", "set-ups a day take", "tied up in lots", "tied up today"),
        tuple(_station(one) for one in lots.stations),
    )  # fmt: skip
    for one in lots.stations:
        yield PlanTable(
            f"Ways to choose the lots at {one.station}", ("every product once in", "pieces", "set-ups a year", "load", "stock of the lots", "from wanted to done", "costs a year"),
            tuple(
                PlanRow(
                    choice.words + (" (chosen)" if choice.key == one.chosen.key else ""),
                    (choice.interval, _pieces(choice.pieces, one), choice.set_ups, choice.load, choice.stock, choice.wait, _or(choice.cost, "not known")),
                )
                for choice in one.choices
            ),
            (f"Order of the set-ups: {' then '.join(one.order)}.",) if len(one.order) > 1 else (),
            behind=True,
        )  # fmt: skip
        if one.shorter:
            yield PlanTable(
                f"What shorter set-ups buy at {one.station}", ("a set-up", "every product once in", "lot", "stock", "from wanted to done", "people's time a year", "costs a year"),
                tuple(PlanRow(row.words, (row.set_up, row.interval, row.lot, row.stock, row.wait, row.hands, _or(row.cost, "not known"))) for row in one.shorter),
                behind=True,
            )  # fmt: skip
    handed = [one for station in lots.stations for one in station.handed]
    if handed:
        yield PlanTable(
            "Handing on before the lot is done", ("lot", "handed on at a time", "sooner by", "trips a day"),
            tuple(PlanRow(one.name, (" and ".join(f"{pieces} {name}" for name, pieces in one.lots) if not one.alike else str(one.lot), str(one.transfer), one.saved, one.trips)) for one in handed), behind=True,
        )  # fmt: skip
    if lots.crews:
        yield PlanTable(
            "Who has the time to set up", ("set-ups today", "with these lots", "load today", "then"),
            tuple(PlanRow(one.name, (one.today, one.planned, one.load_today, one.load), "too much" if one.load.value > 1 + 1e-9 else "") for one in lots.crews), behind=True,
        )  # fmt: skip


def _station(one: StationLots) -> PlanRow:
    chosen, today = one.chosen, next((choice for choice in one.choices if choice.key == "today"), None)
    return PlanRow(
        one.station,
        (
            chosen.interval, None if today is None else today.interval, _pieces(chosen.pieces, one), "" if today is None else _pieces(today.pieces, one), chosen.set_up_time,
            chosen.tied_up, None if today is None else today.tied_up,
        ),
        "" if one.keeps_up else "no time for set-ups",
    )  # fmt: skip


def _pieces(pieces: tuple[int, ...], one: StationLots) -> str:
    made = one.there.made
    several = len({each.step for each in made}) > 1
    return ", ".join(
        f"{n} {each.step_name + ' / ' if several else ''}{each.product}" for n, each in zip(pieces, made, strict=True)
    )


def _or(figure: Figure | None, words: str) -> Cell:
    return words if figure is None else figure
