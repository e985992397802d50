"""A line as a page opens it: its latest revision, an earlier one, or an example; the same pages show all three."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Annotated, Any, TypeVar, get_type_hints

from fastapi import Depends, Path
from starlette.responses import Response

from pullwright.examples import Example
from pullwright.figure import Figure
from pullwright.record import Revision
from pullwright.survey import Survey
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Filled, Form
from pullwright.web.inked import inked
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Crumb, Notice, Page, Shown
from pullwright.web.problems import NextStep, Problem, Wrong
from pullwright.web.shelf import WorkedOut
from pullwright.web.way import Way, example_way, line_way

Key = Annotated[str, Path(description="The key of a line, as its address shows it.", examples=["hand-pump"])]
Number = Annotated[int, Path(ge=1, le=1_000_000_000, description="The number of a revision.", examples=[1])]
T = TypeVar("T")
P = TypeVar("P", bound=FormPage)
MOST_TOLD = 12
"""Faults that are told on a page which cannot show anything else."""


@dataclass(frozen=True)
class Opened:
    """One text of a line on its way to a page. `revision` is None for an example, `earlier` says that a later one is there."""

    title: str
    way: Way
    worked_out: WorkedOut
    latest: int = 0
    revision: Revision | None = None
    earlier: bool = False
    key: str = ""

    @property
    def survey(self) -> Survey:
        """Everything that is worked out; Problem (422) when the text is no line file."""
        survey = self.worked_out.survey
        if survey is None:
            raise self.unreadable()
        return survey

    @property
    def line_way(self) -> Way:
        """The way to the latest revision of this line."""
        return line_way(self.key) if self.revision else self.way

    def show(self, figure: Figure, *, look: str = "", words: str = "") -> Shown:
        """Return what a page shows of one of its figures, with the way to its why."""
        return inked(figure, why=self.way.why(figure.name), currency=self.survey.line.currency, look=look, words=words)

    def trail(self, *, inside: bool = True) -> tuple[Crumb, ...]:
        """Return the way to a page of this line; `inside` is False for the page of the line itself."""
        first = Crumb(words="Lines", href="/") if self.revision else Crumb(words="Examples", href="/examples")
        here = (Crumb(words=self.title, href=self.line_way.base),)
        then = (
            (Crumb(words=f"Revision {self.revision.number}", href=self.way.base),)
            if self.earlier and self.revision
            else ()
        )
        crumbs = (first, *here, *then)
        return crumbs if inside else crumbs[:-1]

    def places(self, here: str) -> tuple[Crumb, ...]:
        """Return the pages beside a page of this line; `here` is the words of the page itself."""
        found = [("Line", self.way.base), *((words, self.way.part(part)) for words, part in _PARTS)]
        if self.revision is not None:
            found.insert(_WATCH_AT, ("Watch", self.line_way.part("watch")))
            found += [(words, self.line_way.part(part)) for words, part in _CHANGING]
        return tuple(Crumb(words=words, href=href, here=words == here) for words, href in found)

    def notices(self) -> tuple[Notice, ...]:
        """Return what has to be said on every page of this text: that it is made up, or that a later one is there."""
        found = []
        if self.earlier and self.revision is not None:
            found.append(
                Notice(
                    words=f"Revision {self.revision.number}, an earlier one.",
                    text=f"The latest is revision {self.latest}.",
                    href=self.line_way.base,
                    link="Open the latest",
                )
            )
        survey = self.worked_out.survey
        if survey is not None and survey.line.invented:
            found.append(Notice(words="Invented.", text="This line is made up, for trying things out."))
        return tuple(found)

    def unreadable(self) -> Problem:
        """Return the problem of a text that is no line file, with its first faults and where it is put right."""
        told = self.worked_out
        count = len(told.faults) + told.more_faults
        shown = told.faults[:MOST_TOLD]
        wrong = tuple(Wrong(f"line {fault.line}" if fault.line else fault.field, str(fault)) for fault in shown)
        steps = [NextStep("Read the text", self.way.part("text"))]
        if self.revision is not None:
            steps.insert(0, NextStep("Put it right as text", self.line_way.part("edit")))
        return Problem(
            422,
            f"a text with {count} {'fault' if count == 1 else 'faults'}",
            title=f"{self.title} cannot be worked out: its text is no line file that can be read.",
            allowed="A line file; the first faults are named below." if len(shown) < count else "A line file.",
            todo="Put the text right and save it; nothing is lost.",
            wrong=wrong,
            steps=tuple(steps),
        )


_PARTS = (
    ("Accounts", "accounts"),
    ("Flow", "flow"),
    ("Plan", "plan"),
    ("Forecast", "forecast"),
    ("All figures", "figures"),
    ("Text", "text"),
)
_WATCH_AT = 5
"""Where the page of what is watched stands among them: behind the forecast, for a line that is kept."""
_CHANGING = (
    ("Revisions", "revisions"),
    ("Change in a form", "form"),
    ("Change as text", "edit"),
)


def open_line(desk: Desk, key: str, number: int | None = None) -> Opened:
    """Open a revision of a kept line, the latest when no number is given.

    Raises the errors of the record when there is none of that key or number.
    """
    record = desk.record
    latest = record.revision(key)
    revision = latest if number is None or number == latest.number else record.revision(key, number)
    worked_out = desk.shelf.of(revision.text, f"{key}.yaml")
    desk.shelf.say(key, revision.number, worked_out)
    return Opened(
        title=record.titles(key)[-1].title,
        way=line_way(key, number),
        worked_out=worked_out,
        latest=latest.number,
        revision=revision,
        earlier=revision.number < latest.number,
        key=key,
    )


def open_example(desk: Desk, key: str) -> Opened:
    """Open an example; Problem (404) when there is none of that key."""
    example = example_of(desk, key)
    return Opened(
        title=example.title,
        way=example_way(example.key),
        worked_out=desk.shelf.of(example.text, example.file.name),
        key=example.key,
    )


def example_of(desk: Desk, key: str) -> Example:
    """Return the example of this key; Problem (404) names those that there are."""
    for example in desk.examples:
        if example.key == key:
            return example
    known = ", ".join(example.key for example in desk.examples) or "none are here"
    raise Problem(404, f"the example {key[:80]!r}", allowed=f"One of the examples: {known}.")


def latest_line(key: Key, desk: AtDesk) -> Opened:
    """Open the latest revision of a line."""
    return open_line(desk, key)


def one_revision(key: Key, number: Number, desk: AtDesk) -> Opened:
    """Open one revision of a line."""
    return open_line(desk, key, number)


def one_example(key: Key, desk: AtDesk) -> Opened:
    """Open an example."""
    return open_example(desk, key)


PLACES: tuple[tuple[str, str, Callable[..., Opened]], ...] = (
    ("/lines/{key}", "", latest_line),
    ("/lines/{key}/revisions/{number}", "_of_a_revision", one_revision),
    ("/examples/{key}", "_of_an_example", one_example),
)
"""Where the pages of one text are, what is added to the name of the view there, and how the text is opened."""


def everywhere(pages: Pages, part: str, view: Callable[..., Page], template: str) -> None:
    """Add a page of one text for the latest revision, for every earlier one, and for every example.

    The view takes its text as the parameter `opened`.
    """
    for base, added, opener in PLACES:
        pages.page(base + part, _through(view, opener, added), template)


def form_everywhere(
    pages: Pages,
    part: str,
    view: Callable[..., P],
    template: str,
    *,
    form: Form | Callable[[P], Form],
    act: Callable[[P, Filled, Desk], Done | Filled],
) -> None:
    """Add a page with a form about one text for the latest revision, for every earlier one, and for every example."""
    for base, added, opener in PLACES:
        pages.form(base + part, _through(view, opener, added), template, form=form, act=act)


def file_everywhere(pages: Pages, part: str, view: Callable[..., Response], media_type: str) -> None:
    """Add a file of one text for the latest revision, for every earlier one, and for every example."""
    for base, added, opener in PLACES:
        pages.file(base + part, _through(view, opener, added), media_type)


def _through(view: Callable[..., T], opener: Callable[..., Opened], added: str) -> Callable[..., T]:
    """Return the view with its text opened in this way."""

    @wraps(view)
    def through(*args: Any, **more: Any) -> T:
        return view(*args, **more)

    hints = get_type_hints(view, include_extras=True)
    hints["opened"] = Annotated[Opened, Depends(opener)]
    signature = inspect.signature(view)
    parameters = [entry.replace(annotation=hints[entry.name]) for entry in signature.parameters.values()]
    through.__name__ = view.__name__ + added
    through.__signature__ = signature.replace(  # type: ignore[attr-defined]
        parameters=parameters, return_annotation=hints["return"]
    )
    return through
