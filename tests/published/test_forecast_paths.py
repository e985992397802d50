"""The recursion of plain lines against exact results, with many more runs than the event kernel could be asked for in a test."""

from __future__ import annotations

from math import factorial, sqrt

import numpy as np
import pytest

from pullwright.forecast.paths.path_runs import Glance, glance
from pullwright.forecast.paths.plain import Plain, plain_of
from tests.forecast.small_lines import DAY, laid, line_text, machine, stores

SERVICE, RUNS = 60.0, 240
MANY_ORDERS = f"{1.3 * DAY / SERVICE} /d"


def seen(text: str, *, days: float, warm_days: float, runs: int = RUNS) -> Glance:
    line = plain_of(laid(text))
    assert isinstance(line, Plain)
    return glance(
        line, numbers=range(runs), until=(days + warm_days) * DAY, warm=warm_days * DAY, promise=0.0, samples=1
    )


def agrees(found: np.ndarray, theory: float, *, within: float) -> None:
    """The mean of independent runs lies within 3.3 standard errors (one time in a thousand it would not), and those are small enough."""
    mean, error = found.mean(), found.std(ddof=1) / sqrt(found.size)
    assert error < within * theory / 2, f"{error / theory:.2%} is too wide a check"
    assert abs(mean - theory) < 3.3 * error, f"{mean:.5g} for {theory:.5g}, standard error {error:.2g}"


@pytest.mark.parametrize(
    ("stations", "spaces", "theory"),
    [(2, 0, 2 / 3), (2, 3, 5 / 6), (3, 0, 22 / 39), (3, 1, 0.67047), (3, 2, 0.73402), (4, 0, 0.51478)],
)
def test_exponential_machines_with_few_spaces(stations, spaces, theory):
    """Two machines: (K + 2) / (K + 3). More: exact Markov chains, in the setting of Hillier & Boling 1967; 22/39 and 0.51478 are worked out in
    test_forecast_queues.py.
    """
    text = line_text(
        [machine("60 s", "exponential")] * stations, demand=MANY_ORDERS, more=stores([spaces] * (stations - 1))
    )
    found = seen(text, days=60, warm_days=3)
    agrees(found.made * SERVICE / (60 * DAY), theory, within=0.002)


def test_a_cap_on_a_balanced_line_is_the_practical_worst_case():
    """w / (w + n - 1) of the bottleneck rate: exact for equal exponential machines (Reiser & Lavenberg 1980; Hopp & Spearman, chapter 7)."""
    first = f"{machine('60 s', 'exponential')}, release: {{by: cap, limit: 6, until: t3}}"
    text = line_text([first, *[machine("60 s", "exponential")] * 3], demand=MANY_ORDERS)
    agrees(seen(text, days=60, warm_days=3).made * SERVICE / (60 * DAY), 6 / 9, within=0.002)


@pytest.mark.parametrize("stock", [1, 4])
def test_base_stock_ships_at_once_as_often_as_its_law_says(stock):
    """One exponential machine behind a store of s, orders at random: shipped at once with chance 1 - load^s."""
    load = 0.7
    text = line_text(
        [machine("60 s", "exponential")],
        demand=f"{load * DAY / SERVICE} /d",
        more=f"stores: [{{after: t0, counted: {stock}}}]\n",
    )
    found = seen(text, days=120, warm_days=10)
    agrees(found.in_time / found.shipped, 1 - load**stock, within=0.01)


@pytest.mark.parametrize(("machines", "load"), [(1, 0.7), (3, 0.8)])
def test_pieces_that_wait_in_front_of_several_machines(machines, load):
    """Erlang's formula for M/M/m (Erlang 1917): pieces that wait are C load / (1 - load), C the chance to wait."""
    offered = load * machines
    tail = offered**machines / factorial(machines) / (1 - load)
    waits = tail / (sum(offered**k / factorial(k) for k in range(machines)) + tail)
    # Orders that wait are no pieces yet; the first step makes one of each a minute later, and one of its thirty machines is always idle.
    text = line_text(
        [machine("60 s"), machine("60 s", "exponential")], demand=f"{load * machines * DAY / SERVICE} /d", stations=["machines: 30", f"machines: {machines}"]
    )  # fmt: skip
    found = seen(text, days=60, warm_days=5)
    agrees(found.lying[:, 1], waits * load / (1 - load), within=0.02)
