"""How much may be sent at once, and how slowly: bounded on the way in, whatever the sender says beforehand."""

from __future__ import annotations

from collections.abc import Mapping
from time import monotonic

import anyio
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from pullwright.web.problems import Problem

LARGEST_BODY = 2_500_000
"""Bytes."""
LARGEST_ENCODED = 100_000
"""Bytes of a form that is sent percent-encoded: reading it takes a hundred times longer than one sent in parts."""
ENCODED_FORM = "application/x-www-form-urlencoded"
DATA_FILES: dict[str, int] = {"/logs/new": 320_000_000}
"""Addresses that take a whole data file, and how many bytes each takes; such a body may take `DATA_FILE_TIME`."""
DATA_FILE_TIME = 900.0
"""Seconds from the first byte of a data file to the last."""
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
    return f"{size / 1e6:.3g} megabytes" if size >= 1_000_000 else f"{size:,} bytes"


class BoundedBodies:
    """Counts what arrives and stops at the limit, with or without a Content-Length; stops waiting for a stalled sender."""

    def __init__(
        self,
        app: ASGIApp,
        largest: int = LARGEST_BODY,
        pause: float = LONGEST_PAUSE,
        whole: float = LONGEST_BODY_TIME,
        drain: float = DRAIN_SECONDS,
        data_files: Mapping[str, int] = DATA_FILES,
    ) -> None:
        self.app = app
        self.largest = largest
        self.pause = pause
        self.whole = whole
        self.drain = drain
        self.data_files = data_files

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with a bounded body."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        encoded = headers.get("content-type", "").partition(";")[0].strip().lower() == ENCODED_FORM
        allowed = self.data_files.get(scope["path"], self.largest)
        largest = min(self.largest, LARGEST_ENCODED) if encoded else allowed
        longest = DATA_FILE_TIME if largest > self.largest else self.whole
        announced = headers.get("content-length", "0")
        if not announced.isascii() or not announced.isdigit():
            raise Problem(400, f"the Content-Length {announced[:40]!r}", allowed="A whole number of bytes.")
        if int(announced[:20]) > largest:
            await self._drain(receive)
            raise _too_large(f"{megabytes(int(announced[:20]))} announced", largest)
        await self.app(scope, self._bounded(receive, largest, longest), send)

    def _bounded(self, receive: Receive, largest: int, longest: float) -> Receive:
        read, whole, began = 0, False, 0.0

        async def bounded() -> Message:
            nonlocal read, whole, began
            if whole:
                return await receive()
            began = began or monotonic()
            message: Message | None = None
            with anyio.move_on_after(min(self.pause, longest - (monotonic() - began))):
                message = await receive()
            if message is None:
                raise Problem(408, f"{megabytes(read)} and then nothing for too long", headers={"Connection": "close"})
            if message["type"] == "http.request":
                read += len(message.get("body", b""))
                whole = not message.get("more_body", False)
                if read > largest:
                    if not whole:
                        await self._drain(receive)
                    raise _too_large(f"more than {megabytes(largest)}", largest)
            return message

        return bounded

    async def _drain(self, receive: Receive) -> None:
        # A browser that is still sending when the connection closes shows its own error page instead of ours.
        left = self.largest * DRAIN_FACTOR
        with anyio.move_on_after(self.drain):
            while left > 0:
                message = await receive()
                left -= len(message.get("body", b""))
                if message["type"] != "http.request" or not message.get("more_body", False):
                    return


def _too_large(read: str, largest: int) -> Problem:
    parts = " A form that is sent in parts (multipart/form-data) may be larger." if largest == LARGEST_ENCODED else ""
    return Problem(
        413,
        read,
        allowed=f"{megabytes(largest)} for everything that is sent at once.{parts}",
        headers={"Connection": "close"},
    )
