"""The event kernel against what is known exactly: queues, lines with few spaces, capped work in process, breakdowns, base stock."""

from __future__ import annotations

from itertools import product as every
from math import factorial, sqrt

import numpy as np
import pytest
from scipy import stats

from tests.forecast.small_lines import DAY, line_text, machine, run, stores

SERVICE = 60.0
RUNS = 24


def agrees(found: list[float], theory: float, *, within: float) -> None:
    """The mean of independent runs lies within 3.3 standard errors (one time in a thousand it would not), and those are small enough."""
    mean, error = np.mean(found), np.std(found, ddof=1) / sqrt(len(found))
    assert error < within * theory / 2, f"{error / theory:.2%} is too wide a check"
    assert abs(mean - theory) < 3.3 * error, f"{mean:.5g} for {theory:.5g}, standard error {error:.2g}"


def in_line(law: str, load: float, *, machines: int = 1, runs: int = RUNS, days: float = 60.0) -> list[float]:
    """Mean times in the system of runs of one station, in service times."""
    demand = f"{load * machines * DAY / SERVICE} /d"
    text = line_text([machine("60 s", law)], demand=demand, stations=[f"machines: {machines}"])
    return [float(one.response[0].mean()) / SERVICE for one in run(text, days=days, runs=runs, warm_days=10)]


@pytest.mark.parametrize(
    ("law", "cv2"), [("exponential", 1.0), ("constant", 0.0), ("cv: 0.5, distribution: gamma", 0.25), ("cv: 1.4, distribution: lognormal", 1.96)]
)  # fmt: skip
@pytest.mark.parametrize("load", [0.5, 0.8])
def test_one_machine_and_orders_at_random(law, cv2, load):
    """Pollaczek & Khinchine: W = 1 + (1 + cv²) / 2 · load / (1 - load) in service times; cv² = 1 is M/M/1, cv² = 0 M/D/1."""
    days = 300.0 if cv2 > 1 else 60.0
    agrees(in_line(law, load, days=days), 1 + (1 + cv2) / 2 * load / (1 - load), within=0.04)


@pytest.mark.parametrize("machines", [2, 5])
def test_several_machines_and_orders_at_random(machines):
    """Erlang's formula for M/M/m (Erlang 1917)."""
    load = 0.8
    offered = load * machines
    tail = offered**machines / factorial(machines) / (1 - load)
    waits = tail / (sum(offered**k / factorial(k) for k in range(machines)) + tail)
    agrees(in_line("exponential", load, machines=machines), 1 + waits / (machines * (1 - load)), within=0.04)


def rate(text: str, *, runs: int = RUNS, days: float = 60.0) -> list[float]:
    """Units ended a service time, of runs of a line that is never without orders."""
    return [one.lead.shape[1] * SERVICE / (days * DAY) for one in run(text, days=days + 5, runs=runs, warm_days=5)]


MANY_ORDERS = f"{1.3 * DAY / SERVICE} /d"


@pytest.mark.parametrize("spaces", [0, 1, 2, 5])
def test_two_machines_with_spaces_between(spaces):
    """Exact: (K + 2) / (K + 3) of the rate of one machine."""
    text = line_text([machine("60 s", "exponential")] * 2, demand=MANY_ORDERS, more=stores([spaces]))
    agrees(rate(text), (spaces + 2) / (spaces + 3), within=0.01)


@pytest.mark.parametrize(
    ("stations", "spaces", "theory"), [(3, 0, 22 / 39), (3, 1, 0.67047), (3, 2, 0.73402), (4, 0, 0.51478)]
)
def test_three_and_four_machines_with_few_spaces(stations, spaces, theory):
    """Exact Markov chains, in the setting of Hillier & Boling 1967; the chain of no spaces is worked out below."""
    text = line_text(
        [machine("60 s", "exponential")] * stations, demand=MANY_ORDERS, more=stores([spaces] * (stations - 1))
    )
    agrees(rate(text), theory, within=0.01)


@pytest.mark.parametrize(("stations", "theory"), [(2, 2 / 3), (3, 22 / 39), (4, 0.51478)])
def test_the_theory_of_no_spaces_is_that_of_its_markov_chain(stations, theory):
    """States: what each machine does (idle, busy, blocked), the first never idle, the last never blocked."""
    states = [s for s in every("ibx", repeat=stations) if s[0] != "i" and s[-1] != "x" and _can_be(s)]
    index = {s: k for k, s in enumerate(states)}
    rates = np.zeros((len(states), len(states)))
    out = np.zeros(len(states))
    for s, k in index.items():
        for j in range(stations):
            if s[j] == "b":
                rates[k, index[_ended(s, j)]] += 1
                out[k] += j == stations - 1
    balance = (rates - np.diag(rates.sum(1))).T
    balance[-1] = 1
    chances = np.linalg.solve(balance, np.eye(len(states))[-1])
    assert chances @ out == pytest.approx(theory, abs=5e-6)


def _can_be(state: tuple[str, ...]) -> bool:
    """A blocked machine has a busy or blocked one behind it."""
    return all(state[j] != "x" or state[j + 1] != "i" for j in range(len(state) - 1))


def _ended(state: tuple[str, ...], j: int) -> tuple[str, ...]:
    now = list(state)
    if j + 1 < len(now) and now[j + 1] != "i":
        now[j] = "x"
        return tuple(now)
    if j + 1 < len(now):
        now[j + 1] = "b"
    while True:  # machine j is free; the piece of a blocked one before it moves on
        if j == 0:
            now[0] = "b"
            return tuple(now)
        if now[j - 1] != "x":
            now[j] = "i"
            return tuple(now)
        now[j] = "b"
        j -= 1


@pytest.mark.parametrize(("stations", "cap"), [(2, 1), (3, 4), (4, 8)])
def test_a_cap_on_a_balanced_line_is_the_practical_worst_case(stations, cap):
    """w / (w + n - 1) of the bottleneck rate: exact for equal exponential machines (Reiser & Lavenberg 1980; Hopp & Spearman, chapter 7)."""
    first = f"{machine('60 s', 'exponential')}, release: {{by: cap, limit: {cap}, until: t{stations - 1}}}"
    text = line_text([first, *[machine("60 s", "exponential")] * (stations - 1)], demand=MANY_ORDERS)
    agrees(rate(text), cap / (cap + stations - 1), within=0.01)


@pytest.mark.parametrize("stock", [1, 3, 6])
def test_base_stock_ships_at_once_as_often_as_its_law_says(stock):
    """One exponential machine behind a store of s, orders at random: shipped at once with chance 1 - load^s."""
    load = 0.7
    text = line_text(
        [machine("60 s", "exponential")],
        demand=f"{load * DAY / SERVICE} /d",
        more=f"stores: [{{after: t0, counted: {stock}}}]\n",
    )
    found = [float((one.response[0] == 0).mean()) for one in run(text, days=60, runs=RUNS, warm_days=10)]
    agrees(found, 1 - load**stock, within=0.04)


def test_a_machine_that_breaks_down_makes_what_its_availability_leaves():
    """Hopp & Spearman, chapter 8, recomputed: 744 min between, 248 min of repair, availability 0.75; by running time."""
    text = line_text(
        [machine("900 s")], demand=f"{1.3 * DAY / 900} /d", stations=["breakdowns: {between: 744 min, repair: 248 min}"]
    )
    found = run(text, days=2000, runs=RUNS)
    agrees([one.lead.shape[1] * 900 / (2000 * DAY) for one in found], 0.75, within=0.02)
    times = sum(one.times[0] for one in found)
    assert times[2] / (times[0] + times[2]) == pytest.approx(0.25, rel=0.03)


def test_a_machine_that_breaks_down_by_the_clock_is_down_the_same_share_at_any_load():
    """Up 100 min and down 25 min on average whatever it does: it can make 0.8 of the time, and an order finds it down one time in five."""
    text = line_text(
        [machine("1 s")], demand="{mean: 48 /d, cv: 0}", stations=["breakdowns: {between: 100 min, repair: 25 min, counted_by: clock}"]
    )  # fmt: skip
    found = run(text, days=1000, runs=RUNS)
    # An order that finds it down waits for what is left of an exponential repair, or behind the order before it: never at once.
    at_once = [float((one.response[0] <= 1.0 + 1e-9).mean()) for one in found]
    agrees(at_once, 0.8, within=0.02)


def test_pieces_in_the_line_are_rate_times_lead_time():
    """Little 1961, on a line with everything in it: the same runs say all three."""
    text = line_text(
        [
            "manual: {mean: 40 s, cv: 0.4}, transfer_lot: 4",
            "manual: {mean: 30 s, cv: 0.4}, machine: 15 s, set_up: {time: 200 s}, lot: 12, transfer_lot: 4",
            "manual: {mean: 45 s, cv: 0.4}, rework: {share: 5 %, to: t1}",
        ],
        demand="430 /d",
        stations=["", "breakdowns: {between: 2 h, repair: 5 min}", ""],
        more="people: [{name: hands, number: 3}]\nstores: [{before: t2, capacity: 12}]\n",
    )  # fmt: skip
    for one in run(text, days=200, runs=4, warm_days=20):
        throughput = one.lead.shape[1] / (180 * DAY)
        assert one.lying[-1] == pytest.approx(throughput * one.lead[0].mean(), rel=0.01)


def test_more_cards_and_more_spaces_never_make_less():
    """Shanthikumar & Yao 1989: on the same luck the last unit of a run ends no later."""
    for seed in range(5):
        made = [
            run(line_text([machine("60 s", "exponential")] * 3, demand=MANY_ORDERS, more=stores([k, k])), days=20, seed=seed)[0].lead.shape[1]
            for k in range(5)
        ]  # fmt: skip
        assert made == sorted(made)


def test_a_line_makes_as_much_the_other_way_round():
    """Reversibility (Yamazaki & Sakasegawa 1975; Muth 1979): throughput in both directions has the same law."""
    means = ["60 s", "45 s", "75 s"]
    forth, back = (
        rate(
            line_text([machine(mean, "exponential") for mean in order], demand=MANY_ORDERS, more=stores(spaces)),
            runs=RUNS,
        )
        for order, spaces in ((means, [0, 2]), (means[::-1], [2, 0]))
    )
    assert stats.ttest_ind(forth, back, equal_var=False).pvalue > 1e-3
