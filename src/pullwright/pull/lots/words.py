"""The lots of a line in plain sentences: what to make in which lots, why, and what gives where it cannot be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.terms import carrying_rate
from pullwright.figure import parts, percent
from pullwright.flow import Flow
from pullwright.pull.lots import choosing
from pullwright.pull.lots.choosing import Longer
from pullwright.pull.lots.economic import at_least
from pullwright.pull.lots.hands import FULLEST, CrewSetUps
from pullwright.pull.lots.interval import WhatGives
from pullwright.pull.lots.made_there import MadeThere
from pullwright.pull.lots.shorter_table import ShorterRow
from pullwright.pull.lots.side_by_side import Choice, ChoiceKey

if TYPE_CHECKING:
    from pullwright.pull.lots.handing_on import HandedOn
    from pullwright.pull.lots.of_line import StationLots


def of_a_station(
    ground: Ground, there: MadeThere, choices: Sequence[Choice], chosen: Choice, longer: Longer, order: tuple[str, ...],
    rows: Sequence[ShorterRow], handed: Sequence[HandedOn], gives: WhatGives | None,
) -> tuple[str, ...]:  # fmt: skip
    """All that is said of a station, the verdict first."""
    found = {one.key: one for one in choices}
    return (
        *_verdict(there, found, chosen),
        *_why(found, chosen, longer),
        *_gives(ground, there, gives),
        *_time(there),
        *_order(there, order),
        *_soonest(found),
        *_cost(ground, there, found, chosen),
        *_shorter(ground, rows),
        *_handed(handed),
        *([f"Nobody pulls {_and(there.idle)}, so no lot is made of it."] if there.idle else []),
        *_machines(there),
    )


def of_the_line(
    flow: Flow, stations: Sequence[StationLots], crews: Sequence[CrewSetUps], nobody: Sequence[str]
) -> tuple[str, ...]:
    """What is said of the line as a whole."""
    if not stations and not nobody:
        return ("No step of this line is set up: lots can be as small as one piece.",)
    short = [one.station for one in stations if not one.keeps_up]
    said = [f"{_and(nobody)}: nobody pulls what is made there, so there are no lots to choose."] if nobody else []
    if short:
        said.append(f"There is no room for the set-ups as wished at {_and(short)}.")
    changed = [one for one in stations if one.chosen.key != "today"]
    if changed:
        times = [(one.choice("today").wait.value, one.chosen.wait.value) for one in changed]
        if all(np.isfinite(pair).all() for pair in times):
            before, after = sum(now for now, _ in times), sum(then for _, then in times)
            said.append(
                f"With the lots of this plan a lot is done {_days(after)} after it is wanted, added up over {len(changed)} stations; today {_days(before)}."
                if len(changed) > 1
                else f"With the lots of this plan a lot is done {_days(after)} after it is wanted; today {_days(before)}."
            )
    full = [crew for crew in crews if crew.load.value > max(FULLEST, crew.load_today.value) + 1e-9]
    said += [
        f"{crew.name} has {crew.today.short()} of set-ups today and {crew.planned.short()} with this plan, and becomes {crew.load.short()} full."
        for crew in crews
    ]
    said += [f"{crew.name} has no time for that: more hands, or shorter set-ups." for crew in full]
    if any(_dearer(one) for one in changed):
        said.append(
            "Lots of least cost count every minute of a set-up as a cost. It is saved only where those hands have other work meanwhile; until then smaller lots cost nothing more."
        )
    return tuple(said)


def _dearer(one: StationLots) -> bool:
    least = next((choice.cost for choice in one.choices if choice.key == "economic"), None)
    return least is not None and one.chosen.cost is not None and one.chosen.cost.value > least.value


def why_lot(there: MadeThere, chosen: Choice, handed: HandedOn, lots: dict[str, int]) -> str:
    """Why a step has this lot; `lots`, those of `handed` in whole containers."""
    fuller = " and the containers are filled" if lots != dict(handed.lots) else ""
    return f"{handed.name}: every product is made every {chosen.interval.short()} at {there.name}: {chosen.because}{fuller}"


def why_transfer(handed: HandedOn, transfer: int, smallest: int, today: int | None) -> str:
    """Why so many (`transfer`) are handed on at a time; `smallest` of the lots, in whole containers."""
    if today is not None and transfer == smallest < today:
        which = "" if handed.alike else " of the product with the smallest lot"
        return f"{handed.name}: no more can be handed on at a time than is made{which}, {smallest} pieces"
    return f"{handed.name}: {transfer} are handed on at a time, no more than are carried: a piece goes on {handed.saved.short()} sooner than with its whole lot"


def _verdict(there: MadeThere, found: dict[ChoiceKey, Choice], chosen: Choice) -> Iterator[str]:
    today = found["today"]
    if chosen.key == "today":
        why = (
            f"production alone takes {_share(there)} of what there is"
            if there.left.value <= 0
            else "the line file wishes that they take none"
        )
        yield f"{there.name}: no time is left for set-ups; {why}."
        return
    lots = _lots(there, chosen)
    wait = f"a lot is done {_days(chosen.wait.value)} after it is wanted"
    wait += (
        f"; with today's lots {_days(today.wait.value)}"
        if np.isfinite(today.wait.value)
        else "; with today's lots the queue grows without end"
    )
    if not chosen.interval.value > 0:
        yield f"{there.name}: make one piece at a time, as they are wanted: {wait}."
        return
    every = (
        f"every {chosen.interval.short()} (today every {today.interval.short()})"
        if len(there.made) > 1
        else f"every {chosen.interval.short()}"
    )
    yield f"{there.name}: make {lots}, {every}: {wait}."
    if chosen.load.interval()[1] >= 1 > chosen.load.value:
        yield f"That it has the time is not sure: {there.name} is {chosen.load.text()} full then."


def _why(found: dict[ChoiceKey, Choice], chosen: Choice, longer: Longer) -> Iterator[str]:
    """Why it is that interval."""
    if chosen.key == "today" or not chosen.interval.value > 0:
        return
    steady = found["steady"]
    if chosen.key == "steady":
        yield "That keeps waiting shortest: smaller lots wait for one another's set-ups, larger ones for one another's pieces."
        return
    reasons = list(longer.reasons)
    reasons[0] = (
        f"waiting is shortest ({_days(steady.wait.value)}) when every product is made every {steady.interval.short()}; {reasons[0]}"
    )
    yield f"Why: {'; and '.join(reasons)}."


def _gives(ground: Ground, there: MadeThere, gives: WhatGives | None) -> Iterator[str]:
    if gives is None:
        return
    most = choosing.longest(ground)
    if there.room.value > 0 and most is not None:
        yield (
            f"Every product every {most.short()} cannot be: a round of set-ups takes {there.around.short()}, and a day has "
            f"{_time_a_day(there.room.value)} for set-ups."
        )
    ways = [f"{_time_a_day(gives.overtime)} more working time of the machines a day"] if gives.overtime > 0 else []
    ways += [f"{percent(gives.demand)} of the demand"] if gives.demand is not None and gives.demand < 1 else []
    ways += (
        [f"set-ups in {percent(gives.set_ups)} of their time"]
        if gives.set_ups is not None and gives.set_ups < 1
        else []
    )
    ways += [f"an interval of {_days(gives.interval)}"] if gives.interval is not None else []
    if ways:
        each = f"every {_days(most.value)}" if most is not None else "as seldom as today"
        yield f"For every product {each}, one of these would do: {', or '.join(ways)}."
    else:
        yield "No single measure makes room: the wishes have to give, or more time, less demand and shorter set-ups come together."


def _time(there: MadeThere) -> Iterator[str]:
    if there.left.value > 0:
        yield (
            f"Production takes {_time_a_day(there.production.value)} of the {_time_a_day(there.available.value)} of a day, "
            f"which leaves {_time_a_day(there.left.value)}"
            + (
                f", of which set-ups may take {_time_a_day(there.room.value)}."
                if there.room is not there.left
                else " for set-ups."
            )
        )


def _order(there: MadeThere, order: tuple[str, ...]) -> Iterator[str]:
    cycle = there.cycle
    if len(order) == 1:
        yield f"Only {order[0]} is made there in lots: every lot has a set-up of {there.around.short()}."
        return
    around = f"a round of set-ups takes {there.around.short()}"
    if len(order) == 2:
        yield f"Two products take turns: {around}."
        return
    sure = "no order takes less" if cycle.proven else f"no order takes less than {percent(1 - cycle.gap)} of that"
    mean = sum(one.today[1].value for one in there.made)
    saves = f", {_seconds(mean - cycle.time)} less than in any order that comes" if mean - cycle.time > 1 else ""
    yield f"Make {_then(order)}, and round again: {around}{saves}; {sure}."


def _soonest(found: dict[ChoiceKey, Choice]) -> Iterator[str]:
    if "interval" not in found:
        return
    soonest = found["interval"]
    if not soonest.interval.value > 0:
        yield "Set-ups take no time: lots of one piece cost nothing."
        return
    full = (
        f" The machine is {soonest.load.short()} full then, which leaves nothing for a bad day."
        if soonest.load.value > 0.98
        else ""
    )
    yield f"With all the time that set-ups may take, every product comes round every {soonest.interval.short()}.{full}"


def _cost(ground: Ground, there: MadeThere, found: dict[ChoiceKey, Choice], chosen: Choice) -> Iterator[str]:
    if missing := choosing.lacking(ground, there):
        yield f"Lots of least cost are not reckoned: the line file lacks {_and(missing)}."
        return
    if "economic" not in found or chosen.cost is None:
        return
    cheap, currency = found["economic"], ground.flow.line.currency
    if cheap.cost is None or not np.isfinite(cheap.interval.value):
        return
    dearer = chosen.cost.value - cheap.cost.value
    more = f"{_money(dearer, currency)} a year less than this plan" if dearer > 0 else "no less than this plan"
    yield (
        f"Lots of least cost would come round every {cheap.interval.short()}: hands for set-ups and carrying of stock cost {cheap.cost.short(currency)} then, {more}, "
        f"and a lot is done {_days(cheap.wait.value)} after it is wanted. Whatever the schedule, {_money(_least(ground, there), currency)} a year is the least."
    )


def _least(ground: Ground, there: MadeThere) -> float:
    """The bound under the cost of any schedule (money/year)."""
    days, rate = ground.flow.givens.working_days("year").value, carrying_rate(ground.flow).value
    clock = max(there.clock.value, 1e-9)
    return at_least(
        [one.started.value * days for one in there.made],
        [one.set_up.value * one.people.value * ground.wage.value for one in there.made],
        [max((0.0 if one.worth is None else one.worth.value) * rate, 1e-12) for one in there.made],
        [min(one.started.value * one.time.value / clock, 1 - 1e-9) for one in there.made],
        [one.set_up.value for one in there.made],
        there.room.value * days,
    )[0]


def _shorter(ground: Ground, rows: Sequence[ShorterRow]) -> Iterator[str]:
    if len(rows) < 2:
        return
    now, half = rows[0], next(row for row in rows if row.share == 0.5)
    if not (np.isfinite(now.interval.value) and now.interval.value > 0):
        return
    floor = (
        f", {parts(now.floor.value - half.floor.value, 0, 0, 'm2').value} m² less floor"
        if now.floor is not None and half.floor is not None and now.floor.value > half.floor.value
        else ""
    )
    yield (
        f"Set-ups in half their time: every product every {half.interval.short()} instead of {now.interval.short()}, "
        f"{_text(round(now.stock.value - half.stock.value), 'pieces')} less in stock{floor}, and a lot is done {_days(now.wait.value - half.wait.value)} sooner."
    )


def _handed(handed: Sequence[HandedOn]) -> Iterator[str]:
    for one in handed:
        if one.transfer < one.lot and one.saved.value > 1:
            yield f"{one.name}: hand on {one.transfer} at a time; on average a piece goes on {one.saved.short()} sooner than with its whole lot."


def _machines(there: MadeThere) -> Iterator[str]:
    count = there.station.machines.value
    if count > 1:
        yield f"{there.name} has {count:.0f} machines: each lot is taken to be made at one of them, set up once; which one is not planned here."


def _lots(there: MadeThere, choice: Choice) -> str:
    return _and([f"{n} {there.words(one)}" for one, n in zip(there.made, choice.pieces, strict=True)])


def _share(there: MadeThere) -> str:
    return percent(there.production.value / there.available.value) if there.available.value > 0 else "more than all"


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _then(names: Sequence[str]) -> str:
    return ", then ".join(names)


def _days(days: float) -> str:
    return _text(days, "wd")


def _seconds(seconds: float) -> str:
    return _text(seconds, "s")


def _time_a_day(seconds: float) -> str:
    return _text(seconds, "s")


def _money(money: float, currency: str) -> str:
    found = parts(money, money, money, "money", currency)
    return f"{found.value} {found.unit}"


def _text(value: float, unit: str) -> str:
    found = parts(value, value, value, unit)
    return f"{found.value} {found.unit}".strip()
