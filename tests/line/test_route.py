"""The way through: what each step takes, for every product, and how sub-flows join."""

from __future__ import annotations

from typing import Any

from hypothesis import given

from pullwright.line import Line
from pullwright.line.edit import set_field
from pullwright.line.route import Chain
from tests.line_base import BASE
from tests.strategies import lines


def line_of(*steps: dict[str, Any], products: str = "20 /d", more: tuple[str, str] | None = None) -> Line:
    text = set_field(BASE, ("steps",), [{"station": "bench", "manual": "5 s", **step} for step in steps])
    names = [{"name": "red", "demand": products}, *([{"name": more[0], "demand": more[1]}] if more else [])]
    return Line.from_text(set_field(text, ("products",), names))


def test_without_a_word_every_step_takes_from_the_one_above() -> None:
    route = line_of({"name": "a"}, {"name": "b"}, {"name": "c"}).route
    assert [[taking.step for taking in takes] for takes in route.takes] == [[], [0], [1]]
    assert (route.order, route.last_for("red"), route.chains) == ((0, 1, 2), 2, (Chain((0, 1, 2)),))


def test_a_sub_flow_joins_where_two_are_named() -> None:
    route = line_of(
        {"name": "a"}, {"name": "side", "after": []}, {"name": "join", "after": ["a", {"step": "side", "quantity": 2}]}
    ).route
    assert route.chains == (Chain((0, 2)), Chain((1,), joins=2))
    quantity = route.takes[2][1].quantity
    assert quantity is not None
    assert quantity.value == 2


def test_the_order_of_the_way_is_not_the_order_of_the_file() -> None:
    route = line_of({"name": "last", "after": ["first"]}, {"name": "first", "after": []}).route
    assert route.order == (1, 0)


def test_a_product_passes_through_a_step_that_it_skips() -> None:
    route = line_of({"name": "a"}, {"name": "b", "for": ["blue"]}, {"name": "c"}, more=("blue", "5 /d")).route
    assert [taking.step for taking in route.takes_for("red")[2]] == [0]
    assert [taking.step for taking in route.takes_for("blue")[2]] == [1]
    assert (route.visits("red"), route.products_of(1), route.alike()) == ({0, 2}, ("blue",), (("red",), ("blue",)))


def test_products_with_the_same_way_are_alike() -> None:
    assert line_of({"name": "a"}, more=("blue", "5 /d")).route.alike() == (("red", "blue"),)


def test_the_main_flow_is_that_of_the_product_pulled_most_whatever_the_unit() -> None:
    steps = (
        {"name": "cut"},
        {"name": "red end", "for": ["red"]},
        {"name": "blue end", "for": ["blue"], "after": ["cut"]},
    )
    few = line_of(*steps, products="50 /week", more=("blue", "20 /d"))
    many = line_of(*steps, products="50 /d", more=("blue", "200 /week"))
    assert few.route.chains[0].steps == (0, 2)
    assert many.route.chains[0].steps == (0, 1)
    assert many.route.chains[1] == Chain((2,), leaves=0)


def test_what_comes_before_what() -> None:
    route = line_of(
        {"name": "a"}, {"name": "side", "after": []}, {"name": "join", "after": ["a", "side"]}, {"name": "z"}
    ).route
    assert [route.comes_before(i, 3) for i in range(4)] == [True] * 4
    assert not route.comes_before(0, 1)
    assert not route.comes_before(3, 0)
    assert route.comes_before(2, 2)


@given(lines())
def test_every_product_takes_only_from_steps_that_it_goes_through(line: Line) -> None:
    route = line.route
    place = {step: k for k, step in enumerate(route.order)}
    for product in line.products:
        visited = route.visits(product.name)
        taken = []
        for step, takes in enumerate(route.takes_for(product.name)):
            assert not takes or step in visited
            assert all(taking.step in visited and place[taking.step] < place[step] for taking in takes)
            assert all(route.comes_before(taking.step, step) for taking in takes)
            taken += [taking.step for taking in takes]
        assert len(taken) == len(set(taken))
        assert visited - set(taken) == {route.last_for(product.name)}


@given(lines())
def test_every_step_is_in_one_chain(line: Line) -> None:
    placed = [step for chain in line.route.chains for step in chain.steps]
    assert sorted(placed) == list(range(len(line.steps)))
