"""Floor through time, by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pullwright.account import accounts_of
from pullwright.forecast.money import DayBook, floor_book, floor_forecast
from pullwright.line import Line
from tests.forecast.money.books import accounts, book_of

LINE = """
line: brackets
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: bracket, demand: {mean: 10 /d, cv: 0}, uses: [{part: blank, quantity: 1, at: bend}]}]
parts: [{name: blank, price: 5 EUR, container: {holds: 10, floor: 2 m2, stack: 2}}, {name: old blank, price: 1 EUR, container: {holds: 100, floor: 1 m2}}]
stations: [{name: press, floor: 12 m2}, {name: bench, floor: 3 m2}]
steps: [{name: bend, station: press, manual: 10 min}, {name: file, station: bench, manual: 10 min}]
stores:
  - {part: old blank, counted: 30}
  - {before: file, container: {holds: 4, floor: 1.2 m2}}
  - {after: file, container: {holds: 6, floor: 1 m2, stack: 3}}
floor: {total: 30 m2, ways: 4 m2, places: [{name: board, area: 1 m2}], red_tagged: [{what: jig, area: 0.5 m2}]}
"""


def book_with(part: list[int], before: list[int], finished: list[int], old: int = 30) -> DayBook:
    days = len(part)
    lying = np.array([[0, n, m, n] for n, m in zip(before, finished, strict=True)])
    two = np.zeros((days, 2), np.int64)
    stock = np.array([[n, old] for n in part])
    return replace(
        book_of([0] * days), scrapped=two, used=two, received=two, deliveries=two, part_stock=stock, lying_by_day=lying
    )


def test_whole_containers_stacked_as_high_as_allowed_beside_what_stands_there():
    floor = floor_book(book_with([0, 11, 21, 40], [0, 1, 4, 5], [0, 6, 18, 19]), accounts_of(Line.from_text(LINE)))

    assert floor.fixed == 12 + 3 + 4 + 1 + 0.5
    assert floor.total == 30
    assert floor.places["blank"].tolist() == [[0.0, 2.0, 4.0, 4.0]]
    assert floor.places["before file"][0] == pytest.approx([0.0, 1.2, 1.2, 2.4])
    assert floor.places["after file"].tolist() == [[0.0, 1.0, 1.0, 2.0]]
    assert floor.places["old blank"].tolist() == [[1.0] * 4]
    assert floor.area[0] == pytest.approx([21.5, 25.7, 27.7, 29.9])


def test_what_lies_there_takes_the_floor_of_the_account():
    line = accounts_of(Line.from_text(LINE.replace("{before: file, c", "{before: file, counted: 9, c")))

    floor = floor_book(book_with([0], [9], [0]), line)

    in_account = line.floor.row("stock needed").amount.value + line.floor.row("stock beyond").amount.value
    held = {stock.words: stock.held.value for stock in line.ground.stocks}
    again = floor_book(book_with([int(np.ceil(held["blank"]))], [9], [int(np.ceil(held["after file"]))]), line)
    assert floor.places["before file"][0] == pytest.approx([3 * 1.2])
    assert again.area[0, 0] - again.fixed == pytest.approx(in_account)


def test_peak_its_day_and_the_chance_to_take_more_than_there_is():
    line = accounts_of(Line.from_text(LINE))
    low, high = book_with([0, 20, 0], [0] * 3, [0] * 3), book_with([0, 0, 200], [0] * 3, [0] * 3)

    forecast = floor_forecast(floor_book(DayBook.stacked([low, low, low, high]), line))

    assert forecast.peak.value == pytest.approx((3 * 23.5 + 41.5) / 4)
    assert forecast.peak_day.value == pytest.approx((3 * 1 + 2) / 4)
    assert forecast.over is not None
    assert (forecast.over.found, forecast.over.of) == (1, 4)
    assert forecast.enough.value == 41.5
    assert not forecast.enough.promised
    assert forecast.area.values[1].tolist() == [21.5, 23.5, 21.5]


def test_floor_that_is_just_full_is_not_too_small():
    line = accounts_of(Line.from_text(LINE.replace("total: 30 m2", "total: 21.5 m2")))

    forecast = floor_forecast(floor_book(book_with([0], [0], [0]), line))

    assert forecast.over is not None
    assert forecast.over.found == 0


def test_without_the_floor_that_there_is_nothing_is_said_of_too_much():
    forecast = floor_forecast(floor_book(book_of([0, 0]), accounts("cash: 0 EUR")))

    assert forecast.over is None
    assert forecast.notes == (
        "The floor that there is is not given (`floor: total`): whether it is enough cannot be said.",
    )


def test_what_lies_in_no_container_is_named():
    forecast = floor_forecast(floor_book(book_of([0, 0], part_stock=[5, 0]), accounts("cash: 0 EUR")))

    assert forecast.notes[-1] == "In what containers it lies is not given of blank: it takes no floor here."


def test_where_several_steps_finish_the_store_is_parted_as_they_ship():
    text = """
line: two
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: P, demand: 30 /d}, {name: Q, demand: 10 /d}]
stations: [{name: a}]
steps: [{name: one, station: a, machine: 60 s, for: [P]}, {name: two, station: a, machine: 60 s, for: [Q], after: []}]
stores: [{after: one, container: {holds: 1, floor: 1 m2}}, {after: two, container: {holds: 1, floor: 2 m2}}]
"""
    none = np.zeros((1, 0), np.int64)
    two = np.zeros((1, 2), np.int64)
    book = DayBook(two, two, two, two, none, none, none, none, np.array([[0, 0, 8, 0]]))

    floor = floor_book(book, accounts_of(Line.from_text(text)))

    assert floor.places["after one"].tolist() == [[6.0]]
    assert floor.places["after two"].tolist() == [[4.0]]
