"""Pages drawn from templates: everything is escaped, a missing variable is an error, nothing is loaded from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from functools import cached_property
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

import pullwright
from pullwright.web.assets import Assets
from pullwright.web.excerpt import MOST_FAULTS, excerpt
from pullwright.web.hatch import hatch_key, hatch_tiles
from pullwright.web.pieces import Page
from pullwright.web.seal import SEAL_FIELD, SEAT_COOKIE, Seal, known_seat

TEMPLATES = Path(__file__).parent / "templates"


def twin(path: str) -> str:
    """Return the address of the figures of a page.

    >>> twin("/"), twin("/lines/valve")
    ('/index.json', '/lines/valve.json')
    """
    return "/index.json" if path == "/" else f"{path}.json"


def bound(text: str) -> str:
    """Return a sentence in which no number is parted from its unit at the end of a line.

    >>> bound("62 s for a takt of 58.7 s").count(chr(160))
    2
    """
    return re.sub(r"(?<=\d) (?=[A-Za-z%]{1,3}\b|%)", "\u00a0", text)


def drawn(svg: str) -> Markup:
    """Return a drawing of our own as it stands: the room that draws has escaped every name in it.

    >>> str(drawn("<svg></svg>"))
    '<svg></svg>'
    """
    if not svg.startswith("<svg"):
        raise ValueError("this is no drawing; text is written into a page as it is")
    return Markup(svg)  # noqa: S704


def moment(when: datetime) -> str:
    """Return a moment as people here write it, in the clock of this machine.

    >>> moment(datetime(2025, 3, 4, 7, 5))
    '4 Mar 2025, 07:05'
    """
    local = when.astimezone() if when.tzinfo else when
    return f"{local.day} {local:%b %Y, %H:%M}"


class Shell:
    """What the frame of a page takes beside the page itself: its address, its twin, its status, and the seal for its forms."""

    def __init__(self, request: Request, seal: Seal, status: int) -> None:
        self.status = status
        self.path = request.url.path
        self.query = request.url.query
        self._sent_seat = request.cookies.get(SEAT_COOKIE)
        self._seal = seal
        self.seal_field = SEAL_FIELD
        self.new_seat: str | None = None

    @cached_property
    def figures(self) -> str:
        """The address of the same page for programs."""
        return twin(self.path) + (f"?{self.query}" if self.query else "")

    @cached_property
    def seal(self) -> str:
        """The seal for the forms of this page.

        A seat is given only when a form is drawn: a visit that follows a link from elsewhere brings no cookie, and a new
        one would break the forms that are open in other windows.
        """
        seat = self._sent_seat
        if seat is None or not known_seat(seat):
            seat = self.new_seat = self._seal.new_seat()
        return self._seal.token(seat)


class Look:
    """Draws pages; `assets` are the files of our own, `seal` signs the forms."""

    def __init__(self, assets: Assets, seal: Seal) -> None:
        self.assets = assets
        self.seal = seal
        self.templates = Environment(
            loader=FileSystemLoader(TEMPLATES),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
        )
        self.templates.globals.update(
            asset=assets.address,
            version=pullwright.__version__,
            hatch=hatch_key,
            hatch_tiles=hatch_tiles(),
            excerpt=excerpt,
            most_faults=MOST_FAULTS,
        )
        self.templates.filters["moment"] = moment
        self.templates.filters["bound"] = bound
        self.templates.filters["drawn"] = drawn

    def page(
        self,
        request: Request,
        template: str,
        page: Page,
        *,
        status: int = 200,
        headers: Mapping[str, str] | None = None,
        **variables: object,
    ) -> HTMLResponse:
        """Draw a page; a browser that is shown a form for the first time gets its seat with it."""
        shell = Shell(request, self.seal, status)
        html = self.templates.get_template(template).render(page=page, shell=shell, **variables)
        response = HTMLResponse(html, status, headers=dict(headers or {}))
        if shell.new_seat is not None:
            response.set_cookie(
                SEAT_COOKIE,
                shell.new_seat,
                path="/",
                secure=request.url.scheme == "https",
                httponly=True,
                samesite="strict",
            )
        return response
