"""Balances under conditions: each condition by itself, and all of them together against every plan there is."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.checked_conditions import broken
from pullwright.pull.balance.over_posts import best_efficiency, over_posts
from pullwright.pull.balance.wishes import Conditions, Crew
from pullwright.pull.balance.with_conditions import balanced, shortest_takt
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from tests.pull.balance.brute_force import fewest_posts
from tests.pull.balance.brute_force import shortest_takt as shortest_of_all

NAMES = "abcd"


@st.composite
def works(draw, skills=("",), spots=(None,)):
    elements = []
    for i in range(draw(st.integers(1, 4))):
        after = tuple(name for name in NAMES[:i] if draw(st.integers(0, 2)) == 0)
        time, deviation = float(draw(st.integers(0, 6))), float(draw(st.integers(0, 2)))
        skill, spot = draw(st.sampled_from(skills)), draw(st.sampled_from(spots))
        elements.append(Element(NAMES[i], time, after, deviation, skill, spot))
    return Work.of(elements)


@st.composite
def conditions(draw, work):
    """Some of all conditions that go together."""
    some = st.lists(st.sampled_from(work.names), min_size=2, max_size=3, unique=True).map(tuple)
    rarely = st.integers(0, 3).map(lambda n: n == 0)
    has = {"u_shaped": draw(st.booleans())}
    if len(work.names) > 1:
        has["together"] = (draw(some),) if draw(rarely) else ()
        has["apart"] = (draw(some),) if draw(rarely) else ()
        has["left_of"] = (draw(some)[:2],) if draw(rarely) else ()
        pair = draw(some)
        has["zones"] = (("north", pair[:1]), ("south", pair[1:2])) if draw(rarely) else ()
    if draw(rarely):
        has["fixed"] = ((draw(st.sampled_from(work.names)), draw(st.integers(1, 3))),)
    if draw(st.booleans()):
        has["crews"] = (Crew("x", draw(st.integers(0, 3)), frozenset("p")), Crew("y", draw(st.integers(0, 3)), None))
    way = draw(st.integers(0, 4))
    if way == 1:
        has["people_at_a_post"] = 2
    elif way == 2:
        has["walking"] = 1.0
    elif way > 2:
        has["overrun"] = 0.1 if way == 3 else 0.25
    if way == 4:
        has["draws"] = {n: np.array([draw(st.integers(0, 6)) for _ in range(6)], dtype=float) for n in work.names}
    return Conditions(**has, most=3)


@given(st.data())
@settings(max_examples=40, deadline=None, derandomize=True)
def test_no_plan_that_exists_has_fewer_posts_and_none_is_missed(data):
    work = data.draw(works(skills=("", "p", "q"), spots=((0.0, 0.0), (1.0, 0.0), (0.0, 2.0))))
    has, takt = data.draw(conditions(work)), float(data.draw(st.integers(5, 9)))

    wanted = fewest_posts(work, takt, has, 3)

    try:
        found = balanced(work, takt, has, explained=False)
    except NoSuchPlan:
        assert wanted is None
        return
    assert broken(found) == ()
    assert found.proven
    assert len(found.posts) == wanted


@given(st.data())
@settings(max_examples=12, deadline=None, derandomize=True)
def test_no_takt_of_any_plan_is_shorter(data):
    work = data.draw(works(spots=((0.0, 0.0), (3.0, 0.0))).filter(lambda one: one.total > 0))
    walking = data.draw(st.sampled_from((None, 1.0)))
    people = 1 if walking else data.draw(st.integers(1, 2))
    has = Conditions(u_shaped=data.draw(st.booleans()), walking=walking, people_at_a_post=people)

    found = shortest_takt(work, 2, has)

    assert found.takt_proven
    assert found.takt == shortest_of_all(work, has, 2, [float(t) for t in range(1, 50)])


def chain(*times: float, **more: dict[str, object]) -> Work:
    """Elements a, b, c ... one after another, with what else is said of some of them."""
    names = "abcdefghij"[: len(times)]
    return Work.of(
        Element(name, time, (names[i - 1],) if i else (), **more.get(name, {}))  # type: ignore[arg-type]
        for i, (name, time) in enumerate(zip(names, times, strict=True))
    )


def free(*times: float, **more: dict[str, object]) -> Work:
    """Elements a, b, c ... in any order."""
    names = "abcdefghij"[: len(times)]
    return Work.of(Element(name, time, **more.get(name, {})) for name, time in zip(names, times, strict=True))  # type: ignore[arg-type]


def post_of(balance, name: str) -> int:
    return next(k for k, post in enumerate(balance.posts, 1) if name in post)


def test_what_stays_together_is_at_one_post():
    plan = balanced(free(6, 5, 4, 3), 9.0, Conditions(together=(("a", "d"),)))
    assert post_of(plan, "a") == post_of(plan, "d")


def test_what_is_done_between_two_elements_of_one_post_is_done_there_too():
    assert balanced(chain(1, 1, 1, 9), 10.0, Conditions(together=(("a", "c"),))).posts[0] == ("a", "b", "c")


def test_what_stays_apart_costs_a_post_and_the_reasons_say_so():
    plan = balanced(free(2, 2, 2), 10.0, Conditions(apart=(("a", "b"),)))

    assert len(plan.posts) == 2
    assert plan.proven
    assert "Without the wish that 'a' and 'b' stay apart, 1 post would do." in plan.reasons


def test_a_fixed_element_is_at_its_post_even_where_posts_before_it_stay_empty():
    plan = balanced(free(2, 2), 10.0, Conditions(fixed=(("b", 3),)))
    assert post_of(plan, "b") == 3
    assert len(plan.posts) == 3


def test_left_of_is_at_an_earlier_post_and_never_at_the_same():
    plan = balanced(free(2, 2), 10.0, Conditions(left_of=(("b", "a"),)))
    assert plan.posts == (("b",), ("a",))


def test_no_post_works_in_two_zones():
    plan = balanced(free(2, 2, 2, 2), 10.0, Conditions(zones=(("left", ("a", "c")), ("right", ("b",)))))
    assert post_of(plan, "a") == post_of(plan, "c") != post_of(plan, "b")


def test_without_crews_every_skill_is_a_trade_of_its_own():
    plan = balanced(free(2, 2, 2, a={"skill": "weld"}, b={"skill": "paint"}), 10.0)
    assert len(plan.posts) == 2
    assert {one.crew for one in plan.rounds} == {"weld", "paint"}


def test_a_crew_that_can_do_both_fills_one_post_with_both():
    crews = (Crew("welders", 5, frozenset({"weld"})), Crew("all-rounders", 1, frozenset({"weld", "paint"})))
    plan = balanced(free(2, 2, a={"skill": "weld"}, b={"skill": "paint"}), 10.0, Conditions(crews=crews))
    assert [one.crew for one in plan.rounds] == ["all-rounders"]


def test_the_number_of_a_crew_is_a_limit():
    work = free(6, 6, a={"skill": "weld"}, b={"skill": "weld"})
    with pytest.raises(NoSuchPlan) as error:
        balanced(work, 10.0, Conditions(crews=(Crew("welders", 1, frozenset({"weld"})),)))
    assert error.value.binding == ("the crew 'welders' has 1 person",)


def test_two_people_at_a_post_work_at_once_and_in_order_each_on_one_element_at_a_time():
    work = Work.of([Element("a", 6.0), Element("b", 4.0), Element("c", 4.0, ("b",)), Element("d", 2.0, ("a", "c"))])

    plan = balanced(work, 10.0, Conditions(people_at_a_post=2))

    assert len(plan.posts) == 1
    (one,) = plan.rounds
    assert one.people == 2
    assert one.length == 10.0
    begins = dict(zip(one.elements, one.starts, strict=True))
    assert begins["c"] >= begins["b"] + 4
    assert begins["d"] >= 8


def test_work_that_waits_for_itself_is_not_done_twice_as_quickly_by_two():
    assert len(balanced(chain(6, 6), 10.0, Conditions(people_at_a_post=2)).posts) == 2


def test_where_one_person_keeps_the_takt_one_stands_there():
    assert balanced(free(3, 3), 10.0, Conditions(people_at_a_post=3)).people == 1


def test_on_a_bent_line_one_person_works_where_it_begins_and_where_it_ends():
    plan = balanced(chain(3, 10, 7), 10.0, Conditions(u_shaped=True))

    assert len(plan.posts) == 2
    assert plan.rounds[0].back == {"c"}
    assert len(balanced(chain(3, 10, 7), 10.0).posts) == 3


@given(works())
@settings(max_examples=15, deadline=None, derandomize=True)
def test_a_bent_line_never_needs_more_posts_than_a_straight_one(work):
    straight, bent = (
        balanced(work, 7.0, explained=False),
        balanced(work, 7.0, Conditions(u_shaped=True), explained=False),
    )
    assert len(bent.posts) <= len(straight.posts)


def test_the_way_between_the_places_of_a_round_and_back_takes_time():
    here, there = {"place": (0.0, 0.0)}, {"place": (3.0, 4.0)}
    plan = balanced(chain(5, 5, a=here, b=there), 20.0, Conditions(walking=1.0))
    assert plan.loads == (20.0,)
    assert len(balanced(chain(5, 5, a=here, b=there), 19.9, Conditions(walking=1.0)).posts) == 2


def test_a_walk_keeps_the_order_of_the_work_although_another_one_is_shorter():
    spots = {name: {"place": (x, 0.0)} for name, x in zip("abc", (0.0, 9.0, 1.0), strict=True)}
    ordered = balanced(chain(1, 1, 1, **spots), 100.0, Conditions(walking=1.0))
    assert ordered.rounds[0].walking == 18.0
    zigzag = chain(1, 1, 1, 1, **spots, d={"place": (9.0, 0.0)})
    assert balanced(zigzag, 100.0, Conditions(walking=1.0)).rounds[0].walking == 34.0


def test_to_be_late_only_now_and_then_part_of_the_takt_is_kept_free():
    work = free(4, 4, a={"deviation": 0.9}, b={"deviation": 1.2})
    # 8 + 1.6449 x sqrt(0.81 + 1.44) = 10.467
    assert len(balanced(work, 10.47, Conditions(overrun=0.05)).posts) == 1
    assert len(balanced(work, 10.46, Conditions(overrun=0.05)).posts) == 2


def test_draws_know_that_bad_luck_comes_together():
    work, bad = free(4, 4), np.array([4.0, 4.0, 4.0, 6.0])
    together = {"a": bad, "b": bad}
    in_turns = {"a": bad, "b": bad[::-1].copy()}
    assert len(balanced(work, 10.0, Conditions(overrun=0.25, draws=together)).posts) == 1
    assert len(balanced(work, 9.0, Conditions(overrun=0.25, draws=in_turns)).posts) == 2


def test_over_a_range_of_posts_the_takt_falls_and_the_best_efficiency_is_found():
    work = free(6, 5, 4, 3)
    rows = over_posts(work, [1, 2, 3, 4])
    assert [row.balance.takt for row in rows] == [18.0, 9.0, 7.0, 6.0]
    assert len(best_efficiency(work, [2, 3, 4], longest=10.0).posts) == 2


def test_no_work_needs_no_post():
    assert balanced(Work(()), 10.0).posts == ()


@pytest.mark.parametrize(
    ("has", "said"),
    [
        (Conditions(together=(("a", "z"),)), "there is no element 'z'"),
        (Conditions(most=0), "work needs a post"),
        (Conditions(fixed=(("a", 0),)), "allowed: 1"),
        (Conditions(left_of=(("a", "a"),)), "left of itself"),
        (Conditions(zones=(("x", ("a",)), ("y", ("a",)))), "an element has one zone"),
        (Conditions(walking=1.1), "nobody has said where 'a' and 'b' are done"),
        (Conditions(overrun=0.7), "above 0, up to 0.5"),
        (Conditions(people_at_a_post=0), "allowed: 1 or more"),
        (Conditions(people_at_a_post=2, overrun=0.1), "one person at a post"),
        (Conditions(overrun=0.1, draws={"a": np.ones(3)}), "none for 'b'"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_what_is_allowed(has, said):
    with pytest.raises(BadPlanInput, match=said):
        balanced(free(1, 1), 10.0, has)


@pytest.mark.parametrize("takt", [0.0, -1.0, float("inf"), 1e-9])
def test_a_takt_is_a_time(takt):
    with pytest.raises(BadPlanInput, match="takt"):
        balanced(free(1, 1), takt, Conditions(most=5))


@pytest.mark.parametrize("second", ["flying", ""])
def test_a_trade_of_its_own_fills_the_post_where_nothing_else_is_wished(second: str) -> None:
    plan = balanced(Work.of([Element("a", 10.0, skill="flying"), Element("b", 20.0, skill=second)]), 240.0)
    assert [(one.elements, one.crew) for one in plan.rounds] == [(("a", "b"), "flying")]
