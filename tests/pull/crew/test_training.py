"""What to train next: no lesson hurts, what is said of a lesson is what comes out when it is given, and pairs help where one does not."""

from __future__ import annotations

import itertools

import pytest

from pullwright.pull.crew.bounds import full_first
from pullwright.pull.crew.cover import cover_of
from pullwright.pull.crew.skills import Hands, Skills, Task
from pullwright.pull.crew.smallest import fewest
from pullwright.pull.crew.training import goal_of, taught_enough, training_of, worth_of
from pullwright.pull.errors import BadPlanInput
from tests.pull.crew.made_skills import made_skills

SEEDS = range(12)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("people", [1, None])
def test_no_lesson_makes_anything_worse(seed, people):
    skills = made_skills(seed)
    before = worth_of(skills, 70.0)
    for crew, task in skills.missing():
        after = worth_of(skills.taught(crew, task, people), 70.0)
        assert after.chance >= before.chance - 1e-9
        assert after.share >= before.share - 1e-9
        assert after.one_away >= before.one_away - 1e-9
        assert after.takt <= before.takt * (1 + 1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_said_of_a_lesson_is_what_comes_out_when_it_is_given(seed):
    skills = made_skills(seed)
    for one in training_of(skills, 70.0).single:
        (lesson,) = one.lessons
        after = skills.taught(lesson.crew, lesson.task, lesson.people)
        cover = cover_of(after, 70.0)
        assert (one.worth.chance, one.worth.share) == pytest.approx((cover.chance, cover.share))
        assert one.worth.takt == pytest.approx(full_first(after)[1])
        assert one.smallest == fewest(after, 70.0, [crew.people for crew in after.hands])


@pytest.mark.parametrize("seed", SEEDS)
def test_every_lesson_that_helps_is_there_and_the_best_stands_first(seed):
    skills = made_skills(seed)
    found = training_of(skills, 70.0)
    said = {(one.lessons[0].crew, one.lessons[0].task) for one in found.single}
    for crew, task in skills.missing():
        worth = worth_of(skills.taught(crew, task, 1), 70.0)
        assert not worth.better_than(found.today) or (crew, task) in said
    chances = [one.worth.chance for one in found.single]
    assert chances == pytest.approx(sorted(chances, reverse=True))


def test_two_lessons_together_where_neither_helps_alone():
    # A and B are both short, C is free: each of them alone still holds the other one up.
    skills = Skills.of(
        [Task("a", 130.0), Task("b", 130.0), Task("c", 10.0)],
        [Hands("A", 1, frozenset("a")), Hands("B", 1, frozenset("b")), Hands("C", 1, frozenset("c"))],
    )
    found = training_of(skills, 90.0)
    assert found.today.takt == 130.0
    pairs = [{(lesson.crew, lesson.task) for lesson in one.lessons} for one in found.together]
    assert {("C", "a"), ("C", "b")} in pairs
    assert found.best is found.together[0]
    for one in found.together:
        assert goal_of(one.worth) > goal_of(found.today)
        for lesson in one.lessons:
            alone = worth_of(skills.taught(lesson.crew, lesson.task), 90.0)
            assert goal_of(alone) == goal_of(found.today)


def test_where_one_lesson_helps_it_is_the_best():
    skills = Skills.of(
        [Task("a", 130.0), Task("b", 10.0)], [Hands("A", 1, frozenset("a")), Hands("B", 1, frozenset("b"))]
    )
    best = training_of(skills, 90.0).best
    assert [(lesson.crew, lesson.task) for lesson in best.lessons] == [("B", "a")]
    assert best.worth.takt == 70.0


def test_a_smaller_crew_counts_too():
    skills = Skills.of(
        [Task("a", 40.0), Task("b", 40.0)],
        [Hands("A", 2, frozenset("a")), Hands("B", 2, frozenset("b"))],
    )
    found = training_of(skills, 100.0)
    assert found.smallest == 2
    assert found.single[0].smallest == 1


def test_where_everybody_can_do_everything_there_is_nothing_to_learn():
    found = training_of(Skills.of([Task("a", 40.0)], [Hands("A", 2, frozenset("a"))]), 100.0)
    assert (found.single, found.together, found.pairs_left) == ((), (), 0)


@pytest.mark.parametrize("tasks", [2, 9])
def test_what_nobody_can_do_goes_to_the_crews_that_keep_people_quickest(tasks):
    names = [f"t{k}" for k in range(tasks)]
    skills = Skills.of(
        [Task(name, 10.0) for name in names] + [Task("busy", 100.0)],
        [Hands("free", 1, frozenset()), Hands("full", 1, frozenset({"busy"}))],
    )
    taught, lessons = taught_enough(skills)
    assert {lesson.task for lesson in lessons} == set(names)
    assert taught.nobody == ()
    assert full_first(taught)[1] == 100.0, "the free one learns all of it"


def test_a_takt_of_nothing_is_refused():
    with pytest.raises(BadPlanInput, match="a takt of -1"):
        training_of(made_skills(1), -1.0)


@pytest.mark.parametrize("seed", range(4))
def test_no_pair_that_helps_is_left_out(seed):
    skills = made_skills(seed, tasks=4)
    found = training_of(skills, 40.0, people=None, most_together=1000)
    pairs = {frozenset((lesson.crew, lesson.task) for lesson in one.lessons) for one in found.together}
    useless = [
        lesson for lesson in skills.missing() if goal_of(worth_of(skills.taught(*lesson), 40.0)) <= goal_of(found.today)
    ]
    for one, other in itertools.combinations(useless, 2):
        helps = goal_of(worth_of(skills.taught(*one).taught(*other), 40.0)) > goal_of(found.today)
        assert helps == (frozenset({one, other}) in pairs)
