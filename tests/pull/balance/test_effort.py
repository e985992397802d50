"""A search is counted in steps, so that a slow machine comes to the same answer as a quick one."""

from __future__ import annotations

from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.post_model import PostModel
from pullwright.pull.balance.rounds import Rounds, down
from pullwright.pull.balance.wishes import Conditions
from pullwright.pull.balance.work import Element, Work

HARD = Work.of(Element(f"e{i}", 20.0 + (37 * i) % 29, deviation=2.0 + i % 5) for i in range(40))
"""Some posts for so many elements without an order: far too many ways to go through them all."""


def searched(seconds: float) -> tuple[str, float]:
    effort = Effort(seconds)
    rounds = Rounds(HARD, Conditions(overrun=0.1))
    return PostModel(rounds, 17, down(88.0), down(88.0)).solve(effort).state, effort.left


def test_the_same_effort_comes_to_the_same_end_every_time():
    assert searched(0.2) == searched(0.2)


def test_a_search_ends_when_its_effort_is_spent():
    state, left = searched(0.2)
    assert state == "open"
    assert left <= 0


def test_what_a_part_leaves_over_is_given_back():
    effort = Effort(3.0)
    part = effort.part(5.0)
    assert (part.left, effort.left) == (3.0, 0.0)
    part.spend(1.0)
    effort.back(part)
    assert effort.left == 2.0
