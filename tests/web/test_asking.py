"""A page that asks anew no longer waits for its older question; other pages are not disturbed."""

from __future__ import annotations

from pullwright.web.asking import MOST_PAGES, Asking


def test_a_newer_question_overtakes_older_ones_of_the_same_page_alone():
    asking = Asking()
    mine, theirs = asking.asks("mine"), asking.asks("theirs")
    assert not mine()
    again = asking.asks("mine")
    assert mine()
    assert not again()
    assert not theirs()


def test_no_more_pages_are_remembered_than_there_is_room_for():
    asking = Asking()
    first = asking.asks("first")
    for number in range(MOST_PAGES):
        asking.asks(str(number))
    assert not first()
    assert len(asking._last) == MOST_PAGES
