"""What a forecast says in words: which way is better, what is out of place, and a sentence of all that."""

from __future__ import annotations

import pytest

from pullwright.forecast.compared import compared
from pullwright.forecast.forecast import quick_forecast_of
from pullwright.forecast.said import (
    GROWS,
    NOT_KEPT,
    better_of,
    in_short,
    out_of_place,
    sentence_of,
    sentence_of_option,
    verdict,
)
from pullwright.line import Line
from tests.forecast.small_lines import line_text, machine

PROMISED = line_text([machine("60 s"), machine("600 s")], demand="{mean: 30 /d, cv: 0.5}, promise: 1 d, on_time: 90 %")


@pytest.fixture(scope="module")
def today():
    return quick_forecast_of(Line.from_text(PROMISED), days=20, runs=12)


@pytest.fixture(scope="module")
def flooded():
    """Twice as much is ordered as can be made."""
    return quick_forecast_of(Line.from_text(PROMISED.replace("mean: 30 /d", "mean: 96 /d")), days=30, runs=6)


def test_a_sentence_says_what_ships_how_long_a_unit_takes_and_what_is_kept(today):
    said = sentence_of(today)
    assert said.startswith(today.sentence())
    assert "A unit takes" in said
    assert "% of its promises" in in_short(today)
    assert "grow" not in said


def test_what_grows_without_end_is_out_of_place_and_in_the_sentence(flooded):
    assert out_of_place(flooded)["orders waiting"] == GROWS
    assert flooded.growing[0].sentence in sentence_of(flooded)


def test_a_promise_that_is_kept_less_often_than_wished_is_out_of_place(flooded):
    assert out_of_place(flooded)["on time"] == NOT_KEPT
    assert "90 % are wished" in sentence_of(flooded)


def test_nothing_is_out_of_place_where_promises_are_kept(today):
    assert not out_of_place(today)


def test_a_faster_machine_is_better_where_less_is_better_and_the_same_where_nothing_differs(today):
    option = quick_forecast_of(Line.from_text(PROMISED.replace("600 s", "300 s")), like=today)
    found = compared(today, option)
    assert verdict(found["lead time"]) == "better"
    assert verdict(found["made / t0"]) in ("the same", "cannot be told apart", "more", "less")
    said = sentence_of_option(found, "a faster drill")
    assert said.startswith("With a faster drill the line ships")
    assert "better" in said


def test_an_option_like_today_is_the_same(today):
    option = quick_forecast_of(Line.from_text(PROMISED), like=today)
    assert {verdict(one) for one in compared(today, option).differences.values()} == {"the same"}


def test_products_and_percentiles_are_judged_as_the_whole_is():
    assert [
        better_of(name)
        for name in ("on time / P", "lead time, 50 % / P", "finished stock, peak", "stock before saw", "throughput")
    ] == [1, -1, 0, -1, 1]
