"""How soon is a balance found and proven, beside a general solver alone (OR-Tools CP-SAT)? On the problems of Scholl 1993.

`python -m bench balance` takes the small graphs, and some larger ones where the collection is beside the checkout.
`python -m bench.balance --whole takt` goes through all problems with a given takt (`--whole posts`: with given posts), line by line, with
`--seconds` for each and `--solver` seconds for the solver alone (0: without it).
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from time import perf_counter, process_time

import numpy as np

from bench.timing import Row, row
from pullwright.pull.balance.both_ends import two_cores
from pullwright.pull.balance.fewest import fewest_posts
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.rules import best_by_rules
from pullwright.pull.balance.shortest import shortest_takt
from pullwright.pull.balance.windows import windows_of
from pullwright.pull.balance.work import Work
from tests.published.balance_problems import COLLECTION, TABLE_2, problems, work_of

LARGER = (
    ("TONGE70", 176, 21),
    ("TONGE70", 207, 18),
    ("LUTZ2", 11, 49),
    ("WEE-MAG", 28, 63),
    ("ARC83", 5048, 16),
    ("BARTHOL2", 85, 50),
)


@dataclass(frozen=True)
class Outcome:
    """What came out of one problem: the value, what is proven to be the least possible, seconds of the clock and of the processor, part-plans."""

    value: float
    at_least: float
    clock: float
    processor: float
    part_plans: int = 0

    @property
    def proven(self) -> bool:
        """Is the value the least possible?"""
        return self.at_least >= self.value


@dataclass(frozen=True)
class Problem:
    """A graph with a given takt (the fewest posts are asked for) or with given posts (the shortest takt); `best`: what is published, 0 if open."""

    graph: str
    takt: int = 0
    posts: int = 0
    best: int = 0

    @property
    def work(self) -> Work:
        """Its elements."""
        return work_of(self.graph)


def ours(problem: Problem, seconds: float) -> Outcome:
    """The answer of this project."""
    clock, processor = perf_counter(), process_time()
    if problem.takt:
        balance = fewest_posts(problem.work, float(problem.takt), seconds=seconds)
        value, at_least = float(len(balance.posts)), float(balance.at_least)
    else:
        balance = shortest_takt(problem.work, problem.posts, seconds=seconds)
        value, at_least = balance.takt, balance.takt_at_least or 0.0
    return Outcome(value, at_least, perf_counter() - clock, process_time() - processor, balance.part_plans)


def solver_alone(problem: Problem, seconds: float) -> Outcome:
    """The general solver with the usual model: an element at one post of its window, the objective in the model; it starts from the best simple rule."""
    from ortools.sat.python import cp_model

    clock, processor = perf_counter(), process_time()
    plain = Plain.of(problem.work, float(problem.takt or problem.work.total))
    n = len(plain)
    posts = problem.posts or len(best_by_rules(plain, 0)[0])
    if problem.takt:
        windows = windows_of(plain, posts, ())
        first, last = windows.first.tolist(), windows.last.tolist()
    else:
        first, last = [0] * n, [posts - 1] * n
    model = cp_model.CpModel()
    at = [{p: model.new_bool_var("") for p in range(first[i], last[i] + 1)} for i in range(n)]
    for i in range(n):
        model.add_exactly_one(at[i].values())
        for j in plain.followers[i]:
            for p in range(first[j], min(last[i], last[j] + 1)):
                model.add(sum(v for q, v in at[j].items() if q <= p) <= sum(v for q, v in at[i].items() if q <= p))
    loads = [sum(plain.times[i] * at[i][p] for i in range(n) if p in at[i]) for p in range(posts)]
    if problem.takt:
        used = [model.new_bool_var("") for _ in range(posts)]
        for p in range(posts):
            model.add(loads[p] <= plain.takt * used[p])
            if p:
                model.add(used[p] <= used[p - 1])
        model.minimize(sum(used))
    else:
        takt = model.new_int_var(max(max(plain.times), -(-plain.total // posts)), plain.total, "")
        for load in loads:
            model.add(load <= takt)
        model.minimize(takt)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    scale = 1.0 if problem.takt else plain.unit
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    value = solver.objective_value * scale if found else float("inf")
    at_least = float(np.ceil(solver.best_objective_bound - 1e-6)) * scale if found else 0.0
    return Outcome(value, at_least, perf_counter() - clock, process_time() - processor)


def quick() -> list[Problem]:
    """The small graphs, and some larger ones where they are at hand."""
    small = [Problem(graph, takt, 0, few) for graph, takts in TABLE_2 for takt, few in takts.items()]
    return small + ([Problem(graph, takt, 0, few) for graph, takt, few in LARGER] if COLLECTION.exists() else [])


def whole(kind: str) -> Iterator[Problem]:
    """All problems of a table of the collection."""
    if kind == "takt":
        for one in problems("salbp1_scholl"):
            yield Problem(one["graph"], int(one["cycle_time"]), 0, int(one["optimal_stations"] or 0))
    else:
        for one in problems("salbp2_scholl"):
            yield Problem(one["graph"], 0, int(one["stations"]), int(one["optimal_cycle_time"] or 0))


def measure(seconds: float = 20.0) -> list[Row]:
    """Rows of (what, median, low, high, unit); times are those of the processor."""
    asked = quick()
    with two_cores():
        mine = [ours(problem, seconds) for problem in asked]
    theirs = [solver_alone(problem, seconds) for problem in asked]
    both = list(zip(mine, theirs, strict=True))
    return [
        row(f"balance: {len(asked)} problems, time to the answer", [a.processor for a in mine], "ms", 1e3),
        row("balance: proven", [100 * sum(a.proven for a in mine) / len(asked)], "%"),
        row("balance: as good as published", [100 * sum(a.value == p.best for a, p in zip(mine, asked, strict=True)) / len(asked)], "%"),
        row("a general solver alone: proven", [100 * sum(b.proven for b in theirs) / len(asked)], "%"),
        row("balance / a general solver alone, problem by problem", [a.processor / b.processor for a, b in both], "times"),
        row("balance / a general solver alone, all together", [sum(a.processor for a in mine) / sum(b.processor for b in theirs)], "times"),
    ]  # fmt: skip


def main() -> None:
    """Go through a whole table of the collection and print a line for each problem, then the shares."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--whole", choices=("takt", "posts"), required=True)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--solver", type=float, default=10.0)
    given = parser.parse_args()
    with two_cores():
        pass  # The compiler's time is not that of the first problem.
    mine, theirs, known = [], [], []
    for problem in whole(given.whole):
        a = ours(problem, given.seconds)
        line = f"{problem.graph:9} {problem.takt or problem.posts:6} {a.value:8.0f} >= {a.at_least:8.0f} known {problem.best or '?':>6}"
        line += f" {a.clock:7.2f} s ({a.processor:.2f} s of the processor, {a.part_plans} part-plans)"
        mine.append(a)
        known.append(problem.best)
        if given.solver:
            b = solver_alone(problem, given.solver)
            theirs.append(b)
            line += f" | solver alone {b.value:8.0f} >= {b.at_least:8.0f} {b.clock:7.2f} s"
        print(line, flush=True)
    print(
        f"proven: {sum(a.proven for a in mine)} of {len(mine)}; solver alone: {sum(b.proven for b in theirs)} of {len(theirs)}"
    )
    pairs = [(a.value, best) for a, best in zip(mine, known, strict=True) if best]
    print(f"as good as published: {sum(value <= best for value, best in pairs)} of {len(pairs)}")
    print(f"better than published: {[pair for pair in pairs if pair[0] < pair[1]]}")
    for limit in (1, 5, 60):
        print(f"proven within {limit} s of the processor: {sum(a.proven and a.processor <= limit for a in mine)}")


if __name__ == "__main__":
    main()
