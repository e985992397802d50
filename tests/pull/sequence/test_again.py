"""The rest of a day anew: what is done stays, what is new is spread over what is left, what does not fit is told."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.again import again
from pullwright.pull.sequence.aim import set_ups_in
from pullwright.pull.sequence.rate_variation import even_products
from tests.pull.sequence.every_sequence import each_by_itself, every_sequence, unevenness


def sequence_of(orders: dict[str, int]) -> tuple[str, ...]:
    names = list(orders)
    return tuple(names[i] for i in even_products(list(orders.values())).order)


orders_of_a_day = st.fixed_dictionaries({name: st.integers(0, 9) for name in "abc"}).filter(
    lambda n: sum(n.values()) > 0
)


@settings(max_examples=60, deadline=None)
@given(orders_of_a_day, orders_of_a_day, st.integers(0, 20), st.integers(0, 5))
def test_what_is_done_stays_and_the_rest_makes_what_is_asked_for(
    before: dict[str, int], now: dict[str, int], done: int, frozen: int
) -> None:
    planned = sequence_of(before)
    made = planned[: min(done, len(planned))]

    day = again(planned, made, now, frozen=frozen)

    assert day.sequence[: len(made)] == made
    counts = Counter(day.sequence)
    assert all(counts[name] == max(n, made.count(name)) for name, n in now.items())
    coming = iter(planned[len(made) : len(made) + frozen])
    assert all(product in coming for product in day.frozen)  # in their order
    assert (
        len(day.frozen) == frozen
        or any(now[name] < n for name, n in before.items())
        or frozen > len(planned) - len(made)
    )
    assert not day.left_over


@settings(max_examples=40, deadline=None)
@given(orders_of_a_day, st.integers(0, 20), st.integers(0, 5))
def test_where_nothing_changed_the_day_stays_as_even_as_it_was_planned(
    orders: dict[str, int], done: int, frozen: int
) -> None:
    planned = sequence_of(orders)

    day = again(planned, planned[:done], orders, frozen=frozen)

    whole = [list(orders).index(name) for name in day.sequence]
    as_planned = [list(orders).index(name) for name in planned]
    assert unevenness(whole, each_by_itself(3)) == unevenness(as_planned, each_by_itself(3))


@settings(max_examples=30, deadline=None)
@given(
    st.fixed_dictionaries({name: st.integers(1, 4) for name in "ab"}),
    st.fixed_dictionaries({name: st.integers(0, 4) for name in "ab"}),
    st.lists(st.sampled_from("ab"), max_size=4),
)
def test_the_rest_is_the_most_even_one_given_what_was_really_made(
    before: dict[str, int], now: dict[str, int], done: list[str]
) -> None:
    planned = sequence_of(before)

    day = again(planned, done, now)

    gone = Fraction(min(len(done), len(planned)), len(planned))
    ahead = [done.count(name) - gone * before[name] for name in "ab"]
    counts = [max(now[name] - done.count(name), 0) for name in "ab"]
    rest = ["ab".index(name) for name in day.rest]
    least = min(unevenness(order, each_by_itself(2), ahead) for order in every_sequence(counts))
    assert unevenness(rest, each_by_itself(2), ahead) == least


def test_an_order_that_comes_in_is_spread_over_what_is_left() -> None:
    planned = sequence_of({"a": 8, "b": 4})

    day = again(planned, planned[:6], {"a": 8, "b": 4, "c": 3})

    assert day.told == ("3 more c: 3 in place of 0.",)
    at = [k for k, name in enumerate(day.rest) if name == "c"]
    assert all(later - sooner >= 2 for sooner, later in pairwise(at))


def test_an_order_that_is_withdrawn_goes_out_of_the_frozen_slots_too() -> None:
    planned = ("a", "b", "a", "b", "a", "b")

    day = again(planned, ("a", "b"), {"a": 3, "b": 1}, frozen=2)

    assert day.frozen == ("a",)
    assert day.sequence == ("a", "b", "a", "a")
    assert "1 b of the next pieces goes out: no longer asked for." in day.told
    assert "2 fewer b: 1 in place of 3." in day.told


def test_what_was_made_before_it_was_withdrawn_is_told() -> None:
    day = again(("a", "a", "b"), ("a", "a"), {"a": 1, "b": 1})

    assert "1 a is made already that nobody asks for now." in day.told
    assert day.rest == ("b",)


def test_what_does_not_fit_is_what_came_last() -> None:
    planned = sequence_of({"a": 6, "b": 3})

    day = again(planned, planned[:3], {"a": 6, "b": 3, "c": 4}, room=8)

    assert day.left_over == {"c": 2}
    assert Counter(day.sequence) == {"a": 6, "b": 3, "c": 2}
    assert "2 c no longer fit the day." in day.told


def test_where_not_even_the_plan_fits_it_is_cut_at_its_end() -> None:
    planned = sequence_of({"a": 6, "b": 3})

    day = again(planned, planned[:3], {"a": 6, "b": 3}, room=3)

    assert day.left_over == {"a": 2, "b": 1}
    assert len(day.rest) == 3


def test_set_ups_from_now_on_stay_within_what_is_allowed() -> None:
    planned = sequence_of({"a": 8, "b": 6, "c": 4})

    day = again(planned, planned[:4], {"a": 8, "b": 7, "c": 4}, set_ups=4)

    names = list("abc")
    assert set_ups_in([names.index(name) for name in day.rest], names.index(planned[3])) <= 4
    assert day.set_ups <= 4


def test_where_too_few_set_ups_are_left_it_takes_as_few_as_it_needs_and_says_so() -> None:
    day = again(("a", "b", "c"), ("a",), {"a": 1, "b": 2, "c": 2}, set_ups=1)

    assert day.set_ups == 2
    assert "At most 1 set-up more can be had; what is left needs 2." in day.told


def test_parts_can_be_what_is_even() -> None:
    uses = {"a": (1, 0), "b": (0, 2)}
    planned = ("a", "b", "a", "b")

    day = again(planned, planned[:1], {"a": 2, "b": 3}, uses=uses)

    assert Counter(day.sequence) == {"a": 2, "b": 3}
    assert day.squares == pytest.approx(day.at_least)


def test_frozen_below_nothing_is_refused() -> None:
    with pytest.raises(BadPlanInput, match="allowed: whole numbers from 0 on"):
        again((), (), {"a": 1}, frozen=-1)
