"""Balances under conditions: each condition by itself, and all of them together against every plan there is."""

from __future__ import annotations

import numpy as np
import pytest
from tests.pull.balance.brute_force import fewest_posts
from tests.pull.balance.brute_force import shortest_takt as shortest_of_all
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.checked_conditions import broken
from pullwright.pull.balance.wishes import Conditions, Crew
from pullwright.pull.balance.with_conditions import balanced, shortest_takt
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import NoSuchPlan

NAMES = "abcde"


@st.composite
def works(draw, skills=("",), spots=(None,)):
    count = draw(st.integers(1, 5))
    elements = []
    for i in range(count):
        after = tuple(name for name in NAMES[:i] if draw(st.integers(0, 2)) == 0)
        elements.append(
            Element(
                NAMES[i], float(draw(st.integers(0, 6))), after, float(draw(st.integers(0, 2))),
                draw(st.sampled_from(skills)), draw(st.sampled_from(spots)),
            )  # fmt: skip
        )
    return Work.of(elements)


@st.composite
def conditions(draw, work):
    some = st.lists(st.sampled_from(work.names), min_size=2, max_size=3, unique=True).map(tuple)
    several = len(work.names) > 1
    rarely = st.integers(0, 3).map(lambda n: n == 0)
    has = {"u_shaped": draw(st.booleans())}
    if several and draw(rarely):
        has["together"] = (draw(some),)
    if several and draw(rarely):
        has["apart"] = (draw(some),)
    if several and draw(rarely):
        has["left_of"] = (draw(some)[:2],)
    if draw(rarely):
        has["fixed"] = ((draw(st.sampled_from(work.names)), draw(st.integers(1, 3))),)
    if several and draw(rarely):
        pair = draw(some)
        has["zones"] = (("north", pair[:1]), ("south", pair[1:2]))
    if draw(st.booleans()):
        has["crews"] = (Crew("x", draw(st.integers(0, 3)), frozenset("p")), Crew("y", draw(st.integers(0, 3)), None))
    way = draw(st.integers(0, 4))
    if way == 1:
        has["people_at_a_post"] = 2
    elif way == 2:
        has["walking"] = 1.0
    elif way == 3:
        has["overrun"] = 0.1
    elif way == 4:
        has["overrun"] = 0.25
        has["draws"] = {n: np.array([draw(st.integers(0, 6)) for _ in range(6)], dtype=float) for n in work.names}
    return Conditions(**has)


@given(st.data())
@settings(max_examples=120, deadline=None, derandomize=True)
def test_no_plan_that_exists_has_fewer_posts_and_none_is_missed(data):
    work = data.draw(works(skills=("", "p", "q"), spots=((0.0, 0.0), (1.0, 0.0), (0.0, 2.0))))
    has = data.draw(conditions(work))
    takt = float(data.draw(st.integers(5, 9)))
    most = 3
    has = Conditions(**{**vars(has), "most": most})

    wanted = fewest_posts(work, takt, has, most)

    try:
        found = balanced(work, takt, has, seconds=5, explained=False)
    except NoSuchPlan:
        assert wanted is None
        return
    assert broken(found) == ()
    assert found.proven
    assert len(found.posts) == wanted


@given(st.data())
@settings(max_examples=25, deadline=None, derandomize=True)
def test_no_takt_of_any_plan_is_shorter(data):
    work = data.draw(works(spots=((0.0, 0.0), (3.0, 0.0))))
    bent = data.draw(st.booleans())
    walking = data.draw(st.sampled_from((None, 1.0)))
    people = 1 if walking else data.draw(st.integers(1, 2))
    has = Conditions(u_shaped=bent, walking=walking, people_at_a_post=people)
    if not work.total:
        return

    found = shortest_takt(work, 2, has, seconds=5)

    assert found.proven
    assert found.takt == shortest_of_all(work, has, 2, [float(t) for t in range(1, 50)])
