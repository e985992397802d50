"""The smallest changes that make a plan fit: out of all that could be done, the cheapest set and the one with the fewest changes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pullwright.pull.errors import BadPlanInput

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

GRAIN = 1e-3
"""Needs are counted in thousandths of their unit: what is short is rounded up, what a change gives down, so that a set that fits does fit."""
CENT = 1e-2
EFFORT = 30.0
"""Where the best set is not proven within this measure of work (the same on every machine), the best one found is given and said to be that."""
_LARGEST = 10**12


@dataclass(frozen=True, slots=True)
class Option:
    """A change that could be made.

    `gives`: how much of each need one of it gives, in the need's unit; below 0 it takes. `price` (money/year) of one: below 0 it saves; None
    where nobody knows it. `most`: how many of it there may be (square metres rented, people hired). `group`: of the options of one group at
    most one is made; empty where it goes with all.
    """

    name: str
    gives: Mapping[str, float]
    price: float | None = 0.0
    most: int = 1
    group: str = ""


@dataclass(frozen=True)
class Chosen:
    """A set of changes: how many of each option, what they cost in a year (those with a known price), and how many have none.

    `left`: what is left of each need when they are made; below 0 where it is still short. `proven`: no better set exists.
    """

    times: dict[str, int]
    price: float
    unpriced: tuple[str, ...]
    left: dict[str, float]
    proven: bool


@dataclass(frozen=True)
class Choice:
    """The answer: the cheapest set, the one with the fewest changes, and where no set is enough the one that comes nearest."""

    cheapest: Chosen | None
    fewest: Chosen | None
    nearest: Chosen | None


def smallest_changes(short: Mapping[str, float], options: Sequence[Option]) -> Choice:
    """Which changes make it fit, at the lowest price, or as few as can be?

    Parameters: `short`: by how much each need is short, in its own unit (below 0: so much is left over, which a change may use up);
    `options`: all that could be done. Result: sets of changes with which nothing is short.

    - *cheapest*: as few changes without a known price as can be, then the lowest yearly price, then the fewest changes. What saves money
      anyway counts as free, so that it is chosen where it helps, and not only to save: whoever wants to save can do that besides.
    - *fewest*: the fewest changes, then as the cheapest.
    - *nearest*, where no set is enough: the smallest sum of what stays short, each need as a share of what it is short today; then as the cheapest.

    Method: integer programmes (CP-SAT), one goal after another, each solved to proof. BadPlanInput for options that are called the same or
    give what is no number.

    >>> choice = smallest_changes(
    ...     {"floor": 5.0, "cash": 900.0},
    ...     [
    ...         Option("rent 1 m2", {"floor": 1.0}, price=100.0, most=10),
    ...         Option("clear the corner", {"floor": 3.0}),
    ...         Option("smaller lots", {"floor": 2.0, "cash": 1000.0}, price=150.0),
    ...         Option("loan", {"cash": 1000.0}, price=60.0),
    ...     ],
    ... )
    >>> choice.cheapest.times, choice.cheapest.price
    ({'clear the corner': 1, 'smaller lots': 1}, 150.0)
    """
    _check(short, options)
    problem = _Problem(dict(short), tuple(options))
    cheapest = problem.solve(fits=True, goals=("unpriced", "price", "count", "saving"))
    if cheapest is None:
        return Choice(None, None, problem.solve(fits=False, goals=("short", "unpriced", "price", "count", "saving")))
    return Choice(cheapest, problem.solve(fits=True, goals=("count", "unpriced", "price", "saving")), None)


def _check(short: Mapping[str, float], options: Sequence[Option]) -> None:
    names = [option.name for option in options]
    if doubled := sorted({name for name in names if names.count(name) > 1}):
        raise BadPlanInput(f"{doubled[0]!r} is the name of two changes; allowed: names that stand once; rename one")
    for option in options:
        if option.most < 0:
            raise BadPlanInput(f"{option.name!r} may be made {option.most} times; allowed: from 0 on")
        numbers = [*option.gives.values(), *([] if option.price is None else [option.price])]
        if any(not math.isfinite(number) for number in numbers):
            raise BadPlanInput(f"{option.name!r} gives or costs what is no number ({numbers}); allowed: finite numbers")
    if any(not math.isfinite(number) for number in short.values()):
        raise BadPlanInput(f"what is short was read as {dict(short)}; allowed: finite numbers")


@dataclass(frozen=True)
class _Problem:
    short: dict[str, float]
    options: tuple[Option, ...]
    _low: dict[str, int] = field(default_factory=dict)

    def solve(self, fits: bool, goals: Iterable[str]) -> Chosen | None:
        """Meet one goal after another; None where no set fits."""
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        times = [model.new_int_var(0, option.most, f"times {k}") for k, option in enumerate(self.options)]
        used = [model.new_bool_var(f"used {k}") for k in range(len(self.options))]
        for option, number, one in zip(self.options, times, used, strict=True):
            model.add(number <= option.most * one)
            model.add(number >= one)
        for group in {option.group for option in self.options if option.group}:
            model.add_at_most_one(one for option, one in zip(self.options, used, strict=True) if option.group == group)
        still = {}
        for need, wanted in self.short.items():
            gives = [_grains(option.gives.get(need, 0.0)) for option in self.options]
            lacking = _short(wanted)
            still[need] = model.new_int_var(0, 0 if fits else max(lacking, 0), f"still short of {need}")
            model.add(cp_model.LinearExpr.weighted_sum(times, gives) + still[need] >= lacking)
        sums = {
            "short": cp_model.LinearExpr.weighted_sum(list(still.values()), [self._weight(need) for need in still]),
            "unpriced": sum(one for option, one in zip(self.options, used, strict=True) if option.price is None),
            "price": self._prices(times, lowest=0),
            "count": sum(used),
            "saving": self._prices(times, lowest=-_LARGEST),
        }
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.max_deterministic_time = EFFORT
        proven, values = True, [0] * len(times)
        for goal in goals:
            model.minimize(sums[goal])
            status = solver.solve(model)
            if status == cp_model.INFEASIBLE or (status == cp_model.UNKNOWN and goal == next(iter(goals))):
                return None
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                proven = False
                break
            proven = proven and status == cp_model.OPTIMAL
            values = [solver.value(number) for number in times]
            model.add(sums[goal] <= round(solver.objective_value))
        return self._chosen(values, proven)

    def _prices(self, times: Sequence[cp_model.IntVar], lowest: int) -> cp_model.LinearExpr:
        from ortools.sat.python import cp_model

        cents = [max(round((option.price or 0.0) / CENT), lowest) for option in self.options]
        return cp_model.LinearExpr.weighted_sum(list(times), cents)

    def _weight(self, need: str) -> int:
        """What a grain that stays short of a need weighs: one over all that it is short today."""
        lacking = _short(self.short[need])
        return 0 if lacking <= 0 else max(1, _LARGEST // lacking)

    def _chosen(self, values: Sequence[int], proven: bool) -> Chosen:
        made = [(option, number) for option, number in zip(self.options, values, strict=True) if number]
        return Chosen(
            {option.name: number for option, number in made},
            sum((option.price or 0.0) * number for option, number in made),
            tuple(option.name for option, _ in made if option.price is None),
            {
                need: sum(option.gives.get(need, 0.0) * number for option, number in made) - wanted
                for need, wanted in self.short.items()
            },
            proven,
        )


def _grains(gives: float) -> int:
    return max(-_LARGEST, min(_LARGEST, math.floor(gives / GRAIN + 1e-6)))


def _short(wanted: float) -> int:
    return max(-_LARGEST, min(_LARGEST, math.ceil(wanted / GRAIN - 1e-6)))
