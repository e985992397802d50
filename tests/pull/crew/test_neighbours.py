"""Posts along the way: beside every way to cut the row, with every crew at every post."""

from __future__ import annotations

import itertools

import pytest

from pullwright.pull.crew.neighbours import fewest_along, quickest_along
from pullwright.pull.crew.skills import Hands, Skills, Task
from pullwright.pull.errors import NoSuchPlan
from tests.pull.crew.made_skills import made_skills

SEEDS = range(25)


def all_rows(skills: Skills, people: int, most):
    """The longest round of every row of posts of at most so many people."""

    def rows(start, left, used):
        if start == len(skills.tasks):
            yield 0.0
            return
        for stop in range(start + 1, len(skills.tasks) + 1):
            post = skills.tasks[start:stop]
            for c, crew in enumerate(skills.hands):
                if not all(task.name in crew.can for task in post):
                    continue
                for k in range(1, left + 1):
                    stands = all(k % task.at_once == 0 and k <= task.at_once * task.side_by_side for task in post)
                    if stands and (most is None or used[c] + k <= most[c]):
                        one = sum(task.time for task in post) / (k * crew.there)
                        now = (*used[:c], used[c] + k, *used[c + 1 :])
                        yield from (max(one, rest) for rest in rows(stop, left - k, now))

    return list(rows(0, people, (0,) * len(skills.hands)))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("most", [None, (1, 2, 1)])
def test_no_other_row_of_posts_has_a_shorter_longest_round(seed, most):
    skills = made_skills(seed, tasks=5, at_once=seed % 3 == 0)
    for people in (2, 4):
        rounds = all_rows(skills, people, most)
        if rounds:
            found = quickest_along(skills, people, most)
            assert found.takt == pytest.approx(min(rounds))
            assert found.people <= people
        else:
            with pytest.raises(NoSuchPlan):
                quickest_along(skills, people, most)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_fewer_people_keep_the_takt_along_the_way(seed):
    skills = made_skills(seed, tasks=5)
    for takt, most in itertools.product((60.0, 110.0), (None, (2, 2, 1))):
        fit = [n for n in range(1, 6) if any(one <= takt * (1 + 1e-9) for one in all_rows(skills, n, most))]
        found = fewest_along(skills, takt, most)
        if fit or most is not None:
            assert (None if found is None else found.people) == (fit[0] if fit else None)


def test_every_task_stands_once_in_order_and_rounds_add_up_to_the_work():
    for seed in SEEDS:
        skills = made_skills(seed, tasks=6)
        found = fewest_along(skills, 130.0)
        if found is None:
            continue
        assert [task for post in found.posts for task in post.tasks] == list(skills.names)
        there = {crew.name: crew.there for crew in skills.hands}
        assert sum(post.round * post.people * there[post.crew] for post in found.posts) == pytest.approx(skills.total)
        assert [over.behind for over in found.hand_overs] == [post.tasks[-1] for post in found.posts[:-1]]
        assert [over.share for over in found.hand_overs] == sorted(over.share for over in found.hand_overs)


def test_sharing_in_time_is_never_slower_than_posts_along_the_way():
    from pullwright.pull.crew.smallest import quickest

    for seed in SEEDS:
        skills = made_skills(seed)
        for people in (3, 5):
            try:
                along = quickest_along(skills, people)
            except NoSuchPlan:
                continue
            shared = quickest(skills, people)
            assert shared is not None
            assert shared.takt <= along.takt * (1 + 1e-9)


def test_two_people_stand_side_by_side_only_where_there_are_two_benches():
    long = Skills.of([Task("fit", 100.0)], [Hands("crew", 2, frozenset({"fit"}))])
    assert quickest_along(long, 2).takt == 100.0
    two = Skills.of([Task("fit", 100.0, side_by_side=2)], long.hands)
    assert quickest_along(two, 2).takt == 50.0


def test_tasks_that_alternate_between_crews_are_said_to_need_more_people():
    skills = Skills.of(
        [Task(name, 10.0) for name in "abc"],
        [Hands("one", 5, frozenset("ac")), Hands("two", 5, frozenset("b"))],
    )
    with pytest.raises(NoSuchPlan, match="2 people cannot stand along the way") as refused:
        quickest_along(skills, 2)
    assert refused.value.instead.startswith("3 people can")


def test_no_work_needs_no_post():
    assert quickest_along(Skills.of([Task("rest", 0.0)], [Hands("crew", 1, frozenset())]), 1).posts == ()
