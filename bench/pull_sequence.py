"""How long does it take to level a day of 1,000 pieces, beside the published assignment given plainly to a general solver?

The plain way builds Kubiak & Sethi's penalties copy by copy and hands the whole table over; ours writes the same costs down at once, and divides a
day that repeats itself. Parts, set-ups and a whole day of a line are timed too.
"""

from __future__ import annotations

import numpy as np

from bench.timing import Row, row, timed
from pullwright.pull.sequence.aim import Aim
from pullwright.pull.sequence.goal_chasing import chased, even_parts
from pullwright.pull.sequence.rate_variation import even_products, ideal_place, narrowest
from pullwright.pull.sequence.with_set_ups import trade_off

ODD = (211, 173, 149, 113, 97, 83, 61, 43, 31, 19, 13, 7)
EVEN = (220, 180, 140, 120, 100, 80, 60, 40, 20, 20, 10, 10)
ROUNDS = 7


def _plain(counts: tuple[int, ...]) -> float:
    from scipy.optimize import linear_sum_assignment

    total = sum(counts)
    places = np.arange(total + 1)
    costs = []
    for n in counts:
        for j in range(1, n + 1):
            penalty = np.abs((j * total - places * n) ** 2 - ((j - 1) * total - places * n) ** 2)
            before = np.concatenate([[0], np.cumsum(penalty)])
            costs.append(np.abs(before[1:-1] - before[ideal_place(j, n, total)]))
    table = np.array(costs, dtype=float)
    rows, columns = linear_sum_assignment(table)
    owner = np.repeat(np.arange(len(counts)), counts)
    order = np.empty(total, dtype=int)
    order[columns] = owner[rows]
    return Aim.of_products(counts).squares(tuple(order.tolist()))


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); ratios compare runs that follow each other."""
    rows: list[Row] = []
    for words, counts in (("without a common divisor", ODD), ("with the common divisor 10", EVEN)):
        assert abs(_plain(counts) - even_products(counts).squares) < 1e-6 * even_products(counts).squares
        ours, plain = [], []
        for _ in range(ROUNDS):
            ours.append(timed(lambda counts=counts: even_products(counts)))  # type: ignore[misc]
            plain.append(timed(lambda counts=counts: _plain(counts)))  # type: ignore[misc]
        rows.append(row(f"1,000 pieces of 12 products {words}", ours, "ms", 1e3))
        rows.append(row("plain assignment (scipy) / ours", [p / o for p, o in zip(plain, ours, strict=True)], "times"))
    rows.append(row("least greatest deviation, 1,000 pieces", [timed(lambda: narrowest(ODD)) for _ in range(ROUNDS)], "ms", 1e3))  # fmt: skip
    long = tuple(10 * n + 1 for n in ODD)
    rows.append(row("10,012 pieces, window by window and proven", [timed(lambda: even_products(long)) for _ in range(3)], "s"))  # fmt: skip
    uses = np.random.default_rng(3).integers(0, 3, (12, 15)).tolist()
    aim = Aim.of_parts(ODD, uses)
    chasing, searching = (
        [timed(lambda: chased(aim)) for _ in range(3)],
        [timed(lambda: even_parts(aim)) for _ in range(3)],
    )
    rows.append(row("goal chasing, 1,000 pieces, 15 parts", chasing, "ms", 1e3))
    rows.append(row("the same with exchanges, search and bound", searching, "s"))
    found = even_parts(aim)
    rows.append(row("squares of goal chasing / squares after it", [found.chased / found.squares], "times"))
    rows.append(row("bound / squares found", [found.at_least / found.squares], "times"))
    small = Aim.of_products((14, 9, 5))
    rows.append(row("all of the trade-off with set-ups, 28 pieces, exact", [timed(lambda: trade_off(small)) for _ in range(ROUNDS)], "ms", 1e3))  # fmt: skip
    large = Aim.of_products(ODD)
    rows.append(row("at most 60 set-ups, 1,000 pieces, with a bound", [timed(lambda: trade_off(large, 60, points=1)) for _ in range(3)], "s"))  # fmt: skip
    return rows


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
