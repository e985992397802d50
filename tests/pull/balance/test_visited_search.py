"""The search post by post: from either end it finds as few posts as there are, whether it may keep on or has to stop again and again."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance import visited_search
from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.bounds import sharpest
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.visited_search import VisitedSearch
from pullwright.pull.balance.work import Element, Work
from tests.pull.balance.by_subsets import fewest_by_subsets, works


@settings(max_examples=60)
@given(works(), st.integers(0, 15), st.booleans(), st.booleans(), st.sampled_from([1, 50, 10**6]))
def test_the_search_finds_as_few_as_there_are_and_proves_it(
    work: Work, more: int, turned: bool, functions: bool, slice_: int
) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more
    plain = Plain.of(work, takt)
    plain = plain.turned if turned else plain
    search = VisitedSearch(plain, len(work.elements) + 1, 0, sharpest(plain) if functions else ())

    while not search.over:
        search.go_on(slice_)

    posts = search.found()
    assert search.exhausted
    assert posts is not None
    balance = checked(Balance(work, takt, plain.names(posts), search.target + 1))
    assert len(balance.posts) == fewest_by_subsets(work, takt)


def many(n: int, seed: int = 5) -> Work:
    return Work.of(
        Element(f"e{i}", float(20 + (i * i * 7 + seed) % 37), (f"e{i - 3}",) if i % 4 == 3 else ()) for i in range(n)
    )


def test_loads_that_were_left_aside_are_looked_at_before_it_says_that_nothing_is_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    work = many(13)
    plain = Plain.of(work, 100.0)
    fewest = fewest_by_subsets(work, 100.0)
    monkeypatch.setattr(visited_search, "FIRST_LOADS", 1)
    search = VisitedSearch(plain, fewest - 1, 0)

    search.go_on(10**9)

    assert search.exhausted
    assert search.found() is None


def test_the_arrays_grow_and_nothing_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    plain = Plain.of(many(24), 90.0)
    roomy = VisitedSearch(plain, 24, 0)
    roomy.go_on(2_000_000)
    monkeypatch.setattr(visited_search, "FIRST_ROOM", 128)
    narrow = VisitedSearch(plain, 24, 0)

    narrow.go_on(2_000_000)

    assert narrow.kept > 128
    assert (narrow.found(), narrow.expanded, narrow.kept) == (roomy.found(), roomy.expanded, roomy.kept)


def test_it_stops_where_there_is_no_room_for_more(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(visited_search, "FIRST_ROOM", 128)
    search = VisitedSearch(Plain.of(many(40), 90.0), 40, 0, most_nodes=300)

    search.go_on(10**8)

    assert search.full
    assert not search.exhausted


def test_sets_of_more_than_64_elements_are_searched() -> None:
    work = many(150)
    plain = Plain.of(work, 200.0)
    search = VisitedSearch(plain, 150, -(-plain.total // plain.takt), sharpest(plain))

    search.go_on(3_000_000)

    posts = search.found()
    assert posts is not None
    checked(Balance(work, 200.0, plain.names(posts), -(-plain.total // plain.takt)))
