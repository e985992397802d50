"""A connection that asks nothing is closed: otherwise a few silent ones would keep everybody else out."""

from __future__ import annotations

import asyncio
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

LONGEST_SILENCE = 15.0
"""Seconds that a connection may take for the first lines of a request, however slowly they drip in."""


class PatientConnection(H11Protocol):
    """Closes a connection whose request has not been asked in full after a while; bodies are watched further in."""

    silence = LONGEST_SILENCE
    _timer: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Any) -> None:
        """Begin to wait for the first request."""
        super().connection_made(transport)
        self._watch()

    def data_received(self, data: bytes) -> None:
        """Read on; the clock runs only while no request is being answered."""
        super().data_received(data)
        self._watch()

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop the clock."""
        self._stop()
        super().connection_lost(exc)

    def _watch(self) -> None:
        if not self._waiting():
            self._stop()
        elif self._timer is None:
            self._timer = self.loop.call_later(self.silence, self._give_up)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _give_up(self) -> None:
        self._timer = None
        if self._waiting() and not self.transport.is_closing():
            self.transport.close()

    def _waiting(self) -> bool:
        # Either no request has been asked in full, or it is answered and what nobody wants to read is still coming in.
        return self.conn.their_state is h11.IDLE or self.conn.our_state is h11.DONE
