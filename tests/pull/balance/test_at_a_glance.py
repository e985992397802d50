"""What rules a balance out without a search, and with how many posts everything is possible that is possible at all."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.at_a_glance import most_posts, ruled_out
from pullwright.pull.balance.rounds import Rounds, down
from pullwright.pull.balance.wishes import Conditions, Crew
from pullwright.pull.balance.with_conditions import balanced
from pullwright.pull.balance.work import Element, Work
from tests.pull.balance.brute_force import fewest_posts
from tests.pull.balance.test_with_conditions import conditions, works

WORK = Work.of([Element("a", 4.0), Element("b", 4.0, ("a",)), Element("c", 4.0, ("b",), skill="s")])


@given(st.data())
@settings(max_examples=60, deadline=None, derandomize=True)
def test_what_is_ruled_out_at_a_glance_has_no_plan(data):
    work = data.draw(works(skills=("", "p", "q"), spots=((0.0, 0.0), (1.0, 0.0))))
    has, takt = data.draw(conditions(work)), float(data.draw(st.integers(5, 9)))
    if ruled_out(Rounds(work, has), down(takt), 3):
        assert fewest_posts(work, takt, has, 3) is None


@pytest.mark.parametrize(
    "has",
    [
        {"left_of": (("b", "a"),)},
        {"together": (("a", "c"),)},  # 12 s with what is done between
        {"together": (("a", "b"),), "apart": (("a", "b"),)},
        {"together": (("a", "b"),), "zones": (("x", ("a",)), ("y", ("b",)))},
        {"fixed": (("c", 1),)},
        {"crews": (Crew("x", 9, frozenset()),)},
        {"crews": (Crew("x", 1, None),)},
        {"most": 1},
    ],
)  # fmt: skip
def test_each_of_these_is_seen_without_a_search(has):
    rounds = Rounds(WORK, Conditions(**has))
    assert ruled_out(rounds, down(9.0), most_posts(rounds))


def test_posts_behind_a_fixed_one_count_from_there():
    plan = balanced(WORK, 9.0, Conditions(fixed=(("a", 5),), left_of=(("a", "b"),)))
    assert len(plan.posts) == 6


def test_no_more_posts_are_of_use_than_there_are_people():
    assert most_posts(Rounds(WORK, Conditions())) == 3
    assert most_posts(Rounds(WORK, Conditions(crews=(Crew("x", 1, None), Crew("y", 1, None))))) == 2
    assert most_posts(Rounds(WORK, Conditions(crews=(Crew("x", 1, None), Crew("y", None, None))))) == 3
