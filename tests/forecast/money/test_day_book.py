"""The book of the days: what fits together, and several runs in one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pullwright.forecast.money import DayBook
from tests.forecast.money.books import book_of


def test_books_of_several_runs_stand_in_one():
    both = DayBook.stacked([book_of([1, 2]), book_of([3, 4])])

    assert (both.runs, both.days) == (2, 2)
    assert both.shipped[:, :, 0].tolist() == [[1, 2], [3, 4]]
    assert DayBook.stacked([both, book_of([5, 6])]).runs == 3


def test_one_run_is_a_stack_of_one():
    book = book_of([1, 2, 3])

    assert book.runs == 1
    assert book.by_run().shipped.shape == (1, 3, 1)
    assert book.by_run().by_run().runs == 1


def test_what_comes_on_a_day_may_come_in_one_delivery():
    book = book_of([0, 0, 0], received=[40, 0, 7], lot=1)

    assert book.deliveries[:, 0].tolist() == [40, 0, 7]
    assert book.one_delivery_a_day(np.array([True])).deliveries[:, 0].tolist() == [1, 0, 1]
    assert book.one_delivery_a_day(np.array([False])).deliveries[:, 0].tolist() == [40, 0, 7]


def test_a_line_without_bought_parts_has_a_book_too():
    book = book_of([1, 2])
    none = np.zeros((2, 0), np.int64)

    assert replace(book, used=none, received=none, deliveries=none, part_stock=none).days == 2


@pytest.mark.parametrize(
    ("name", "shape"),
    [("shipped", (3, 1)), ("shipped", (2, 2)), ("used", (2, 2)), ("lying_by_day", (2, 4)), ("ordered", (1, 2, 1))],
)
def test_arrays_that_do_not_fit_are_refused(name: str, shape: tuple[int, ...]):
    with pytest.raises(ValueError, match="all have the same runs and days"):
        replace(book_of([1, 2]), **{name: np.zeros(shape, np.int64)})


def test_no_days_and_no_books_are_refused():
    with pytest.raises(ValueError, match="one or more"):
        book_of([])
    with pytest.raises(ValueError, match="give those of one run or more"):
        DayBook.stacked([])
