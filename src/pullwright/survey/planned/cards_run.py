"""The forecast's own answer to how many cards are enough: loop after loop, run with all that a loop by itself does not see."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from pullwright.forecast.errors import CannotRun, Stopped
from pullwright.forecast.forecast import Forecast, quick_forecast_of
from pullwright.forecast.search.knob import Knob, turned
from pullwright.line import Line
from pullwright.pull.cards.card import Cards
from pullwright.pull.cards.compared import compared
from pullwright.pull.changes import Change

PLENTY = 4
"""Times as many cards as the plan gives are plenty: what then is not kept, cards cannot help."""
AS_GOOD = 0.01
"""Promises kept to so many (share) of those with plenty of cards count as as good, where the wish itself is out of reach."""


@dataclass(frozen=True)
class LoopRun:
    """The cards of one loop: by the `rule`, by the swings (`stochastic`), and the fewest that are enough in the forecast (`seen`).

    `loop`: its name, that of its step, with its product where each has cards of its own ("hone bore / P-32"); `path`: where it stands in the line file.
    `signal`: how many of its cards are gathered, of a `product` that has cards of its own.
    """

    loop: str
    path: tuple[str | int, ...]
    per_card: int
    rule: int
    stochastic: int
    seen: int
    product: str = ""
    signal: int = 1

    @property
    def words(self) -> str:
        """How the three differ, and why."""
        return compared(self.rule, self.stochastic, self.seen, place=self.loop)

    @property
    def change(self) -> Change:
        """The line file with the cards that the forecast asks for."""
        because = f"{self.seen} cards behind {self.loop}: the fewest with which the forecast keeps what can be kept."
        written: dict[str, str | int] = {"cards": self.seen, "per_card": self.per_card}
        if self.product:
            signal = min(self.signal, self.seen)
            written = {"product": self.product, **written, **({"signal": signal} if signal > 1 else {})}
            return Change(self.path, written, because)
        return Change(self.path, {"by": "cards", **written}, because)


@dataclass(frozen=True)
class CardsRun:
    """All loops, the forecast with them (`forecast`) and with plenty of cards (`plenty`), and the share of promises that was asked of each product.

    Not a guarantee: each number is told from few runs on the same luck; `pullwright forecast --find` looks for one loop with a guarantee.
    """

    loops: tuple[LoopRun, ...]
    plenty: Forecast
    forecast: Forecast
    asked: dict[str, float]

    @property
    def more(self) -> tuple[LoopRun, ...]:
        """The loops for which the forecast asks for more cards than the swings do."""
        return tuple(loop for loop in self.loops if loop.seen > loop.stochastic)

    @property
    def sentence(self) -> str:
        """How the three answers compare over all loops."""
        fewer = sum(loop.seen < loop.stochastic for loop in self.loops)
        seen, swings, rule = (
            sum(getattr(loop, name) for loop in self.loops) for name in ("seen", "stochastic", "rule")
        )
        said = f"The forecast asks for {seen} cards, the swings for {swings}, the rule for {rule}"
        if self.more or fewer:
            return f"{said}: against the swings, more in {_loops(len(self.more))}, fewer in {fewer}."
        return f"{said}." if seen != rule else f"{said}: all three agree."


def cards_by_forecast(
    planned: Line,
    cards: Cards,
    *,
    stop: Callable[[], bool] | None = None,
    tell: Callable[[int, int], None] | None = None,
) -> CardsRun:
    """How few cards of each loop are enough when everything else is there too: people, room, breakdowns, lots, other loops?

    Parameters: `planned`, the line with its loops of cards in its file; `cards`, its loops. From plenty of cards in all loops, one loop after
    the other, the last step first, gets the fewest with which as many promises are kept as are wished, or as with plenty of cards where that is less
    (all runs on the same luck; more cards are taken never to harm). Errors: CannotRun where there is nothing to run; Stopped.
    """
    rows = list(_said(planned, cards))
    if not rows:
        raise CannotRun("no step of this plan begins by cards")
    order = list(reversed(rows))
    whole, done = len(order) + 2, 0

    def told() -> None:
        nonlocal done
        done += 1
        if tell is not None:
            tell(done, whole)
        if stop is not None and stop():
            raise Stopped

    setting = {one.loop: PLENTY * one.stochastic for one in rows}
    run = partial(_run, planned, stop=stop)
    plenty = run(setting, None)
    told()
    asked = _asked(plenty)
    for row in order:
        name, number = row.loop, row.stochastic
        low, high = 0, setting[name]  # `high` is enough, `low` is not
        first = True
        while high - low > 1:
            middle = min(number, high - 1) if first else (low + high) // 2
            first = False
            if _enough(partial(run, {**setting, name: middle}, plenty), asked):
                high = middle
            else:
                low = middle
        setting[name] = high
        told()
    final = run(setting, plenty)
    told()
    loops = tuple(replace(row, seen=setting[row.loop]) for row in rows)
    return CardsRun(loops, plenty, final, asked)


def _said(planned: Line, cards: Cards) -> Iterator[LoopRun]:
    """The loops of the line file, with what the plan's two answers say of them."""
    for i, step in enumerate(planned.steps):
        release, path = step.release, ("steps", i, "release")
        if release is None or release.by != "cards":
            continue
        mine = [card for card in cards.loops if card.kind != "withdrawal" and card.index == i and card.cards]
        for k, loop in enumerate(release.loops):
            rule = sum(card.by_rule for card in mine if loop.product in card.products)
            name, place = f"{step.name} / {loop.product}", (*path, "loops", k)
            yield LoopRun(
                name, place, loop.per_card, rule, loop.cards, loop.cards, product=loop.product, signal=loop.signal
            )
        if release.cards:
            rule = sum(card.by_rule for card in mine)
            yield LoopRun(step.name, path, release.per_card or 1, rule, release.cards, release.cards)


def _loops(many: int) -> str:
    return f"{many} loop" if many == 1 else f"{many} loops"


def _run(line: Line, setting: dict[str, int], like: Forecast | None, *, stop: Callable[[], bool] | None) -> Forecast:
    knobs = [Knob("cards", name, (number,)) for name, number in setting.items()]
    return quick_forecast_of(turned(line, knobs, list(setting.values())), like=like, stop=stop)


def _asked(plenty: Forecast) -> dict[str, float]:
    """What is asked of each outcome: the wish, or what there is with plenty of cards where that is less."""
    products, found = plenty.line.products, {}
    for product in products:
        tail = f" / {product.name}" if len(products) > 1 else ""
        kept = plenty.outcomes.get(f"on time{tail}")
        if kept is not None:
            wish = 1.0 if product.on_time is None else product.on_time.value
            found[kept.name] = min(wish, kept.value - AS_GOOD)
        made = plenty.outcomes[f"throughput{tail}"]
        found[made.name] = made.value * (1 - AS_GOOD)
    return found


def _enough(run: Callable[[], Forecast], asked: dict[str, float]) -> bool:
    try:
        forecast = run()
    except CannotRun:  # so few that nothing would ever come out
        return False
    return all(name in forecast.outcomes and forecast[name].value >= least for name, least in asked.items())
