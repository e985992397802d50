"""What is asked for today, as figures: the orders of the line file, or a day's demand in whole pieces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.room_of_day import WorkingDay
from pullwright.pull.sequence.whole_pieces import on_day


@dataclass(frozen=True)
class Asked:
    """Pieces of each product of the line that are asked for on the day, and the sentence that says where that comes from."""

    pieces: dict[str, Figure]
    told: str

    @property
    def counts(self) -> tuple[int, ...]:
        """The pieces as whole numbers, in the order of the products of the line."""
        return tuple(round(figure.value) for figure in self.pieces.values())


def asked_on(flow: Flow, day: WorkingDay) -> Asked:
    """What is asked for: `plan.day.orders`; where there are none a day's demand in whole pieces, by the rule of `whole_pieces`.

    Days are counted from the first working day of the year of the date; without a date nothing was carried from any day before.
    """
    line = flow.line
    orders = line.plan.day.orders if line.plan is not None else ()
    names = [product.name for product in line.products]
    if orders:
        lines: dict[str, list[Figure]] = {name: [] for name in names}
        for k, order in enumerate(orders):
            path = ("plan", "day", "orders", k, "pieces")
            lines[order.product].append(
                given(f"order {k + 1} / {order.product}", float(order.pieces), "pieces", flow.givens.source(path))
            )
        pieces = {name: _sum_of_orders(name, figures) for name, figures in lines.items()}
        silent = [name for name, figures in lines.items() if not figures]
        none = (
            f"; no order names {_and(silent)}, so none of {'it' if len(silent) == 1 else 'them'} is made"
            if silent
            else ""
        )
        total = sum(order.pieces for order in orders)
        return Asked(pieces, f"{total} pieces are ordered for {day.words}{none}.")
    rates = flow.rates.products
    number = 1 if day.date is None else line.work_calendar.working_days(day.date.replace(month=1, day=1), day.date) + 1
    whole = on_day([rate.value for rate in rates], number)
    pieces = {
        name: derive(
            f"asked today / {name}", _always(n), rate, unit="pieces",
            formula="a day's demand, with what earlier days left of a piece, in whole pieces so that the sum is right",
        )
        for name, rate, n in zip(names, rates, whole, strict=True)
    }  # fmt: skip
    uneven = any(rate.value != round(rate.value) for rate in rates)
    rounded = ", rounded so that the sum is right and what is left of a piece is made on a later day" if uneven else ""
    return Asked(pieces, f"No orders are given for {day.words}: a day's demand is taken, {sum(whole)} pieces{rounded}.")


def asked_now(morning: Asked, now: Mapping[str, int], words: str = "") -> Asked:
    """What is asked for, now that orders came in or fell away: pieces of each product over the whole day.

    `words` go behind the names of figures. BadPlanInput for a product that the line does not make.
    """
    for name in now:
        if name not in morning.pieces:
            raise BadPlanInput(f"product {name!r} was read; allowed: {', '.join(morning.pieces)}")
    pieces = {name: _changed(name, figure, now.get(name), words) for name, figure in morning.pieces.items()}
    asked = Asked(pieces, "")
    before, after = sum(morning.counts), sum(asked.counts)
    if asked.counts == morning.counts:
        return morning
    return Asked(pieces, f"{after} pieces are asked for now, in the morning {before} were.")


def _changed(name: str, morning: Figure, now: int | None, behind: str) -> Figure:
    more = 0 if now is None else now - round(morning.value)
    if not more:
        return morning
    words = "more" if more > 0 else "fewer"
    change = given(
        f"{words} asked for since the morning / {name}{behind}",
        float(abs(more)),
        "pieces",
        Source("typed", f"{now} in place of {round(morning.value)} were typed for the whole day"),
    )
    return derive(
        f"asked now / {name}{behind}", (lambda a, b: a + b) if more > 0 else (lambda a, b: a - b), morning, change, unit="pieces",
        formula=f"asked for in the morning {'+' if more > 0 else '-'} {words} since",
    )  # fmt: skip


def _sum_of_orders(name: str, figures: list[Figure]) -> Figure:
    if not figures:
        return given(f"asked today / {name}", 0.0, "pieces", Source("line file", "plan.day.orders: no order names it"))
    return derive(
        f"asked today / {name}", lambda *n: sum(n), *figures, unit="pieces", formula="sum of the orders of the day"
    )


def _always(n: float) -> Any:
    """A decided number: it does not vary with what it was decided from."""
    return lambda first, *_: np.zeros_like(np.asarray(first, dtype=np.float64)) + n


def whole_pitch(flow: Flow) -> tuple[Figure, str]:
    """How many pieces are asked for at a time, and why: as wished, else what one container of finished goods holds, else one.

    Errors: BadPlanInput for a wish that is not a whole number of pieces.
    """
    line, givens = flow.line, flow.givens
    wished = line.plan.day.pitch if line.plan is not None else None
    if wished is not None:
        if wished.value < 1 or wished.value != round(wished.value):
            raise BadPlanInput(f"plan.day.pitch: {wished.value:g} pieces were read; allowed: whole numbers from 1 on")
        return givens.figure(("plan", "day", "pitch")), "as wished"
    ends = {line.route.last_for(product.name) for product in line.products}
    for s, store in enumerate(line.stores):
        if store.container is not None and store.after in {line.steps[i].name for i in ends}:
            path = ("stores", s, "container", "holds")
            return givens.number(path, store.container.holds, "pieces"), "one container of finished goods"
    one = given("pieces in a pitch", 1.0, "pieces", Source("computed", "no pitch is wished and no container is given"))
    return one, "one piece, because no container of finished goods is given"


def uses_of(flow: Flow) -> dict[str, tuple[float, ...]]:
    """How many of each part of the line go into one piece of each product, at all its steps together?"""
    parts = [part.name for part in flow.line.parts]
    found = {product.name: [0.0] * len(parts) for product in flow.line.products}
    for product in flow.line.products:
        for use in product.uses:
            found[product.name][parts.index(use.part)] += use.quantity.value
    return {name: tuple(row) for name, row in found.items()}


def even_by(flow: Flow, counts: Sequence[int]) -> tuple[Literal["rate", "parts"], str]:
    """What is to be even: products or parts, as `plan.day.by` wishes; and why it is products where parts were wished and say nothing."""
    wish = flow.line.plan.day.by if flow.line.plan is not None else "rate"
    if wish == "rate":
        return "rate", ""
    uses = uses_of(flow)
    rows = {uses[product.name] for product, n in zip(flow.line.products, counts, strict=True) if n}
    if not any(any(row) for row in rows):
        return "rate", "No product of the day says which parts it uses, so products are made even in place of parts."
    if len(rows) == 1:
        return (
            "rate",
            "All products of the day use the same parts, so any order uses them evenly; products are made even.",
        )
    return "parts", ""


def pacer_of(flow: Flow) -> int | None:
    """Which step's set-ups does the sequence decide on? The last one that has set-ups and works on more than one product.

    The day's sequence is given to one step; from there on pieces go through in the order in which they come, and the steps before it make what is
    taken from their shelves, in lots of their own. A later step with set-ups would meet the same sequence, so the last one is taken.
    """
    line = flow.line
    place = {i: k for k, i in enumerate(line.route.order)}
    steps = [i for i, step in enumerate(line.steps) if step.set_up is not None and len(line.route.products_of(i)) > 1]
    return max(steps, key=lambda i: place[i], default=None)


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
