"""What is written to the log: who asked for which address and what came of it; never what was typed, and no secret."""

from __future__ import annotations

import logging
import re
import traceback
from time import perf_counter

from starlette.types import ASGIApp, Message, Receive, Scope, Send

ACCESS = logging.getLogger("pullwright.web.access")
_SECRETS = (
    (
        re.compile(r"(?i)\b(cookie|set-cookie|authorization)(['\"]?\s*[:=]\s*)[^\r\n]+"),
        r"\1\2(hidden)",
    ),
    (
        re.compile(r"(?i)\b(seal|secret|password|pullwright_seat|token)(['\"]?\s*[:=]\s*['\"]?)[^\s&;,'\"]+"),
        r"\1\2(hidden)",
    ),
    (re.compile(r"(?<=[\w/.])\?[^\s\"']+"), "?(hidden)"),
)
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


def clean(text: str) -> str:
    """Return a log text without secrets, query strings and control characters.

    >>> clean("GET /compare?a=1 seal=abc")
    'GET /compare?(hidden) seal=(hidden)'
    """
    for pattern, instead in _SECRETS:
        text = pattern.sub(instead, text)
    return _CONTROL.sub("·", text)


class NoSecrets(logging.Filter):
    """Cleans every record, its traceback too, before any handler writes it."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Clean the record in place and let it through."""
        record.msg, record.args = clean(record.getMessage()), ()
        if record.exc_info and record.exc_info[1] is not None:
            record.exc_text = clean("".join(traceback.format_exception(record.exc_info[1])).rstrip())
        return True


class AccessLog:
    """Writes one line for each answer: method, path, status, milliseconds. No query string, no body, no cookie."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on and note what came of it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        status = 0
        began = perf_counter()

        async def noting(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        try:
            await self.app(scope, receive, noting)
        finally:
            # The raw path is still percent-encoded, so that nobody can write lines of their own into the log.
            path = (scope.get("raw_path") or scope["path"].encode()).decode("ascii", "backslashreplace")[:200]
            client = (scope.get("client") or ("unknown", 0))[0]
            taken = (perf_counter() - began) * 1000
            ACCESS.info("%s %s %s %s %.0f ms", client, scope["method"], clean(path), status or "no answer", taken)


def hide_secrets() -> None:
    """Clean what this room and the web server log, in whatever handlers they have."""
    for name in ("pullwright.web", "pullwright.web.access", "uvicorn", "uvicorn.error", "uvicorn.asgi"):
        logger = logging.getLogger(name)
        if not any(isinstance(known, NoSecrets) for known in logger.filters):
            logger.addFilter(NoSecrets())
