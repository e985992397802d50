"""What is known of one loop of cards, of all loops of a line, and of a single card that hangs on a container."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from pullwright.account.floor import area_of
from pullwright.figure import Figure, Source, derive, derive_many
from pullwright.pull.cards.base_stock import fill_rate_of, level_of
from pullwright.pull.cards.explained import REASONS, Sized, explained
from pullwright.pull.cards.lead_times import LeadTime
from pullwright.pull.cards.loops import KINDS, LoopKind
from pullwright.pull.cards.signal import Signal
from pullwright.pull.changes import Change

if TYPE_CHECKING:
    from pullwright.pull.cards.capped_of_line import CappedFlow


@dataclass(frozen=True)
class Loop:
    """What a loop of cards is sized from.

    `demand` (pieces/wd), `uneven` (variance of a day's demand over its mean), `lead`: lead time of a card with its variance and its stretches, `safety` of the rule and wished `service` (shares),
    `holds` (pieces in a container), `together` (pieces that are taken in a row), `ordered`: containers that are asked for at a time, `least`: so few without which nothing would move.
    """

    name: str
    kind: LoopKind
    demand: Figure
    uneven: Figure
    lead: LeadTime
    safety: Figure
    service: Figure
    holds: Figure
    together: Figure
    ordered: int
    least: int

    @property
    def inputs(self) -> tuple[Figure, ...]:
        """All figures that it is sized from."""
        return (
            self.demand,
            self.uneven,
            self.lead.mean,
            self.lead.variance,
            self.safety,
            self.service,
            self.holds,
            self.together,
        )

    def sized(self, *values: Any) -> Sized:
        """The same with numbers or draws for the figures."""
        demand, uneven, lead, varies, safety, service, holds, together = values
        return Sized(demand, uneven, lead, varies, safety, service, holds, self.ordered, together, self.least)


@dataclass(frozen=True)
class Card:
    """One loop of cards.

    `loop`: what it was sized from. `step`: the step that the card lets begin, or that fetches (for a withdrawal card); `start` and `end`: from where to where full containers go;
    `place`: where they lie ("before hone bore"). `products`: what runs in it. `cards` and `per_card`: how many go round (the stochastic answer) with how many pieces; `by_rule`:
    how many the rule gives (0 where there is no end); both with their draws as the figures `stochastic` and `rule`. `room` in the place (pieces), of which other loops may need a part: `crowd`
    pieces are on the cards of all of them. `fits`: is there room? None where nobody said how much. `says`: why, sentence by sentence. `index`: of its step in the line, or of its part for
    a withdrawal card.
    """

    loop: Loop
    step: str
    start: str
    end: str
    place: str
    products: tuple[str, ...]
    cards: int
    per_card: int
    by_rule: int
    signal: Signal | None
    room: Figure | None
    crowd: int
    fits: bool | None
    says: tuple[str, ...]
    index: int
    _stands_on: tuple[Figure, Figure] | None
    """Containers on each other, and the floor of one (m²)."""
    weight: float | None = None
    """Of a full container (kg), where it is known."""

    @property
    def name(self) -> str:
        """Its name: unique in the line."""
        return self.loop.name

    @property
    def kind(self) -> LoopKind:
        """What its card lets somebody do: see `loops.KINDS`."""
        return self.loop.kind

    @cached_property
    def rule(self) -> Figure:
        """Cards by the card rule."""
        return derive(
            f"cards by the rule / {self.name}", lambda *v: self.loop.sized(*v).rule(), *self.loop.inputs, unit="cards",
            formula="demand x lead time x (1 + safety) / pieces in a container, rounded up" + (" + containers of a lot" if self.loop.ordered > 1 else ""),
            source=Source("published", "Monden, Toyota Production System; Sugimori et al. 1977 (from memory)"),
        )  # fmt: skip

    @cached_property
    def stochastic(self) -> Figure:
        """Cards by the stochastic answer."""
        return derive(
            f"cards / {self.name}", lambda *v: self.loop.sized(*v).stochastic(), *self.loop.inputs, unit="cards",
            formula="fewest full containers with which the wished share is met from the shelf, from the law of what is asked for in a lead time",
            source=Source("published", "Axsaeter, Inventory Control; Zipkin, Foundations of Inventory Management (from memory)"),
        )  # fmt: skip

    @cached_property
    def pieces(self) -> Figure:
        """Pieces on the cards."""
        return derive(
            f"pieces on the cards of the plan / {self.name}", lambda c, n: c * n, self.stochastic, self.loop.holds, unit="pieces",
            formula="cards x pieces in a container",
        )  # fmt: skip

    @cached_property
    def floor(self) -> Figure | None:
        """Floor that their containers take when all are full and there (m²); None where the file does not say what one takes."""
        if self._stands_on is None:
            return None
        return derive(
            f"floor of the cards / {self.name}", area_of, self.pieces, self.loop.holds, *self._stands_on, unit="m2",
            formula="containers / stacked on each other, rounded up, x floor of one",
        )  # fmt: skip

    @property
    def kind_words(self) -> str:
        """The kind of card, as people say it."""
        return next(kind.words for kind in KINDS if kind.key == self.kind)

    @cached_property
    def met(self) -> Figure:
        """With so many cards: the share of what is asked for that is met from the shelf."""
        return derive(
            f"met from the shelf / {self.name}", lambda *v: self._there(fill_rate_of, *v), *self.loop.inputs, unit="share",
            formula="chance that what is asked for in the lead time before a piece leaves one for it",
        )  # fmt: skip

    @cached_property
    def level(self) -> tuple[Figure, Figure, Figure, Figure]:
        """With so many cards: the share met from the shelf, the chance that something lies there, pieces there, pieces waited for."""
        return self.met, *derive_many(
            (f"chance that the shelf is not empty / {self.name}", f"on the shelf / {self.name}", f"waited for / {self.name}"),
            lambda *v: self._there(level_of, *v)[1:] if self.cards else (0.0 * v[0],) * 3, *self.loop.inputs, units=("share", "pieces", "pieces"),
            formulas=(
                "chance that less is asked for in a lead time than is on the cards and ordered",
                "mean of what that leaves",
                "on the shelf + asked for in a lead time - pieces on the cards that are ordered or there",
            ),
        )  # type: ignore[return-value]  # fmt: skip

    def _there(self, answer: Callable[..., Any], *values: Any) -> Any:
        """What these cards answer; 0 where there are none."""
        if not self.cards:
            return 0.0 * values[0]
        sized = self.loop.sized(*values)
        return answer(sized.asked, float(self.cards) * values[6], sized.levels)

    @cached_property
    def reasons(self) -> tuple[Figure, ...]:
        """What explains stochastic - rule, in cards, in the order of `explained.REASONS`; the figures add up to it."""
        return derive_many(
            [f"cards more than the rule / {reason.words} / {self.name}" for reason in REASONS], lambda *v: explained(self.loop.sized(*v)), *self.loop.inputs,
            units=["cards"] * len(REASONS), formulas=[reason.says for reason in REASONS],
        )  # fmt: skip

    def figures(self) -> tuple[Figure, ...]:
        """All its figures, in the order in which they are read."""
        own = [self.stochastic, self.rule, self.pieces, *self.loop.inputs]
        own += [figure for figure in (self.room, self.floor) if figure is not None]
        return tuple(
            dict.fromkeys((*own, *(figure for _, figure in self.loop.lead.stretches), *self.level, *self.reasons))
        )

    @property
    def id(self) -> str:
        """A short number of the loop that stays the same as long as its places and products do: cards that are printed again fit in."""
        told = "|".join((self.kind, self.start, self.end, *self.products))
        return sha256(told.encode()).hexdigest()[:6].upper()


@dataclass(frozen=True)
class Cards:
    """All loops of a line, the one cap that could stand in their place, what they change in the line file, and what is refused."""

    loops: tuple[Card, ...]
    capped: CappedFlow | None
    whole_flow: bool
    """Is the cap wished in place of the loops of the main flow?"""
    changes: tuple[Change, ...]
    says: tuple[str, ...]
    refused: tuple[str, ...]

    @property
    def hung(self) -> tuple[Card, ...]:
        """The loops whose cards go round: all of them, but where one cap holds the main flow only those that it does not replace."""
        if not self.whole_flow or self.capped is None:
            return self.loops
        line = self.capped.flow.line
        main = {line.steps[i].name for i in line.route.chains[0].steps}
        return tuple(card for card in self.loops if card.kind == "withdrawal" or card.step not in main)

    def of(self, name: str) -> Card:
        """Give one loop by its name; KeyError where there is none."""
        return {card.name: card for card in self.loops}[name]

    def figures(self) -> dict[str, Figure]:
        """All figures by name."""
        found = [figure for card in self.loops for figure in card.figures()]
        found += self.capped.figures() if self.capped is not None else []
        return {figure.name: figure for figure in found}


@dataclass(frozen=True, slots=True)
class CardFace:
    """What stands on one card: what lies in the container, from where to where it goes, how many pieces, and which card of how many this is.

    `id`: number of the card; it stays the same when cards are printed again, also where there are more or fewer of them. `signal`: what a signal card asks for; empty on others.
    `weight` of a full container (kg); None where it is not known.
    """

    id: str
    kind: LoopKind
    kind_words: str
    what: str
    start: str
    end: str
    place: str
    step: str
    pieces: int
    number: int
    of: int
    signal: str = ""
    weight: float | None = None


def faces(cards: Iterable[Card]) -> tuple[CardFace, ...]:
    """What is to be printed on each card of these loops? A signal loop has one card, which hangs on the container that is taken when the lot is asked for."""
    found: list[CardFace] = []
    for card in cards:
        signal = card.signal if card.cards else None
        many = 1 if signal is not None else card.cards
        what = " / ".join(card.products) if card.kind != "withdrawal" else card.start
        found += [
            CardFace(
                f"{card.id}-{number:02d}", card.kind, card.kind_words, what, card.start, card.end, card.place, card.step,
                card.per_card, number, many, signal.says if signal is not None else "", card.weight,
            )
            for number in range(1, many + 1)
        ]  # fmt: skip
    return tuple(found)
