"""What takes longer than a page may take: worked out beside the pages, kept while somebody looks at it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic
from typing import Generic, TypeVar

T = TypeVar("T")

PATIENCE = 4.0
"""Seconds that a page waits before it says that the work goes on."""
MOST_KEPT = 6
"""Results that stay: a few stages of one or two logs."""
AT_ONCE = 2
"""Pieces of work that go on at the same time; a further one waits for its turn."""


@dataclass(frozen=True, slots=True)
class UnderWay:
    """The work goes on; `seconds` since it began."""

    seconds: float


@dataclass(slots=True)
class _Job(Generic[T]):
    """One piece of work: done when the event is set, with a result or with the error that it ended in."""

    began: float = field(default_factory=monotonic)
    done: threading.Event = field(default_factory=threading.Event)
    result: T | None = None
    error: Exception | None = None


class SlowShelf:
    """Works things out one after another in threads of its own; who asks gets the result, or hears that it goes on.

    A result that is asked for again is there at once; the least used ones go first. Work that ended in an error is begun
    anew when somebody asks again.

    >>> shelf = SlowShelf()
    >>> shelf.ask("seven", lambda: 3 + 4)
    7
    """

    def __init__(self, most: int = MOST_KEPT, patience: float = PATIENCE) -> None:
        self.most, self.patience = most, patience
        self._lock = threading.Lock()
        self._turn = threading.Semaphore(AT_ONCE)
        self._jobs: OrderedDict[str, _Job[object]] = OrderedDict()

    def ask(self, name: str, make: Callable[[], T], *, patience: float | None = None) -> T | UnderWay:
        """Return what `make` gives under this name, or UnderWay where that takes longer than the patience (s).

        Raises what `make` raises.
        """
        job = self._job(name, make)
        job.done.wait(self.patience if patience is None else patience)
        if not job.done.is_set():
            return UnderWay(monotonic() - job.began)
        if job.error is not None:
            with self._lock:
                if self._jobs.get(name) is job:
                    del self._jobs[name]
            raise job.error
        return job.result  # type: ignore[return-value]

    def found(self, name: str) -> object | None:
        """Return the result under this name; None where there is none yet."""
        with self._lock:
            job = self._jobs.get(name)
            if job is None or not job.done.is_set():
                return None
            self._jobs.move_to_end(name)
            return job.result

    def keep(self, name: str, result: object) -> None:
        """Keep a result that was worked out elsewhere under this name, as if it had been asked for here."""
        job = _Job[object](result=result)
        job.done.set()
        with self._lock:
            self._jobs[name] = job
            self._jobs.move_to_end(name)
            self._make_room()

    def forget(self, beginning: str) -> None:
        """Let go of all results whose names begin so."""
        with self._lock:
            for name in [name for name, job in self._jobs.items() if name.startswith(beginning) and job.done.is_set()]:
                del self._jobs[name]

    def _job(self, name: str, make: Callable[[], object]) -> _Job[object]:
        with self._lock:
            found = self._jobs.get(name)
            if found is not None:
                self._jobs.move_to_end(name)
                return found
            job = self._jobs[name] = _Job()
            self._make_room()
        # A daemon: a workbench that is being closed does not wait for it.
        threading.Thread(target=self._work, args=(job, make), name=f"work out {name}", daemon=True).start()
        return job

    def _make_room(self) -> None:
        finished = [other for other, kept in self._jobs.items() if kept.done.is_set()]
        for other in finished[: max(len(self._jobs) - self.most, 0)]:
            del self._jobs[other]

    def _work(self, job: _Job[object], make: Callable[[], object]) -> None:
        with self._turn:
            try:
                job.result = make()
            except Exception as error:
                job.error = error
            finally:
                job.done.set()
