"""How a page is added: one view function gives a frozen model; the page and its `.json` twin are two drawings of it.

    pages = Pages(app, look)
    pages.page("/lines/{key}/hours", hours, "hours.html")
    pages.form("/lines/{key}/edit", edit, "edit.html", form=EDIT, act=save)

A view is an ordinary function: `def hours(key: Key, desk: AtDesk) -> HoursPage`. Its parameters are read from the
address and checked, it returns a subclass of `Page`, and it raises `Problem` when there is nothing to show. A view that
belongs to a form returns a `FormPage`. An act gets the same model, what was typed, and the desk; it returns where to go
next (`Done`), or the form with messages (`filled.back(...)`), which the person then finds as they left it.
"""
# Annotations stay objects here (no `from __future__ import annotations`): the framework has to see the view in them.

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, TypeVar

from fastapi import Depends, FastAPI
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Filled, Form
from pullwright.web.guard import COMES_BACK, GuardedRoute
from pullwright.web.pieces import Found, Page
from pullwright.web.problems import wants_json
from pullwright.web.render import Look, twin

UNSEALED = (
    "Nothing was changed yet: this form had been open for too long. Look it over and send it once more; "
    "what you typed is still here."
)


class FormPage(Page):
    """A page with a form; `start` holds what stands in the fields when it is opened."""

    start: dict[str, str] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Done:
    """A form was taken; the browser goes to this address of ours next."""

    address: str

    def __post_init__(self) -> None:
        if not self.address.startswith("/") or self.address.startswith(("//", "/\\")):
            raise ValueError(f"{self.address!r} is no address of ours; it begins with one slash")


P = TypeVar("P", bound=FormPage)


class Pages:
    """Adds pages and forms to an application, each with its twin for programs."""

    def __init__(self, app: FastAPI, look: Look) -> None:
        self.app = app
        self.look = look

    def page(self, path: str, view: Callable[..., Page], template: str) -> None:
        """Add a page: HTML at `path`, the same figures at its twin."""
        look = self.look

        def drawn(request: Request, page: Annotated[Page, Depends(view)]) -> Response:
            return look.page(request, template, page)

        self._twin(path, view)
        self._add(path, drawn, view, "page", "GET")

    def form(
        self,
        path: str,
        view: Callable[..., P],
        template: str,
        *,
        form: Form,
        act: Callable[[P, Filled, Desk], Done | Filled],
    ) -> None:
        """Add a page with a form; its template also gets `form` (Filled)."""
        look = self.look

        def drawn(request: Request, page: Annotated[P, Depends(view)]) -> Response:
            return look.page(request, template, page, form=form.filled(page.start))

        async def sent(request: Request, page: Annotated[P, Depends(view)], desk: AtDesk) -> Response:
            filled = form.read(request.state.sheet).checked()
            if not request.state.sealed:
                filled = filled.back(status=403, notice=UNSEALED)
            if not filled.sent_back:
                outcome = await run_in_threadpool(act, page, filled, desk)
                if isinstance(outcome, Done):
                    return RedirectResponse(outcome.address, status_code=303)
                filled = outcome
            if wants_json("", request.headers.get("accept", "")):
                raise filled.problem()
            page = page.model_copy(update={"found": Found(text=filled.finding(), look=True)})
            return await run_in_threadpool(look.page, request, template, page, status=filled.status, form=filled)

        setattr(sent, COMES_BACK, True)
        self._twin(path, view)
        self._add(path, drawn, view, "page", "GET")
        self._add(path, sent, view, "send", "POST", body=form.schema())

    def _twin(self, path: str, view: Callable[..., Page]) -> None:
        # Before the page itself: a key in the address would otherwise swallow the ending.
        self.app.router.add_api_route(
            twin(path),
            view,
            methods=["GET"],
            operation_id=f"{view.__name__}_figures",
            summary=f"{_summary(view)} (figures)",
            description=view.__doc__,
            response_description="The figures of the page",
            route_class_override=GuardedRoute,
        )

    def _add(
        self,
        path: str,
        endpoint: Callable[..., Any],
        view: Callable[..., Page],
        part: str,
        method: str,
        body: dict[str, object] | None = None,
    ) -> None:
        self.app.router.add_api_route(
            path,
            endpoint,
            methods=[method],
            operation_id=f"{view.__name__}_{part}",
            summary=f"{_summary(view)} ({part})",
            description=view.__doc__,
            response_model=None,
            response_class=HTMLResponse if method == "GET" else RedirectResponse,
            status_code=200 if method == "GET" else 303,
            response_description="The page" if method == "GET" else "Taken; the answer names the page to open next",
            openapi_extra={"requestBody": body} if body else None,
            route_class_override=GuardedRoute,
        )


def _summary(view: Callable[..., Page]) -> str:
    return view.__name__.replace("_", " ").capitalize()
