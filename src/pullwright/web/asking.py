"""Who asked last: a page that asks a new question while an older one is being worked out no longer waits for the older one."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable

from anyio import from_thread
from starlette.requests import Request

MOST_PAGES = 512
"""Open pages whose last question is remembered."""


class Asking:
    """Counts the questions of each open page.

    >>> asking = Asking()
    >>> first = asking.asks("page")
    >>> first()
    False
    >>> second = asking.asks("page")
    >>> first(), second()
    (True, False)
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._last: OrderedDict[str, int] = OrderedDict()
        self._count = 0

    def asks(self, page: str) -> Callable[[], bool]:
        """Note a question of this page; the answer says whether a newer one came since."""
        with self._lock:
            self._count += 1
            number = self._count
            self._last[page] = number
            self._last.move_to_end(page)
            while len(self._last) > MOST_PAGES:
                self._last.popitem(last=False)

        def overtaken() -> bool:
            return self._last.get(page, number) > number

        return overtaken


def is_gone(request: Request) -> Callable[[], bool]:
    """Return what says whether whoever sent this request has closed the connection; asked from the thread that works on it."""
    gone = False

    def asked() -> bool:
        nonlocal gone
        if not gone:
            gone = bool(from_thread.run(request.is_disconnected))
        return gone

    return asked
