"""Kernels are made ready once, whoever asks, and whoever waits can see how far that is."""

from __future__ import annotations

import threading

import pytest

from pullwright.forecast import warm
from pullwright.forecast.warm import Warmth


def test_nothing_is_begun_before_somebody_asks():
    assert Warmth().state == "cold"
    assert Warmth().seconds == 0.0


def test_who_asks_while_it_goes_on_sees_the_seconds_and_waits_for_the_same_work(monkeypatch):
    begun, go, times = threading.Event(), threading.Event(), []

    def once():
        times.append(1)
        begun.set()
        go.wait(10)

    monkeypatch.setattr(warm, "_run_once", once)
    warmth = Warmth()
    threads = [threading.Thread(target=warmth.warm_up) for _ in range(2)]
    for thread in threads:
        thread.start()
    assert begun.wait(10)
    assert warmth.state == "under way"
    assert warmth.seconds >= 0.0
    go.set()
    for thread in threads:
        thread.join(10)
    assert (warmth.state, len(times)) == ("ready", 1)


def test_what_went_wrong_is_told_and_the_next_one_tries_again(monkeypatch):
    def fails():
        raise OSError("no room")

    monkeypatch.setattr(warm, "_run_once", fails)
    warmth = Warmth()
    with pytest.raises(OSError, match="no room"):
        warmth.warm_up()
    assert (warmth.state, warmth.error) == ("failed", "no room")
    monkeypatch.setattr(warm, "_run_once", lambda: None)
    warmth.warm_up()
    assert warmth.state == "ready"


def test_the_tiny_line_runs():
    warm._run_once()
