"""Balances under conditions against published values, and the published tables that they rest on."""

from __future__ import annotations

import math

import pytest

from pullwright.pull.balance.wishes import Conditions
from pullwright.pull.balance.with_conditions import balanced
from pullwright.pull.balance.work import Element, Work

# Jackson 1956, eleven elements: times and immediate predecessors, as in Scholl 1993 (from memory; total 46, longest 7).
JACKSON_TIMES = (6, 2, 5, 7, 1, 2, 3, 6, 5, 5, 4)
JACKSON_AFTER = {2: (1,), 3: (1,), 4: (1,), 5: (1,), 6: (2,), 7: (3, 4, 5), 8: (6,), 9: (7,), 10: (8,), 11: (9, 10)}
JACKSON = Work.of(
    Element(str(i), float(time), tuple(str(k) for k in JACKSON_AFTER.get(i, ())))
    for i, time in enumerate(JACKSON_TIMES, 1)
)
NO_LIMIT = Conditions(most=20)
"""A wish that forbids nothing, so that the search with conditions answers and not the one for the plain problem."""


@pytest.mark.parametrize(
    ("takt", "straight", "bent"),
    [(7, 8, 7), (9, 6, 6), (10, 5, 5), (13, 4, 4), (14, 4, 4), (21, 3, 3)],
)
def test_posts_of_jackson_in_a_straight_and_in_a_bent_line(takt, straight, bent):
    """Straight: Scholl 1993, Tables 2-3. Bent: Miltenburg & Wijngaard 1994 (from memory)."""
    assert sum(JACKSON_TIMES) == 46

    found = balanced(JACKSON, float(takt), NO_LIMIT, explained=False)
    folded = balanced(JACKSON, float(takt), Conditions(u_shaped=True), explained=False)

    assert (len(found.posts), found.proven) == (straight, True)
    assert (len(folded.posts), folded.proven) == (bent, True)


@pytest.mark.parametrize(("share", "z"), [(0.1, 1.2816), (0.05, 1.6449), (0.01, 2.3263)])
def test_what_is_kept_free_is_the_quantile_of_the_normal_distribution_times_the_swing(share, z):
    """One-sided quantiles of the normal distribution: NIST/SEMATECH e-Handbook, 1.3.6.7.1 (from memory; held against the error function here)."""
    assert 0.5 * math.erfc(z / math.sqrt(2)) == pytest.approx(share, rel=1e-3)
    work = Work.of([Element("a", 30.0, deviation=3.0), Element("b", 30.0, ("a",), deviation=4.0)])

    (one,) = balanced(work, 100.0, Conditions(overrun=share)).rounds

    assert one.kept_free == pytest.approx(5 * z, abs=1e-3)
