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
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
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
from pullwright.web.seal import SEAL_FIELD

UNSEALED = (
    "Nothing was changed yet: this form had been open for too long. Look it over and send it once more; "
    "what you typed is still here."
)


ANY_FORM: dict[str, object] = {
    "required": True,
    "content": {
        "multipart/form-data": {
            "schema": {
                "type": "object",
                "properties": {SEAL_FIELD: {"type": "string"}},
                "required": [SEAL_FIELD],
                "additionalProperties": {"type": "string"},
            }
        }
    },
}
"""How a form is described whose fields depend on what it is about."""
SHOWN_AGAIN: dict[int | str, dict[str, object]] = {
    200: {
        "description": "Nothing was kept; the page is shown again",
        "content": {"text/html": {"schema": {"type": "string"}}, "application/json": {"schema": {"type": "object"}}},
    }
}


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

    def file(self, path: str, view: Callable[..., Response], media_type: str) -> None:
        """Add a file to be taken away; the view returns it as a Response of this kind."""
        self.app.router.add_api_route(
            path,
            view,
            methods=["GET"],
            operation_id=view.__name__,
            summary=_summary(view),
            description=view.__doc__,
            response_class=Response,
            responses={200: {"description": "The file", "content": {media_type: {"schema": {}}}}},
            route_class_override=GuardedRoute,
        )

    def form(
        self,
        path: str,
        view: Callable[..., P],
        template: str,
        *,
        form: Form | Callable[[P], Form],
        act: Callable[[P, Filled, Desk], Done | Filled],
        look_over: Callable[[P, Filled, Desk], Filled] | None = None,
    ) -> None:
        """Add a page with a form; its template also gets `form` (Filled).

        Where the fields depend on the page, `form` is a function of it. An act that hands the form back with status 200
        shows the page again, with what it puts `beside` the form. `look_over` gets a form that goes back before it came to
        the act, to put beside it what the page then shows.
        """
        look = self.look

        def form_of(page: P) -> Form:
            return form if isinstance(form, Form) else form(page)

        def drawn(request: Request, page: Annotated[P, Depends(view)]) -> Response:
            return look.page(request, template, page, form=form_of(page).filled(page.start))

        async def sent(request: Request, page: Annotated[P, Depends(view)], desk: AtDesk) -> Response:
            read = await run_in_threadpool(form_of(page).read, request.state.sheet)
            filled = read.checked()
            if not request.state.sealed:
                filled = filled.back(status=403, notice=UNSEALED)
            if filled.sent_back and look_over is not None:
                filled = await run_in_threadpool(look_over, page, filled, desk)
            if not filled.sent_back:
                outcome = await run_in_threadpool(act, page, filled, desk)
                if isinstance(outcome, Done):
                    return RedirectResponse(outcome.address, status_code=303)
                filled = outcome
            to_program = wants_json("", request.headers.get("accept", ""))
            if to_program and filled.sent_back:
                raise filled.problem()
            found = Found(text=filled.finding(), look=filled.sent_back)
            page = page.model_copy(update={"found": found, **filled.beside})
            if to_program:
                return JSONResponse(page.model_dump(mode="json"))
            return await run_in_threadpool(look.page, request, template, page, status=filled.status, form=filled)

        setattr(sent, COMES_BACK, True)
        self._twin(path, view)
        self._add(path, drawn, view, "page", "GET")
        self._add(path, sent, view, "send", "POST", body=form.schema() if isinstance(form, Form) else ANY_FORM)

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
            responses=SHOWN_AGAIN if body else None,
            openapi_extra={"requestBody": body} if body else None,
            route_class_override=GuardedRoute,
        )


def _summary(view: Callable[..., object]) -> str:
    return view.__name__.replace("_", " ").capitalize()
