"""The chooser: beside every set of changes there is."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator

import pytest

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.fit.smallest_changes import Option, smallest_changes

NEEDS = ("floor", "people", "cash")


def made(seed: int) -> tuple[dict[str, float], list[Option]]:
    luck = random.Random(seed)  # noqa: S311 - no secret
    options = []
    for k in range(7):
        gives = {need: luck.choice([0, 0, 1, 2, 3.5, 5, -1]) for need in NEEDS}
        price = luck.choice([None, 0.0, 10.0, 25.5, 70.0, -15.0])
        options.append(
            Option(f"option {k}", gives, price, luck.choice([1, 1, 2]), luck.choice(["", "", "one", "other"]))
        )
    return {need: luck.choice([-3.0, -0.5, 1.0, 4.0, 6.5]) for need in NEEDS}, options


def every_set(short: dict[str, float], options: list[Option]) -> Iterator[tuple[dict[str, int], dict[str, float]]]:
    """All sets that hold the groups and break no need that is met today, with what is left of each need."""
    for times in itertools.product(*(range(option.most + 1) for option in options)):
        groups = [option.group for option, number in zip(options, times, strict=True) if number and option.group]
        if len(groups) != len(set(groups)):
            continue
        left = {
            need: sum(option.gives[need] * number for option, number in zip(options, times, strict=True)) - wanted
            for need, wanted in short.items()
        }
        if all(left[need] >= -1e-9 for need, wanted in short.items() if wanted <= 0):
            yield {option.name: number for option, number in zip(options, times, strict=True) if number}, left


def prices(options: list[Option], times: dict[str, int]) -> tuple[int, float, int, float]:
    by_name = {option.name: option for option in options}
    known = [(by_name[name].price or 0.0) * number for name, number in times.items()]
    unpriced = sum(by_name[name].price is None for name in times)
    return unpriced, round(sum(max(one, 0.0) for one in known), 6), len(times), round(sum(known), 6)


@pytest.mark.parametrize("seed", range(20))
def test_no_other_set_is_cheaper_or_has_fewer_changes_or_comes_nearer(seed):
    short, options = made(seed)
    choice = smallest_changes(short, options)
    sets = list(every_set(short, options))
    fit = [times for times, left in sets if all(value >= -1e-9 for value in left.values())]
    if fit:
        assert choice.nearest is None
        assert prices(options, choice.cheapest.times) == min(prices(options, times) for times in fit)
        few = min((len(times), *prices(options, times)) for times in fit)
        assert (len(choice.fewest.times), *prices(options, choice.fewest.times)) == few
        assert all(left >= -1e-9 for one in (choice.cheapest, choice.fewest) for left in one.left.values())
    else:
        assert choice.cheapest is choice.fewest is None

        def far(left):
            return round(sum(max(-left[need], 0.0) / wanted for need, wanted in short.items() if wanted > 0), 6)

        best = min((far(left), *prices(options, times)) for times, left in sets)
        assert (far(choice.nearest.left), *prices(options, choice.nearest.times)) == best


def test_both_kinds_of_answer_come_up():
    answers = [smallest_changes(*made(seed)).nearest is None for seed in range(20)]
    assert 3 <= sum(answers) <= 17


def test_the_answer_says_its_price_and_what_is_left():
    choice = smallest_changes({"floor": 4.0}, [Option("rent", {"floor": 1.5}, 100.0, most=9)])
    assert choice.cheapest.times == {"rent": 3}
    assert choice.cheapest.price == 300.0
    assert choice.cheapest.left == {"floor": 0.5}
    assert choice.cheapest.proven


def test_what_fits_already_needs_no_change():
    assert smallest_changes({"floor": -2.0}, [Option("save", {"floor": 1.0}, -50.0)]).cheapest.times == {}


def test_a_change_may_use_up_what_another_need_has_to_spare_and_no_more():
    swap = Option("swap", {"floor": 2.0, "cash": -300.0}, 0.0)
    rent = Option("rent", {"floor": 2.0}, 500.0)
    assert smallest_changes({"floor": 2.0, "cash": -300.0}, [swap, rent]).cheapest.times == {"swap": 1}
    assert smallest_changes({"floor": 2.0, "cash": -299.0}, [swap, rent]).cheapest.times == {"rent": 1}


def test_what_has_a_price_goes_before_what_nobody_has_priced():
    options = [Option("ask", {"cash": 10.0}, None), Option("loan", {"cash": 10.0}, 900.0)]
    choice = smallest_changes({"cash": 10.0}, options)
    assert choice.cheapest.times == {"loan": 1}
    assert smallest_changes({"cash": 20.0}, options).cheapest.unpriced == ("ask",)


def test_sums_of_decimal_numbers_are_exact_enough():
    options = [Option(f"tenth {k}", {"floor": 0.1}, 1.0) for k in range(3)]
    assert len(smallest_changes({"floor": 0.3}, options).cheapest.times) == 3


def test_nothing_can_be_done():
    choice = smallest_changes({"floor": 3.0}, [])
    assert choice.nearest.times == {}
    assert choice.nearest.left == {"floor": -3.0}


@pytest.mark.parametrize(
    ("short", "options", "said"),
    [
        ({"floor": 1.0}, [Option("a", {}), Option("a", {})], "'a' is the name of two changes"),
        ({"floor": 1.0}, [Option("a", {"floor": float("inf")})], "gives or costs what is no number"),
        ({"floor": float("nan")}, [], "what is short was read as"),
        ({"floor": 1.0}, [Option("a", {}, most=-1)], "may be made -1 times; allowed: from 0 on"),
    ],
)
def test_what_is_typed_wrong_is_said(short, options, said):
    with pytest.raises(BadPlanInput, match=said):
        smallest_changes(short, options)
