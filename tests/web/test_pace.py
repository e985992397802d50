"""How fast one place may send changes."""

from __future__ import annotations

from pullwright.web import create_app
from pullwright.web.pace import MOST_CLIENTS, Pace


def test_changes_beyond_the_burst_are_asked_to_wait_and_told_how_long(record, visitor_of):
    now = [0.0]
    visitor = visitor_of(create_app(record, pace=Pace(burst=2, per_second=0.1, clock=lambda: now[0])))
    typed = {"who": "A. Weber", "shift": "early", "text": "x"}
    assert [visitor.send("/patterns", typed).status_code for _ in range(3)] == [303, 303, 429]
    answer = visitor.send("/patterns", typed)
    assert answer.headers["retry-after"] == "10"
    assert "Wait 10 s" in answer.text
    now[0] = 10.0
    assert visitor.send("/patterns", typed).status_code == 303


def test_reading_is_never_held_back(record, visitor_of):
    visitor = visitor_of(create_app(record, pace=Pace(burst=1, per_second=0.001)))
    assert {visitor.get("/").status_code for _ in range(20)} == {200}


def test_one_place_does_not_hold_back_another():
    pace = Pace(burst=1, per_second=1.0, clock=lambda: 0.0)
    assert pace.wait("10.0.0.1") == 0
    assert pace.wait("10.0.0.1") > 0
    assert pace.wait("10.0.0.2") == 0


def test_no_more_clients_are_remembered_than_there_is_room_for():
    pace = Pace(burst=1, per_second=1.0, clock=lambda: 0.0)
    for number in range(MOST_CLIENTS + 100):
        pace.wait(f"client {number}")
    assert len(pace._buckets) == MOST_CLIENTS
