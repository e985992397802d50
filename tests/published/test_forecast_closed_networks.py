"""The event kernel against closed queueing networks, base stock and cards in closed form, and laws of order on the same luck."""

from __future__ import annotations

from itertools import combinations_with_replacement
from math import factorial, prod

import numpy as np
import pytest

from tests.forecast.small_lines import DAY, line_text, machine, run, stores
from tests.published.closed_networks import closed_network
from tests.published.exact_chains import SerialLine
from tests.published.test_forecast_exact_chains import agrees

RUNS = 30


# --- the theory, before anything is held against it -----------------------------------------------------------------


@pytest.mark.parametrize(("stations", "pieces"), [(2, 1), (3, 5), (4, 9)])
def test_mean_values_of_equal_machines_are_the_practical_worst_case(stations, pieces):
    """w / (W0 + w - 1) of the bottleneck rate (Hopp & Spearman, chapter 7, from memory)."""
    assert closed_network([1.0] * stations, [1] * stations, pieces).rate == pytest.approx(
        pieces / (stations + pieces - 1), rel=1e-12
    )


def test_mean_values_are_those_of_all_ways_to_lay_the_pieces():
    """Product form (Jackson 1963; Gordon & Newell 1967): summed over every way to part five pieces among three stations."""
    means, machines, pieces = [40.0, 90.0, 65.0], [1, 2, 3], 5
    ways = {tuple(where.count(k) for k in range(3)) for where in combinations_with_replacement(range(3), pieces)}

    def weight(way: tuple[int, ...]) -> float:
        return prod(
            means[k] ** n / (factorial(min(n, machines[k])) * machines[k] ** max(n - machines[k], 0))
            for k, n in enumerate(way)
        )

    whole = sum(map(weight, ways))
    found = closed_network(means, machines, pieces)
    for k in range(3):
        assert found.at[k] == pytest.approx(sum(way[k] * weight(way) for way in ways) / whole)
        assert found.rate * means[k] == pytest.approx(
            sum(min(way[k], machines[k]) * weight(way) for way in ways) / whole
        )


def test_mean_values_and_the_chain_of_a_capped_line_say_the_same():
    means = (50.0, 70.0, 40.0, 60.0)
    chain = SerialLine(means, (None,) * 3, (None,) * 4, cap=6).shares()
    network = closed_network(means, [1] * 4, 6)
    assert network.rate == pytest.approx(chain.rate, rel=1e-9)
    assert network.at[1] - network.in_work[1] == pytest.approx(chain.before[1], rel=1e-9)


# --- runs against it ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("means", "machines", "pieces"),
    [((50.0, 70.0, 40.0), (1, 1, 1), 5), ((60.0, 60.0, 60.0, 60.0), (1, 1, 1, 1), 4), ((45.0, 95.0, 60.0), (1, 2, 1), 6), ((90.0, 50.0, 120.0), (2, 1, 3), 8)],
)  # fmt: skip
def test_a_capped_line_runs_as_mean_value_analysis_says(means, machines, pieces):
    """A cap over the whole line that is never without orders is a closed network: rate, stock before each step, work of each station."""
    first = f", release: {{by: cap, limit: {pieces}, until: t{len(means) - 1}}}"
    text = line_text(
        [machine(f"{mean} s", "exponential") + (first if k == 0 else "") for k, mean in enumerate(means)],
        demand=f"{1.5 * DAY * machines[0] / means[0]} /d",
        stations=[f"machines: {many}" for many in machines],
    )
    runs = run(text, days=34, warm_days=4, runs=RUNS, samples=1)
    theory, span = closed_network(means, machines, pieces), 30 * DAY
    agrees("rate", [one.made[-1] / span * 60 for one in runs], theory.rate * 60)
    for k in range(len(means)):
        agrees(f"{k} works", [one.times[k, 0] / span for one in runs], theory.in_work[k])
        if k > 0:  # what waits at the first step is a permit, not yet a piece
            agrees(f"before {k}", [one.lying[k] for one in runs], theory.at[k] - theory.in_work[k])


def in_front_of_one_machine(load: float, stock: int) -> tuple[float, float, float]:
    """M/M/1 that refills a store of s: n jobs at it with chance (1 - r) r^n; shipped at once, mean in the store, mean wait in orders: by summing."""
    n = np.arange(400)
    chance = (1 - load) * load**n
    return (
        float(chance[n < stock].sum()),
        float(chance @ np.maximum(stock - n, 0)),
        float(chance @ np.maximum(n - stock, 0)),
    )


@pytest.mark.parametrize("stock", [1, 4])
@pytest.mark.parametrize("by_cards", [False, True])
def test_a_base_stock_and_as_many_cards_are_one_and_the_same(stock, by_cards):
    """Exponential machine, orders at random: what is in the store, what waits, and how often an order is shipped at once."""
    load = 0.7
    at_once, lying, waiting = in_front_of_one_machine(load, stock)
    release = f", release: {{by: cards, cards: {stock}, per_card: 1}}" if by_cards else ""
    text = line_text(
        [machine("60 s", "exponential") + release], demand=f"{load * DAY / 60} /d", more="" if by_cards else f"stores: [{{after: t0, counted: {stock}}}]\n"
    )  # fmt: skip
    runs = run(text, days=66, warm_days=6, runs=RUNS, seed=stock)
    agrees("in the store", [one.lying[-2] for one in runs], lying)
    agrees("response", [one.response[0].mean() * load / 60 for one in runs], waiting)
    agrees("at once", [(one.response[0] == 0).mean() for one in runs], at_once)


# --- laws of order, on the same luck --------------------------------------------------------------------------------


def made(steps: list[str], *, seed: int, demand: str = f"{1.3 * DAY / 60} /d", **more: object) -> int:
    return run(line_text(steps, demand=demand, **more), days=10, seed=seed)[0].lead.shape[1]  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", range(3))
def test_a_higher_cap_more_cards_and_more_machines_never_make_less(seed):
    """Shanthikumar & Yao 1989; on the same times in the same order."""
    work = [machine("60 s", "exponential")] * 3
    caps = [
        made([f"{work[0]}, release: {{by: cap, limit: {limit}, until: t2}}", *work[1:]], seed=seed)
        for limit in (1, 2, 3, 5, 9)
    ]
    cards = [
        made([f"{one}, release: {{by: cards, cards: {many}, per_card: 1}}" for one in work], seed=seed)
        for many in (1, 2, 3, 5)
    ]
    machines = [
        made(work, seed=seed, stations=["", f"machines: {many}", ""], more=stores([1, 1])) for many in (1, 2, 3)
    ]
    for found in (caps, cards, machines):
        assert found == sorted(found)
        assert found[0] < found[-1]


@pytest.mark.parametrize("seed", range(3))
def test_a_quicker_step_never_makes_less(seed):
    """The same luck, each time of one step multiplied: the last unit ends no later."""
    found = [
        made([machine("60 s", "exponential"), machine(f"{mean} s", "exponential"), machine("60 s", "exponential")], seed=seed, more=stores([1, 1]))
        for mean in (90, 70, 50, 30)
    ]  # fmt: skip
    assert found == sorted(found)


def test_a_line_that_is_slower_in_all_ends_everything_as_much_later():
    """No rule knows a length of time: all times three times as long give the same run, three times as long."""

    def ends(scale: int) -> np.ndarray:
        text = line_text(
            [
                f"manual: {{mean: {20 * scale} s, cv: 0.4}}, scrap: 4 %",
                f"machine: {{mean: {45 * scale} s, cv: 0.5}}, people: 0, rework: {{share: 5 %}}",
                f"manual: {{mean: {30 * scale} s, cv: 0.2}}, lot: 3, set_up: {{time: {40 * scale} s}}",
            ],
            demand=f"{450 / scale} /d",
            stations=["", f"breakdowns: {{between: {50 * scale} min, repair: {4 * scale} min}}", ""],
            more="people: [{name: hands, number: 1}]\nstores: [{before: t1, capacity: 2}, {before: t2, capacity: 3}]\n",
        )
        return run(text, days=2 * scale)[0].lead[1]

    np.testing.assert_allclose(ends(3), 3 * ends(1), rtol=1e-9)
