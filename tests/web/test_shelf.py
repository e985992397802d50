"""The last few lines stay worked out: once for all who ask at the same time, and never more than there is room for."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

from pullwright.web import shelf as shelf_module
from pullwright.web.shelf import MOST_SAID, Shelf, WorkedOut
from tests.web.small_line import FAULTY, VALVES


def test_a_text_that_many_ask_for_at_once_is_worked_out_once(monkeypatch):
    made = []
    together = threading.Barrier(8)

    class Counted(WorkedOut):
        def __init__(self, text, file):
            made.append(text)
            super().__init__(text, file)

    monkeypatch.setattr(shelf_module, "WorkedOut", Counted)
    shelf = Shelf()

    def ask(_):
        together.wait()
        return shelf.of(VALVES, "valves.yaml")

    with ThreadPoolExecutor(8) as threads:
        found = list(threads.map(ask, range(8)))
    assert len(made) == 1
    assert all(one is found[0] for one in found)


def test_the_text_that_was_not_asked_for_longest_makes_room():
    shelf = Shelf(most=2)
    one, two = shelf.of("line: 1", "a"), shelf.of("line: 2", "a")
    assert shelf.of("line: 1", "a") is one
    shelf.of("line: 3", "a")
    assert shelf.of("line: 1", "a") is one
    assert shelf.of("line: 2", "a") is not two


def test_heavy_lines_make_room_for_one_another_and_the_last_one_always_stays():
    weight = WorkedOut(VALVES, "a").weight
    assert weight > 100_000
    shelf = Shelf(most_bytes=int(1.5 * weight))
    one = shelf.of(VALVES, "a")
    assert shelf.of(VALVES, "a") is one
    shelf.of(VALVES, "b")
    assert list(shelf._kept.values()) == [shelf.of(VALVES, "b")]
    alone = Shelf(most_bytes=0)
    assert alone.of(VALVES, "a") is alone.of(VALVES, "a")


def test_the_same_text_under_another_name_has_sources_of_its_own():
    shelf = Shelf()
    names = {shelf.of(VALVES, name).survey.line.file for name in ("a.yaml", "b.yaml")}
    assert names == {"a.yaml", "b.yaml"}


def test_a_text_that_cannot_be_read_is_kept_with_its_faults():
    found = Shelf().of(FAULTY, "valves.yaml")
    assert found.survey is None
    assert [fault.line for fault in found.faults] == [26, 28]


def test_what_is_drawn_from_a_line_is_drawn_once():
    found = WorkedOut(VALVES, "valves.yaml")
    drawn = []
    for _ in range(3):
        found.once("drawing", lambda: drawn.append(1))
    assert drawn == [1]


def test_a_failure_leaves_nothing_locked(monkeypatch):
    shelf = Shelf()

    def failing(text, file):
        raise RuntimeError("no")

    monkeypatch.setattr(shelf_module, "WorkedOut", failing)
    for _ in range(2):
        try:
            shelf.of("line: 1", "a")
        except RuntimeError:
            continue
    monkeypatch.undo()
    assert shelf.of("line: 1", "a").faults
    assert shelf._under_way == {}


def test_sentences_are_remembered_for_more_lines_than_are_worked_out_and_not_without_end():
    shelf = Shelf(most=1)
    found = shelf.of("line: 1", "a")
    for number in range(MOST_SAID + 10):
        shelf.say("a", number, found)
    assert shelf.said("a", 0) is None
    assert shelf.said("a", MOST_SAID + 9).look
    assert len(shelf._said) == MOST_SAID
