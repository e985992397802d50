"""Kernels are compiled once after an installation, which takes a minute: better before somebody waits for an answer than then."""

from __future__ import annotations

import threading
from contextlib import suppress
from dataclasses import dataclass, field
from time import monotonic
from typing import Literal

from pullwright.pull.warm import warm_up_plan

State = Literal["cold", "under way", "ready", "failed"]
USUAL_SECONDS = 65
"""So long does compiling take on a machine that does nothing else (measured: 60 to 70 s); reading what was kept takes a second."""
_TINY = """
line: one step
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: piece, demand: 2 /d}]
stations: [{name: bench}]
steps: [{name: make, station: bench, manual: 60 s}]
"""
_ANY = _TINY.replace("manual: 60 s}", "manual: 60 s, rework: {share: 5 %, to: make}}")
"""A line that is not plain, so that the event kernel runs it."""


@dataclass
class Warmth:
    """Are the kernels ready? `cold`: nobody asked for them yet; `failed`: what was said then stands in `error`."""

    state: State = "cold"
    error: str = ""
    _began: float = 0.0
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @property
    def seconds(self) -> float:
        """Since it began; 0 where it did not begin or is over."""
        return monotonic() - self._began if self.state == "under way" else 0.0

    def warm_up(self) -> None:
        """Run a tiny line once with each kernel, which makes them ready; at once where they are."""
        with self._lock:
            if self.state == "ready":
                return
            self._began, self.state = monotonic(), "under way"
            try:
                _run_once()
            except Exception as error:
                self.state, self.error = "failed", str(error)
                raise
            self.state = "ready"


WARMTH = Warmth()
"""The kernels of this process."""


def warm_up_kernels() -> None:
    """Make the kernels ready: compile them, or read what was kept of the last time. Returns when they are."""
    WARMTH.warm_up()


def warm_up_in_background() -> threading.Thread:
    """Make the kernels ready beside whatever else begins, first those of a plan, which take seconds; `WARMTH` says how far those of the forecast are.

    A process that ends meanwhile does not wait for it.
    """
    thread = threading.Thread(target=_quietly, name="kernels", daemon=True)
    thread.start()
    return thread


def _quietly() -> None:
    # `WARMTH.error` says it, and the page that asks for a forecast meets it again.
    with suppress(Exception):
        warm_up_plan()
    with suppress(Exception):
        warm_up_kernels()


def _run_once() -> None:
    from pullwright.forecast.forecast import quick_forecast_of
    from pullwright.line import Line

    for text in (_ANY, _TINY):
        quick_forecast_of(Line.from_text(text), days=1, runs=1, workers=1)
