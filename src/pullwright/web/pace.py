"""How fast one place may send changes: a bucket of tokens for each client, filled again at a steady rate."""

from __future__ import annotations

import ipaddress
import math
import threading
from collections import OrderedDict
from collections.abc import Callable
from time import monotonic

from starlette.types import ASGIApp, Receive, Scope, Send

from pullwright.web.problems import Problem
from pullwright.web.seal import SAFE_METHODS

BURST = 40
"""Changes at once."""
PER_SECOND = 1.0
MOST_CLIENTS = 4096


class Pace:
    """Lets each client send a burst of changes and then a steady stream; counts no more clients than it can remember.

    >>> now = [0.0]
    >>> pace = Pace(burst=2, per_second=1.0, clock=lambda: now[0])
    >>> [pace.wait("a"), pace.wait("a"), pace.wait("a")]
    [0.0, 0.0, 1.0]
    >>> now[0] = 1.0
    >>> pace.wait("a")
    0.0
    """

    def __init__(
        self, burst: int = BURST, per_second: float = PER_SECOND, clock: Callable[[], float] = monotonic
    ) -> None:
        self.burst = burst
        self.per_second = per_second
        self.clock = clock
        self._lock = threading.Lock()
        self._buckets: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait(self, client: str) -> float:
        """Take one token for this client; return 0, or the seconds until there is one."""
        with self._lock:
            now = self.clock()
            tokens, last = self._buckets.pop(client, (float(self.burst), now))
            tokens = min(float(self.burst), tokens + (now - last) * self.per_second)
            short = tokens < 1.0
            self._buckets[client] = (tokens if short else tokens - 1.0, now)
            while len(self._buckets) > MOST_CLIENTS:
                self._buckets.popitem(last=False)
            return (1.0 - tokens) / self.per_second if short else 0.0


def place_of(address: str) -> str:
    """Return the place that an address stands for: a whole IPv6 network of one customer counts as one place.

    >>> place_of("127.0.0.1"), place_of("2001:db8:1:2:3::4")
    ('127.0.0.1', '2001:db8:1:2::/64')
    """
    try:
        ip = ipaddress.ip_address(address)
    except ValueError:
        return address
    return str(ipaddress.ip_network((ip, 64), strict=False)) if ip.version == 6 else str(ip)


class SteadyPace:
    """Asks a client that sends changes too fast to wait; reading is never held back."""

    def __init__(self, app: ASGIApp, pace: Pace) -> None:
        self.app = app
        self.pace = pace

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on when the client has a token left."""
        if scope["type"] == "http" and scope["method"] not in SAFE_METHODS:
            client = scope.get("client") or ("unknown", 0)
            seconds = math.ceil(self.pace.wait(place_of(client[0])))
            if seconds:
                raise Problem(
                    429,
                    f"more than {self.pace.burst} changes in a short time",
                    todo=f"Wait {seconds} s, go back (what you typed is still there) and send it again.",
                    headers={"Retry-After": str(seconds)},
                )
        await self.app(scope, receive, send)
