"""Wishes that cannot hold together: the smallest set of them, and what works instead."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.smallest import smallest_conflict, smallest_correction, without_few
from pullwright.pull.balance.wishes import Conditions, Crew, Typed, Wish
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
    assert "Without the wish that 'cut' and 'pack' stay at one post it works with 2 posts" in error.instead
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


@given(st.lists(st.sets(st.integers(0, 6), min_size=1, max_size=4), min_size=1, max_size=5))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_nothing_less_has_to_be_dropped_for_a_plan(clashes):
    wishes = [Wish("apart", (k,), str(k)) for k in range(7)]

    def possible(kept):
        names = {k for wish in kept for k in wish.which}
        return not any(clash <= names for clash in clashes)

    found = smallest_correction(possible, wishes)

    for dropped in (found, without_few(possible, wishes)):
        assert possible([wish for wish in wishes if wish not in dropped])
    fewer = itertools.combinations(wishes, max(len(found) - 1, 0))
    assert not found or not any(possible([wish for wish in wishes if wish not in some]) for some in fewer)


def test_where_a_question_stays_open_another_wish_is_dropped():
    wishes = [Wish("apart", (k,), str(k)) for k in range(3)]
    known = {frozenset("012"): False, frozenset("12"): None, frozenset("02"): True}

    def possible(kept):
        return known.get(frozenset(wish.words for wish in kept), False)

    assert [wish.words for wish in smallest_correction(possible, wishes, [wishes])] == ["1"]


LEFT = (("paint", "cut"), ("pack", "cut"), ("paint", "weld"), ("pack", "weld"))


def test_a_wish_that_stands_for_many_entries_is_told_as_the_one_that_was_typed():
    error = no_plan(left_of=LEFT, typed=(Typed("left_of", (0, 1, 2, 3), ("finish", "begin")),))
    assert error.binding == ("'finish' stays left of 'begin'",)
    assert str(error).count("comes before") == 1
    assert "in the work, 'begin' comes before 'finish'" in str(error)
    assert error.instead.startswith("Without the wish that 'finish' stays left of 'begin' it works with 2 posts")


def test_a_typed_wish_is_dropped_as_a_whole_and_the_others_keep_their_names():
    has = Conditions(
        left_of=(("cut", "pack"), *LEFT[:2], ("cut", "paint"), ("weld", "pack")),
        typed=(Typed("left_of", (1, 2), ("finish", "cut")), Typed("left_of", (3, 4), ("begin", "end"))),
    )
    wishes = has.wishes(WORK)
    assert [wish.words for wish in wishes] == [
        "'cut' stays left of 'pack'", "'finish' stays left of 'cut'", "'begin' stays left of 'end'",
    ]  # fmt: skip

    left = has.without([wishes[1]])

    assert left.left_of == (("cut", "pack"), ("cut", "paint"), ("weld", "pack"))
    assert [wish.words for wish in left.wishes(WORK)] == ["'cut' stays left of 'pack'", "'begin' stays left of 'end'"]
    assert left.without(left.wishes(WORK)).left_of == ()


def test_what_the_same_crew_alone_can_do_is_one_wish():
    work = Work.of([Element("a", 6.0, skill="weld"), Element("b", 6.0, skill="bend"), Element("c", 6.0)])
    crews = (Crew("smiths", 1, frozenset({"weld", "bend"})), Crew("helpers", None, frozenset()))
    error = no_plan(work=work, crews=crews)
    assert error.binding == (
        "only 'smiths' can do what needs the skills 'weld' and 'bend'", "the crew 'smiths' has 1 person",
    )  # fmt: skip
    assert error.instead.startswith("With 2 people of 'smiths' in place of 1 it works with 3 posts")


def test_too_few_posts_for_all_the_work_need_no_other_wish_to_be_named():
    error = no_plan(most=1, crews=(Crew("all", 9, None), Crew("some", 2, frozenset())), apart=(("cut", "weld"),))
    assert error.binding == ("at most 1 post",)
    assert error.instead.startswith("With 3 posts it works")


def test_two_clashes_at_once_are_both_mended_by_the_nearest_plan():
    error = no_plan(most=1, left_of=(("pack", "cut"),))
    assert error.instead.startswith("With 2 posts and without the wish that 'pack' stays left of 'cut' it works")
