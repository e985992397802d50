"""What a rhythm of deliveries binds, in cash and in floor, and the cheapest plan within what there is of both."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from math import inf, isfinite, prod
from typing import Any

from pullwright.account.floor import area_of
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

MOST_TRIED = 4000
"""So many plans are tried one by one; more than that are searched with a solver. Both are exact."""
_DIGITS = 1e12
"""A solver counts in whole numbers: the whole of what it adds up is this many."""


def cash_bound(lot: Any, on_arrival: Any, price: Any, use: Any, owed_days: Any) -> Any:
    """How much cash does a part bind, on average over time (money)? Its stock at its price, less what is owed for it to the supplier.

    Half a `lot` and what lies there `on_arrival` (pieces); `use` a working day is paid `owed_days` working days after it came, so that use x
    days are always owed (Little 1961). Below 0 where the supplier waits longer than the pieces lie.

    >>> cash_bound(600, 40, 30.0, 30, 20.0)
    -7800.0
    """
    return (lot / 2 + on_arrival) * price - use * price * owed_days


def floor_bound(lot: Any, on_arrival: Any, holds: Any, stack: Any, each: Any) -> Any:
    """How much floor must be kept for a part (m²)? As much as lies there just after a delivery, in whole containers, stacked.

    >>> float(floor_bound(600, 41, 25, 2, 0.9))
    11.700000000000001
    """
    return area_of(lot + on_arrival, holds, stack, each)


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to have something delivered: what it `costs` in a year, the `floor` (m²) and the `cash` (money) that it binds."""

    name: str
    costs: float
    floor: float
    cash: float


@dataclass(frozen=True, slots=True)
class Within:
    """The cheapest plan within the given floor and cash.

    `chosen`: which offer of each supplier, by index. `worth_of_floor` (money/year for a m²) and `worth_of_cash` (a year for one of money): what
    more of it would save, up to the next better plan; 0 where more of it changes nothing. `next_floor` and `next_cash`: how much that plan needs.
    """

    chosen: tuple[int, ...]
    costs: float
    floor: float
    cash: float
    worth_of_floor: float
    worth_of_cash: float
    next_floor: float
    next_cash: float


def cheapest_within(offers: Sequence[Sequence[Offer]], floor: float = inf, cash: float = inf) -> Within:
    """Which offer of each supplier, so that all of them fit the floor and the cash at the least cost?

    Parameters: `offers` of each supplier; `floor` (m²) and `cash` (money) that there are for all of them together, without a limit where
    nothing is said. Result: the cheapest plan, exact, with what more floor or cash would be worth: the shadow price,
    taken as a difference to the next better plan, because offers are whole things. BadPlanInput for a supplier without an offer; NoSuchPlan
    where nothing fits, with the least that would do.

    >>> tubes = [Offer("weekly", 300.0, 4.0, 2000.0), Offer("monthly", 100.0, 12.0, 9000.0)]
    >>> spouts = [Offer("weekly", 200.0, 3.0, 1000.0), Offer("monthly", 150.0, 8.0, 4000.0)]
    >>> plan = cheapest_within([tubes, spouts], floor=16.0)
    >>> plan.chosen, plan.costs, plan.worth_of_floor, plan.next_floor
    ((1, 0), 300.0, 12.5, 20.0)
    """
    groups = [list(group) for group in offers]
    if any(not group for group in groups):
        raise BadPlanInput(
            "a supplier without any offer was read; allowed: one or more for each; leave out who brings nothing"
        )
    if floor != floor or cash != cash:
        raise BadPlanInput("a limit that is not a number was read; allowed: square metres, money, or no limit")
    found = _cheapest(groups, floor, cash)
    if found is None:
        raise _impossible(groups, floor, cash)
    costs, taken, bound = (_sum(groups, found, what) for what in ("costs", "floor", "cash"))
    more_floor = _next(groups, costs, "floor", cash) if isfinite(floor) else None
    more_cash = _next(groups, costs, "cash", floor) if isfinite(cash) else None
    return Within(
        found, costs, taken, bound,
        0.0 if more_floor is None else (costs - more_floor[1]) / (more_floor[0] - floor),
        0.0 if more_cash is None else (costs - more_cash[1]) / (more_cash[0] - cash),
        floor if more_floor is None else more_floor[0],
        cash if more_cash is None else more_cash[0],
    )  # fmt: skip


def combined(groups: Sequence[Sequence[Offer]]) -> list[tuple[tuple[int, ...], Offer]]:
    """All ways to take one offer of each, added up, without those that another one beats in costs, floor and cash alike.

    >>> small, large = Offer("", 30.0, 1.0, 100.0), Offer("", 20.0, 3.0, 300.0)
    >>> [(chosen, one.costs) for chosen, one in combined([[small, large], [small, Offer("", 40.0, 1.0, 100.0)]])]
    [((1, 0), 50.0), ((0, 0), 60.0)]
    """
    ways: list[tuple[tuple[int, ...], Offer]] = [((), Offer("", 0.0, 0.0, 0.0))]
    for group in groups:
        ways = _unbeaten(
            ((*chosen, k), Offer("", sofar.costs + one.costs, sofar.floor + one.floor, sofar.cash + one.cash))
            for chosen, sofar in ways
            for k, one in enumerate(group)
        )
    return ways


def _unbeaten(ways: Iterable[tuple[tuple[int, ...], Offer]]) -> list[tuple[tuple[int, ...], Offer]]:
    kept: list[tuple[tuple[int, ...], Offer]] = []
    for chosen, one in sorted(ways, key=lambda way: (way[1].costs, way[1].floor, way[1].cash)):
        # What was kept before costs no more.
        if not any(other.floor <= one.floor and other.cash <= one.cash for _, other in kept):
            kept.append((chosen, one))
    return kept


def _sum(groups: list[list[Offer]], chosen: Sequence[int], what: str) -> float:
    return float(sum(getattr(group[k], what) for group, k in zip(groups, chosen, strict=True)))


def _impossible(groups: list[list[Offer]], floor: float, cash: float) -> NoSuchPlan:
    least_floor, least_cash = _least(groups, "floor", "cash", inf), _least(groups, "cash", "floor", inf)
    assert least_floor is not None
    assert least_cash is not None
    binding = []
    if least_floor > floor:
        binding.append(f"the floor of {floor:g} m² (no plan needs less than {least_floor:.4g} m²)")
    if least_cash > cash:
        binding.append(f"the cash of {cash:g} (no plan binds less than {least_cash:.6g})")
    binding = binding or [f"the floor of {floor:g} m²", f"the cash of {cash:g}"]
    more_cash, more_floor = _least(groups, "cash", "floor", floor), _least(groups, "floor", "cash", cash)
    if more_cash is not None and more_cash > cash:
        nearest = f"within that floor it works with {more_cash:.6g} of cash"
    elif more_floor is not None:
        nearest = f"it works with {more_floor:.4g} m²"
    else:
        enough = _least(groups, "cash", "floor", least_floor)
        nearest = f"it works with {least_floor:.4g} m² and {enough:.6g} of cash"
    return NoSuchPlan(
        f"no rhythm of deliveries keeps within {' and '.join(binding)}; {nearest}", tuple(binding), nearest
    )


def _least(groups: list[list[Offer]], what: str, rest: str, limit: float) -> float | None:
    """The least floor (or cash) that a plan needs within a limit on the other; None where nothing keeps that limit."""
    turned = [[Offer(one.name, getattr(one, what), getattr(one, rest), 0.0) for one in group] for group in groups]
    found = _cheapest(turned, limit, inf)
    return None if found is None else _sum(groups, found, what)


def _next(groups: list[list[Offer]], costs: float, what: str, other: float) -> tuple[float, float] | None:
    """The least floor (or cash) with which some plan is cheaper, and what that plan costs; None where none is."""
    rest = "cash" if what == "floor" else "floor"
    # Seen from the other side: the least of one thing within a limit on the costs, and on the other thing.
    turned = [[Offer(one.name, getattr(one, what), one.costs, getattr(one, rest)) for one in group] for group in groups]
    found = _cheapest(turned, costs - max(1e-4, 1e-9 * abs(costs)), other)
    if found is None:
        return None
    needed = _sum(groups, found, what)
    best = _cheapest(groups, *((needed, other) if what == "floor" else (other, needed))) or found
    return needed, _sum(groups, best, "costs")


def _cheapest(groups: list[list[Offer]], floor: float, cash: float) -> tuple[int, ...] | None:
    """Offers by index, at the least cost within both limits; None where none keeps them."""
    free = tuple(min(range(len(group)), key=lambda k, group=group: group[k].costs) for group in groups)  # type: ignore[misc]
    if _keeps(groups, free, floor, cash):
        return free
    if prod(len(group) for group in groups) <= MOST_TRIED:
        kept = [one for one in product(*(range(len(group)) for group in groups)) if _keeps(groups, one, floor, cash)]
        return min(kept, key=lambda one: _sum(groups, one, "costs"), default=None)
    return _solved(groups, floor, cash)


def _keeps(groups: list[list[Offer]], chosen: Sequence[int], floor: float, cash: float) -> bool:
    sums = ((_sum(groups, chosen, "floor"), floor), (_sum(groups, chosen, "cash"), cash))
    return all(taken <= most + 1e-9 * max(1.0, abs(taken)) for taken, most in sums)  # rounding is not a lack


def _solved(groups: list[list[Offer]], floor: float, cash: float) -> tuple[int, ...] | None:
    """The same by constraint programming, where there are too many plans to try one by one."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    takes = [[model.new_bool_var(f"{g}/{k}") for k in range(len(group))] for g, group in enumerate(groups)]
    for row in takes:
        model.add_exactly_one(row)
    pairs = [(var, one) for row, group in zip(takes, groups, strict=True) for var, one in zip(row, group, strict=True)]
    for what, most in (("floor", floor), ("cash", cash)):
        if isfinite(most):
            grain = _grain(groups, what)
            # Every offer is rounded by half a grain at most, so that half a grain for each is let through.
            limit = round(most * grain) + (len(groups) + 1) // 2
            model.add(sum(round(getattr(one, what) * grain) * var for var, one in pairs) <= limit)
    grain = _grain(groups, "costs")
    model.minimize(sum(round(one.costs * grain) * var for var, one in pairs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 1
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return tuple(next(k for k, var in enumerate(row) if solver.boolean_value(var)) for row in takes)


def _grain(groups: list[list[Offer]], what: str) -> float:
    """Whole numbers for a solver: so many to one of what is counted."""
    return float(_DIGITS / max(1.0, sum(max(abs(getattr(one, what)) for one in group) for group in groups)))
