"""The flows that join the main one, as rows of a table: for sheets on which there is no room to draw them."""

from __future__ import annotations

import math
from typing import Any

from pullwright.draw.axis import station_numbers
from pullwright.draw.hatching import ORDER
from pullwright.draw.ink import INK, LINE, LOOK
from pullwright.draw.little_room import how_long, in_pieces
from pullwright.draw.scene import Branch, LinePicture, Pile, StationColumn
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import flow_called, same_station, where_to
from pullwright.figure import Figure
from pullwright.flow.in_days import in_days
from pullwright.paper.page import FACE
from pullwright.paper.words import figure_words, printable
from pullwright.survey import Survey

BAR_WIDTH = 130.0
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
                "name": printable(flow_called(picture, place)),
                "into": printable(where_to(picture, place)),
                "lead": _lead(survey, chain.lead, currency),
                "stations": [_station(picture, branch, *one, most, currency) for one in columns],
                "after": _stock(branch.after, currency) if branch.after else [],
            }
        )
    return flows


def _station(
    picture: LinePicture, branch: Branch, number: str, column: StationColumn, most: float, currency: str
) -> dict[str, Any]:
    takt = picture.takt_of(branch)
    remark = column.beyond(takt)
    again = f"({same_station(picture, column)})" if column.same_as else ""
    return {
        "name": printable(" ".join(part for part in (number, column.name, again) if part)),
        "bar": _bar(column, takt.value, most, f"bar-{number}", beyond=remark is not None),
        "content": figure_words(column.content, currency),
        "load": figure_words(column.load, currency) if column.load else None,
        "stock": _stock(column.queue, currency) if column.queue else [],
        "words": [printable(one.word) for one in (remark, column.queue.remark if column.queue else None) if one],
    }


def _stock(pile: Pile, currency: str) -> list[dict[str, Any]]:
    """Stock as the drawing writes it, each number with the words before it."""
    told = [("", pile.pieces), ("needs", pile.needed), ("room for", pile.capacity)]
    said = [(words, in_pieces(figure, currency)) for words, figure in told if figure is not None]
    if pile.lasts_written is not None:
        said.append(("lasts", how_long(pile.lasts_written, currency)))
    return [
        {"words": words, "figure": {"value": value, "unit": unit if words in ("", "lasts") else "", "interval": ""}}
        for words, (value, unit) in said
    ]


def _lead(survey: Survey, lead: Figure, currency: str) -> dict[str, str]:
    """From one working day on people say a wait in days."""
    days = in_days(lead, survey.flow.day)
    return figure_words(days if days is not None and days.value >= 1 else lead, currency)


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
