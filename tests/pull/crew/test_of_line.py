"""The people of a whole line: the plan stands on the flow, its numbers say why, its changes can be made."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from pullwright.account import accounts_of
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.changes import applied
from pullwright.pull.crew.bounds import full_first
from pullwright.pull.crew.of_line import crew_plan_of
from tests.strategies import lines

TWO = """
line: gates
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: gate, demand: DEMAND}]
stations: [{name: saw}, {name: booth}, {name: bench, machines: 2}]
steps:
  - {name: cut, station: saw, manual: 4 min}
  - {name: weld, station: booth, elements: [{what: clamp, manual: 2 min, kind: needed}, {what: join, manual: 6 min, kind: value}]}
  - {name: fit, station: bench, manual: 9 min}
PEOPLE
"""
PEOPLE = """
people:
  - {name: metal, number: 2, wage: 25 EUR/h, skills: [cut, weld], absent: 10 %}
  - {name: fitters, number: 1, skills: [fit], absent: 5 %}
"""


def gates(demand: str = "40 /d", people: str = PEOPLE) -> Line:
    return Line.from_text(TWO.replace("DEMAND", demand).replace("PEOPLE", people))


@pytest.fixture(scope="module")
def pump():
    flow = flow_of(Line.read("examples/hand_pump.yaml"))
    return flow, crew_plan_of(flow)


def changed(line: Line, plan) -> Line:
    return Line.from_text(applied(line.text, plan.changes))


def test_people_busy_are_the_attended_work_and_the_carrying_over_the_day(pump):
    flow, plan = pump
    attended = sum(figure.value for figure in flow.people.attended.values())
    carried = sum(figure.value for figure in accounts_of(flow.line, flow).ground.carrying)
    assert plan.work.value == pytest.approx((attended + carried) / flow.day.value)
    assert sum(row.needed.value for row in plan.tasks) == pytest.approx(plan.work.value)


def test_the_elements_along_the_way_add_up_to_the_steps(pump):
    _, plan = pump
    here = next(row.along for row in plan.rows if row.along is not None)
    there = {crew.name: crew.there for crew in plan.skills.hands}
    rounds = sum(
        one.value * post.people * there[post.crew] for one, post in zip(here.rounds, here.along.posts, strict=True)
    )
    steps = sum(row.content.value for row in plan.tasks if row.task != "carrying")
    assert rounds == pytest.approx(steps)


def test_every_number_answers_why_and_has_a_name_of_its_own(pump):
    flow, plan = pump
    figures = plan.figures()
    assert not set(figures) & set(flow.figures())
    for name, figure in figures.items():
        assert figure.name == name
        assert figure.inputs or figure.source is not None
    assert "hone bore" in str(plan.rows[0].takt.why())


def test_rows_keep_the_takt_that_they_say(pump):
    _, plan = pump
    for row in plan.rows:
        people = [row.crews.get(name, 0) for name in plan.skills.crews]
        assert row.takt.value == pytest.approx(full_first(plan.skills, people)[1])
        assert row.people == sum(people)
    assert plan.today.takt.value <= plan.takt.value


def test_the_example_line_hangs_on_its_painter(pump):
    _, plan = pump
    assert [row.task for row in plan.tasks if row.hangs_on_one] == ["paint"]
    assert "paint hangs on one person: when that one is away, it stands still." in plan.sentences
    assert plan.training.best.lessons[0].task == "paint"


def test_the_lesson_that_is_advised_can_be_written_into_the_file_and_does_what_is_said(pump):
    flow, plan = pump
    after = crew_plan_of(flow_of(changed(flow.line, plan)))
    assert plan.changes
    assert "paint" not in [row.task for row in after.tasks if row.hangs_on_one]
    assert after.training.today.one_away == pytest.approx(plan.training.best.worth.one_away)


def test_the_chance_with_people_away_is_that_of_two_crews_apart():
    plan = crew_plan_of(flow_of(gates()))
    # At 12 min for a gate, the two metal workers have 12 min of work: one of them is enough; the fitter is needed.
    assert plan.chance.value == pytest.approx((1 - 0.1**2) * 0.95)
    assert plan.cover.one_away == (1.0, 0.0)
    assert any("on 94 % of the days" in sentence for sentence in plan.sentences)
    assert any(
        "breaks most often at fit, which only fitters can do: on 5.0 % of the days" in said for said in plan.sentences
    )


def test_ignorance_of_the_work_goes_into_the_chance():
    text = gates("40 /d").text.replace("manual: 4 min", "manual: {low: 2 min, likely: 4 min, high: 7 min}")
    plan = crew_plan_of(flow_of(Line.from_text(text)))
    low, high = plan.chance.interval()
    assert low < plan.chance.value - 0.05
    assert high <= 1


def test_too_few_people_are_told_who_is_lacking_and_then_keep_the_takt():
    line = gates("80 /d")
    plan = crew_plan_of(flow_of(line))
    assert plan.today is None
    assert plan.more == {"fitters": 1}
    assert plan.sentences[0].startswith("3 people cannot keep a takt of 6 min: fit need 1.5 people")
    assert crew_plan_of(flow_of(changed(line, plan))).enough


def test_without_people_the_plan_says_how_many_would_be_needed():
    line = gates(people="")
    plan = crew_plan_of(flow_of(line))
    assert plan.assumed
    assert plan.cover is None
    assert plan.sentences[0].startswith(
        "No people are given. At a takt of 12 min the work keeps 1.75 people busy: 2 people"
    )
    assert crew_plan_of(flow_of(changed(line, plan))).enough


def test_what_nobody_can_do_is_said_first_with_the_nearest_plan_that_works():
    # The file refuses hand work that nobody can do; a set-up at a machine slips through.
    text = gates().text.replace("skills: [cut, weld]", "skills: [weld]")
    text = text.replace("station: saw, manual: 4 min", "station: saw, machine: 4 min, set_up: {time: 8 min}, lot: 2")
    text = text.replace("people:\n", "people:\n  - {name: helpers, number: 1, skills: [bake]}\n")
    text = text.replace(
        "  - {name: fit,",
        "  - {name: bake, station: bench, machine: 1 min, set_up: {time: 5 min}, lot: 10}\n  - {name: fit,",
    )
    line = Line.from_text(text.replace("skills: [bake]", "skills: [weld]"))
    plan = crew_plan_of(flow_of(line))
    assert {lesson.task for lesson in plan.lessons_needed} == {"bake", "cut"}
    assert plan.sentences[0].startswith("Nobody can do cut. The nearest plan that works has")
    assert [row.task for row in plan.tasks if row.nobody] == ["cut", "bake"]
    assert crew_plan_of(flow_of(changed(line, plan))).lessons_needed == ()


def test_a_crew_of_one_shift_of_two_counts_half():
    text = gates("40 /d").text.replace(
        'shifts: [{name: day, from: "06:00", to: "14:00"}]',
        'shifts: [{name: day, from: "06:00", to: "14:00"}, {name: late, from: "14:00", to: "22:00"}]',
    )
    plan = crew_plan_of(flow_of(Line.from_text(text.replace("number: 1, skills", "number: 1, shifts: [day], skills"))))
    fitters = plan.skills.hands[1]
    assert (fitters.people, fitters.there, fitters.shifts) == (1, 0.5, 1)
    assert plan.skills.hands[0].shifts == 2


@settings(max_examples=5)
@given(lines(4))
def test_whatever_the_line_the_plan_holds_together(line):
    flow = flow_of(line)
    plan = crew_plan_of(flow)
    assert plan.sentences
    assert [row.takt.value for row in plan.rows] == sorted((row.takt.value for row in plan.rows), reverse=True)
    if plan.chance is not None:
        assert 0 <= plan.chance.value <= plan.share.value + 1e-9 <= 1 + 1e-8
    if not plan.assumed and plan.today is None:
        assert plan.more


def test_people_are_planned_for_the_takt_that_is_wished():
    line = Line.from_text(gates().text + "plan: {balance: {takt: 20 min}}\n")
    wished = crew_plan_of(flow_of(line))

    assert wished.takt.value == 1200
    assert wished.takt.value != crew_plan_of(flow_of(gates())).takt.value
