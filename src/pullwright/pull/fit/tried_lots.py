"""What would lie there with smaller lots: every step's tried in one flow, side by side."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.account.floor import stock_area
from pullwright.account.ground import Ground
from pullwright.figure import Figure, Source
from pullwright.flow import flow_of
from pullwright.flow.givens import LikelyGivens, Path
from pullwright.line import Line

Row = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Tried:
    """Half the lot at one step, against today, at the likely values.

    `step`: its index; `fields`: its fields that change (pieces), by their path in the step: ("lot",), or ("lots", k, "pieces") where each product has
    its own. `floor` (m2) and `cash` (money): by how much less each stock needs of them, by
    its words; `hours`: people's time more a day (person-s/wd); `made`: share of the demand that can be made more (below 0: less).
    """

    step: int
    fields: dict[Path, int]
    floor: dict[str, float]
    cash: dict[str, float]
    hours: float
    made: float


def tried_lots(line: Line) -> Iterator[Tried]:
    """What comes of it when the lots of one step are halved, step by step?

    The flow is worked out once: its lots have one draw for each try, and all else is certain.
    """
    tries = [
        (i, _halved(line, i))
        for i, step in enumerate(line.steps)
        if step.set_up is not None and max((lot.pieces for lot in step.lots), default=step.lot or 0) > 1
    ]
    if not tries:
        return
    flow = flow_of(line, _TriedGivens(line, tries))
    ground, count = Ground(flow), len(tries) + 1
    areas = {stock.words: stock_area(flow, stock) for stock in ground.stocks}
    floors = {words: _less(area[0], count) for words, area in areas.items() if area is not None}
    money = {one.stock.words: _less(one.needed, count) for one in ground.held}
    hours = sum((-_less(figure, count) for figure in flow.people.attended.values()), np.zeros(count))
    made = -_less(flow.made, count)
    for k, (i, fields) in enumerate(tries, 1):
        yield Tried(
            i,
            fields,
            {words: float(less[k]) for words, less in floors.items()},
            {words: float(less[k]) for words, less in money.items()},
            float(hours[k]),
            float(made[k]),
        )


def _halved(line: Line, i: int) -> dict[Path, int]:
    step = line.steps[i]
    lots: dict[Path, int] = {("lot",): math.ceil((step.lot or 0) / 2)}
    if step.lots:
        lots = {("lots", k, "pieces"): math.ceil(lot.pieces / 2) for k, lot in enumerate(step.lots)}
    smallest = min(lots.values())
    follows = step.transfer_lot is not None and step.transfer_lot > smallest
    return lots | ({("transfer_lot",): smallest} if follows else {})


def _less(figure: Figure, count: int) -> Row:
    """By how much less it is than today, try by try; the first one is today."""
    found: Row = figure.draws[0] - np.broadcast_to(figure.draws, count)
    return found


class _TriedGivens(LikelyGivens):
    """Lots with one draw for today and one for each try; everything else is certain."""

    def __init__(self, line: Line, tries: list[tuple[int, dict[Path, int]]]) -> None:
        super().__init__(line)
        self._count = len(tries) + 1
        self._tried: dict[Path, dict[int, int]] = {
            ("steps", i, *field): {k: lot} for k, (i, fields) in enumerate(tries, 1) for field, lot in fields.items()
        }

    def number(self, path: Path, value: float, unit: str = "1") -> Figure:
        """Give a plain number; that of a lot which is tried, with its tries."""
        if path not in self._tried:
            return super().number(path, value, unit)
        draws = np.full(self._count, float(value))
        for k, lot in self._tried[path].items():
            draws[k] = lot
        source = Source("computed", "today's, and half of it")
        return self.once((path, "number"), lambda: Figure(self.name(path), float(value), unit, draws, "", (), source))

    def once(self, key: Hashable, make: Callable[[], Figure]) -> Figure:
        """Give the figure of this key: what hangs on the lots keeps their tries."""
        if key not in self._made:
            found = make()
            if found.draws.size != self._count:
                return super().once(key, lambda: found)
            self._made[key] = found
        return self._made[key]
