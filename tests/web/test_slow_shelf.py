"""What takes long is worked out once, beside the pages, and whoever asks is told how far it is."""

from __future__ import annotations

import threading

import pytest

from pullwright.web.slow_shelf import SlowShelf, UnderWay


def test_whoever_asks_too_early_hears_that_it_goes_on_and_gets_it_later() -> None:
    shelf, go = SlowShelf(patience=0.02), threading.Event()

    first = shelf.ask("log", lambda: go.wait(10) and "story")
    go.set()
    second = shelf.ask("log", lambda: "made twice", patience=10)

    assert isinstance(first, UnderWay)
    assert second == "story"


def test_an_error_is_told_and_the_next_one_who_asks_begins_anew() -> None:
    shelf = SlowShelf(patience=10)

    def fails() -> str:
        raise ValueError("row 7")

    with pytest.raises(ValueError, match="row 7"):
        shelf.ask("log", fails)
    assert shelf.ask("log", lambda: "story") == "story"


def test_the_least_used_results_go_and_the_work_under_way_stays() -> None:
    shelf, go = SlowShelf(most=2, patience=10), threading.Event()
    shelf.ask("slow", lambda: go.wait(10) and "kept", patience=0.0)
    for name in ("a", "b", "c"):
        shelf.ask(name, lambda name=name: name)

    assert shelf.ask("a", lambda: "made again") == "made again"
    go.set()
    assert shelf.ask("slow", lambda: "made again") == "kept"


def test_what_is_forgotten_is_made_again() -> None:
    shelf = SlowShelf(patience=10)
    shelf.ask("log-1 story", lambda: "old")

    shelf.forget("log-1 ")

    assert shelf.ask("log-1 story", lambda: "new") == "new"
