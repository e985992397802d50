"""Windows and bounds: no balance that exists is ever ruled out."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.bounds import best_bound, fullest, sharpest
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.windows import tails_of, windows_of
from pullwright.pull.balance.work import Element, Work
from tests.pull.balance.by_subsets import fewest_by_subsets, works


def every_balance(plain: Plain, posts: int) -> list[list[int]]:
    """All ways to share the elements among so many posts, as the post of each element."""
    ways: list[list[int]] = [[]]
    for i in range(len(plain)):
        ways = [
            [*way, p]
            for way in ways
            for p in range(max((way[j] for j in range(i) if plain.before[i] >> j & 1), default=0), posts)
            if sum(plain.times[j] for j in range(i) if way[j] == p) + plain.times[i] <= plain.takt
        ]
    return ways


@settings(max_examples=30)
@given(works(most=6), st.integers(0, 12), st.integers(0, 1))
def test_every_balance_keeps_the_windows_and_tails(work: Work, more: int, spare: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more
    plain = Plain.of(work, takt)
    posts = fewest_by_subsets(work, takt) + spare

    windows = windows_of(plain, posts, sharpest(plain))
    _, after = tails_of(plain, sharpest(plain))

    assert windows.clash is None
    for way in every_balance(plain, posts):
        assert all(first <= p <= last for first, p, last in zip(windows.first, way, windows.last, strict=True))
        assert all(p + later < posts for p, later in zip(way, after, strict=True))


@settings(max_examples=60)
@given(works(), st.integers(0, 12))
def test_no_bound_asks_for_more_posts_than_are_needed(work: Work, more: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more
    real = Plain.of(work, takt)

    bound = best_bound(real.at(fullest(real)), real)

    assert 1 <= bound.posts <= fewest_by_subsets(work, takt)


def test_a_post_can_only_be_as_full_as_elements_add_up() -> None:
    real = Plain.of(Work.of([Element("a", 4.0), Element("b", 6.0), Element("c", 6.0), Element("d", 3.0)]), 11.0)

    assert fullest(real) * real.unit == 10.0


def test_elements_that_fill_their_posts_push_others_out() -> None:
    """Two long elements must follow each other between a first and a last one: the short one has no room beside them."""
    work = Work.of(
        [Element("a", 10.0), Element("b", 9.0, ("a",)), Element("c", 9.0, ("b",)), Element("d", 10.0, ("c",)), Element("e", 2.0, ("a",))]
    )  # fmt: skip
    plain = Plain.of(work, 10.0)

    windows = windows_of(plain, 5, sharpest(plain))
    short = plain.place_number[work.index["e"]]

    assert windows.clash is None
    assert windows.first[short] == 1
    assert windows_of(plain, 4, sharpest(plain)).clash is not None
