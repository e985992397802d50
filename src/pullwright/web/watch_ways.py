"""From a number that should be surer to the page on which somebody begins to watch exactly that."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

from pullwright.figure import Figure
from pullwright.line import Line
from pullwright.line.item import LineItem
from pullwright.line.kinds import KINDS
from pullwright.line.quantity import Quantity
from pullwright.web.pieces import Crumb
from pullwright.web.way import Way

STUDY, TOUR, COUNT = "studies/new", "tours/new", "counts/new"
_RIGHT_OR_NOT = ("scrap", "first_pass_yield", "rework")
_KIND_OF = {kind.words: kind.key for kind in KINDS}
_BEFORE_THE_NAME = ("growth of the counts / ",)


def way_to_watch(figure: Figure, line: Line, way: Way) -> Crumb | None:
    """Where does somebody begin to watch this figure: a time study, a tour of rounds, a round of counting?

    None where nothing of the kind makes it surer (what a supplier asks, how long a machine runs until it breaks down).

    >>> from pullwright.figure import Source, given
    >>> found = given("looks that found waiting", 0.2, "share", Source("count", "activity sampling"))
    >>> way_to_watch(found, None, Way("/lines/hone")).href
    '/lines/hone/tours/new?seen=waiting'
    """
    name = figure.name
    for before in _BEFORE_THE_NAME:
        name = name.removeprefix(before)
    if name.startswith("looks that found"):
        kind = name.removeprefix("looks that found ")
        return _crumb("Plan a tour of rounds", way, TOUR, seen=_KIND_OF.get(kind, ""))
    if name.startswith("stores / "):
        place = _first(name, "stores / ")
        return _crumb(f"Count the stock {place}" if " " in place else f"Count the {place}", way, COUNT, store=place)
    if name.startswith("moves / "):
        move = _first(name, "moves / ")
        return _crumb(f"Measure the way {move}", way, COUNT, move=move)
    if name.startswith("study "):
        study = _study_of(name, line)
        step = _step_of_study(study, line)
        about = {"step": step} if step else {}
        return _crumb(f"Begin a time study of {step or study}", way, STUDY, **about, study=study)
    step, field = _step_in(name, line)
    if not step:
        return None
    if field.startswith(_RIGHT_OR_NOT) and not field.endswith("time"):
        return _crumb(f"Count what is not right at {step}", way, COUNT, step=step)
    return _crumb(f"Begin a time study of {step}", way, STUDY, step=step)


def _crumb(words: str, way: Way, part: str, **asked: str) -> Crumb:
    query = "&".join(f"{name}={quote(value, safe='')}" for name, value in asked.items())
    return Crumb(words=words, href=f"{way.part(part)}?{query}")


def _first(name: str, before: str) -> str:
    return name.removeprefix(before).partition(" / ")[0]


def _step_in(name: str, line: Line) -> tuple[str, str]:
    """Return the step that a figure is about and its field there; a name of a step may have a stroke in it."""
    if not name.startswith("steps / "):
        return "", ""
    rest = name.removeprefix("steps / ")
    fitting = [step.name for step in line.steps if rest == step.name or rest.startswith(f"{step.name} / ")]
    step = max(fitting, key=len, default="")
    return step, rest.removeprefix(step).removeprefix(" / ") if step else ""


def _study_of(name: str, line: Line) -> str:
    rest = name.removeprefix("study ")
    fitting = [study.name for study in line.studies if rest == study.name or rest.startswith(f"{study.name} / ")]
    return max(fitting, key=len, default=rest.partition(" / ")[0])


def _step_of_study(study: str, line: Line) -> str:
    """Return the step whose time rests on a study; nothing where none does."""
    return next((step.name for step in line.steps if study in _studies_in(step)), "")


def _studies_in(item: Any) -> Iterator[str]:
    if isinstance(item, Quantity):
        if item.study:
            yield item.study
    elif isinstance(item, LineItem):
        for field in type(item).model_fields:
            yield from _studies_in(getattr(item, field))
    elif isinstance(item, tuple):
        for one in item:
            yield from _studies_in(one)
