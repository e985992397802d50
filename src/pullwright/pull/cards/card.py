"""What is known of one loop of cards, of all loops of a line, and of a single card that hangs on a container."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import numpy as np

from pullwright.figure import Figure, derive_many
from pullwright.pull.cards.base_stock import Level, level_of
from pullwright.pull.cards.explained import REASONS, Sized, explained
from pullwright.pull.cards.loops import KINDS, LoopKind
from pullwright.pull.cards.signal import Signal
from pullwright.pull.changes import Change

if TYPE_CHECKING:
    from pullwright.pull.cards.capped_of_line import CappedFlow


@dataclass(frozen=True)
class Card:
    """One loop of cards.

    `name` is unique in the line. `step`: the step that the card lets begin, or that fetches (for a withdrawal card); `start` and `end`: from where to where full containers go;
    `place`: where they lie ("before hone bore"). `products`: what runs in it. `cards` and `per_card`: how many go round (the stochastic answer) with how many pieces;
    `rule` and `stochastic` the two answers as figures. `demand` (pieces/wd), `uneven` (variance of a day's demand over its mean), `lead` (wd) with `lead_variance` (wd²) and its
    `stretches` (s). `pieces` on the cards, `room` in the place (of which other loops may need a part: `crowd` is what all of them need), `floor` (m²) for the full ones.
    `fits`: is there room? None where nobody said how much. `says`: why, sentence by sentence.
    """

    name: str
    kind: LoopKind
    step: str
    start: str
    end: str
    place: str
    products: tuple[str, ...]
    cards: int
    per_card: int
    rule: Figure
    stochastic: Figure
    pieces: Figure
    holds: Figure
    demand: Figure
    uneven: Figure
    lead: Figure
    lead_variance: Figure
    stretches: tuple[tuple[str, Figure], ...]
    safety: Figure
    service: Figure
    signal: Signal | None
    room: Figure | None
    crowd: Figure | None
    floor: Figure | None
    fits: bool | None
    says: tuple[str, ...]
    index: int
    """Of its step in the line, or of its part for a withdrawal card."""
    _inputs: tuple[Figure, ...]
    _given: tuple[float, float]
    """Containers that are asked for at a time, and the fewest without which nothing would move."""

    @property
    def kind_words(self) -> str:
        """The kind of card, as people say it."""
        return next(kind.words for kind in KINDS if kind.key == self.kind)

    @cached_property
    def level(self) -> tuple[Figure, Figure, Figure, Figure]:
        """With so many cards: the share met from the shelf, the chance that something lies there, pieces there, pieces waited for."""
        cards, (ordered, _) = float(self.cards), self._given

        def level(demand: Any, uneven: Any, lead: Any, varies: Any, safety: Any, service: Any, holds: Any, together: Any) -> Level:
            sized = Sized(demand, uneven, lead, varies, safety, service, holds, ordered, together)
            if cards == 0:
                nothing = 0.0 * demand
                return Level(nothing, nothing, nothing, nothing)
            return level_of(sized.asked, cards * holds, sized.levels)

        return derive_many(
            (f"met from the shelf / {self.name}", f"chance that the shelf is not empty / {self.name}", f"on the shelf / {self.name}", f"waited for / {self.name}"),
            level, *self._inputs, units=("share", "share", "pieces", "pieces"),
            formulas=(
                "chance that what is asked for in the lead time before a piece leaves one for it",
                "chance that less is asked for in a lead time than is on the cards and ordered",
                "mean of what that leaves",
                "on the shelf + asked for in a lead time - pieces on the cards that are ordered or there",
            ),
        )  # type: ignore[return-value]  # fmt: skip

    @cached_property
    def reasons(self) -> tuple[Figure, ...]:
        """What explains stochastic - rule, in cards, in the order of `explained.REASONS`; the figures add up to it."""
        ordered, least = self._given

        def parts(*values: Any) -> tuple[Any, ...]:
            return explained(Sized(*values[:7], ordered, values[7], least))

        return derive_many(
            [f"cards more than the rule / {reason.words} / {self.name}" for reason in REASONS], parts, *self._inputs,
            units=["cards"] * len(REASONS), formulas=[reason.says for reason in REASONS],
        )  # fmt: skip

    def figures(self) -> tuple[Figure, ...]:
        """All its figures, in the order in which they are read."""
        own = [self.stochastic, self.rule, self.holds, self.pieces, self.demand, self.uneven, self.lead, self.lead_variance]
        own += [figure for figure in (self.room, self.crowd, self.floor) if figure is not None]
        return tuple(dict.fromkeys((*own, *(figure for _, figure in self.stretches), *self.level, *self.reasons)))

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
                card.per_card, number, many, signal.says if signal is not None else "",
            )
            for number in range(1, many + 1)
        ]  # fmt: skip
    return tuple(found)


def whole(figure: Figure) -> int:
    """The number of a figure that counts cards; 0 where it has no end."""
    return int(round(figure.value)) if np.isfinite(figure.value) else 0
