"""The workbench as one application: its guards in their order, its look, its pages."""

from __future__ import annotations

import secrets
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware

import pullwright
from pullwright.examples import Example
from pullwright.web import patterns
from pullwright.web.assets import Assets
from pullwright.web.bodies import BoundedBodies
from pullwright.web.desk import Desk
from pullwright.web.door import Door
from pullwright.web.fence import Fence, ProblemAnswers
from pullwright.web.guard import GuardedRoute, refuse_unguarded
from pullwright.web.headers import HeadAsGet, SafeHeaders
from pullwright.web.logs import AccessLog, hide_secrets
from pullwright.web.openapi import describe
from pullwright.web.pace import Pace, SteadyPace
from pullwright.web.pages import Pages
from pullwright.web.record_problems import record_problem
from pullwright.web.render import Look
from pullwright.web.screens import (
    accounts,
    begin,
    compare,
    counts,
    edit,
    figures,
    find,
    flow,
    forecast,
    forecast_surer,
    forecast_why,
    form,
    front,
    gallery,
    guide,
    line,
    log_columns,
    log_draft,
    log_figures,
    log_history,
    log_list,
    log_odd,
    log_rows,
    log_story,
    one_unit,
    plan,
    plan_cards_run,
    plan_into_line,
    plan_more_or_fewer,
    plan_posts,
    plan_prints,
    plan_rest,
    plan_tried,
    plan_why,
    revisions,
    sampling,
    sampling_round,
    sampling_tour,
    stopwatch,
    study,
    study_by_hand,
    study_into_line,
    study_new,
    study_notes,
    study_terms,
    text,
    watch,
    watch_into_line,
    watch_strike,
    watch_why,
    why,
)
from pullwright.web.seal import Seal

if TYPE_CHECKING:
    from pullwright.record import Record

HOSTS = ("127.0.0.1", "localhost")
ROOMS = (
    front, begin, gallery, guide, line, accounts, flow, forecast_surer, forecast_why, find, one_unit, forecast, plan_why, plan_tried, plan_into_line, plan_more_or_fewer, plan_posts, plan_prints, plan_rest, plan_cards_run, plan, why, log_list, log_odd, log_story, log_figures, log_draft, log_rows, log_history, log_columns, study_new, stopwatch, study_notes, study, study_by_hand, study_terms, study_into_line,
    watch, sampling, sampling_tour, sampling_round, counts, watch_strike, watch_into_line, watch_why, figures, text, form, edit, revisions, compare, patterns,
)  # fmt: skip
"""The modules that hold pages; each has `register(pages)`."""


def create_app(
    record: Record,
    *,
    hosts: Collection[str] = HOSTS,
    examples: Sequence[Example] = (),
    secret: bytes | None = None,
    pace: Pace | None = None,
) -> FastAPI:
    """Return the workbench over a record.

    Parameters: `record` is open and stays so while the application runs; `hosts` are the names under which it may be
    opened; `examples` are line files to start from; `secret` (32 bytes or more) signs the forms and is the same after a
    restart, None makes one for this process only; `pace` bounds how fast one client may send changes.
    Raises RuntimeError when an address that changes something has no guard.
    """
    seal = Seal(secret if secret is not None else secrets.token_bytes(32))
    assets = Assets()
    look = Look(assets, seal)
    answers = ProblemAnswers(look, (record_problem,))
    app = FastAPI(
        title="Pullwright",
        version=pullwright.__version__,
        # The framework's own documentation pages load scripts from elsewhere.
        docs_url=None,
        redoc_url=None,
        middleware=[
            Middleware(SafeHeaders),
            Middleware(AccessLog),
            Middleware(HeadAsGet),
            Middleware(Fence, answers=answers),
            Middleware(Door, hosts=tuple(hosts)),
            Middleware(SteadyPace, pace=pace or Pace()),
            Middleware(BoundedBodies),
        ],
        exception_handlers={
            HTTPException: answers.handle,
            RequestValidationError: answers.handle,
        },
    )
    app.state.seal = seal
    app.state.desk = Desk(record, tuple(examples))
    app.openapi = lambda: describe(app)  # type: ignore[method-assign]
    app.router.add_api_route(
        "/static/{hashed}", assets.serve, methods=["GET"], include_in_schema=False, route_class_override=GuardedRoute
    )
    pages = app.state.pages = Pages(app, look)
    for room in ROOMS:
        room.register(pages)
    refuse_unguarded(app.routes)
    hide_secrets()
    return app
