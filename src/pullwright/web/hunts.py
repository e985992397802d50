"""Searches for a setting on their way to a page: in the background, stopped when somebody asks, and taken up again where they were."""

from __future__ import annotations

import hashlib
import json
import os
from collections import OrderedDict
from dataclasses import dataclass, field
from threading import Lock
from typing import TYPE_CHECKING

from pullwright.line import Line
from pullwright.web.long_work import LongWork, Stop, Tell, Work

if TYPE_CHECKING:
    from pullwright.forecast.search.answer import Answer
    from pullwright.forecast.search.find import Hunt
    from pullwright.forecast.search.searching import Progress

MOST_KEPT = 16
"""Searches that are remembered, each with the runs that it took."""
DAYS = 80
"""Working days of a run where nothing else is said; a quarter of them are not counted."""
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be found: in words, with the promises (none: those of the line file), the confidence of the answer, the working days of a run."""

    text: str
    promises: tuple[str, ...] = ()
    confidence: float = CONFIDENCE
    days: int = DAYS

    def hunt(self, line: Line) -> Hunt:
        """The search, not begun yet. Errors: CannotSearch."""
        from pullwright.forecast.search.find import hunt_of

        return hunt_of(
            line, self.text, self.promises, days=self.days, warm_days=self.days // 4, confidence=self.confidence,
            workers=os.cpu_count() or 1,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Far:
    """How far a search is: runs so far, settings tried, settings that may still matter, of how many; the best so far in words, empty where none is."""

    runs: int = 0
    tried: int = 0
    left: int = 0
    settings: int = 0
    best: str = ""


@dataclass
class Hunting:
    """One search of one line: what was wanted, its piece of work, how far it is, and its runs as text from which it goes on."""

    wanted: Wanted
    work: Work[object] = field(default_factory=lambda: Work[object](state="stopped"))
    far: Far = field(default_factory=Far)
    saved: str = ""
    answer: Answer | None = None
    hunt: Hunt | None = None
    """The search that made the answer: its knobs say what a setting turns."""


class Hunts:
    """The searches of a workbench; for each line, with what is turned in it, the last one that was asked for is the one shown."""

    def __init__(self, works: LongWork) -> None:
        self._works = works
        self._lock = Lock()
        self._begun = 0
        self._kept: OrderedDict[str, Hunting] = OrderedDict()
        self._names: dict[str, str] = {}

    def last(self, text: str, query: str) -> Hunting | None:
        """The last search of this text of a line with these settings; None where nobody asked for one."""
        place = _digest(text, query)
        with self._lock:
            return next((one for name, one in reversed(self._kept.items()) if name.startswith(place)), None)

    def begin(self, text: str, query: str, wanted: Wanted, hunt: Hunt) -> None:
        """Begin a search, or go on with the one that was asked for in the same words. Another one of the same line is stopped; its runs are kept."""
        place = _digest(text, query)
        name = f"{place} {_digest(wanted.text, json.dumps([wanted.promises, wanted.confidence, wanted.days]))}"
        self.stop(text, query, but=name)
        with self._lock:
            hunting = self._kept.setdefault(name, Hunting(wanted))
            self._kept.move_to_end(name)
            over = [other for other, one in self._kept.items() if other != name and not one.work.goes_on]
            for other in over[: max(len(self._kept) - MOST_KEPT, 0)]:
                del self._kept[other]
            if hunting.work.goes_on or (hunting.answer is not None and hunting.answer.done):
                return
            self._begun += 1
            self._names[name] = f"find {name} {self._begun}"
            hunting.work = self._works.begin(self._names[name], lambda stop, tell: _go(hunting, hunt, stop, tell))

    def stop(self, text: str, query: str, *, but: str = "") -> None:
        """Stop what goes on for this line; what it found is kept."""
        place = _digest(text, query)
        with self._lock:
            for name, one in self._kept.items():
                if name.startswith(place) and name != but:
                    one.work.stopped.set()

    def wait(self, text: str, query: str, seconds: float | None = None) -> Hunting:
        """Wait until the last search of this line is over. KeyError where there is none."""
        hunting = self.last(text, query)
        if hunting is None:
            raise KeyError(query)
        name = next(name for name, one in self._kept.items() if one is hunting)
        self._works.wait(self._names[name], seconds)
        return hunting


def _go(hunting: Hunting, hunt: Hunt, stop: Stop, tell: Tell) -> Answer:
    from pullwright.forecast.search.knob import shown

    whole = len(hunt.search.problem.settings)

    def told(at: Progress) -> None:
        best = "" if at.best is None else shown(hunt.wording.knobs, at.best.setting)
        hunting.far = Far(at.runs, at.tried, at.left, whole, best)
        tell(whole - at.left, whole)

    if hunting.saved:
        hunt.search.resume(hunting.saved)
    told(hunt.search.progress())
    try:
        hunt.search.run(stop=stop, progress=told)
    finally:
        hunting.saved = hunt.search.saved()
    hunting.hunt, hunting.answer = hunt, hunt.answer()
    return hunting.answer


def _digest(*texts: str) -> str:
    return hashlib.sha256("\0".join(texts).encode("utf-8", "surrogatepass")).hexdigest()[:24]
