"""The smallest crew at each takt: beside a linear programme without sets of crews, and beside every crew there is."""

from __future__ import annotations

import itertools

import pytest

from pullwright.pull.crew import smallest as smallest_crew
from pullwright.pull.crew.bounds import full_first
from pullwright.pull.crew.skills import Hands, Skills, Task
from pullwright.pull.crew.smallest import crew_at, crew_steps, fewest, quickest, smallest
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from tests.pull.crew.made_skills import crewings, made_skills, takt_by_programme

SEEDS = range(25)


@pytest.mark.parametrize("seed", SEEDS)
def test_sets_of_crews_say_what_the_programme_over_all_shares_says(seed):
    skills = made_skills(seed, tasks=6, crews=4, at_once=True)
    for people in itertools.islice(crewings([2, 2, 1, 2]), seed % 7, None, 7):
        assert full_first(skills, people)[1] == pytest.approx(takt_by_programme(skills, people))


@pytest.mark.parametrize("tried", [0, smallest_crew.MOST_TRIED], ids=["by the programme", "way by way"])
@pytest.mark.parametrize("seed", SEEDS)
def test_no_other_crew_of_as_many_is_quicker(seed, tried, monkeypatch):
    monkeypatch.setattr(smallest_crew, "MOST_TRIED", tried)
    skills = made_skills(seed, at_once=True)
    most = [2, 2, 2]
    for people in range(1, 6):
        best = min((full_first(skills, one)[1] for one in crewings(most) if sum(one) == people), default=float("inf"))
        found = quickest(skills, people, most)
        assert (float("inf") if found is None else found.takt) == pytest.approx(best)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_smaller_crew_keeps_the_takt(seed):
    skills = made_skills(seed, at_once=True)
    most = [2, 3, 2]
    for takt in (40.0, 75.0, 150.0):
        fit = [sum(one) for one in crewings(most) if full_first(skills, one)[1] <= takt * (1 + 1e-9)]
        assert fewest(skills, takt, most) == (min(fit) if fit else None)


def test_people_more_never_make_it_slower_and_rows_are_in_order():
    for seed in range(6):
        rows = crew_steps(made_skills(seed), 60.0, 300.0)
        assert [row.people for row in rows] == sorted({row.people for row in rows})
        assert [row.takt for row in rows] == sorted((row.takt for row in rows), reverse=True)
        for row in rows:
            found = smallest(made_skills(seed), row.takt)
            assert (found.people, found.takt) == (row.people, pytest.approx(row.takt))


def test_the_row_that_holds_at_a_takt():
    skills = Skills.of([Task("all", 600.0)], [Hands("crew", 9, frozenset({"all"}))])
    rows = crew_steps(skills, 100.0, 400.0)
    assert crew_at(rows, 299.0).people == 3
    assert crew_at(rows, 300.0).people == 2
    assert crew_at(rows, 50.0) is None


def test_a_takt_that_is_met_exactly_needs_nobody_more():
    skills = Skills.of([Task(f"{k}", 0.1) for k in range(3)], [Hands("crew", 5, frozenset("012"))])
    assert fewest(skills, 0.3) == 1, "0.1 + 0.1 + 0.1 is a little more than 0.3 for a computer"


def test_large_crews_go_up_by_several_people():
    skills = Skills.of([Task("all", 60_000.0)], [Hands("crew", 900, frozenset({"all"}))])
    rows = crew_steps(skills, 100.0, 400.0)
    assert 25 < len(rows) <= 41
    assert (rows[0].people, rows[-1].people) == (150, 600)


def test_too_few_people_are_told_what_is_short_and_what_they_can_keep():
    skills = Skills.of(
        [Task("saw", 60.0), Task("weld", 300.0)],
        [Hands("A", 2, frozenset({"saw"})), Hands("B", 1, frozenset({"saw", "weld"}))],
    )
    with pytest.raises(NoSuchPlan, match="weld need 3 people and only B can do them, with 1") as refused:
        smallest(skills, 100.0, most=[2, 1])
    assert refused.value.instead == "they can keep 300 s"


def test_what_nobody_can_do_has_no_crew():
    skills = Skills.of([Task("saw", 60.0), Task("weld", 9.0)], [Hands("A", 2, frozenset({"saw"}))])
    with pytest.raises(NoSuchPlan, match="no crew can do weld"):
        smallest(skills, 100.0)
    assert quickest(skills, 5) is None


@pytest.mark.parametrize("takts", [(0.0, 10.0), (20.0, 10.0)])
def test_takts_that_cannot_be_are_refused(takts):
    with pytest.raises(BadPlanInput, match="allowed: two times above 0 s"):
        crew_steps(made_skills(1), *takts)
