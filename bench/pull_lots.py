"""How long does it take to find a set-up cycle, beside a general integer programme that proves the best one, and to plan the lots of a line?

Up to 15 products by dynamic programming, which proves the best; above, by a search with a bound, and the same programme where the bound leaves it open.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bench.timing import Row, row, timed
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.lots.of_line import lots_of
from pullwright.pull.lots.set_up_cycle import set_up_cycle

PUMP = Path(__file__).parents[1] / "examples" / "hand_pump.yaml"
SEEDS = range(1, 6)
SIZES = (12, 30)


def _table(count: int, seed: int) -> NDArray[np.int64]:
    return np.random.default_rng(seed).integers(5, 60, (count, count)) * 60


def _by_integer_programme(times: NDArray[np.int64]) -> float:
    """A circuit through all products, by constraint programming."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    arcs = [(a, b, model.new_bool_var("")) for a in range(len(times)) for b in range(len(times)) if a != b]
    model.add_circuit(arcs)
    model.minimize(sum(int(times[a, b]) * used for a, b, used in arcs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 60.0
    solver.solve(model)
    return float(solver.objective_value)


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit) over five tables of set-up times."""
    rows: list[Row] = []
    set_up_cycle(_table(20, 0))
    _by_integer_programme(_table(5, 0))  # both load what they need
    for size in SIZES:
        tables = [_table(size, seed) for seed in SEEDS]
        ours = [timed(partial(set_up_cycle, table)) for table in tables]
        theirs = [timed(partial(_by_integer_programme, table)) for table in tables]
        found = [set_up_cycle(table) for table in tables]
        best = [_by_integer_programme(table) for table in tables]
        rows.append(row(f"set-up cycle of {size} products", ours, "ms", 1e3))
        rows.append(row("constraint programme (ortools) / set-up cycle", [t / o for t, o in zip(theirs, ours, strict=True)], "times"))  # fmt: skip
        rows.append(row("longer than the best", [one.time / least - 1 for one, least in zip(found, best, strict=True)], "%", 1e2))  # fmt: skip
        rows.append(row("gap told", [one.gap for one in found], "%", 1e2))
    line = Line.read(PUMP)
    flow = flow_of(line)
    flow.figures()
    planning, flowing = [], []
    for _ in SEEDS:
        planning.append(timed(lambda: lots_of(flow)))
        flowing.append(timed(lambda: flow_of(line).figures()))
    rows.append(row("lots of the hand pump line", planning, "ms", 1e3))
    rows.append(row("lots / all figures of the flow", [p / f for p, f in zip(planning, flowing, strict=True)], "times"))
    return rows


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
