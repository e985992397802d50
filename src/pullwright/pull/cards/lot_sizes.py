"""How many pieces are made, handed on and taken in a row at each place of a line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.flow.stock_needed import part_uses
from pullwright.pull.cards.places import Place


class LotSizes:
    """Lots of the plan by the name of a step or a loop, else those of the file."""

    def __init__(self, flow: Flow, lots: Mapping[str, Figure]) -> None:
        self.flow, self.line, self.givens, self.lots = flow, flow.line, flow.givens, lots

    def handed(self, i: int, taker: int | None, holds: Figure) -> Figure:
        """Pieces that are handed on together: the transfer lot, else the lot, at least one container."""
        step = self.line.steps[i]
        tail = step.name + ("" if taker is None else f" / to {self.line.steps[taker].name}")
        kept = self._kept(i)
        return self.givens.once(
            ("handed on with cards", i, holds, kept),
            lambda: derive(
                f"handed on together / {tail}", lambda k, n: np.maximum(k, n), kept, holds, unit="pieces", formula="pieces that the lots keep together, at least one container"
            ),
        )  # fmt: skip

    def together(self, i: int) -> int:
        """Pieces that move on from a step together: what its lots keep together, and at least what is carried at a time."""
        name = self.line.steps[i].name
        carried = (move.batch for move in self.line.moves if move.from_ == name and move.to != "shipping")
        return max(int(self._kept(i).value), *carried, 1)

    def _kept(self, i: int) -> Figure:
        """What its lots keep together: the transfer lot, or the whole lot where that is smaller or no other is said."""
        step, today = self.line.steps[i], self.flow.rates.steps[i].enters
        mine = [lot for name, lot in self.lots.items() if name == step.name or name.startswith(f"{step.name} / ")]
        largest = max(mine, key=lambda lot: lot.value, default=today)
        return largest if step.transfer_lot is None or largest.value < step.transfer_lot else today

    def of(self, place: Place) -> Figure | None:
        """Pieces of this loop that are made in a row; None where its step is not set up for lots."""
        i = place.step or 0
        named = self.lots.get(place.name)
        if named is not None and place.tells:
            return named
        set_up = self.flow.rates.steps[i].set_up
        if set_up is not None and set_up.lots and self.line.steps[i].name not in self.lots:
            return self._largest(i, place, [set_up.lot_of(self.line.products[k].name) for k in place.products])
        lot = self.lots.get(self.line.steps[i].name, None if set_up is None else set_up.lot)
        return None if lot is None else self._share(i, place, lot)

    def _largest(self, i: int, place: Place, lots: list[Figure]) -> Figure:
        """Of products with lots of their own that share a loop, the largest lot: the loop has to bring it."""
        if len(lots) == 1:
            return lots[0]
        return derive(
            f"largest lot / {self.line.steps[i].name} / {' and '.join(self.line.products[k].name for k in place.products)}",
            lambda *each: np.maximum.reduce(list(each)), *lots, unit="pieces", formula="the largest of the lots of its products",
        )  # fmt: skip

    def _share(self, i: int, place: Place, lot: Figure) -> Figure:
        """Of a lot in which the products come as they are pulled, the pieces of these products."""
        if not place.tells:
            return lot
        rates, inputs = self.flow.rates, []
        mine = []
        for k, product in enumerate(self.line.products):
            way = next(way for way in rates.ways if product.name in way.products)
            if i in way.passed:
                inputs += [rates.products[k], way.passed[i]]
                mine.append(k in place.products)

        def part(whole_lot: Any, *values: Any) -> Any:
            each = [values[2 * n] * values[2 * n + 1] for n in range(len(mine))]
            total = sum(each)
            some = np.asarray(total) > 0
            own = sum((one for one, is_mine in zip(each, mine, strict=True) if is_mine), start=0.0 * total)
            return np.where(some, np.maximum(whole_lot * own / np.where(some, total, 1.0), 1.0), 1.0)

        return self.givens.once(
            ("part of a lot", i, place.products, lot),
            lambda: derive(
                f"part of a lot / {self.line.steps[i].name} / {' and '.join(self.line.products[k].name for k in place.products)}",
                part, lot, *inputs, unit="pieces", formula="lot x share of these products in what the step makes",
            ),
        )  # fmt: skip

    def taken(self, place: Place) -> Figure:
        """Pieces that the next step takes in a row: its lot of these products where it makes lots, else one after the other."""
        if place.taker is not None:
            each = 1.0 if place.part is None else self._per_piece(place)
            told = len(place.products) < len(self.line.route.products_of(place.taker))
            here = Place("", place.taker, None, None, place.products, told)
            start = f"{self.line.steps[place.taker].name} / "
            named = [lot for name, lot in self.lots.items() if name.startswith(start)]
            lot = self.of(here) if not named else max(named, key=lambda figure: figure.value)
            if lot is not None:
                return derive(
                    f"taken in a row / {place.name}",
                    lambda q: np.maximum(q * each, 1.0),
                    lot,
                    unit="pieces",
                    formula="lot of the next step, as far as it is of these products, x pieces each",
                )
        return self.givens.once(
            ("taken one by one",),
            lambda: given(
                "taken in a row", 1.0, "pieces", Source("computed", "what is not made in lots is taken piece by piece")
            ),
        )

    def _per_piece(self, place: Place) -> float:
        """Of a part: how many go into one piece of the step that takes it."""
        uses = part_uses(self.givens, self.flow.rates, place.part or 0)
        return max((use.each.value for use in uses if use.step == place.taker), default=1.0)
