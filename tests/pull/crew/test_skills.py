"""The matrix of skills: who can do what, what hangs on one person, what was typed wrong."""

from __future__ import annotations

import pytest

from pullwright.pull.crew.skills import Hands, Skills, Task
from pullwright.pull.errors import BadPlanInput

TASKS = [Task("saw", 60.0), Task("weld", 120.0), Task("wait", 0.0)]


def hands(**changed):
    return Hands(**({"name": "metal", "people": 2, "can": frozenset({"saw"})} | changed))


def test_what_hangs_on_one_person_and_what_nobody_can_do():
    skills = Skills.of(TASKS, [hands(), hands(name="one", people=1, can=frozenset({"weld"}))])
    assert skills.hang_on_one == ("weld",)
    assert skills.nobody == ()
    assert Skills.of(TASKS, [hands()]).nobody == ("weld",), "a task without work in it needs nobody"


def test_a_task_for_two_hangs_on_one_person_when_there_are_two():
    two = Skills.of([Task("lift", 30.0, at_once=2)], [hands(can=frozenset({"lift"}))])
    assert two.hang_on_one == ("lift",)
    assert Skills.of(two.tasks, [hands(people=3, can=frozenset({"lift"}))]).hang_on_one == ()


def test_people_needed_is_work_over_takt():
    assert Skills.of(TASKS, [hands()]).needed("weld", 80.0) == 1.5


def test_a_lesson_for_a_part_of_a_crew_keeps_the_number_of_people_and_all_skills():
    skills = Skills.of(TASKS, [hands(people=3)])
    after = skills.taught("metal", "weld", 1)
    assert sum(crew.people for crew in after.hands) == 3
    assert after.people_for("saw") == 3
    assert after.people_for("weld") == 1
    assert skills.taught("metal", "weld").people_for("weld") == 3


def test_two_lessons_of_the_same_kind_get_two_names():
    skills = Skills.of(TASKS, [hands(people=3)])
    assert len(set(skills.taught("metal", "weld", 1).taught("metal", "weld", 1).crews)) == 3


@pytest.mark.parametrize(
    ("tasks", "crews", "said"),
    [
        ([Task("saw", 1.0), Task("saw", 2.0)], [hands()], "'saw' is the name of two tasks"),
        (TASKS, [hands(), hands()], "'metal' is the name of two crews"),
        ([Task("saw", -1.0)], [hands()], "takes -1.0 s; allowed: a time from 0 s on"),
        ([Task("saw", 1.0, at_once=0)], [hands()], "allowed: from 1 on"),
        (TASKS, [hands(people=-1)], "has -1 people"),
        (TASKS, [hands(absent=1.5)], "away for a share of 1.5; allowed: 0 to 1"),
        (TASKS, [hands(can=frozenset({"paint"}))], "can do 'paint', and there is no such task"),
    ],
)
def test_what_is_typed_wrong_is_said(tasks, crews, said):
    with pytest.raises(BadPlanInput, match=said):
        Skills.of(tasks, crews)


def test_a_lesson_for_nobody_is_refused():
    skills = Skills.of(TASKS, [hands()])
    with pytest.raises(BadPlanInput, match="no such crew; there are metal"):
        skills.taught("wood", "weld")
    with pytest.raises(BadPlanInput, match="allowed: 1 to 2"):
        skills.taught("metal", "weld", 3)
    with pytest.raises(BadPlanInput, match="there is no task 'paint'"):
        skills.taught("metal", "paint")
