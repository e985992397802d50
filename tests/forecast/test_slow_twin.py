"""The event kernel against its slow twin: another program, the same rules, the same luck; every piece ends at the same moment."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.events.rows import HELD, NOBODY, NOT_ASKED, REPAIRED, SET_UP_TIME, STARVED, WORKING
from tests.forecast.lines_at_random import line_apart_at_random, line_at_random
from tests.forecast.slow_twin import Twin
from tests.forecast.small_lines import DAY, line_text, machine, run, stores

ROUNDING = 1e-7
"""Seconds: the two add up the same times in another order."""


def same(text: str, *, days: float = 0.3, seed: int = 0) -> None:
    """Ends, lead times, responses, counts, stock and the split of machine time of one run are those of the twin."""
    (found,) = run(text, days=days, seed=seed)
    twin = Twin(text, until=days * DAY, seed=seed).told
    assert len(twin.ends) > 5
    np.testing.assert_allclose(found.lead[1], twin.ends, rtol=0, atol=ROUNDING)
    np.testing.assert_allclose(found.lead[0], twin.lead, rtol=0, atol=ROUNDING)
    np.testing.assert_array_equal(found.lead[2], twin.ended_products)
    np.testing.assert_allclose(found.response[0], twin.response, rtol=0, atol=ROUNDING)
    np.testing.assert_array_equal(found.made, twin.made)
    np.testing.assert_array_equal(found.scrapped.sum(0), twin.scrapped)
    np.testing.assert_allclose(found.lying, twin.lying, rtol=0, atol=ROUNDING)
    if "clock" not in text:  # how long an idle machine is repaired is seen when it is asked
        # What is under way at the end is parted between work and repair by its shares of the whole.
        for kinds in ([WORKING, REPAIRED], [SET_UP_TIME], [HELD], [NOBODY], [NOT_ASKED, STARVED]):
            np.testing.assert_allclose(found.times[:, kinds].sum(1), twin.times[:, kinds].sum(1), rtol=0, atol=1e-5)


@pytest.mark.parametrize(
    "seed", sorted({*range(20)} - {7, 10})
)  # those two shut themselves: each holds what the other waits for
def test_a_line_at_random_runs_as_its_twin_does(seed):
    """Several products, people, machines side by side, breakdowns, set-ups, lots, ways, scrap, rework, cards, caps, schedules, orders."""
    same(line_at_random(seed))


@pytest.mark.parametrize("seed", range(24))
def test_a_line_with_cards_and_lots_of_each_product_runs_as_its_twin_does(seed):
    """The same with loops of cards, signals and lots product by product."""
    same(line_apart_at_random(seed))


FULL = line_text(
    [
        f"manual: {{mean: {90 if k == 2 else 48} s, cv: 0.4}}, scrap: 0.5 %" + (", rework: {share: 3 %, to: t2}" if k == 4 else "")
        for k in range(6)
    ],
    demand="430 /d",
    stations=["machines: 2" if k == 2 else "breakdowns: {between: 10 h, repair: 10 min}" for k in range(6)],
    more="people: [{name: front, number: 3, skills: [t0, t1, t2, t3]}, {name: back, number: 3, skills: [t2, t3, t4, t5]}]\n" + stores([3] * 5),
)  # fmt: skip
"""Six stations, two of them short of people, with all that the benchmark of the full line has."""


@pytest.mark.parametrize("seed", range(2))
def test_a_line_with_everything_in_it_runs_as_its_twin_does(seed):
    same(FULL, days=0.6, seed=seed)


ASSEMBLY = line_text(
    [
        f"{machine('30 s', 'exponential')}, scrap: 3 %",
        f"{machine('25 s', 'exponential')}, after: [], scrap: 5 %",
        f"{machine('20 s', 'exponential')}, after: [t0, {{step: t1, quantity: 2}}]",
        f"{machine('40 s', 'exponential')}, scrap: 2 %",
        f"{machine('40 s', 'exponential')}, rework: {{share: 8 %, to: t3}}",
    ],
    demand="400 /d",
    more="stores: [{before: t2, capacity: 4}, {before: t3, capacity: 2}]\n",
)


@pytest.mark.parametrize("seed", range(3))
def test_flows_that_join_run_as_their_twin_does(seed):
    same(ASSEMBLY, days=0.5, seed=seed)


@pytest.mark.parametrize(
    "text",
    [
        line_text([machine("20 s"), machine("30 s")], demand="{mean: 480 /d, cv: 0}"),
        line_text([machine("10 s"), machine("100 s")], demand="{mean: 480 /d, cv: 0}", more=stores([1])),
        line_text([machine("60 s")] * 3, demand="{mean: 480 /d, cv: 0}", more=stores([0, 0])),
        line_text(["manual: {mean: 30 s, cv: 0}"] * 3, demand="{mean: 480 /d, cv: 0}", more="people: [{name: hands, number: 1}]\n"),
        line_text([machine("60 s") + ", release: {by: cap, limit: 2, until: t1}", machine("60 s")], demand="{mean: 480 /d, cv: 0}"),
        line_text([machine("30 s"), machine("60 s"), machine("60 s")], demand="{mean: 480 /d, cv: 0}", stations=["", "machines: 2", "machines: 2"]),
    ],
    ids=["in step", "blocked", "no room", "one person", "cap", "two machines"],
)  # fmt: skip
def test_what_comes_at_one_moment_comes_in_the_same_order(text):
    """Constant times: machines, orders, schedules and ways fall on the same moments again and again."""
    same(text)
