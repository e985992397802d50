"""The one check that every balance passes: each kind of fault is named."""

from __future__ import annotations

import pytest

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked import WrongBalance, checked
from pullwright.pull.balance.work import Element, Work

WORK = Work.of([Element("cut", 0.1), Element("drill", 0.2, ("cut",)), Element("pack", 0.3, ("drill",))])


def test_a_balance_comes_back_as_it_was() -> None:
    balance = Balance(WORK, 0.3, (("cut", "drill"), ("pack",)), 2)

    assert checked(balance) is balance


@pytest.mark.parametrize(
    ("posts", "takt", "at_least", "said"),
    [
        ((("cut", "drill"),), 0.3, 1, "element 'pack' stands 0 times"),
        ((("cut", "drill"), ("pack", "cut")), 0.5, 1, "element 'cut' stands 2 times"),
        ((("cut", "drill"), ("pack", "saw")), 0.5, 1, "there is no element 'saw'"),
        ((("drill",), ("cut", "pack")), 0.5, 1, "'drill' is done before 'cut'"),
        ((("drill", "cut"), ("pack",)), 0.5, 1, "'drill' is done before 'cut'"),
        ((("cut",), ("drill", "pack")), 0.4, 1, "post 2 has 0.5 s of work in a takt of 0.4 s"),
        ((("cut", "drill"), (), ("pack",)), 0.3, 1, "post 2 has nothing to do"),
        ((("cut", "drill"), ("pack",)), 0.3, 3, "3 posts are said to be needed at least, and here are 2"),
    ],
)
def test_what_is_wrong_is_named(posts: tuple[tuple[str, ...], ...], takt: float, at_least: int, said: str) -> None:
    with pytest.raises(WrongBalance, match=said):
        checked(Balance(WORK, takt, posts, at_least))
