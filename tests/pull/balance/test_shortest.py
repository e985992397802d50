"""The shortest takt for a number of posts, the most even balance, the best efficiency: beside going through all subsets."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.efficiency import best_efficiency
from pullwright.pull.balance.fewest import fewest_posts
from pullwright.pull.balance.most_even import most_even
from pullwright.pull.balance.shortest import shortest_takt
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from tests.pull.balance.by_subsets import shortest_by_subsets, works


@settings(max_examples=30)
@given(works(), st.integers(1, 6))
def test_as_short_as_going_through_all_subsets_says(work: Work, posts: int) -> None:
    balance = shortest_takt(work, posts)

    assert balance.takt == shortest_by_subsets(work, posts) or work.total == 0
    assert balance.takt_proven
    assert len(balance.posts) <= posts
    assert balance.reasons[0].startswith("Less than")


@settings(max_examples=12)
@given(works(), st.integers(1, 5))
def test_more_posts_never_need_a_longer_takt(work: Work, posts: int) -> None:
    assert shortest_takt(work, posts + 1).takt <= shortest_takt(work, posts).takt


@settings(max_examples=25)
@given(works(), st.integers(0, 12))
def test_the_most_even_balance_has_the_fewest_posts_and_the_shortest_longest_round(work: Work, more: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more

    even, few = most_even(work, takt), fewest_posts(work, takt)

    assert len(even.posts) == len(few.posts)
    assert even.longest == min(takt, shortest_by_subsets(work, len(few.posts))) or work.total == 0
    assert even.takt_proven
    assert sum(load**2 for load in even.loads) <= len(few.posts) * even.longest**2 + 1e-9


def test_rounds_below_the_longest_are_evened_out_too() -> None:
    """The longest element binds the longest round; what the others have to do can still be shared evenly."""
    work = Work.of([Element("long", 60.0), *(Element(f"short {i}", 10.0) for i in range(8))])

    assert sorted(most_even(work, 60.0).loads) == [40.0, 40.0, 60.0]


@settings(max_examples=15)
@given(works(most=7), st.integers(1, 4), st.integers(0, 3))
def test_no_number_of_posts_within_the_limits_is_more_efficient(work: Work, fewest: int, more: int) -> None:
    if not work.total:
        return
    best = best_efficiency(work, (fewest, fewest + more))

    least = min(posts * shortest_by_subsets(work, posts) for posts in range(fewest, fewest + more + 1))

    assert best.proven
    assert len(best.balance.posts) * best.balance.takt <= least + 1e-6
    assert best.balance.efficiency == pytest.approx(best.at_most)


def test_limits_of_the_takt_are_kept() -> None:
    work = Work.of([Element(f"e{i}", 10.0) for i in range(7)])

    best = best_efficiency(work, (1, 7), (15.0, 25.0))

    assert (len(best.balance.posts), best.balance.takt) == (4, 20.0)
    assert best.proven


def test_limits_that_leave_nothing_say_what_would_work() -> None:
    work = Work.of([Element(f"e{i}", 10.0) for i in range(7)])

    with pytest.raises(NoSuchPlan, match="2 posts need a takt of 40 s at least"):
        best_efficiency(work, (1, 2), (10.0, 30.0))


def test_what_is_typed_wrong_is_refused() -> None:
    work = Work.of([Element("a", 1.0)])

    with pytest.raises(BadPlanInput, match="0 posts; allowed: from 1 on"):
        shortest_takt(work, 0)
    with pytest.raises(BadPlanInput, match="the lower one first"):
        best_efficiency(work, (3, 2))


def test_without_time_the_gap_is_told() -> None:
    work = Work.of(
        Element(f"e{i}", float(20 + (i * i * 7) % 37), (f"e{i - 3}",) if i % 4 == 3 else ()) for i in range(40)
    )

    balance = shortest_takt(work, 9, seconds=0.0)

    assert balance.takt_at_least is not None
    assert balance.takt_at_least <= balance.takt
    assert balance.takt_proven or "the gap is" in balance.reasons[0]
