"""The guard at every address that changes something: is it one of our forms, and did we show it to this browser?"""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from email.message import Message
from typing import Any

from fastapi.routing import APIRoute
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute

from pullwright.web.bodies import ENCODED_FORM, LARGEST_BODY
from pullwright.web.problems import Problem
from pullwright.web.seal import SAFE_METHODS, SEAL_FIELD, SEAT_COOKIE, Seal, same_origin

FORM_KINDS = (ENCODED_FORM, "multipart/form-data")
MOST_ENTRIES = 80
COMES_BACK = "pullwright_form_comes_back"
"""Set on an endpoint that hands a form without a valid seal back, filled, instead of refusing it on a page of its own."""


def check_kind(content_type: str) -> None:
    """Let in forms whose text is UTF-8; Problem (415) for anything else.

    A sender may name any of Python's hundred encodings otherwise, some of which fail in ways of their own.

    >>> check_kind("multipart/form-data; boundary=x; charset=utf-16")
    Traceback (most recent call last):
    pullwright.web.problems.Problem: 415: Nothing was changed: what was sent is of a kind that is not read here.
    """
    message = Message()
    message["content-type"] = content_type or "nothing/named"
    kind = message.get_content_type()
    if kind not in FORM_KINDS:
        raise Problem(415, f"the Content-Type {content_type[:80]!r}" if content_type else "no Content-Type")
    charset = message.get_param("charset", "utf-8")
    if not isinstance(charset, str) or charset.strip().lower() not in ("utf-8", "utf8"):
        raise Problem(415, f"a form in the encoding {charset!r}"[:120], allowed="A form in UTF-8.")


async def let_in(request: Request, seal: Seal, *, comes_back: bool) -> None:
    """Check a request that changes something; afterwards `request.state.sheet` and `.sealed` are set.

    Raises Problem: 415 for a kind of content that is not read, 403 when another site sent it, or when its seal does not
    hold and the form cannot come back.
    """
    headers = request.headers
    if not same_origin(
        request.url.scheme, headers.get("host", ""), headers.get("origin"), headers.get("sec-fetch-site")
    ):
        raise Problem(403, f"a request from {headers.get('origin', 'another site')[:120]!r}")
    check_kind(headers.get("content-type", ""))
    sheet = await request.form(max_fields=MOST_ENTRIES, max_files=1, max_part_size=LARGEST_BODY)
    sent = sheet.get(SEAL_FIELD)
    request.state.sheet = sheet
    request.state.sealed = seal.holds(request.cookies.get(SEAT_COOKIE), sent if isinstance(sent, str) else None)
    if not request.state.sealed and not comes_back:
        raise Problem(
            403, "a request whose seal does not hold", todo="Open the page again and send its form once more."
        )


class GuardedRoute(APIRoute):
    """A route that calls nothing that changes anything before the guard has let the request in."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """Return the handler with the guard before it."""
        handler = super().get_route_handler()
        if not (self.methods or set()) - SAFE_METHODS:
            return handler
        comes_back = bool(getattr(self.endpoint, COMES_BACK, False))

        async def guarded(request: Request) -> Response:
            try:
                await let_in(request, request.app.state.seal, comes_back=comes_back)
                return await handler(request)
            finally:
                # Files that were sent are let go of at once, whatever came of them.
                await request.close()

        return guarded


def refuse_unguarded(routes: list[BaseRoute]) -> None:
    """Stop the start when an address changes something without the guard: RuntimeError names it."""
    for route in routes:
        methods = getattr(route, "methods", None)
        if methods is None:
            raise RuntimeError(f"{route!r}: its methods are not known; register it through Pages")
        if set(methods) - SAFE_METHODS and not isinstance(route, GuardedRoute):
            raise RuntimeError(f"{getattr(route, 'path', route)}: takes {sorted(methods)} without the guard")
