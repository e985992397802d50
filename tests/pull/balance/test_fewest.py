"""The fewest posts for a takt: as few as going through all subsets says, with the reason why not one fewer."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.fewest import fewest_posts
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.rules import best_by_rules
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from tests.pull.balance.by_subsets import fewest_by_subsets, works

TIMES = (49, 53, 24, 26, 38, 42, 50, 34, 21, 28, 38, 35, 56, 37, 45, 44, 23, 49)
"""They fit together in few ways: rules need 8 posts of 100 s, and 7 are enough."""


def hard() -> Work:
    return Work.of(Element(f"e{i}", float(t), (f"e{i // 2}",) if i % 3 == 1 else ()) for i, t in enumerate(TIMES))


@settings(max_examples=50)
@given(works(), st.integers(0, 20))
def test_as_few_as_going_through_all_subsets_says(work: Work, more: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more

    balance = checked(fewest_posts(work, takt))

    assert len(balance.posts) == balance.at_least == fewest_by_subsets(work, takt)
    assert balance.proven
    assert balance.reasons


@settings(max_examples=20)
@given(works(most=14), st.integers(0, 9), st.integers(1, 9))
def test_a_longer_takt_never_needs_more_posts_and_no_rule_has_fewer(work: Work, more: int, longer: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more

    few = fewest_posts(work, takt)

    assert len(fewest_posts(work, takt + longer).posts) <= len(few.posts)
    assert len(few.posts) <= len(best_by_rules(Plain.of(work, takt), 0)[0])


@settings(max_examples=20)
@given(works(most=12), st.integers(0, 9))
def test_turned_round_the_work_needs_as_many_posts(work: Work, more: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more
    after = {name: tuple(work.names[j] for i, j in work.arcs if work.names[i] == name) for name in work.names}
    turned = Work.of(Element(one.name, one.time, after[one.name]) for one in reversed(work.elements))

    assert len(fewest_posts(turned, takt).posts) == len(fewest_posts(work, takt).posts)


@settings(max_examples=15)
@given(works(most=10), st.integers(0, 9), st.sampled_from([0.1, 0.25, 60.0]))
def test_the_unit_of_time_does_not_matter(work: Work, more: int, scale: float) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more
    scaled = Work.of(Element(one.name, one.time * scale, one.after) for one in work.elements)

    assert len(fewest_posts(scaled, takt * scale).posts) == len(fewest_posts(work, takt).posts)


def test_why_not_one_fewer_says_how_much_work_there_is() -> None:
    work = Work.of(Element(f"e{i}", 68.7) for i in range(6))

    assert (
        fewest_posts(work, 140.0).reasons[0]
        == "2 posts are too few: the work of one piece is 412.2 s, and 2 posts of 140 s have 280 s."
    )


def test_why_not_one_fewer_names_the_elements_of_which_no_two_share_a_post() -> None:
    work = Work.of([*(Element(f"weld {i}", 31.0) for i in range(5)), Element("wipe", 2.0)])

    balance = fewest_posts(work, 60.0)

    assert len(balance.posts) == 5
    assert balance.reasons[0] == (
        "4 posts are too few: weld 0, weld 1, weld 2, weld 3 and weld 4 (5 elements) take more than half of the takt each, so no two of them share a post."
    )


def test_why_not_one_fewer_names_what_comes_after_an_element() -> None:
    """Four long elements one after the other, and a short one that has no room beside the two in the middle: sizes alone ask for 4 posts."""
    work = Work.of(
        [
            Element("base", 10.0),
            Element("left", 9.0, ("base",)),
            Element("right", 9.0, ("left",)),
            Element("wipe", 2.0, ("base",)),
            Element("lid", 10.0, ("right", "wipe")),
        ]
    )

    balance = fewest_posts(work, 10.0)

    assert len(balance.posts) == 5
    assert balance.reasons == (
        "4 posts are too few: base comes before left, right, wipe and lid, which need 4 posts behind its own, so 5 posts in all.",
    )


def test_why_not_one_fewer_names_the_posts_that_are_too_few_for_what_must_be_there() -> None:
    work = Work.of(
        [
            Element("a", 4.0),
            Element("b", 8.0, ("a",)),
            Element("c", 10.0),
            Element("d", 10.0, ("a", "c")),
            Element("e", 10.0, ("a", "b")),
            Element("f", 6.0, ("a", "d", "e")),
        ]
    )

    balance = fewest_posts(work, 10.0)

    assert len(balance.posts) == 6
    assert balance.reasons == (
        "5 posts are too few: with 5 posts, what comes before and after leaves only the posts 1 to 4 to a, b, c, d and e: 42 s of work, short by 2 s.",
    )


def test_an_element_longer_than_the_takt_is_named_with_what_would_work() -> None:
    work = Work.of([Element("paint", 130.0), Element("dry", 75.5), Element("pack", 20.0)])

    with pytest.raises(NoSuchPlan, match=r"paint takes 130 s, and the takt is 60 s; dry takes 75\.5 s") as said:
        fewest_posts(work, 60.0)

    assert said.value.binding == ("paint takes 130 s, and the takt is 60 s", "dry takes 75.5 s, and the takt is 60 s")
    assert said.value.instead.startswith("a takt of 130 s works; or 3 people side by side")


@pytest.mark.parametrize("takt", [0.0, -1.0, float("nan"), float("inf")])
def test_a_takt_that_is_none_is_refused(takt: float) -> None:
    with pytest.raises(BadPlanInput, match="allowed: a time above 0 s"):
        fewest_posts(Work.of([Element("cut", 1.0)]), takt)


def test_no_work_needs_no_post_and_work_without_time_needs_one() -> None:
    assert fewest_posts(Work.of([]), 10.0).posts == ()
    assert fewest_posts(Work.of([Element("look", 0.0), Element("nod", 0.0, ("look",))]), 10.0).posts == (
        ("look", "nod"),
    )


def test_the_first_answer_comes_before_the_search_and_no_answer_is_worse() -> None:
    work = hard()
    told: list[Balance] = []

    last = fewest_posts(work, 100.0, first_answer=told.append)

    posts = [len(balance.posts) for balance in [*told, last]]
    assert told
    assert not told[0].proven
    assert "simple rules" in told[0].reasons[0]
    assert posts == sorted(posts, reverse=True)
    assert last.proven


def test_without_time_the_answer_is_that_of_the_rules_with_the_gap_in_words() -> None:
    balance = fewest_posts(hard(), 100.0, seconds=0.0)

    assert not balance.proven
    assert balance.reasons[0].startswith("It is not proven that")
    assert f"the gap is {len(balance.posts) - balance.at_least} of {len(balance.posts)} posts" in balance.reasons[0]
