"""The shelf: the last few lines that somebody looked at stay worked out, so that the next page about them is there at once."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from pullwright.line import Line, LineFileError
from pullwright.line.faults import Fault
from pullwright.survey import Survey, survey_of

MOST_KEPT = 12
"""Lines that stay worked out."""
MOST_BYTES = 300_000_000
"""Bytes of draws that stay; our own scenario takes some ten millions, a line of three hundred stations most of this."""

MOST_SAID = 4096
"""Lines whose sentence is remembered when the rest of them is not."""

T = TypeVar("T")


class WorkedOut:
    """What one text says: its survey, or every fault of it; and what was drawn from it already.

    It may be used by several threads: everything lazy in the survey is asked for once before anybody else sees it.
    """

    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self.survey: Survey | None = None
        self.faults: tuple[Fault, ...] = ()
        self.more_faults = 0
        self.weight = 0
        self._lock = threading.RLock()
        self._made: dict[str, Any] = {}
        self._last: dict[str, tuple[str, Any]] = {}
        try:
            line = Line.from_text(text, name=file)
        except LineFileError as error:
            self.faults, self.more_faults = error.faults, error.more
            return
        survey = survey_of(line)
        for part in ("sentence", "every_figure"):
            getattr(survey, part)
        self.survey = survey
        self.weight = sum(figure.draws.nbytes for figure in survey.every_figure.values())

    def once(self, name: str, make: Callable[[], T]) -> T:
        """Return what was made under this name; make it the first time."""
        with self._lock:
            if name not in self._made:
                self._made[name] = make()
            found: T = self._made[name]
            return found

    def last(self, name: str, asked: str, make: Callable[[], T]) -> T:
        """Return what was made under this name for what is asked, if that was asked last; make it otherwise, and forget the one before."""
        with self._lock:
            if name not in self._last or self._last[name][0] != asked:
                self._last[name] = (asked, make())
            found: T = self._last[name][1]
            return found


@dataclass(frozen=True, slots=True)
class Said:
    """What was found on a line, in a sentence; `look` when something is out of place, or the text cannot be read."""

    sentence: str
    look: bool


class Shelf:
    """Keeps the last few texts worked out; a text that is asked for twice at the same time is worked out once.

    >>> shelf = Shelf(most=1)
    >>> one = shelf.of("line: nothing yet", "a.yaml")
    >>> one is shelf.of("line: nothing yet", "a.yaml"), len(one.faults)
    (True, 4)
    >>> shelf.of("line: another", "a.yaml") is one, shelf.of("line: nothing yet", "a.yaml") is one
    (False, False)
    """

    def __init__(self, most: int = MOST_KEPT, most_bytes: int = MOST_BYTES) -> None:
        self.most, self.most_bytes = most, most_bytes
        self._lock = threading.Lock()
        self._kept: OrderedDict[str, WorkedOut] = OrderedDict()
        self._under_way: dict[str, threading.Lock] = {}
        self._said: OrderedDict[tuple[str, int], Said] = OrderedDict()

    def of(self, text: str, file: str) -> WorkedOut:
        """Return what this text says; `file` is what its sources are called."""
        digest = hashlib.sha256(f"{file}\0{text}".encode("utf-8", "surrogatepass")).hexdigest()
        with self._lock:
            found = self._taken(digest)
            if found is not None:
                return found
            making = self._under_way.setdefault(digest, threading.Lock())
        with making:
            with self._lock:
                found = self._taken(digest)
            if found is None:
                found = self._worked_out(digest, text, file)
        return found

    def said(self, key: str, number: int) -> Said | None:
        """Return the sentence of a revision, when it was worked out before."""
        with self._lock:
            return self._said.get((key, number))

    def say(self, key: str, number: int, worked_out: WorkedOut) -> Said:
        """Remember the sentence of a revision, which never changes, and return it."""
        survey = worked_out.survey
        if survey is None:
            count = len(worked_out.faults) + worked_out.more_faults
            said = Said(f"Its text cannot be read as a line file: {count} {'fault' if count == 1 else 'faults'}.", True)
        else:
            said = Said(survey.sentence, bool(survey.findings))
        with self._lock:
            self._said[(key, number)] = said
            while len(self._said) > MOST_SAID:
                self._said.popitem(last=False)
        return said

    def _worked_out(self, digest: str, text: str, file: str) -> WorkedOut:
        try:
            found = WorkedOut(text, file)
        finally:
            with self._lock:
                self._under_way.pop(digest, None)
        with self._lock:
            self._kept[digest] = found
            while len(self._kept) > 1 and (
                len(self._kept) > self.most or sum(one.weight for one in self._kept.values()) > self.most_bytes
            ):
                self._kept.popitem(last=False)
        return found

    def _taken(self, digest: str) -> WorkedOut | None:
        found = self._kept.get(digest)
        if found is not None:
            self._kept.move_to_end(digest)
        return found
