"""What is looked for on a line: one rule for each way in which something can be out of place, and the bounds above which it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pullwright.account.line_accounts import Accounts
from pullwright.figure import Figure, derive
from pullwright.flow.stock import Stock

PlaceKind = Literal["station", "crew", "step", "stock", "floor", "account", "line"]


@dataclass(frozen=True, slots=True)
class Finding:
    """Something out of place: what kind of place it is, its name (as in the line file), one to three words, a sentence, the figure behind it."""

    kind: PlaceKind
    place: str
    word: str
    sentence: str
    figure: Figure


MUCH_STOCK = 2.0
MUCH_AGAIN = 0.05
MUCH_SCRAP = 0.05
MUCH_EXTRA = 0.5
MUCH_WALKING = 0.10
MUCH_WAITING = 0.50
MUCH_UNTRACED = 0.05
MUCH_UNEXPLAINED = 0.10
MUCH_TOO_MUCH = {"hours": 0.02, "floor": 0.02, "material": 0.05}
MUCH_LONGER = 1.05
"""Bounds above which something is said to be out of place: times the stock needed, shares of the pieces, of the cycle, of the bought, of
the account (what is explained beyond the whole apart), times the lead time (common practice)."""


def overloaded(accounts: Accounts) -> Iterator[Finding]:
    """Is a station or a crew to do more than it can?"""
    stations = {id(station) for station in accounts.flow.stations}
    for one in accounts.flow.overloads():
        kind: PlaceKind = "station" if id(one) in stations else "crew"
        said = f"{_first_up(one.name)} is loaded to {one.load.short()}: it cannot do what customers pull."
        yield Finding(kind, one.name, "beyond takt", said, one.load)


def no_room(accounts: Accounts) -> Iterator[Finding]:
    """Does more come at a time than fits?"""
    flow = accounts.flow
    for stock in accounts.ground.stocks:
        if stock.part is None or stock.capacity is None or flow.line.parts[stock.part].delivery_lot is None:
            continue
        lot = flow.givens.figure(("parts", stock.part, "delivery_lot"))
        if lot.value > stock.capacity.value:
            store = None if stock.store is None else flow.line.stores[stock.store]
            carried = store is not None and store.overflow is not None
            rest = "the rest is carried away and back" if carried else "the rest has no place"
            said = f"{_first_up(stock.name)}: {lot.short()} come at a time, {stock.capacity.short()} fit; {rest}."
            yield Finding("stock", stock.words, "no room", said, lot)


def piled(accounts: Accounts) -> Iterator[Finding]:
    """Does more lie somewhere than fits, or than the flow needs?"""
    for stock in accounts.ground.stocks:
        held, needed = stock.held, stock.needed
        if not np.isfinite(held.value):
            said = f"The stock {_where(stock)} grows without end: more comes than can be taken."
            yield Finding("stock", stock.words, "grows without end", said, held)
        elif stock.capacity is not None and held.value > stock.capacity.value:
            said = f"{_lying(stock)}; there is room for {stock.capacity.short()}."
            yield Finding("stock", stock.words, "more than fits", said, held)
        elif (
            stock.counted is not None
            and held.value > MUCH_STOCK * needed.value
            and stock.beyond.value > stock.taken.value
        ):
            said = f"{_lying(stock)}; {f'the flow needs {_about(needed)}' if stock.taken.value > 0 else 'nobody takes any'}."
            yield Finding("stock", stock.words, "too much stock", said, stock.beyond)


def growing(accounts: Accounts) -> Iterator[Finding]:
    """Does stock surely grow?"""
    for one in accounts.ground.ahead:
        if _surely_above_zero(one.growth):
            said = f"The stock {one.stock.words} grows by {one.growth.text()}: somebody makes what nobody pulls."
            yield Finding("stock", one.stock.words, "growing", said, one.growth)
    for stock in accounts.ground.stocks:
        growth = stock.made_ahead
        if stock.kind == "part" and growth is not None and _surely_above_zero(growth):
            said = f"The stock of {stock.name} grows by {growth.text()}: more is bought than is used."
            yield Finding("stock", stock.words, "growing", said, growth)


def left_over(accounts: Accounts) -> Iterator[Finding]:
    """Does stock grow before a station that cannot keep up?"""
    flow = accounts.flow
    over = {station.name: station for station in flow.stations if station.load.value > 1 + 1e-9}
    for stock in accounts.ground.stocks:
        station = (
            over.get(flow.line.steps[stock.step].station) if stock.kind == "before" and stock.step is not None else None
        )
        if station is None or not np.isfinite(stock.held.value) or stock.step is None:
            continue
        more = derive(
            f"left over a day / {stock.words}", lambda r, u: r * np.maximum(1 - 1 / np.maximum(u, 1e-12), 0.0),
            flow.rates.steps[stock.step].started, station.load, unit="pieces/wd", formula="pieces that come in a day x (1 - 1 / load)",
        )  # fmt: skip
        said = f"{_first_up(stock.words)}, {more.short()} more come than {station.name} can take: the pile grows without end."
        yield Finding("stock", stock.words, "grows without end", said, more)


def idle(accounts: Accounts) -> Iterator[Finding]:
    """Do people wait for much of their paid time?"""
    row = accounts.hours.row("waiting")
    if row.share.value > MUCH_WAITING:
        said = f"People wait for {row.amount.short()} of {accounts.hours.whole.short()} that are paid."
        yield Finding("account", "hours", "waiting", said, row.amount)


def extra(accounts: Accounts) -> Iterator[Finding]:
    """Is most of a step work that nobody asked for?"""
    for step in accounts.flow.rates.steps:
        for group in step.groups:
            more, cycle = group.work.kinds.get("extra"), group.work.cycle
            if more is not None and more.value > MUCH_EXTRA * cycle.value > 0:
                said = f"{_first_up(step.name)} is {more.short()} of work on each piece that nobody is known to need."
                yield Finding("step", step.name, "who asked?", said, more)
                break


def finer(accounts: Accounts) -> Iterator[Finding]:
    """Is a tolerance or finish asked for that is tighter than needed?"""
    givens = accounts.flow.givens
    for i, step in enumerate(accounts.flow.line.steps):
        for k, asked in enumerate(step.asked):
            if asked.asked.value < asked.needed.value:
                figure = givens.figure(("steps", i, "asked", k, "asked"))
                needed = givens.figure(("steps", i, "asked", k, "needed"))
                said = f"{_first_up(asked.what)} at {step.name}: {_fine(figure)} asked for, {_fine(needed)} would do."
                yield Finding("step", step.name, "finer than needed", said, figure)


def again(accounts: Accounts) -> Iterator[Finding]:
    """Is much done again?"""
    for step in accounts.flow.rates.steps:
        rework = step.losses.rework
        if rework is not None and rework.value > MUCH_AGAIN:
            said = f"{rework.text()} of the pieces at {step.name} are done again."
            yield Finding("step", step.name, "done again", said, rework)


def scrapped(accounts: Accounts) -> Iterator[Finding]:
    """Is much thrown away?"""
    for step in accounts.flow.rates.steps:
        scrap = step.losses.scrap
        if scrap is not None and scrap.value > MUCH_SCRAP:
            said = f"{scrap.text()} of the pieces at {step.name} are thrown away."
            yield Finding("step", step.name, "thrown away", said, scrap)


def walking(accounts: Accounts) -> Iterator[Finding]:
    """Does much of a step go by on foot?"""
    for step in accounts.flow.rates.steps:
        for group in step.groups:
            motion, cycle = group.work.kinds.get("motion"), group.work.cycle
            if motion is not None and motion.value > MUCH_WALKING * cycle.value > 0:
                said = f"Each piece at {step.name} costs {motion.short()} on foot."
                yield Finding("step", step.name, "walking", said, motion)
                break


def unneeded(accounts: Accounts) -> Iterator[Finding]:
    """Do things stand on the floor that nobody needs?"""
    area = accounts.floor.row("red-tagged").amount
    if area.value > 0:
        yield Finding("floor", "floor", "red-tagged", f"Things that nobody needs stand on {area.short()}.", area)


def untraced(accounts: Accounts) -> Iterator[Finding]:
    """Is more bought of a part than there is any trace of, or less than is used?"""
    for one in accounts.ground.parts:
        rest, bought = one.untraced, one.bought
        if abs(rest.value) <= MUCH_UNTRACED * bought.value or not _surely_not_zero(rest):
            continue
        name = accounts.flow.line.parts[one.part].name
        if rest.value > 0:
            said = f"{_first_up(name)}: {bought.short()} are bought, and of {rest.text()} there is no trace."
        else:
            less = rest.short().removeprefix("−")
            said = f"{_first_up(name)}: {bought.short()} are bought, {less} less than are used and piled up."
        yield Finding("stock", name, "no trace", said, rest)


_TOO_LITTLE = {
    "hours": "Of {whole} that are paid, {rest} are not explained.",
    "floor": "Of {whole} of floor, {rest} are not explained.",
    "material": "Of {whole} of material bought, {rest} are not explained.",
}
_TOO_MUCH = {
    "hours": "{rest} more work is found than people are paid for.",
    "floor": "{rest} more stands on the floor than there is.",
    "material": "{rest} more material is used than bought.",
}


def unexplained(accounts: Accounts) -> Iterator[Finding]:
    """Does an account surely leave much unexplained, or explain more than there is?"""
    for account in (accounts.hours, accounts.floor, accounts.material):
        row = account.unexplained
        if not -MUCH_TOO_MUCH[account.key] > row.share.value and not row.share.value > MUCH_UNEXPLAINED:
            continue
        if not _surely_not_zero(row.amount):
            continue
        table = _TOO_MUCH if row.amount.value < 0 else _TOO_LITTLE
        currency = accounts.flow.line.currency
        rest = row.amount.short(currency).removeprefix("−")
        said = table[account.key].format(whole=account.whole.short(currency), rest=rest)
        yield Finding("account", account.key, "not explained", said, row.amount)


def longer(accounts: Accounts) -> Iterator[Finding]:
    """Does a flow that joins take longer than the main flow?"""
    ladder = accounts.flow.ladder
    if ladder.longest.value > MUCH_LONGER * ladder.lead.value:
        said = f"A flow that joins takes longer than the main flow: {ladder.longest.short()} against {ladder.lead.short()}."
        yield Finding("line", accounts.flow.line.line, "longer way", said, ladder.longest)


RULES: tuple[Callable[[Accounts], Iterator[Finding]], ...] = (
    overloaded, no_room, piled, left_over, growing, extra, finer, again, scrapped, walking, idle, unneeded, untraced, unexplained, longer,
)  # fmt: skip
"""What is looked for, the gravest first."""


def _surely_not_zero(figure: Figure) -> bool:
    """Does its interval lie on one side of zero? What may be luck is not out of place."""
    low, high = figure.interval()
    return low > 0 or high < 0


def _surely_above_zero(growth: Figure) -> bool:
    return growth.value > 0 and growth.interval()[0] > 0


def _where(stock: Stock) -> str:
    return f"of {stock.name}" if stock.kind == "part" else stock.words


def _lying(stock: Stock) -> str:
    """How much lies where, as counted or as the flow lets it pile up."""
    what = f" of {stock.name}" if stock.kind == "part" else ""
    place = "in store" if stock.kind == "part" else stock.words
    if stock.counted is None:
        return _first_up(f"{_about(stock.held)}{what} pile up {place}")
    return f"{stock.held.short()}{what} {'lies' if stock.held.value == 1 else 'lie'} {place}"


def _about(pieces: Figure) -> str:
    """A stock that was worked out, in whole pieces."""
    if pieces.value < 1:
        return "less than one piece"
    whole = round(pieces.value)
    return ("" if whole == pieces.value else "about ") + ("1 piece" if whole == 1 else f"{whole} pieces")


def _first_up(words: str) -> str:
    """A sentence begins with a capital, unless its first word is a name written in its own way (P-40, CNC)."""
    first = words.split(" ", 1)[0]
    return words[:1].upper() + words[1:] if first.islower() else words


def _fine(length: Figure) -> str:
    """Tolerances and finishes read in micrometres."""
    return f"{length.value * 1e6:.3g} µm" if length.value < 1e-3 else length.short()
