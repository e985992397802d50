"""What is handed on at a time at each step: transfer lots beside the lots of the plan."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from pullwright.account.ground import Ground
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.pull.lots.made_there import MadeThere
from pullwright.pull.lots.side_by_side import Choice
from pullwright.pull.lots.transfer import time_until_handed_on, trips


@dataclass(frozen=True, slots=True)
class HandedOn:
    """One step: the lot of each of its products (`lots`, pieces; one for all where nothing has told them apart), what is handed on at a time (`transfer`, pieces), and what that saves.

    `saved`: how much sooner a piece goes on than with its whole lot (s of the machine's time); `trips`: how often something is handed on (moves/wd).
    `batch`: what is carried from there at a time, where that is said.
    """

    step: int
    name: str
    lots: tuple[tuple[str, int], ...]
    transfer: int
    batch: int | None
    saved: Figure
    trips: Figure

    @property
    def lot(self) -> int:
        """The smallest of the lots."""
        return min(pieces for _, pieces in self.lots)

    @property
    def alike(self) -> bool:
        """Do all products have the same lot?"""
        return len({pieces for _, pieces in self.lots}) == 1

    def figures(self) -> tuple[Figure, ...]:
        """Its figures."""
        return (self.saved, self.trips)


def handed_on(ground: Ground, there: MadeThere, choice: Choice) -> tuple[HandedOn, ...]:
    """What is handed on at a time at each step there? No less than is carried at a time, so that nobody walks more often than today's moves say.

    No more at a time than the smallest lot. Where some products share a lot and others do not, all have the mean of their lots, which takes as many set-ups a day.
    """
    return tuple(_step(ground, there, choice, i) for i in dict.fromkeys(one.step for one in there.made))


def _step(ground: Ground, there: MadeThere, choice: Choice, i: int) -> HandedOn:
    flow, step = ground.flow, ground.flow.line.steps[i]
    rows = [(one, n) for one, n in zip(there.made, choice.whole, strict=True) if one.step == i]
    lots = tuple((one.product, max(1, math.ceil(n.value - 1e-9))) for one, n in rows)
    if len(rows) > 1 and any(len(one.products) > 1 for one, _ in rows):
        # The file names a lot of one product or of all: where some share one, it is the mean of all.
        whole = sum(one.started.value for one, _ in rows)
        set_ups = sum(one.started.value / n.value for one, n in rows)
        lots = tuple((name, max(1, math.ceil(whole / set_ups - 1e-9))) for name, _ in lots)
    lot = min(pieces for _, pieces in lots)
    batch = _batch(flow, i)
    transfer = min(lot, step.transfer_lot or lot, batch or lot)
    inputs = [figure for one, n in rows for figure in (one.started, one.time, n)]
    tail = f"{there.name} / {step.name}"

    def sooner(*v: Any) -> Any:
        pieces = sum(v[0::3])
        return sum(
            r * (time_until_handed_on(0.0, t, n, n) - time_until_handed_on(0.0, t, n, float(transfer)))
            for r, t, n in zip(v[0::3], v[1::3], v[2::3], strict=True)
        ) / pieces  # fmt: skip

    saved = derive(
        f"lots / handed on sooner / {tail}", sooner, *inputs, unit="s",
        formula=f"(lot - {transfer}) / 2 x time of a piece; mean over all pieces",
    )  # fmt: skip
    carried = derive(
        f"lots / handed on a day / {tail}",
        lambda *v: trips(sum(v), float(transfer)),
        *(one.started for one, _ in rows),
        unit="moves/wd",
        formula=f"pieces a day / {transfer}",
    )
    return HandedOn(i, step.name, lots, transfer, batch, saved, carried)


def _batch(flow: Flow, i: int) -> int | None:
    """How many pieces are carried away from a step at a time, at most; None where nothing is said."""
    name = flow.line.steps[i].name
    found = [move.batch for move in flow.line.moves if move.from_ == name and move.to != "shipping"]
    return max(found) if found else None
