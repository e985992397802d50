"""The flows that join the main one, as rows of a table: for sheets on which there is no room to draw them."""

from __future__ import annotations

import math
from typing import Any

from pullwright.draw.axis import branch_letter, station_numbers
from pullwright.draw.hatching import ORDER
from pullwright.draw.ink import INK, LINE, LOOK
from pullwright.draw.scene import Branch, LinePicture, Pile, StationColumn
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import called
from pullwright.paper.page import FACE
from pullwright.paper.words import figure_words, printable
from pullwright.survey import Survey

BAR_WIDTH = 170.0
BAR_HEIGHT = 13.0
_EDGE = 2.0


def joining_flows(survey: Survey) -> list[dict[str, Any]]:
    """What is said of every flow that joins another: where it joins, how long it takes, and each of its stations."""
    picture, currency = survey.picture(), survey.line.currency
    numbers = station_numbers(picture)
    most = _longest(picture)
    flows = []
    for place, (branch, chain) in enumerate(zip(picture.branches, survey.flow.ladder.chains, strict=True)):
        if place == 0:
            continue
        columns = zip(numbers[place], branch.columns, strict=True)
        flows.append(
            {
                "name": f"{branch_letter(place)} {printable(branch.name)}",
                "into": printable(_into(picture, branch)),
                "lead": figure_words(chain.lead, currency),
                "stations": [_station(picture, branch, *one, most, currency) for one in columns],
                "after": _stock(branch.after, currency) if branch.after else [],
            }
        )
    return flows


def _into(picture: LinePicture, branch: Branch) -> str:
    return "the customer" if branch.joins is None else called(picture, branch.into, branch.joins)


def _station(
    picture: LinePicture, branch: Branch, number: str, column: StationColumn, most: float, currency: str
) -> dict[str, Any]:
    takt = picture.takt_of(branch)
    remark = column.beyond(takt)
    return {
        "name": f"{number} {printable(column.name)}",
        "bar": _bar(column, takt.value, most, f"bar-{number}", beyond=remark is not None),
        "content": figure_words(column.content, currency),
        "load": figure_words(column.load, currency) if column.load else None,
        "stock": _stock(column.queue, currency) if column.queue else [],
        "words": [printable(one.word) for one in (remark, column.queue.remark if column.queue else None) if one],
    }


def _stock(pile: Pile, currency: str) -> list[dict[str, Any]]:
    """Stock in figures, each with the words before it."""
    told = (("", pile.pieces), ("needs", pile.needed), ("room for", pile.capacity), ("lasts", pile.lasts))
    return [{"words": words, "figure": figure_words(figure, currency)} for words, figure in told if figure is not None]


def _longest(picture: LinePicture) -> float:
    times = [
        time
        for branch in picture.branches[1:]
        for time in (picture.takt_of(branch).value, *(column.content.value for column in branch.columns))
    ]
    return max((time for time in times if math.isfinite(time)), default=0.0) or 1.0


def _bar(column: StationColumn, takt: float, most: float, prefix: str, *, beyond: bool) -> str:
    """Work content lying down, to scale, with takt as an upright line."""
    sheet = Sheet(prefix, font=FACE)
    per_second = (BAR_WIDTH - 2 * _EDGE) / most
    at = _EDGE
    for segment in sorted(column.segments, key=lambda one: ORDER[one.kind]):
        width = min(segment.seconds.value * per_second, BAR_WIDTH - _EDGE - at)
        if width > 0:
            sheet.hatched(at, 2, width, BAR_HEIGHT - 4, segment.kind)
            at += width
    if beyond and at > _EDGE:
        sheet.rect(_EDGE, 2, at - _EDGE, BAR_HEIGHT - 4, "none", LOOK, 2.0)
    if takt <= most:
        x = _EDGE + takt * per_second
        sheet.line(x, 0, x, BAR_HEIGHT, INK, LINE)
    return sheet.svg(BAR_WIDTH, BAR_HEIGHT, column.name, "Work content against takt.")
