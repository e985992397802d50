"""Long work goes on in the background, says how far it is, stops when it is asked to, and keeps its result."""

from __future__ import annotations

import threading

from pullwright.web.long_work import LongWork


def test_who_follows_it_hears_how_far_it_is_and_what_came_of_it():
    works, seen, go = LongWork(), threading.Event(), threading.Event()

    def make(stop, tell):
        tell(3, 10)
        seen.set()
        go.wait(10)
        return "answer"

    work = works.begin("line", make)
    assert seen.wait(10)
    assert (work.state, work.done, work.whole, work.goes_on) == ("under way", 3, 10, True)
    go.set()
    assert works.wait("line", 10).result == "answer"
    assert work.state == "done"
    assert works.begin("line", make) is work


def test_it_stops_when_it_is_asked_to_and_can_be_begun_anew():
    works, seen = LongWork(), threading.Event()

    def make(stop, tell):
        seen.set()
        while not stop():
            threading.Event().wait(0.005)
        raise RuntimeError("stopped")

    works.begin("line", make)
    assert seen.wait(10)
    works.stop("line")
    assert works.wait("line", 10).state == "stopped"
    works.begin("line", lambda stop, tell: 7)
    assert works.wait("line", 10).result == 7


def test_an_error_is_kept_for_whoever_looks():
    works = LongWork()
    works.begin("line", lambda stop, tell: 1 / 0)
    work = works.wait("line", 10)
    assert work.state == "failed"
    assert isinstance(work.error, ZeroDivisionError)


def test_only_so_many_are_remembered_and_those_that_go_on_always_are():
    works, go = LongWork(most=2), threading.Event()
    works.begin("long", lambda stop, tell: go.wait(10))
    go.set()
    works.wait("long", 10)
    for name in ("a", "b", "c"):
        works.begin(name, lambda stop, tell: 1)
        works.wait(name, 10)
    assert works.of("long") is None
    assert works.of("c") is not None


def test_stopping_what_nobody_began_does_nothing():
    LongWork().stop("nothing")
