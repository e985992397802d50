"""Cover for absence: beside every single person who is there or away, one by one."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest

from pullwright.pull.crew import cover as room
from pullwright.pull.crew.cover import Ways, cover_of, one_away
from pullwright.pull.crew.skills import Hands, Skills, Task
from pullwright.pull.crew.training import worth_of
from pullwright.pull.errors import BadPlanInput
from tests.pull.crew.made_skills import made_skills, takt_by_programme

SEEDS = range(15)


def person_by_person(skills: Skills, takt: float) -> tuple[float, float]:
    heads = [(c, crew.absent) for c, crew in enumerate(skills.hands) for _ in range(crew.people)]
    chance = share = 0.0
    kept: dict[tuple[int, ...], float] = {}
    for here in itertools.product((True, False), repeat=len(heads)):
        likely = math.prod(1 - away if there else away for there, (_, away) in zip(here, heads, strict=True))
        people = tuple(
            sum(there and one == c for there, (one, _) in zip(here, heads, strict=True))
            for c in range(len(skills.hands))
        )
        if likely > 0 and people not in kept:
            kept[people] = takt_by_programme(skills, people)
        if likely > 0:
            chance += likely * (kept[people] <= takt * (1 + 1e-9))
            share += likely * min(1.0, takt / kept[people])
    return chance, share


@pytest.mark.parametrize("seed", SEEDS)
def test_chance_and_share_are_those_of_every_person_who_may_be_away(seed):
    skills = made_skills(seed, tasks=4, at_once=True)
    for takt in (60.0, 120.0):
        found = cover_of(skills, takt)
        assert (found.chance, found.share) == pytest.approx(person_by_person(skills, takt))


@pytest.mark.parametrize("seed", SEEDS)
def test_more_people_never_lower_the_chance_or_the_share(seed):
    skills = made_skills(seed)
    before = cover_of(skills, 70.0)
    for c, crew in enumerate(skills.hands):
        more = Skills(skills.tasks, (*skills.hands[:c], replace(crew, people=crew.people + 1), *skills.hands[c + 1 :]))
        after = cover_of(more, 70.0)
        assert after.chance >= before.chance - 1e-12
        assert after.share >= before.share - 1e-12
        assert before.without[c] >= before.chance - 1e-12


@pytest.mark.parametrize("seed", SEEDS)
def test_a_longer_takt_never_lowers_the_chance(seed):
    skills = made_skills(seed)
    chances = [cover_of(skills, takt).chance for takt in (30.0, 60.0, 90.0, 180.0, 1000.0)]
    assert chances == sorted(chances)


def test_what_breaks_it_is_short_at_least_as_often_as_the_takt_is_missed_by_the_worst_alone():
    for seed in SEEDS:
        found = cover_of(made_skills(seed), 70.0)
        missed = 1 - found.chance
        assert all(weak.chance <= missed + 1e-9 for weak in found.weak)
        assert sum(weak.chance for weak in found.weak) >= missed - 1e-9


def test_crews_that_share_no_work_are_worked_out_apart_and_give_the_product():
    tasks = [Task("saw", 100.0), Task("weld", 100.0)]
    skills = Skills.of(
        tasks,
        [Hands("A", 2, frozenset({"saw"}), absent=0.1), Hands("B", 2, frozenset({"weld"}), absent=0.2)],
    )
    assert len(Ways(skills).groups) == 2
    found = cover_of(skills, 50.0)
    assert found.chance == pytest.approx(0.9**2 * 0.8**2)
    assert found.share == pytest.approx(person_by_person(skills, 50.0)[1])
    assert found.without == pytest.approx((0.8**2, 0.9**2))


def test_one_away_takes_exactly_one():
    skills = Skills.of([Task("fit", 100.0)], [Hands("crew", 4, frozenset({"fit"}))])
    assert one_away(skills, 25.0) == (0.75,)
    assert one_away(skills, 40.0) == (1.0,)


def test_people_of_two_shifts_are_away_one_by_one():
    skills = Skills.of([Task("fit", 50.0)], [Hands("crew", 1, frozenset({"fit"}), there=1.0, absent=0.1, shifts=2)])
    found = cover_of(skills, 50.0)
    assert found.chance == pytest.approx(0.81)
    assert found.share == pytest.approx(0.81 + 0.18 * 0.5)


def test_days_that_are_drawn_come_to_the_same_within_their_luck(monkeypatch):
    found = []
    for seed in range(6):
        skills = made_skills(seed, crews=4)
        exact = cover_of(skills, 70.0)
        with monkeypatch.context() as patch:
            patch.setattr(room, "MOST_WAYS", 1)
            drawn = cover_of(skills, 70.0, seed=7)
            assert drawn == cover_of(skills, 70.0, seed=7)
        assert (exact.days, drawn.days) == (0, 4000)
        found += [(drawn.chance, exact.chance), (drawn.share, exact.share)]
    # Four standard deviations of a share of 4000 days: 0.032 at the worst.
    assert all(abs(one - other) < 4 * (0.25 / 4000) ** 0.5 for one, other in found)


def test_on_days_that_are_drawn_no_lesson_hurts_either():
    skills = made_skills(3)
    before = worth_of(skills, 70.0, drawn=True)
    for crew, task in skills.missing():
        after = worth_of(skills.taught(crew, task, 1), 70.0, drawn=True)
        assert (after.chance, after.share) >= (before.chance, before.share)


def test_a_works_of_eighty_people_is_worked_out_too():
    can = [frozenset({f"t{k}", f"t{(k + 1) % 8}"}) for k in range(8)]
    skills = Skills.of(
        [Task(f"t{k}", 100.0) for k in range(8)], [Hands(f"c{k}", 10, one, absent=0.08) for k, one in enumerate(can)]
    )
    found = cover_of(skills, 11.5)
    assert found.days == 4000
    assert 0.2 < found.chance < 1
    assert found.share > 0.95


def test_a_takt_of_nothing_is_refused():
    with pytest.raises(BadPlanInput, match="a takt of 0"):
        cover_of(made_skills(1), 0.0)
