"""Every part every interval: the day closes, and what gives does give."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.lots.interval import every_part_every_interval, production_time, what_gives

DAY = 28_800.0
PRODUCTS = st.lists(
    st.tuples(st.floats(0.5, 300.0), st.floats(5.0, 300.0), st.floats(1.0, 3600.0)), min_size=1, max_size=6
)
Products = list[tuple[float, float, float]]


def unpacked(products: Products) -> tuple[list[float], list[float], list[float]]:
    demands, times, set_ups = (list(column) for column in zip(*products, strict=True))
    return demands, times, set_ups


@settings(max_examples=40)
@given(PRODUCTS, st.floats(0.01, 1.0))
def test_production_set_ups_and_what_is_idle_are_the_day(products: Products, share: float) -> None:
    demands, times, set_ups = unpacked(products)
    assume(production_time(demands, times) < 0.99 * DAY)

    found = every_part_every_interval(demands, times, set_ups, DAY, share=share)

    assert found.production + found.set_ups + found.idle == pytest.approx(DAY)
    assert found.set_ups <= share * DAY * (1 + 1e-9)
    assert found.idle >= -1e-6
    assert sum(set_ups) / found.interval == pytest.approx(found.set_ups)  # one set-up for every lot
    assert [lot / found.interval for lot in found.lots] == pytest.approx(demands)


@settings(max_examples=40)
@given(PRODUCTS, st.floats(0.05, 1.0))
def test_shorter_set_ups_bring_every_product_round_sooner_in_proportion(products: Products, factor: float) -> None:
    demands, times, set_ups = unpacked(products)
    assume(production_time(demands, times) < 0.99 * DAY)

    whole = every_part_every_interval(demands, times, set_ups, DAY)
    shorter = every_part_every_interval(demands, times, [one * factor for one in set_ups], DAY)

    assert shorter.interval == pytest.approx(whole.interval * factor)


@settings(max_examples=40)
@given(PRODUCTS, st.floats(1.01, 5.0))
def test_what_gives_gives(products: Products, sooner: float) -> None:
    """Each measure by itself makes the wished interval possible, and just so."""
    demands, times, set_ups = unpacked(products)
    production = production_time(demands, times)
    assume(0.01 * DAY < production < 0.99 * DAY)
    wished = every_part_every_interval(demands, times, set_ups, DAY).interval / sooner
    assume(wished > 1e-6)

    with pytest.raises(NoSuchPlan) as refused:
        every_part_every_interval(demands, times, set_ups, DAY, longest=wished)
    gives = what_gives(production, sum(set_ups), DAY, wished)

    assert "would do" in refused.value.instead
    assert len(refused.value.binding) == 2
    longer = DAY + gives.overtime
    assert every_part_every_interval(demands, times, set_ups, longer).interval == pytest.approx(wished)
    assert gives.set_ups is not None
    shorter = [one * gives.set_ups for one in set_ups]
    assert every_part_every_interval(demands, times, shorter, DAY).interval == pytest.approx(wished)
    if gives.demand is not None:
        fewer = [one * gives.demand for one in demands]
        assert every_part_every_interval(fewer, times, set_ups, DAY).interval == pytest.approx(wished)


def test_a_machine_that_production_fills_has_no_plan_and_says_what_gives() -> None:
    with pytest.raises(NoSuchPlan, match="no time is left for set-ups: production takes 30000 s") as refused:
        every_part_every_interval([500.0], [60.0], [600.0], DAY)

    assert refused.value.instead.startswith("one of these would do: 1800 s more a day")


def test_no_share_for_set_ups_is_said_as_that() -> None:
    with pytest.raises(NoSuchPlan, match="they may take none of it"):
        every_part_every_interval([100.0], [60.0], [600.0], DAY, share=0.0)


def test_nobody_pulls_nothing_is_set_up() -> None:
    found = every_part_every_interval([0.0, 100.0], [60.0, 60.0], [600.0, 600.0], DAY)

    assert found.lots[0] == 0
    assert found.interval == pytest.approx(600.0 / (DAY - 6000.0))


def test_set_ups_without_time_come_all_the_time() -> None:
    assert every_part_every_interval([100.0], [60.0], [0.0], DAY).interval == 0


@pytest.mark.parametrize(
    ("given_", "said"),
    [
        ({"demands": [1.0], "times": [1.0, 2.0], "set_ups": [1.0]}, "one of each per product"),
        ({"demands": [-1.0], "times": [1.0], "set_ups": [1.0]}, "a demand of -1.0"),
        ({"demands": [1.0], "times": [1.0], "set_ups": [float("inf")]}, "a set-up of inf"),
        ({"demands": [1.0], "times": [1.0], "set_ups": [1.0], "share": 1.2}, "a share of 1.2"),
        ({"demands": [1.0], "times": [1.0], "set_ups": [1.0], "longest": 0.0}, "an interval of 0.0"),
    ],
)
def test_numbers_that_cannot_be_are_refused(given_: dict[str, object], said: str) -> None:
    with pytest.raises(BadPlanInput, match=said):
        every_part_every_interval(available=DAY, **given_)  # type: ignore[arg-type]
