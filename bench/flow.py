"""How much processor time does it take to work out all figures of a line, a thousand draws each, beside reading its file?

And to share work among crews, beside a linear programme, which keeps the fullest crew as low but leaves the others as they fall.
"""

from __future__ import annotations

from bench.lines import line_text
from bench.timing import Row, row, timed
from pullwright.flow import flow_of
from pullwright.flow.sharing import share_work
from pullwright.line import Line

SIZES = (10, 30, 100)
SEEDS = range(1, 6)


def _sharing_by_linear_programme(work: list[float], able: list[list[bool]], capacity: list[float]) -> None:
    import numpy as np
    from scipy.optimize import linprog

    steps, crews = len(work), len(capacity)
    total = np.kron(np.eye(steps), np.ones(crews))
    loads = np.hstack([np.diag(np.full(crews, row)) / np.asarray(capacity) for row in work])
    bounds = [(0, 1 if can else 0) for row in able for can in row] + [(0, None)]
    goal = np.append(np.zeros(steps * crews), 1.0)
    linprog(
        goal, A_ub=np.hstack([loads, -np.ones((crews, 1))]), b_ub=np.zeros(crews), A_eq=np.hstack([total, np.zeros((steps, 1))]),
        b_eq=np.ones(steps), bounds=bounds,
    )  # fmt: skip


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); each time is that of one of five lines, the second time it is worked out."""
    rows: list[Row] = []
    for size in SIZES:
        texts = [line_text(size, seed) for seed in SEEDS]
        lines = [Line.from_text(text) for text in texts]
        reading = [timed(lambda text=text: Line.from_text(text)) for text in texts]  # type: ignore[misc]
        for line in lines[:1]:
            flow_of(line).figures()
        working = [timed(lambda line=line: flow_of(line).figures()) for line in lines]  # type: ignore[misc]
        rows.append(row(f"all figures of a line of {size} stations", working, "ms", 1e3))
        rows.append(
            row(
                f"working out / reading, {size} stations",
                [w / r for w, r in zip(working, reading, strict=True)],
                "times",
            )
        )
    work = [100.0 + 37 * k % 900 for k in range(30)]
    able = [[(k + c) % 3 != 0 for c in range(5)] for k in range(30)]
    ours, theirs = [], []
    _sharing_by_linear_programme(work, able, [5e3, 4e3, 3e3, 2e3, 1e3])  # loads what it needs
    for _ in range(9):
        ours.append(timed(lambda: share_work(work, able, [5e3, 4e3, 3e3, 2e3, 1e3])))
        theirs.append(timed(lambda: _sharing_by_linear_programme(work, able, [5e3, 4e3, 3e3, 2e3, 1e3])))
    rows.append(row("sharing 30 steps among 5 crews", ours, "ms", 1e3))
    rows.append(row("linear programme (scipy) / sharing", [t / o for t, o in zip(theirs, ours, strict=True)], "times"))
    return rows


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
