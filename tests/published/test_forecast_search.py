"""Searches against what is known exactly: the fewest cards of a base stock, the smallest store between two machines."""

from __future__ import annotations

from math import ceil, log

import pytest

from pullwright.forecast.search.find import find
from pullwright.line import Line
from tests.forecast.small_lines import DAY, line_text, machine, stores

SERVICE = 600.0


@pytest.mark.parametrize(("load", "share"), [(0.6, 0.94), (0.8, 0.85)])
def test_the_fewest_cards_of_a_base_stock(load, share):
    """One exponential machine, orders at random, s cards: shipped at once with chance 1 - load^s, so that s = log(1 - share) / log(load), rounded up.

    The law of M/M/1 with base stock (Buzacott & Shanthikumar 1993, chapter 4, from memory); recomputed here.
    """
    exact = ceil(log(1 - share) / log(load))
    assert 1 - load**exact - share > 0.0095 or 1 - load ** (exact - 1) < share - 0.01, "the answer is not clear enough"
    step = machine("600 s", "exponential") + ", release: {by: cards, cards: 2, per_card: 1}"
    line = Line.from_text(
        line_text([step], demand=f"{load * DAY / SERVICE} /d", more="stores: [{after: t0, counted: 20}]\n")
    )

    answer = find(line, "fewest cards of t0 1..16", [f"on time {100 * share} % within 0 d"], workers=2)

    assert answer.found is not None
    assert answer.found.setting == (exact,)


@pytest.mark.parametrize(("wanted", "exact"), [(0.77, 2), (0.85, 4)])
def test_the_smallest_store_between_two_machines(wanted, exact):
    """Two exponential machines with b spaces between make (b + 2) / (b + 3) of the rate of one; exact."""
    assert (exact + 1) / (exact + 2) < wanted < (exact + 2) / (exact + 3)
    text = line_text([machine("600 s", "exponential")] * 2, demand=f"{1.3 * DAY / SERVICE} /d", more=stores([3]))

    answer = find(
        Line.from_text(text), "smallest stores before t1 0..20", [f"throughput {wanted * DAY / SERVICE} /d"], workers=2
    )

    assert answer.found is not None
    assert answer.found.setting == (exact,)
