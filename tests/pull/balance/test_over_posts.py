"""Number after number of posts: the takt never gets longer, what binds is named, and nothing is left out without a word."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.checked_conditions import broken
from pullwright.pull.balance.over_posts import best_efficiency, most_efficient, over_posts
from pullwright.pull.balance.wishes import Conditions, Crew
from pullwright.pull.balance.with_conditions import shortest_takt
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import NoSuchPlan
from tests.pull.balance.test_with_conditions import works

CHAIN = Work.of([Element("cut", 20.0), Element("glue", 30.0, ("cut",)), Element("pack", 10.0, ("glue",))])


@given(work=works(), bent=st.booleans(), load=st.sampled_from((None, 0.8)))
@settings(max_examples=20)
def test_more_posts_never_need_a_longer_takt_and_each_is_the_shortest(work, bent, load):
    if not work.total:
        return
    has = Conditions(u_shaped=bent, load=load)
    rows = over_posts(work, [1, 2, 3, 4], has)
    takts = [row.balance.takt for row in rows]
    assert takts == sorted(takts, reverse=True)
    for row in rows:
        assert not broken(row.balance)
        assert row.balance.takt_at_least <= row.balance.takt
        assert row.balance.takt == pytest.approx(shortest_takt(work, row.posts, has, explained=False).takt)


def test_a_number_without_a_plan_says_why_and_stays_in_the_range():
    work = Work.of([Element("cut", 20.0, skill="saw"), Element("glue", 30.0, ("cut",), skill="glue")])
    crews = (Crew("saws", 1, frozenset({"saw"})), Crew("glue", 1, frozenset({"glue"})))
    one, two = over_posts(work, [1, 2], Conditions(crews=crews))
    assert one.balance is None
    assert one.refused.startswith("1 post is too few, whatever the takt: only 'saws' can do")
    assert two.balance.takt == 30.0


def test_fewer_than_what_is_too_few_refer_to_it():
    apart = Conditions(apart=(("cut", "glue", "pack"),))
    first, second, third = over_posts(CHAIN, [1, 2, 3], apart)
    assert first.refused == "1 post is too few, as 2 posts are"
    assert (
        second.refused == "2 posts are too few, whatever the takt: no two of 'cut', 'glue' and 'pack' are at one post"
    )
    assert third.balance is not None


def test_a_plan_that_is_known_is_never_undercut_by_less_searching():
    known = shortest_takt(CHAIN, 2, Conditions(u_shaped=True), explained=False)
    (row,) = over_posts(CHAIN, [2], Conditions(u_shaped=True), seconds=0.0, plan=known)
    assert row.balance.takt == known.takt


def test_the_most_efficient_number_is_the_one_with_the_fewest_posts_of_equals():
    work = Work.of([Element("a", 10.0), Element("b", 10.0)])
    rows = over_posts(work, [1, 2, 3])
    assert most_efficient(rows).posts == 1
    assert most_efficient(rows, longest=15.0).posts == 2
    with pytest.raises(NoSuchPlan, match="none of 1 to 3 posts"):
        best_efficiency(work, [1, 2, 3], longest=5.0)


@pytest.mark.parametrize(
    ("posts", "has", "said"),
    [
        (3, Conditions(), "'glue' alone takes 30 s"),
        (1, Conditions(), "the work of a piece is 60 s, to be shared among 1 post"),
        (2, Conditions(crews=(Crew("x", 1, None),)), "1 person of 'x' have 60 s of work that only they can do"),
        (3, Conditions(load=0.75), "'glue' alone takes 30 s, and no post is loaded above 75 % of the takt"),
        (3, Conditions(together=(("cut", "glue"),)), "what has to be at one post does not fit there"),
    ],
)
def test_what_makes_the_takt_so_long_is_named(posts, has, said):
    found = shortest_takt(CHAIN, posts, has)
    assert said in found.reasons[0]


def test_the_wish_that_makes_the_takt_longer_is_named():
    said = shortest_takt(CHAIN, 3, Conditions(together=(("cut", "glue"),))).reasons[-1]
    assert said == "Without the wish that 'cut' and 'glue' stay at one post, a takt of 49.5 s or less would do."
