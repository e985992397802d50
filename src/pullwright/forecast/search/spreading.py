"""Who runs the settings: threads of this process, any pool of processes, or the machines of a Dask cluster. What comes out is the same."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future
from typing import Protocol

from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.trial import Row, Setting

Work = Callable[[Setting, Sequence[int]], list[Row | str]]
"""What the runs of these numbers of a setting come to; a text in place of a row says why it cannot be run."""
Piece = tuple[Setting, tuple[int, ...]]
Stop = Callable[[], bool]

LOOK = 0.05
"""Seconds between two looks at whether somebody wants to stop."""


class Hands(Protocol):
    """Somebody who runs pieces of work, `width` of them side by side."""

    width: int

    def done(self, work: Work, pieces: Sequence[Piece], stop: Stop) -> list[list[Row | str]] | None:
        """The rows of each piece, in their order; None where it was stopped before all were there."""
        ...


class Threads:
    """Threads of this process; the kernels run side by side in them. A run that is under way when somebody stops is left to itself."""

    def __init__(self, workers: int = 1) -> None:
        if workers < 1:
            raise CannotSearch(f"{workers} workers were read; allowed: 1 or more")
        self.width = workers

    def done(self, work: Work, pieces: Sequence[Piece], stop: Stop) -> list[list[Row | str]] | None:
        """See `Hands`."""
        waiting: queue.SimpleQueue[int] = queue.SimpleQueue()
        ended: queue.SimpleQueue[tuple[int, list[Row | str] | BaseException]] = queue.SimpleQueue()
        for k in range(len(pieces)):
            waiting.put(k)

        def worker() -> None:
            while True:
                try:
                    k = waiting.get_nowait()
                except queue.Empty:
                    return
                try:
                    ended.put((k, work(*pieces[k])))
                except BaseException as error:  # raised where the answer is waited for
                    ended.put((k, error))

        for _ in range(min(self.width, len(pieces))):
            threading.Thread(target=worker, daemon=True).start()
        found: dict[int, list[Row | str]] = {}
        try:
            while len(found) < len(pieces):
                if stop():
                    return None
                try:
                    k, rows = ended.get(timeout=LOOK)
                except queue.Empty:
                    continue
                if isinstance(rows, BaseException):
                    raise rows
                found[k] = rows
            return [found[k] for k in range(len(pieces))]
        finally:
            while not waiting.empty():  # nobody begins what is not wanted any more
                try:
                    waiting.get_nowait()
                except queue.Empty:
                    break


class Pool:
    """Any pool with `submit`: a `ProcessPoolExecutor`, or a Dask cluster (see `on_dask`). The work is sent there whole."""

    def __init__(self, executor: Executor, width: int) -> None:
        self._executor, self.width = executor, width

    def done(self, work: Work, pieces: Sequence[Piece], stop: Stop) -> list[list[Row | str]] | None:
        """See `Hands`."""
        futures: list[Future[list[Row | str]]] = [self._executor.submit(work, *piece) for piece in pieces]
        try:
            while not all(one.done() for one in futures):
                if stop():
                    return None
                time.sleep(LOOK / 10)
            return [one.result() for one in futures]
        finally:
            for one in futures:
                one.cancel()


def on_dask(client: object) -> Pool:
    """Spread the runs over the workers of a Dask cluster.

    `client`: a `dask.distributed.Client`, or the address of a scheduler ("tcp://10.0.0.5:8786"); every worker needs this package. Errors: CannotSearch
    where the optional packages are not there.
    """
    try:
        from dask.distributed import Client
    except ImportError:
        raise CannotSearch("a cluster needs the extra `dask`: pip install 'pullwright[dask]'") from None
    found = Client(client) if isinstance(client, str) else client
    if not isinstance(found, Client):
        raise CannotSearch(
            f"{type(client).__name__} was read; wanted: a dask.distributed.Client, or the address of its scheduler"
        )
    return Pool(found.get_executor(pure=False), max(1, sum(found.nthreads().values())))
