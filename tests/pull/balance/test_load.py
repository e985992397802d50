"""The highest load of a post: kept by every way to a balance, and told in posts."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.checked_conditions import broken
from pullwright.pull.balance.moved import moved
from pullwright.pull.balance.wishes import Conditions, Crew
from pullwright.pull.balance.with_conditions import balanced, shortest_takt
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from tests.pull.balance.brute_force import fewest_posts
from tests.pull.balance.test_with_conditions import works

CHAIN = Work.of([Element("cut", 20.0), Element("glue", 30.0, ("cut",)), Element("pack", 10.0, ("glue",))])
LOADS = st.sampled_from((0.5, 0.7, 0.75, 0.9, 1.0))


@given(data=st.data())
@settings(max_examples=12)
def test_no_plan_with_so_full_posts_has_fewer_of_them(data):
    work = data.draw(works(spots=((0.0, 0.0), (3.0, 0.0))))
    walking = data.draw(st.sampled_from((None, 1.0)))
    has = Conditions(
        load=data.draw(LOADS),
        walking=walking,
        u_shaped=data.draw(st.booleans()),
        people_at_a_post=1 if walking else data.draw(st.integers(1, 2)),
        overrun=None,
    )
    takt = float(data.draw(st.integers(6, 20)))
    best = fewest_posts(work, takt, has, len(work.names) + 1)
    if best is None:
        with pytest.raises(NoSuchPlan):
            balanced(work, takt, has)
        return
    plan = balanced(work, takt, has, explained=False)
    assert len(plan.posts) == best
    assert plan.proven
    assert max(plan.loads) <= has.load * takt + 1e-6


@given(work=works(), load=LOADS, posts=st.integers(1, 3))
@settings(max_examples=12)
def test_the_shortest_takt_of_posts_that_may_not_be_full_is_longer_by_as_much(work, load, posts):
    if not work.total:
        return
    full = shortest_takt(work, posts, explained=False)
    part = shortest_takt(work, posts, Conditions(load=load), explained=False)
    assert part.takt == pytest.approx(full.takt / load, abs=2e-3)
    assert part.takt_proven
    assert not broken(part)


def test_a_load_of_the_whole_takt_changes_nothing():
    assert balanced(CHAIN, 50.0, Conditions(load=1.0)).posts == balanced(CHAIN, 50.0).posts


def test_what_is_kept_free_for_bad_luck_counts_in_the_load():
    work = Work.of([Element("a", 30.0, deviation=10.0), Element("b", 30.0, deviation=10.0)])
    assert len(balanced(work, 90.0, Conditions(overrun=0.05)).posts) == 1
    assert len(balanced(work, 90.0, Conditions(overrun=0.05, load=0.9)).posts) == 2
    draws = {"a": np.array([30.0, 40.0]), "b": np.array([30.0, 45.0])}
    assert len(balanced(work, 90.0, Conditions(overrun=0.01, draws=draws)).posts) == 1
    assert len(balanced(work, 90.0, Conditions(overrun=0.01, draws=draws, load=0.9)).posts) == 2


def test_the_plan_says_how_many_posts_the_wish_costs():
    assert "costs 1 post: without that wish 1 post would do." in balanced(CHAIN, 60.0, Conditions(load=0.9)).reasons[-1]
    assert "costs no post." in balanced(CHAIN, 60.0, Conditions(load=1.0)).reasons[-1]
    crews = (Crew("all", None, None),)
    said = balanced(CHAIN, 60.0, Conditions(load=0.9, crews=crews)).reasons
    assert any("costs 1 post: without that wish 1 post would do." in one for one in said)


def test_a_load_below_the_longest_element_is_refused_with_what_is_allowed_and_the_nearest_plan():
    with pytest.raises(NoSuchPlan) as error:
        balanced(CHAIN, 60.0, Conditions(load=0.4))
    assert "'glue' alone takes 50 % of it; allowed: a load of 50 % or more" in str(error.value)
    assert error.value.instead.startswith("With posts loaded up to 50 % it works with ")
    assert "with a takt of 75 s it works" in error.value.instead


@pytest.mark.parametrize("load", [0.0, -0.1, 1.2])
def test_only_a_share_of_the_takt_is_a_load(load):
    with pytest.raises(BadPlanInput, match="allowed: above 0 %, up to 100 %"):
        balanced(CHAIN, 60.0, Conditions(load=load))


def test_an_element_moved_by_hand_is_held_against_the_load():
    plan = balanced(CHAIN, 60.0, Conditions(load=0.9))
    assert moved(plan, "pack", 1).breaks == (
        "the round of post 1 takes 60 s, and no post is loaded above 90 % of the takt, 54 s",
    )


def test_people_at_one_post_keep_the_load_too():
    two = Conditions(people_at_a_post=2, load=0.5)
    plan = balanced(Work.of([Element("a", 20.0), Element("b", 20.0)]), 40.0, two)
    assert len(plan.posts) == 1
    assert plan.people == 2
    assert plan.loads == (20.0,)
