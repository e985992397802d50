"""The fence around everything: whatever goes wrong further in, the visitor gets a page that says what to do next."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable
from http import HTTPStatus
from typing import Any

from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from pullwright.web.pieces import Crumb, Found, ProblemPage
from pullwright.web.problems import PROBLEM_JSON, PROBLEMS, Problem, Wrong, wants_json
from pullwright.web.render import Look

LOG = logging.getLogger("pullwright.web")
Translator = Callable[[Exception], Problem | None]
"""Turns an error of another room into a problem; None when it does not know the error."""


_LOOK_AT_ADDRESS = "Correct the entries named below in the address, or start from the first page."


def reference() -> str:
    """Return a short name under which one failure is found again in the log."""
    return f"{secrets.token_hex(2)}-{secrets.token_hex(2)}".upper()


def _words(location: tuple[object, ...]) -> str:
    return ".".join(str(part) for part in location[1:]) or str(location[0] if location else "request")


SAID = {
    "missing": "it is missing; give it in the address",
    "int_parsing": "a whole number is wanted, such as 2",
    "int_from_float": "a whole number is wanted, such as 2",
    "greater_than_equal": "a number from {ge} up is wanted",
    "less_than_equal": "a number up to {le} is wanted",
    "string_pattern_mismatch": "small letters, digits and hyphens are wanted",
    "string_too_long": "at most {max_length} characters are wanted",
    "string_too_short": "at least {min_length} characters are wanted",
}
"""What is wrong with an entry of an address, in words that do not need a programmer."""


def _said(entry: dict[str, Any]) -> str:
    said = SAID.get(str(entry["type"]))
    return said.format(**entry.get("ctx", {})) if said else str(entry["msg"])


def as_problem(error: Exception, request: Request, translators: tuple[Translator, ...] = ()) -> Problem:
    """Turn any error into a problem; an unexpected one is logged with its traceback under a reference."""
    for translate in translators:
        if (problem := translate(error)) is not None:
            return problem
    if isinstance(error, Problem):
        return error
    if isinstance(error, RequestValidationError):
        wrong = tuple(Wrong(_words(entry["loc"]), _said(entry)) for entry in error.errors())
        read = "entries in the address: " + ", ".join(entry.field for entry in wrong)
        return Problem(422, read, title="Something in this address is not allowed.", todo=_LOOK_AT_ADDRESS, wrong=wrong)
    if isinstance(error, HTTPException):
        return _from_framework(error, request)
    if isinstance(error, ClientDisconnect):
        return Problem(400, "a request that broke off half-way")
    name = reference()
    LOG.error(
        "reference %s: %s %s failed",
        name,
        request.method,
        request.url.path[:200],
        exc_info=(type(error), error, error.__traceback__),
    )
    return Problem(500, "your request, whole", reference=name)


def _from_framework(error: HTTPException, request: Request) -> Problem:
    path = request.url.path[:200]
    if error.status_code == 405:
        allowed = (error.headers or {}).get("Allow", "GET, HEAD")
        methods = sorted({*allowed.split(", "), *(["HEAD"] if "GET" in allowed else [])})
        return Problem(
            405,
            f"{request.method} {path}",
            allowed=f"{', '.join(methods)} at this address.",
            headers={"Allow": ", ".join(methods)},
        )
    if error.status_code == 404:
        return Problem(404, f"the address {path}")
    if error.status_code in PROBLEMS:
        return Problem(error.status_code, str(error.detail).rstrip("."), headers=error.headers)
    phrase = HTTPStatus(error.status_code).phrase
    return Problem(error.status_code, f"{request.method} {path}: {phrase}", headers=error.headers)


class ProblemAnswers:
    """Renders a problem, as a page for people and as problem JSON (RFC 9457) for programs."""

    def __init__(self, look: Look, translators: tuple[Translator, ...] = ()) -> None:
        self.look = look
        self.translators = translators

    def answer(self, request: Request, error: Exception) -> Response:
        """Return the answer for an error."""
        problem = as_problem(error, request, self.translators)
        headers = {**(problem.headers or {}), "Vary": "Accept"}
        path = request.url.path
        if wants_json(path, request.headers.get("accept", "")):
            return JSONResponse(problem.as_dict(path), problem.status_code, headers=headers, media_type=PROBLEM_JSON)
        page = ProblemPage(
            name=f"Problem {problem.status_code}",
            found=Found(text=problem.title, look=True),
            trail=(Crumb(words="Lines", href="/"),),
            read=problem.read,
            allowed=problem.allowed,
            todo=problem.todo,
            wrong=tuple((entry.field, entry.message) for entry in problem.wrong),
            steps=tuple(Crumb(words=step.words, href=step.href) for step in problem.steps),
            reference=problem.reference,
        )
        try:
            return self.look.page(request, "problem.html", page, status=problem.status_code, headers=headers)
        except Exception:
            LOG.exception("the page for a problem (%s) could not be drawn", problem.slug)
            return PlainTextResponse(f"{problem.title}\n{problem.todo}\n", problem.status_code, headers=headers)

    async def handle(self, request: Request, error: Exception) -> Response:
        """Return the answer for an error that the framework hands over."""
        return self.answer(request, error)


class Fence:
    """Catches what is raised anywhere inside and answers it, so that nobody ever sees a traceback or an empty page."""

    def __init__(self, app: ASGIApp, answers: ProblemAnswers) -> None:
        self.app = app
        self.answers = answers

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on; answer what goes wrong."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started = False

        async def noting(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, noting)
        except Exception as error:
            response = self.answers.answer(Request(scope, receive), error)
            if started:
                # Half an answer is out already: only breaking off tells the browser that it is not whole.
                raise
            await response(scope, receive, send)
