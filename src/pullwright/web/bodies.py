"""How much may be sent at once, and how slowly: bounded on the way in, whatever the sender says beforehand."""

from __future__ import annotations

from time import monotonic

import anyio
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from pullwright.web.problems import Problem

LARGEST_BODY = 2_500_000
"""Bytes."""
LONGEST_PAUSE = 10.0
"""Seconds without a byte."""
LONGEST_BODY_TIME = 120.0
"""Seconds from the first byte to the last."""
DRAIN_FACTOR = 4
DRAIN_SECONDS = 3.0


def megabytes(size: int) -> str:
    """Return a number of bytes in words.

    >>> megabytes(2_500_000), megabytes(640)
    ('2.5 megabytes', '640 bytes')
    """
    return f"{size / 1e6:.3g} megabytes" if size >= 100_000 else f"{size} bytes"


class BoundedBodies:
    """Counts what arrives and stops at the limit, with or without a Content-Length; stops waiting for a stalled sender."""

    def __init__(
        self,
        app: ASGIApp,
        largest: int = LARGEST_BODY,
        pause: float = LONGEST_PAUSE,
        whole: float = LONGEST_BODY_TIME,
    ) -> None:
        self.app = app
        self.largest = largest
        self.pause = pause
        self.whole = whole

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with a bounded body."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        announced = Headers(scope=scope).get("content-length", "0")
        if not announced.isascii() or not announced.isdigit():
            raise Problem(400, f"the Content-Length {announced[:40]!r}", allowed="A whole number of bytes.")
        if int(announced[:20]) > self.largest:
            await self._drain(receive)
            raise self._too_large(f"{megabytes(int(announced[:20]))} announced")
        await self.app(scope, self._bounded(receive), send)

    def _bounded(self, receive: Receive) -> Receive:
        read, whole, began = 0, False, 0.0

        async def bounded() -> Message:
            nonlocal read, whole, began
            if whole:
                return await receive()
            began = began or monotonic()
            message: Message | None = None
            with anyio.move_on_after(min(self.pause, self.whole - (monotonic() - began))):
                message = await receive()
            if message is None:
                raise Problem(408, f"{megabytes(read)} and then nothing for too long", headers={"Connection": "close"})
            if message["type"] == "http.request":
                read += len(message.get("body", b""))
                whole = not message.get("more_body", False)
                if read > self.largest:
                    if not whole:
                        await self._drain(receive)
                    raise self._too_large(f"more than {megabytes(self.largest)}")
            return message

        return bounded

    async def _drain(self, receive: Receive) -> None:
        # A browser that is still sending when the connection closes shows its own error page instead of ours.
        left = self.largest * DRAIN_FACTOR
        with anyio.move_on_after(DRAIN_SECONDS):
            while left > 0:
                message = await receive()
                left -= len(message.get("body", b""))
                if message["type"] != "http.request" or not message.get("more_body", False):
                    return

    def _too_large(self, read: str) -> Problem:
        return Problem(
            413,
            read,
            allowed=f"{megabytes(self.largest)} for everything that is sent at once.",
            headers={"Connection": "close"},
        )
