"""How even a day is, product by product and part by part: beside the most even sequence, and beside making it in lots as today."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.pull.sequence.again import TIES
from pullwright.pull.sequence.aim import Aim, Floats, Order
from pullwright.pull.sequence.day import Uneven
from pullwright.pull.sequence.levelled import levelled

_WHOSE = {"": "the sequence", " / at best": "the most even sequence", " / in lots": "the sequence in lots"}


def evenness(
    sequence: Sequence[str],
    lots: Sequence[str],
    made: Mapping[str, Figure],
    uses: Mapping[str, Sequence[float]],
    parts: Sequence[str],
    words: str = "",
) -> tuple[Uneven, ...]:
    """How far from its even course over the whole day is every product that is made, and every part that these use?

    Parameters: `sequence`, and the same pieces in `lots`; `made`, pieces of each product, as figures; `uses`, for each product how many of each of
    `parts` one piece takes; `words` go behind the names of figures. Result: rows by product, then by part; none where nothing is made.
    """
    names = list(made)
    counts = [sum(1 for name in sequence if name == product) for product in names]
    if not sum(counts):
        return ()
    orders = [tuple(names.index(name) for name in one) for one in (sequence, lots)]
    products = Aim.of_products(counts)
    rows = _rows("product", products, (orders[0], levelled(products).order, orders[1]), made, names, words)
    here = [row for row, n in zip(rows, counts, strict=True) if n]
    table = [uses[name] for name in names]
    used = [j for j in range(len(parts)) if any(row[j] and n for row, n in zip(table, counts, strict=True))]
    if not used:
        return tuple(here)
    table = [[row[j] for j in used] for row in table]
    best = levelled(Aim.of_parts(counts, table, products=TIES)).order
    return (
        *here,
        *_rows(
            "part", Aim.of_parts(counts, table), (orders[0], best, orders[1]), made, [parts[j] for j in used], words
        ),
    )


def _rows(
    kind: Literal["product", "part"],
    aim: Aim,
    orders: tuple[Order, Order, Order],
    made: Mapping[str, Figure],
    names: Sequence[str],
    behind: str,
) -> list[Uneven]:
    off = {words: np.abs(aim.deviations(order)) for words, order in zip(_WHOSE, orders, strict=True)}

    def both(name: str, words: str, table: Floats) -> tuple[Figure, Figure]:
        said = f"deviation from the even course over all places of {_WHOSE[words]}"
        mean, largest = (
            derive(f"uneven today / {kind} {name} / {how}{words}{behind}", _decided(value), *made.values(), unit="pieces", formula=f"{how} {said}")
            for how, value in (("mean", float(table.mean())), ("largest", float(table.max())))
        )  # fmt: skip
        return mean, largest

    found = []
    for j, name in enumerate(names):
        figures = [figure for words, table in off.items() for figure in both(name, words, table[:, j])]
        found.append(Uneven(kind, name, *figures))
    return found


def _decided(value: float) -> Any:
    """What comes of a sequence that is decided on does not vary with what it was decided from."""
    return lambda first, *_: np.zeros_like(np.asarray(first, dtype=np.float64)) + value
