"""What is out of place on a line: the only reasons for colour on a screen or a print, each with its word, sentence and figure."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pullwright.account.line_accounts import Accounts
from pullwright.figure import Figure
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


MUCH_REWORK = 0.05
MUCH_WALKING = 0.10
MUCH_UNEXPLAINED = 0.10
"""Shares above which something is said to be out of place (common practice: a twentieth, a tenth)."""


def findings_of(accounts: Accounts) -> tuple[Finding, ...]:
    """What is out of place, the gravest kinds first?"""
    return tuple(finding for rule in RULES for finding in rule(accounts))


def _overloaded(accounts: Accounts) -> Iterator[Finding]:
    for one in accounts.flow.overloads():
        kind: PlaceKind = "station" if one in accounts.flow.stations else "crew"
        yield Finding(
            kind,
            one.name,
            "beyond takt",
            f"{one.name} is loaded to {one.load.short()}: it cannot do what customers pull.",
            one.load,
        )


def _no_room(accounts: Accounts) -> Iterator[Finding]:
    line = accounts.flow.line
    for stock in accounts.flow.stocks:
        if stock.part is None or stock.capacity is None or line.parts[stock.part].delivery_lot is None:
            continue
        lot = accounts.flow.givens.figure(("parts", stock.part, "delivery_lot"))
        if lot.value > stock.capacity.value:
            yield Finding(
                "stock",
                stock.words,
                "no room",
                f"{stock.name}: {lot.short()} come at a time, {stock.capacity.short()} fit; the rest is carried away and back.",
                lot,
            )


def _piled(accounts: Accounts) -> Iterator[Finding]:
    for stock in accounts.flow.stocks:
        held, needed = stock.held, stock.needed
        if not np.isfinite(held.value):
            yield Finding(
                "stock",
                stock.words,
                "grows without end",
                f"Stock {stock.words} grows without end: more comes than can be taken.",
                held,
            )
        elif stock.capacity is not None and held.value > stock.capacity.value:
            yield Finding(
                "stock",
                stock.words,
                "more than fits",
                f"{_lying(stock)}; there is room for {stock.capacity.short()}.",
                held,
            )
        elif stock.counted is not None and held.value > 2 * needed.value and stock.beyond.value > stock.taken.value:
            yield Finding(
                "stock",
                stock.words,
                "too much stock",
                f"{_lying(stock)}; the flow needs {needed.short()}.",
                stock.beyond,
            )


def _lying(stock: Stock) -> str:
    held = stock.held.short()
    return f"{held} of {stock.name} lie in store" if stock.kind == "part" else f"{held} lie {stock.words}"


def _growing(accounts: Accounts) -> Iterator[Finding]:
    for stock in accounts.flow.stocks:
        growth = stock.made_ahead
        if growth is not None and growth.value > 0 and growth.interval()[0] > 0:
            yield Finding(
                "stock",
                stock.words,
                "growing",
                f"The stock {stock.words} grows by {growth.text()}: somebody makes what nobody pulls.",
                growth,
            )


def _extra(accounts: Accounts) -> Iterator[Finding]:
    for step in accounts.flow.rates.steps:
        for group in step.groups[:1]:
            extra, cycle = group.work.kinds.get("extra"), group.work.cycle
            if extra is not None and extra.value > 0.5 * cycle.value > 0:
                yield Finding(
                    "step",
                    step.name,
                    "who asked?",
                    f"{step.name} is {extra.short()} of work on each piece that nobody is known to need.",
                    extra,
                )


def _finer(accounts: Accounts) -> Iterator[Finding]:
    for i, step in enumerate(accounts.flow.line.steps):
        for k, asked in enumerate(step.asked):
            if asked.asked.value < asked.needed.value:
                figure = accounts.flow.givens.figure(("steps", i, "asked", k, "asked"))
                needed = accounts.flow.givens.figure(("steps", i, "asked", k, "needed"))
                yield Finding(
                    "step",
                    step.name,
                    "finer than needed",
                    f"{asked.what} at {step.name}: {_fine(figure)} are asked for, {_fine(needed)} would do.",
                    figure,
                )


def _fine(length: Figure) -> str:
    """Tolerances and finishes read in micrometres."""
    return f"{length.value * 1e6:.3g} µm" if length.value < 1e-3 else length.short()


def _again(accounts: Accounts) -> Iterator[Finding]:
    for step in accounts.flow.rates.steps:
        rework = step.losses.rework
        if rework is not None and rework.value > MUCH_REWORK:
            yield Finding(
                "step", step.name, "done again", f"{rework.text()} of the pieces at {step.name} are done again.", rework
            )


def _walking(accounts: Accounts) -> Iterator[Finding]:
    for step in accounts.flow.rates.steps:
        for group in step.groups[:1]:
            motion, cycle = group.work.kinds.get("motion"), group.work.cycle
            if motion is not None and motion.value > MUCH_WALKING * cycle.value > 0:
                yield Finding(
                    "step", step.name, "walking", f"Each piece at {step.name} costs {motion.short()} on foot.", motion
                )


def _unneeded(accounts: Accounts) -> Iterator[Finding]:
    row = accounts.floor.row("red-tagged")
    if row.amount.value > 0:
        yield Finding(
            "floor", "floor", "red-tagged", f"Things that nobody needs stand on {row.amount.short()}.", row.amount
        )


def _unexplained(accounts: Accounts) -> Iterator[Finding]:
    for account in (accounts.hours, accounts.floor, accounts.material):
        row = account.unexplained
        if abs(row.share.value) > MUCH_UNEXPLAINED or row.amount.value < -1e-9 * max(1.0, abs(account.whole.value)):
            much = "more than there is" if row.amount.value < 0 else "nobody can say where it goes"
            yield Finding(
                "account",
                account.key,
                "not explained",
                f"{account.title}: {row.amount.short()} are not explained; {much}.",
                row.amount,
            )


def _longer(accounts: Accounts) -> Iterator[Finding]:
    ladder = accounts.flow.ladder
    if ladder.longest.value > 1.05 * ladder.lead.value:
        yield Finding(
            "line",
            "sub-flow",
            "longer way",
            f"A sub-flow takes longer than the main flow: {ladder.longest.short()} against {ladder.lead.short()}.",
            ladder.longest,
        )


RULES: tuple[Callable[[Accounts], Iterator[Finding]], ...] = (
    _overloaded, _no_room, _piled, _growing, _extra, _finer, _again, _walking, _unneeded, _unexplained, _longer,
)  # fmt: skip
"""What is looked for, the gravest first."""


def sentence(accounts: Accounts, findings: tuple[Finding, ...]) -> str:
    """Say in a sentence, as a foreman would, what was found."""
    first = accounts.flow.verdict()
    others = [finding for finding in findings if finding.word != "beyond takt"]
    if not others:
        return f"{first} Nothing is out of place."
    grave = max(others, key=lambda finding: _weight(accounts, finding))
    count = len(findings)
    rest = f" {count} things are out of place." if count > 1 else " One thing is out of place."
    return f"{first}{rest} {grave.sentence}"


def _weight(accounts: Accounts, finding: Finding) -> float:
    """Days of stock weigh most: they are what a customer waits for."""
    stock = next(
        (stock for stock in accounts.flow.stocks if finding.kind == "stock" and stock.words == finding.place), None
    )
    if stock is None or not np.isfinite(stock.lasts.value):
        return 0.0 if stock is None else float("inf")
    return stock.lasts.value / max(accounts.flow.ladder.lead.value, 1e-12)
