"""A scene that contradicts itself is refused, with words that say what to do."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pullwright.draw import Branch, Loop, Pile, Remark, RibbonPiece, SceneError, Segment


def test_segments_have_to_add_up_to_the_work_content(scenes):
    whole = scenes.station("Saw", {"value": 10, "waiting": 5})
    with pytest.raises(SceneError, match=r"add up to 15 s, its work content says 16 s: .*unexplained"):
        type(whole)("Saw", scenes.seconds("content", 16), whole.segments)


def test_colour_without_a_word_is_refused():
    with pytest.raises(SceneError, match="no word"):
        Remark("  ")


@pytest.mark.parametrize("value", [-1.0, math.nan])
def test_times_and_stock_are_never_negative(scenes, value):
    with pytest.raises(SceneError, match="0 or more"):
        Segment("value", scenes.seconds("t", value))
    with pytest.raises(SceneError, match="0 or more"):
        scenes.pile(value)
    with pytest.raises(SceneError, match="0 or more"):
        RibbonPiece("wait", scenes.seconds("t", value), touch=False)


def test_a_container_holds_something(scenes):
    with pytest.raises(SceneError, match="above 0"):
        scenes.pile(10, container=0)


@pytest.mark.parametrize(("have", "per", "containers"), [(12, 5, 3), (10, 5, 2), (0, 5, 0), (30, 0.1, 300)])
def test_a_container_begun_is_a_container(scenes, have, per, containers):
    assert scenes.pile(have, container=per).containers == containers


def test_loops_run_from_a_taker_back_to_a_maker_before_it():
    with pytest.raises(SceneError, match="the taker stands after the maker"):
        Loop(2, 2, "cards")
    with pytest.raises(SceneError, match="allowed are push, cards, cap, order"):
        Loop(0, 1, "belt")  # type: ignore[arg-type]


def test_unknown_kind_names_the_known_ones(scenes):
    with pytest.raises(SceneError, match="allowed are value, needed, waiting"):
        Segment("idle", scenes.seconds("t", 1))  # type: ignore[arg-type]


def test_loops_and_ribbon_stay_within_their_flow(scenes):
    columns = (scenes.station("Saw", {"value": 10}),)
    with pytest.raises(SceneError, match="ends at column 3, there are 1"):
        Branch("main", columns, loops=(Loop(0, 3, "cards"),))
    with pytest.raises(SceneError, match="belongs to column 4"):
        Branch("main", columns, (RibbonPiece("wait", scenes.seconds("t", 1), touch=False, column=4),))


def test_a_flow_has_stations():
    with pytest.raises(SceneError, match="has no station"):
        Branch("main", ())


def test_the_first_flow_is_the_main_one(scenes):
    columns = (scenes.station("Saw", {"value": 10}),)
    for ends in ({"joins": 0}, {"leaves": 0}):
        with pytest.raises(SceneError, match="the first branch is the main flow, it joins and leaves nothing"):
            scenes.picture(Branch("levers", columns, **ends), Branch("main", columns))


@pytest.mark.parametrize(("column", "other", "verb"), [("joins", "into", "joins"), ("leaves", "out_of", "leaves")])
def test_flows_join_and_leave_a_column_of_a_flow_listed_before(scenes, column, other, verb):
    columns = (scenes.station("Saw", {"value": 10}),)
    main = Branch("main", columns)
    with pytest.raises(SceneError, match=f"{verb} column 1, there are 0 to 0"):
        scenes.picture(main, Branch("levers", columns, **{column: 1}))
    for later in (1, 2):
        with pytest.raises(SceneError, match=f"list the flow it {verb} before it"):
            scenes.picture(main, Branch("levers", columns, **{column: 0, other: later}))


def test_a_station_come_to_again_names_the_column_where_it_stood_first(scenes):
    saw = scenes.station("Saw", {"value": 10})
    again = replace(saw, same_as=(0, 0))
    scenes.picture(Branch("main", (saw, again)), Branch("own way", (again,)))
    for columns in ((again, saw), (saw, replace(saw, same_as=(0, 1))), (saw, replace(saw, same_as=(3, 0)))):
        with pytest.raises(SceneError, match=r"name a column before it|is the same station as"):
            scenes.picture(Branch("main", columns))
    with pytest.raises(SceneError, match="drawn elsewhere"):
        scenes.picture(Branch("main", (saw, again, replace(saw, same_as=(0, 1)))))


def test_a_station_come_to_again_is_not_remarked_twice(scenes):
    slow = scenes.station("Saw", {"value": 61})
    takt = scenes.seconds("takt", 60)
    assert slow.beyond(takt) is not None
    assert replace(slow, same_as=(0, 0)).beyond(takt) is None
    assert replace(slow, same_as=(0, 0), remark=Remark("who asked?")).beyond(takt).word == "who asked?"


def test_takt_is_above_nothing(scenes):
    columns = (scenes.station("Saw", {"value": 10}),)
    with pytest.raises(SceneError, match="cannot be drawn"):
        scenes.picture(Branch("main", columns), takt=0.0)


def test_a_bar_beyond_takt_is_out_of_place_even_if_nobody_said_so(scenes):
    slow = scenes.station("Saw", {"value": 61})
    assert slow.beyond(scenes.seconds("takt", 60)).word == "beyond takt"
    assert slow.beyond(scenes.seconds("takt", 61)) is None


def test_what_was_remarked_is_not_replaced(scenes):
    slow = scenes.station("Saw", {"value": 61}, remark=Remark("down since Monday"))
    assert slow.beyond(scenes.seconds("takt", 60)).word == "down since Monday"


def test_stock_nobody_has_counted_the_need_of_has_no_surplus(scenes):
    unknown: Pile = scenes.pile(10)
    assert unknown.needed_containers is None
