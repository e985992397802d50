"""The general solver beside the search: the same question, the same answer."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.solver import solve
from pullwright.pull.balance.work import Work
from tests.pull.balance.by_subsets import fewest_by_subsets, works


@settings(max_examples=12)
@given(works(most=7), st.integers(0, 9))
def test_the_solver_says_the_same_as_going_through_all_subsets(work: Work, more: int) -> None:
    takt = max(1.0, *(element.time for element in work.elements)) + more
    plain = Plain.of(work, takt)
    fewest = fewest_by_subsets(work, takt)

    found = solve(plain, fewest, 20.0, workers=1)

    assert found.posts is not None
    checked(Balance(work, takt, plain.names(found.posts), fewest))
    if fewest > 1:
        assert solve(plain, fewest - 1, 20.0, workers=1).impossible
