"""An element taken to another post by hand: what it breaks, and the loads."""

from __future__ import annotations

import pytest

from pullwright.pull.balance.moved import moved
from pullwright.pull.balance.wishes import Conditions, Crew
from pullwright.pull.balance.with_conditions import balanced
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import BadPlanInput

WORK = Work.of(
    [Element("cut", 4.0), Element("weld", 6.0, ("cut",), skill="welding"), Element("paint", 5.0, ("weld",)), Element("pack", 3.0, ("paint",))]
)  # fmt: skip
CREWS = (Crew("welders", 1, frozenset({"welding"})), Crew("others", None, frozenset()))


def plan(**more: object):
    return balanced(WORK, 10.0, Conditions(crews=CREWS, **more))  # type: ignore[arg-type]


def test_a_move_that_keeps_everything_breaks_nothing():
    before = plan()
    assert before.posts == (("cut", "weld"), ("paint", "pack"))
    after = moved(before, "pack", 3)
    assert after.breaks == ()
    assert after.loads == (10.0, 5.0, 3.0)


def test_a_post_that_is_left_empty_at_the_end_is_gone():
    after = moved(moved(plan(), "pack", 3).balance, "pack", 2)
    assert after.balance.posts == plan().posts


def test_what_breaks_is_said_in_words():
    after = moved(plan(), "paint", 1)
    assert after.breaks == ("the round of post 1 takes 15 s, and the takt is 10 s",)
    after = moved(plan(fixed=(("pack", 2),), apart=(("cut", "pack"),)), "pack", 1)
    assert "'paint' has to be done before 'pack'" in after.breaks
    assert (
        "'pack' is at post 1 and has to stay at post 2" in moved(plan(fixed=(("pack", 2),)), "pack", 1).breaks
        or after.breaks
    )


def test_who_cannot_do_it_is_said():
    work = Work.of([Element("weld", 6.0, skill="welding"), Element("paint", 6.0, skill="painting")])
    crews = (Crew("welders", 1, frozenset({"welding"})), Crew("painters", 1, frozenset({"painting"})))
    before = balanced(work, 20.0, Conditions(crews=crews))
    first = before.posts.index(("weld",)) + 1
    after = moved(before, "paint", first)
    assert after.breaks == ("the crew 'welders' at post 1 cannot do 'paint', which needs the skill 'painting'",)


def test_on_a_bent_line_it_goes_where_it_breaks_least():
    work = Work.of([Element("a", 3.0), Element("b", 10.0, ("a",)), Element("c", 7.0, ("b",))])
    before = balanced(work, 10.0, Conditions(u_shaped=True))
    away = moved(before, "c", 3)
    assert away.breaks == ()
    assert moved(away.balance, "c", 1).balance.rounds[0].back == {"c"}


@pytest.mark.parametrize(("element", "post"), [("glue", 1), ("cut", 0), ("cut", 9)])
def test_only_what_there_is_can_be_moved(element, post):
    with pytest.raises(BadPlanInput):
        moved(plan(), element, post)
