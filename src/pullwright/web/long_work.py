"""Long work in the background: begun by somebody, followed by everybody, stopped when it is asked to; its result stays a while."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic
from typing import Generic, Literal, TypeVar

T = TypeVar("T")
MOST_KEPT = 16
"""Pieces of work that are remembered, with their results."""
AT_ONCE = 1
"""Pieces of work that go on at the same time: each uses all cores."""
State = Literal["waits", "under way", "done", "stopped", "failed"]
Stop = Callable[[], bool]
Tell = Callable[[int, int], None]


@dataclass
class Work(Generic[T]):
    """One piece of long work: how far it is (`done` of `whole`), its `result` or what was wrong (`error`)."""

    done: int = 0
    whole: int = 0
    state: State = "waits"
    result: T | None = None
    error: Exception | None = None
    began: float = field(default_factory=monotonic)
    ended: float | None = None
    stopped: threading.Event = field(default_factory=threading.Event)

    @property
    def goes_on(self) -> bool:
        """Is it waiting for its turn, or under way?"""
        return self.state in ("waits", "under way")

    @property
    def seconds(self) -> float:
        """How long it has gone on, or took."""
        return (monotonic() if self.ended is None else self.ended) - self.began

    def tell(self, done: int, whole: int) -> None:
        """Note how far it is."""
        self.done, self.whole = done, whole


class LongWork:
    """Begins pieces of long work in threads of their own, one after another.

    >>> works = LongWork()
    >>> work = works.begin("seven", lambda stop, tell: 3 + 4)
    >>> works.wait("seven").result
    7
    """

    def __init__(self, most: int = MOST_KEPT) -> None:
        self.most = most
        self._lock = threading.Lock()
        self._turn = threading.Semaphore(AT_ONCE)
        self._works: OrderedDict[str, Work[object]] = OrderedDict()
        self._threads: dict[str, threading.Thread] = {}

    def of(self, name: str) -> Work[object] | None:
        """The work of this name; None where nobody began it."""
        return self._works.get(name)

    def begin(self, name: str, make: Callable[[Stop, Tell], T]) -> Work[object]:
        """Begin `make` under this name, unless it goes on or is done already. `make` gets what tells it to stop, and whom to tell how far it is."""
        with self._lock:
            found = self._works.get(name)
            if found is not None and (found.goes_on or found.state == "done"):
                return found
            work = self._works[name] = Work[object]()
            over = [other for other, kept in self._works.items() if not kept.goes_on]
            for other in over[: max(len(self._works) - self.most, 0)]:
                del self._works[other]
            # A daemon: a workbench that is being closed does not wait for it.
            thread = threading.Thread(target=self._go, args=(work, make), name=f"long work {name}", daemon=True)
            self._threads = {key: one for key, one in self._threads.items() if one.is_alive()} | {name: thread}
            thread.start()
            return work

    def stop(self, name: str) -> None:
        """Ask the work of this name to stop; nothing where there is none, or it is over."""
        work = self.of(name)
        if work is not None:
            work.stopped.set()

    def wait(self, name: str, seconds: float | None = None) -> Work[object]:
        """Wait until the work of this name is over. KeyError where nobody began it."""
        work = self._works[name]
        if (thread := self._threads.get(name)) is not None:
            thread.join(seconds)
        return work

    def _go(self, work: Work[object], make: Callable[[Stop, Tell], object]) -> None:
        with self._turn:
            try:
                if not work.stopped.is_set():
                    work.state = "under way"
                    work.result = make(work.stopped.is_set, work.tell)
            except Exception as error:
                work.error = error
            work.ended = monotonic()
            if work.stopped.is_set() and work.result is None:
                work.state = "stopped"
            else:
                work.state = "failed" if work.error is not None else "done"
