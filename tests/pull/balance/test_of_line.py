"""The balance of a line: what counts as work, who does it where, what the wishes of the file do, and what it changes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from pullwright.account.carrying import carrying_hours
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.line.edit import set_field
from pullwright.pull.balance.checked_conditions import broken
from pullwright.pull.balance.line_elements import line_elements
from pullwright.pull.balance.of_line import asked_of, balance_of
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from tests.strategies import lines

LAMPS = """line: lamps
invented: yes
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: desk, demand: 300 /d}, {name: floor, demand: 180 /d}]
stations:
  - {name: saw, at: {x: 0 m, y: 0 m}}
  - {name: bench, at: {x: 11 m, y: 0 m}}
  - {name: tester, at: {x: 22 m, y: 0 m}}
steps:
  - name: cut
    station: saw
    elements:
      - {what: load, manual: 10 s, kind: needed}
      - {what: saw, machine: 40 s, watched: 50 %, kind: value}
    set_up: {time: 8 min}
    lot: 48
  - name: join
    station: bench
    elements:
      - {what: desk foot, manual: 24 s, kind: value, for: [desk]}
      - {what: floor foot, manual: 40 s, kind: value, for: [floor]}
      - {what: wire, manual: 30 s, kind: value}
  - {name: test, station: tester, manual: 15 s, machine: 20 s, watched: 100 %, walking: 5 s, rework: {share: 10 %, time: 30 s}}
moves: [{from: join, to: test, distance: 11 m, batch: 4, by: hand, handling: 12 s}]
people:
  - {name: sawyers, number: 2, wage: 27 EUR/h, skills: [saw]}
  - {name: fitters, number: 3, skills: [bench, test]}
"""


def lamps(**wishes: object) -> Line:
    text = set_field(LAMPS, ("plan", "balance"), wishes) if wishes else LAMPS
    return Line.from_text(text)


def balance(**wishes: object):
    return balance_of(flow_of(lamps(**wishes)))


def test_the_elements_are_all_that_binds_a_person_for_one_good_unit():
    flow = flow_of(lamps())
    times = {name: round(figure.value, 6) for name, figure in line_elements(flow, flow.takt.value).times.items()}
    assert flow.takt.value == 60.0
    assert times == {
        "cut / set-ups": 10.0,  # 480 s before each lot of 48
        "cut / load": 10.0,
        "cut / saw": 20.0,  # half of 40 s is watched
        "join / desk foot": 15.0,  # 300 of 480 lamps
        "join / floor foot": 15.0,
        "join / wire": 30.0,
        "carry join to test": 8.0,  # (2 x 11 m / 1.1 m/s + 12 s) / 4
        "test / by hand": 15.0,
        "test / watching the machine": 20.0,
        "test / walking": 5.0,
        "test / put right": 3.0,
    }


@given(lines(4))
@settings(max_examples=12, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
def test_nothing_that_people_do_is_left_out_or_counted_twice_whatever_the_line(line):
    flow = flow_of(line)
    if not flow.rates.demand.value > 0 or not flow.shipped.value > 0:
        return

    made = line_elements(flow, flow.takt.value)

    attended = sum(figure.value for figure in flow.people.attended.values()) / flow.rates.demand.value
    carried = sum(figure.value for figure in carrying_hours(flow)) / flow.shipped.value
    assert sum(element.time for element in made.work.elements) == pytest.approx(attended + carried)


def test_posts_are_neighbours_along_the_way_filled_by_who_can_do_the_work():
    found = balance()

    assert broken(found.balance) == ()
    assert [post.crew for post in found.posts] == ["sawyers", "fitters", "fitters"]
    assert found.posts[0].stations == ("saw",)
    assert found.sentence == "3 posts keep a takt of 60 s: 83.9 % of their time is work."
    assert found.proven
    assert found.beyond == ()


def test_every_number_says_what_it_is_made_of():
    found = balance()
    assert {"takt time", "efficiency of the balance", "balance loss", "round / post 1", "load of the round / post 3"} <= set(found.figures.all())  # fmt: skip
    assert "set_up" in str(found.figures.rounds[0].why())
    assert sum(one.value for one in found.figures.rounds) == pytest.approx(found.figures.work.value)


def test_today_stands_beside_it():
    assert balance().today[0] == "today 5 people work at this line, and the balance fills its posts with 3 people"


def test_the_changes_give_each_post_a_crew_of_its_own_and_the_line_is_sound_with_them():
    found, text = balance(), LAMPS
    for change in found.changes:
        text = set_field(text, change.path, change.written)

    after = Line.from_text(text)

    assert [(crew.name, crew.number) for crew in after.people] == [("post 1 (sawyers)", 1), ("post 2 (fitters)", 1), ("post 3 (fitters)", 1)]  # fmt: skip
    assert after.people[0].skills == ("cut",)
    assert after.people[0].wage == lamps().people[0].wage


def test_a_step_at_several_posts_is_said_to_be_forecast_only_roughly():
    found = balance(apart=[["join / wire", "join / desk foot"]])
    assert any("join" in note and "roughly" in note for note in found.notes)


@pytest.mark.parametrize(
    ("wishes", "holds"),
    [
        ({"fixed": [{"element": "test", "post": 4}]}, lambda at: at["test / by hand"] == at["test / put right"] == 4),
        ({"together": [["join / wire", "test"]], "takt": "90 s"}, lambda at: at["join / wire"] == at["test / by hand"] == at["test / walking"]),
        ({"apart": [["cut / load", "cut / saw"]]}, lambda at: at["cut / load"] != at["cut / saw"]),
        ({"left_of": [{"element": "join / floor foot", "of": "join / wire"}]}, lambda at: at["join / floor foot"] < at["join / wire"]),
        ({"zones": [{"name": "loud", "elements": ["cut / load"]}, {"name": "quiet", "elements": ["cut / saw"]}]}, lambda at: at["cut / load"] != at["cut / saw"]),
    ],
)  # fmt: skip
def test_wishes_may_name_an_element_or_a_whole_step(wishes, holds):
    found = balance(**wishes)
    assert holds({task.name: post.number for post in found.posts for task in post.tasks})


def test_a_wished_takt_takes_the_place_of_that_of_the_demand():
    assert balance(takt="90 s").figures.takt.value == 90.0


def test_where_today_s_people_are_too_few_the_balance_says_how_many_more_it_takes():
    found = balance(takt="26 s")
    assert "today's people do not suffice" in found.beyond[0]
    assert "the crew 'fitters' has 3 people" in found.beyond[0]
    assert any("more than today" in said for said in found.beyond[1:])


def test_what_is_longer_than_the_takt_is_done_in_turns():
    found = balance(takt="26 s")
    assert (
        "join / wire takes 30 s for one good unit, longer than the takt: 2 posts take turns at it, each with every second piece"
        in found.notes
    )
    at = {task.name: post.number for post in found.posts for task in post.tasks}
    assert at["join / wire (1 of 2)"] != at["join / wire (2 of 2)"]


def test_what_two_people_do_at_once_is_in_two_rounds():
    line = Line.from_text(set_field(LAMPS, ("steps", 1, "people"), 2))
    found = balance_of(flow_of(line))
    assert sum(task.name.startswith("join / wire") for post in found.posts for task in post.tasks) == 2
    assert any("needs 2 people at once" in note for note in found.notes)


def test_walking_counts_the_way_between_the_stations_of_a_round():
    found = balance(walking="yes", takt="200 s")
    assert found.balance.rounds[-1].walking > 0
    assert "walking in the round" in str(found.figures.rounds[-1].why())


def test_what_differs_between_products_counts_as_swing_and_alternatives_stay_together():
    found = balance(overrun="5 %", takt="90 s")
    at = {task.name: post.number for post in found.posts for task in post.tasks}
    assert at["join / desk foot"] == at["join / floor foot"]
    # What a lamp needs at the foot is 24 s or 40 s: variance 16² x 300/480 x 180/480.
    made = asked_of(flow_of(lamps())).elements.work
    own = sum((made.elements[made.index[f"join / {name}"]].deviation) ** 2 for name in ("desk foot", "floor foot"))
    assert own == pytest.approx(16**2 * 0.625 * 0.375 + (24 * 0.2) ** 2 * 0.625 + (40 * 0.2) ** 2 * 0.375)


def test_an_element_is_moved_by_hand():
    found = balance()
    post = next(post.number for post in found.posts if any(task.name == "join / wire" for task in post.tasks))
    other = found.moved("join / wire", 1)
    assert post != 1
    assert any("the crew" in said or "no crew" in said for said in other.breaks)
    assert len(other.loads) == len(found.posts)


def test_without_people_in_the_file_anybody_fills_the_posts():
    text = LAMPS[: LAMPS.index("people:")]
    found = balance_of(flow_of(Line.from_text(text)))
    assert {post.crew for post in found.posts} == {""}
    assert found.changes == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (set_field(LAMPS, ("plan", "balance", "walking"), "yes").replace(", at: {x: 11 m, y: 0 m}", ""), "give a place"),
        (set_field(LAMPS, ("plan", "balance", "takt"), "0 s"), "the takt is 0 s"),
    ],
)  # fmt: skip
def test_what_is_missing_is_said(text, said):
    with pytest.raises(BadPlanInput, match=said):
        balance_of(flow_of(Line.from_text(text)))


def test_a_line_that_binds_nobody_has_nothing_to_share_out():
    text = """line: seals
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: seal, demand: 30 /d}]
stations: [{name: press}]
steps: [{name: form, station: press, machine: 10 min, people: 0}]
"""
    with pytest.raises(BadPlanInput, match="nothing at this line binds a person"):
        balance_of(flow_of(Line.from_text(text)))


def test_wishes_that_clash_are_named_in_the_words_of_the_file():
    with pytest.raises(NoSuchPlan) as error:
        balance(together=[["cut / load", "join / wire"]])
    assert any("stay at one post" in said for said in error.value.binding)


PUMPS = Path("examples/hand_pump.yaml").read_text()
LEFT = {"element": "weld base", "of": "saw tube"}
LEFT_SAID = "'weld base' stays left of 'saw tube'"


@pytest.mark.parametrize(
    ("wishes", "binding", "instead"),
    [
        ({"posts": 4}, ("at most 4 posts",), "With 7 posts it works; with a takt of "),
        ({"posts": 6}, ("at most 6 posts",), "With 7 posts it works; with a takt of "),
        ({"left_of": [LEFT]}, (LEFT_SAID,), f"Without the wish that {LEFT_SAID} it works with 7 posts."),
        ({"left_of": [LEFT], "posts": 4}, (LEFT_SAID,), f"With 7 posts and without the wish that {LEFT_SAID} it works."),
        ({"fixed": [{"element": "pack", "post": 1}]}, ("'pack' stays at post 1",), "Without the wish that 'pack' stays at post 1 it works with 7 posts."),
        ({"together": [["saw tube", "paint"]]}, ("'saw tube' and 'paint' stay at one post",), "Without the wish that 'saw tube' and 'paint' stay at one post it works with 7 posts."),
        ({"overrun": "5 %", "posts": 7}, ("at most 0.05 of the rounds take longer than the takt", "at most 7 posts"), "Without the wish that at most 0.05 of the rounds take longer than the takt it works with 7 posts; "),
        ({"takt": "300 s", "posts": 6}, ("at most 6 posts",), "With 25 posts, 6 people of 'machining' in place of 3, 7 people of 'metalwork' in place of 2, 9 people of 'assembly' in place of 3 and 3 people of 'finishing' in place of 1 it works."),
    ],
)  # fmt: skip
def test_a_clash_is_told_at_the_level_at_which_it_was_typed_with_the_nearest_plan(wishes, binding, instead):
    with pytest.raises(NoSuchPlan) as error:
        balance_of(flow_of(Line.from_text(set_field(PUMPS, ("plan", "balance"), wishes))))
    assert error.value.binding == binding
    assert error.value.instead.startswith(instead)
    assert len(str(error.value)) < 400


def test_an_order_against_the_work_is_told_in_one_clause():
    with pytest.raises(NoSuchPlan, match=r"\(in the work, 'saw tube' comes before 'weld base'\)"):
        balance_of(flow_of(Line.from_text(set_field(PUMPS, ("plan", "balance"), {"left_of": [LEFT]}))))


def test_people_who_are_too_few_are_told_with_what_only_they_can_do():
    found = balance_of(flow_of(Line.from_text(set_field(LAMPS, ("people", 1, "number"), 1))))
    assert found.beyond == (
        "today's people do not suffice (only 'fitters' can do 'join' and 'test'; the crew 'fitters' has 1 person)",
        "the crew 'fitters' would need 2 people, 1 more than today",
    )


def test_steps_that_stay_apart_are_one_wish_and_cost_what_they_cost():
    found = balance(apart=[["join", "test"]], takt="200 s")
    assert (
        any("'join' and 'test' stay apart" in said and "would do" in said for said in found.reasons)
        or len(found.posts) == 2
    )
    assert not any(" / " in said for said in found.reasons)


def test_a_step_that_stays_apart_from_one_of_its_own_elements_is_taken_as_the_others():
    found = balance(apart=[["cut", "cut / saw"]])
    at = {task.name: post.number for post in found.posts for task in post.tasks}
    assert at["cut / saw"] not in (at["cut / load"], at["cut / set-ups"])
