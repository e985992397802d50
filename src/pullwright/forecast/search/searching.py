"""A search that can be taken a step further, stopped, put down as text and taken up again, with the same answer at the end."""

from __future__ import annotations

import json
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pullwright.forecast.search.book import Ask, Book
from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.problem import Problem
from pullwright.forecast.search.procedures import procedure_of
from pullwright.forecast.search.spreading import Hands, Piece, Stop, Threads, Work
from pullwright.forecast.search.trial import Row, Setting, Trial

BATCH = 0.15
"""Seconds that a batch of runs should take: short, so that what was run for nothing is little."""
MOST_AT_ONCE = 256
VERSION = 1


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is: runs so far, settings tried, settings that may still matter, the one under test, the best so far."""

    runs: int
    tried: int
    left: int
    at: Setting | None
    best: Trial | None


class Search:
    """A search under way. Run by run it does what its procedure asks for; who runs it, and how many runs at a time, changes nothing."""

    def __init__(self, problem: Problem, work: Work, hands: Hands | None = None) -> None:
        self.problem, self.work = problem, work
        self.hands: Hands = hands or Threads()
        self.found: Setting | None = None
        self.done = False
        self._known: dict[Setting, dict[int, Row | str]] = defaultdict(dict)
        self._each = BATCH
        self._begin()

    def _begin(self) -> None:
        self.book = Book(self.problem)
        self._taken: dict[Setting, list[Row | str]] = {}
        self._going = procedure_of(self.problem, self.book)
        self._ask: Ask | None = None
        self._next(None)

    def _next(self, row: Row | str | None) -> None:
        try:
            self._ask = next(self._going) if row is None else self._going.send(row)
        except StopIteration as end:
            self._ask, self.found, self.done = None, end.value, True

    def step(self, stop: Stop = lambda: False) -> bool:
        """Run one batch and go on with what it says; True when the search is done. Nothing is lost when it is stopped within."""
        self._use_what_is_known()
        if self._ask is None:
            return True
        pieces = self._pieces(self._ask)
        begun = time.perf_counter()
        rows = self.hands.done(self.work, pieces, stop)
        if rows is None:
            return False
        many = sum(len(numbers) for _, numbers in pieces)
        self._each = max((time.perf_counter() - begun) / many, 1e-6)
        for (setting, numbers), found in zip(pieces, rows, strict=True):
            self._known[setting].update(zip(numbers, found, strict=True))
        self._use_what_is_known()
        return self.done

    def _use_what_is_known(self) -> None:
        while self._ask is not None and self._ask.number in (known := self._known[self._ask.setting]):
            row = known[self._ask.number]
            self._taken.setdefault(self._ask.setting, []).append(row)
            self._next(row)

    def _pieces(self, ask: Ask) -> list[Piece]:
        """The runs that come next, in pieces for all hands: more than was asked for, because one after another would keep one hand busy."""
        width = self.hands.width
        settings = ask.beside or (ask.setting,)
        at_once = max(width, min(MOST_AT_ONCE, int(BATCH / self._each)))
        ahead = max(1, at_once // len(settings))
        pieces: list[Piece] = []
        for setting in settings:
            known = self._known[setting]
            wanted = [n for n in range(ask.number, ask.number + ahead) if n not in known]
            share = max(1, -(-len(wanted) * len(settings) // (2 * width)))
            pieces += [(setting, tuple(wanted[k : k + share])) for k in range(0, len(wanted), share)]
        return pieces

    def run(self, *, stop: Stop = lambda: False, progress: Callable[[Progress], None] | None = None) -> bool:
        """Go on until the search is done or `stop` says yes (asked at least every tenth of a second); True when it is done."""
        while not self.done and not stop():
            self.step(stop)
            if progress is not None:
                progress(self.progress())
        return self.done

    def progress(self) -> Progress:
        """How far is it?"""
        runs = sum(trial.runs for trial in self.book.trials.values())
        at = None if self._ask is None else self._ask.setting
        return Progress(runs, len(self.book.trials), self.book.left, at, self.book.best)

    def saved(self) -> str:
        """The search as JSON: what was asked for, and every run that its procedure took in."""
        rows = [[list(setting), taken] for setting, taken in self._taken.items()]
        return json.dumps({"version": VERSION, "asked": _as_json(self.problem), "runs": rows})

    def resume(self, text: str) -> None:
        """Take up a search that was put down as text: it goes on from there to the same answer.

        Errors: CannotSearch where the text is none, or was put down by a search for something else.
        """
        try:
            read = json.loads(text)
            version, asked = read["version"], read["asked"]
            runs = {
                tuple(setting): {n: row if isinstance(row, str) else tuple(row) for n, row in enumerate(rows)}
                for setting, rows in read["runs"]
            }
        except (ValueError, KeyError, TypeError) as error:
            raise CannotSearch(f"this is no search that was put down here: {error}") from None
        if version != VERSION:
            raise CannotSearch(f"it was put down in form {version}; form {VERSION} can be read: begin the search again")
        mine = _as_json(self.problem)
        differ = [key for key in mine.keys() | asked.keys() if mine.get(key) != asked.get(key)]
        if differ:
            raise CannotSearch(
                f"it was put down by a search for something else: {', '.join(sorted(differ))} differ; begin the search again"
            )
        columns = len(self.problem.thresholds) + (self.problem.cost is None)
        settings = set(self.problem.settings)
        for setting, rows in runs.items():
            if setting not in settings or not all(
                isinstance(row, str) or _is_row(row, columns) for row in rows.values()
            ):
                raise CannotSearch(f"this is no search that was put down here: its runs of {list(setting)} cannot be")
            self._known[setting].update(rows)
        self.done, self.found = False, None
        self._begin()
        self._use_what_is_known()


def _is_row(row: Row, columns: int) -> bool:
    return len(row) == columns and all(isinstance(one, int | float) for one in row)


def _as_json(problem: Problem) -> dict[str, Any]:
    """What tells one search from another, as JSON gives it back."""
    found = {
        "values": [list(axis) for axis in problem.axes],
        "promises": [[one.value, one.zone, one.at_least, one.share] for one in problem.thresholds],
        "rising": problem.rising,
        "settled cost": problem.cost is not None,
        "confidence": problem.confidence,
        "most runs": problem.most_runs,
        "close": problem.close,
        **problem.asked,
    }
    return dict(json.loads(json.dumps(found)))
