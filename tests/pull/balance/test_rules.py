"""Simple rules: each makes a balance, from either end."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.rules import RULES, best_by_rules, by_fullest_loads, by_rule
from pullwright.pull.balance.work import Element, Work
from tests.pull.balance.by_subsets import fewest_by_subsets, works


@settings(max_examples=30)
@given(works(most=10), st.integers(0, 9))
def test_every_rule_makes_a_balance_from_either_end(work: Work, more: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more
    plain = Plain.of(work, takt)
    fewest = fewest_by_subsets(work, takt)

    for one in (plain, plain.turned):
        for posts in (*(by_rule(one, rule) for rule in RULES), by_fullest_loads(one)):
            checked(Balance(work, takt, one.names(posts), fewest))
    checked(Balance(work, takt, plain.names(best_by_rules(plain, 0)[0]), fewest))


def test_positional_weight_takes_first_what_most_work_waits_for() -> None:
    """Weights: a 5 + 9, b 4, c 9: after a comes c, and b fills what is left."""
    work = Work.of([Element("b", 4.0), Element("a", 5.0), Element("c", 9.0, ("a",))])
    plain = Plain.of(work, 9.0)

    assert plain.names(by_rule(plain, "positional weight")) == (("b", "a"), ("c",))


@pytest.mark.parametrize("rule", RULES)
def test_rules_are_found_by_their_name(rule: str) -> None:
    plain = Plain.of(Work.of([Element("a", 5.0)]), 9.0)

    assert by_rule(plain, rule) == [[0]]


def test_the_fullest_load_is_looked_for_at_each_post() -> None:
    """Longest first would put 6 and 3 together and need a third post; 6 with 4, and 5 with 3 and 2, need two."""
    work = Work.of([Element(f"{t}", float(t)) for t in (6, 5, 4, 3, 2)])
    plain = Plain.of(work, 10.0)

    assert len(by_fullest_loads(plain)) == 2
