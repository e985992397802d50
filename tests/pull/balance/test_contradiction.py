"""Wishes that cannot hold together: the smallest set of them, and what works instead."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.smallest import smallest_conflict
from pullwright.pull.balance.wishes import Conditions, Crew, Wish
from pullwright.pull.balance.with_conditions import balanced
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import NoSuchPlan

WORK = Work.of([Element("cut", 4.0), Element("weld", 6.0, ("cut",)), Element("paint", 5.0, ("weld",)), Element("pack", 3.0, ("paint",))])  # fmt: skip


def no_plan(takt: float = 10.0, work: Work = WORK, **has: object) -> NoSuchPlan:
    with pytest.raises(NoSuchPlan) as error:
        balanced(work, takt, Conditions(**has))  # type: ignore[arg-type]
    return error.value


def test_of_many_wishes_only_those_that_clash_are_named():
    error = no_plan(
        together=(("cut", "weld"),),
        apart=(("cut", "weld"), ("paint", "pack")),
        fixed=(("cut", 1),),
        left_of=(("cut", "pack"),),
    )
    assert sorted(error.binding) == ["'cut' and 'weld' stay apart", "'cut' and 'weld' stay at one post"]


def test_too_few_posts_are_named_with_the_number_that_works():
    error = no_plan(most=1)
    assert error.binding == ("at most 1 post",)
    assert "With 2 posts it works" in error.instead
    assert "with a takt of 18 s it works" in error.instead


def test_an_order_against_the_work_is_named_with_what_it_stands_against():
    error = no_plan(left_of=(("pack", "cut"), ("cut", "paint")))
    assert error.binding == ("'pack' stays left of 'cut'",)
    assert "'cut' comes before 'pack'" in str(error)
    assert "Without the wish that 'pack' stays left of 'cut' it works" in error.instead


def test_a_circle_of_wishes_is_named_as_a_whole():
    work = Work.of([Element(name, 1.0) for name in "abc"])
    error = no_plan(work=work, left_of=(("a", "b"), ("b", "c"), ("c", "a")))
    assert len(error.binding) == 3


def test_an_element_longer_than_the_takt_is_named_with_the_takt_that_works():
    error = no_plan(takt=5.0, most=9)
    assert error.binding == ("'weld' takes 6 s",)
    assert "With a takt of 6 s it works" in error.instead


def test_a_skill_that_nobody_has_is_named():
    work = Work.of([Element("cut", 1.0), Element("weld", 1.0, skill="welding")])
    error = no_plan(work=work, crews=(Crew("fitters", 3, frozenset({"fitting"})),))
    assert error.binding == ("nobody can do what needs the skill 'welding'",)


def test_people_and_skills_that_do_not_suffice_are_named_together():
    work = Work.of(
        [Element("weld", 8.0, skill="welding"), Element("grind", 8.0, skill="welding"), Element("pack", 8.0)]
    )
    error = no_plan(work=work, crews=(Crew("welders", 1, frozenset({"welding"})), Crew("helpers", 4, frozenset())))
    assert set(error.binding) == {
        "the crew 'welders' has 1 person",
        "only 'welders' can do what needs the skill 'welding'",
    }


def test_the_nearest_plan_really_works():
    error = no_plan(together=(("cut", "pack"),), fixed=(("weld", 1),))
    assert error.binding == ("'cut' and 'pack' stay at one post",)
    assert "Without the wish that 'cut' and 'pack' stay at one post it works" in error.instead
    assert balanced(WORK, 10.0, Conditions(fixed=(("weld", 1),))).posts
    assert balanced(WORK, 18.0, Conditions(together=(("cut", "pack"),), fixed=(("weld", 1),))).posts


@given(st.lists(st.sets(st.integers(0, 6), min_size=1, max_size=4), min_size=1, max_size=5))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_no_smaller_set_of_wishes_clashes(clashes):
    wishes = [Wish("apart", (k,), str(k)) for k in range(7)]

    def possible(kept):
        names = {k for wish in kept for k in wish.which}
        return not any(clash <= names for clash in clashes)

    found = smallest_conflict(possible, wishes)

    assert not possible(found)
    assert all(possible(some) for some in itertools.combinations(wishes, len(found) - 1))
