"""What a shorter set-up buys at a station, row by row, as figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.terms import carrying_rate
from pullwright.figure import Figure, derive_many, percent
from pullwright.pull.lots.choosing import longest
from pullwright.pull.lots.interval import shortest_interval
from pullwright.pull.lots.made_there import MadeThere
from pullwright.pull.lots.shorter import SHARES, SINGLE_MINUTES, at_set_ups
from pullwright.pull.lots.side_by_side import boxes_of, floor_behind


@dataclass(frozen=True, slots=True)
class ShorterRow:
    """What comes of set-ups in `share` of their time, lots chosen anew so that waiting is shortest; no lot is rounded here.

    `set_up`: one set-up on average (s); `interval` (wd); `lot`: pieces between two set-ups on average; `stock` of the lots (pieces); `wait` from wanted to
    done (wd); `hands` for set-ups (person-s/year); `floor` of the stock (m2) and `cost`, wages for set-ups and carrying (money/year), are None where
    the line file does not say enough.
    """

    words: str
    share: float
    set_up: Figure
    interval: Figure
    lot: Figure
    stock: Figure
    wait: Figure
    hands: Figure
    floor: Figure | None
    cost: Figure | None

    def figures(self) -> tuple[Figure, ...]:
        """All its figures."""
        found = (self.set_up, self.interval, self.lot, self.stock, self.wait, self.hands, self.floor, self.cost)
        return tuple(figure for figure in found if figure is not None)


def shorter_rows(ground: Ground, there: MadeThere, stretch: float, *, priced: bool) -> tuple[ShorterRow, ...]:
    """Today's set-up time, three quarters, half, a quarter of it, and single minutes where it takes longer than that today.

    `stretch`: how much longer than the shortest waiting wants the interval has to be for people to have time; `priced`: are all costs known?
    """
    mean = there.around.value / len(there.made)
    if not mean > 0:
        return ()
    rows = [(1.0, "as today"), *((share, f"{percent(share)} of it") for share in SHARES)]
    if mean > SINGLE_MINUTES:
        rows.append((SINGLE_MINUTES / mean, f"single minutes ({SINGLE_MINUTES / 60:.0f} min)"))
    return tuple(_row(ground, there, share, words, stretch, priced=priced) for share, words in rows)


def _row(ground: Ground, there: MadeThere, share: float, words: str, stretch: float, *, priced: bool) -> ShorterRow:
    flow, made = ground.flow, there.made
    boxes, most = boxes_of(ground, there) or (), longest(ground)
    wished = () if most is None else (most,)
    people, worths = [one.people for one in made], [one.worth for one in made if one.worth is not None]
    days = flow.givens.working_days("year")
    money = (carrying_rate(flow), ground.wage, *worths) if priced else ()
    units = ["s", "wd", "pieces", "pieces", "wd", "person-s/year", *(["m2"] if boxes else []), *(["money/year"] if priced else [])]  # fmt: skip
    terms = ["set-up", "interval", "lot", "stock of the lots", "from wanted to done", "hands for set-ups a year"]
    terms += [*(["floor of the lots"] if boxes else []), *(["cost"] if priced else [])]
    starts = len(there.inputs)

    def row(around: Any, room: Any, n: Any, *values: Any) -> list[Any]:
        known, rest = values[:starts], list(values[starts:])
        clock, making = np.maximum(known[0], 1e-9), there.making(known)
        least = shortest_interval(around, room) * clock
        top = rest.pop(0) * clock if wished else np.inf

        def within(interval: Any) -> Any:
            longer = interval * stretch
            return np.where(top >= least * share, np.minimum(longer, np.maximum(top, 0.0)), longer)

        found = at_set_ups(making, share, within, least)
        hands_by, rest = rest[: len(made)], rest[len(made) :]
        each = [r * clock / q for r, q in zip(making.rates, found.lots, strict=True)]
        hands = n * sum(e * s * share * p for e, s, p in zip(each, making.set_ups, hands_by, strict=True))
        whole = sum(rate * clock for rate in making.rates)
        answers = [
            around / len(made) * share, found.interval / clock, np.where(np.isfinite(found.interval), whole / np.maximum(sum(each), 1e-300), np.inf), sum(found.stock),
            found.wait / clock, hands,
        ]  # fmt: skip
        if boxes:
            answers.append(floor_behind(there, rest[: len(boxes)], found.stock))
            rest = rest[len(boxes) :]
        if priced:
            rate, wage, *worth = rest
            answers.append(
                hands * wage + rate * sum(np.where(w > 0, w * s, 0.0) for w, s in zip(worth, found.stock, strict=True))
            )
        return answers

    figures = derive_many(
        [f"lots / shorter set-ups / {term} / {words} / {there.name}" for term in terms], row,
        there.around, there.room, days, *there.inputs, *wished, *people, *boxes, *money, units=units,
        formulas=[f"{term}, with set-ups in {share:.3g} of their time and lots of the shortest waiting" for term in terms],
    )  # fmt: skip
    set_up, interval, lot, stock, wait, hands, *more = figures
    floor = more[0] if boxes else None
    return ShorterRow(words, share, set_up, interval, lot, stock, wait, hands, floor, more[-1] if priced else None)
