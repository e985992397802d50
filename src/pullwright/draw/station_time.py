"""Where a station's time goes: one bar a station, all of them to one scale, in pencil greys and hatches of their own.

Work stands dark at the left; what keeps a station from working follows, each in its own hatch, never in a hue.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.draw.ink import BODY, HAIR, INK, PENCIL, SMALL, SYSTEM_FONT
from pullwright.draw.lettering import Row, Run, one_line, words
from pullwright.draw.scene import FigureLike, SceneError, WhyLink
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.draw.told import asked_once

GREY = "#b9b3a5"
"""A light pencil for strokes that fill a field; never text."""


@dataclass(frozen=True, slots=True)
class Grain:
    """How a row of the time is filled: a ground, and strokes on a tile of 8 by 8, each with its tone and weight."""

    ground: str
    strokes: str = ""
    tone: str = INK
    weight: float = 1.0


GRAINS: tuple[tuple[str, Grain], ...] = (
    ("working", Grain(INK)),
    ("set up", Grain("none", "M-2 6l8-8M2 10l8-8", INK, 1.6)),
    ("repaired", Grain("none", "M0 0l8 8M0 8l8-8", INK, 1.1)),
    ("held", Grain("none", "M2 0v8M6 0v8", PENCIL, 1.3)),
    ("out of its shifts", Grain("none", "M0 4h8", GREY, 1.0)),
    ("without people", Grain("none", "M2 2h0M6 6h0", INK, 2.2)),
    ("short of a part", Grain("none", "M1 1h4v4h-4z", PENCIL, 1.0)),
    ("not asked", Grain("none", "M-2 2l8 8M2-2l8 8", GREY, 1.0)),
    ("starved", Grain("none")),
)
"""The rows of a station's time in their order, each with its own look; the last one is blank paper."""


@dataclass(frozen=True, slots=True)
class StationTime:
    """One station: its name and the shares of its time, by row; a figure for each, adding up to 1."""

    name: str
    shares: tuple[tuple[str, FigureLike], ...]

    def __post_init__(self) -> None:
        known = {row for row, _ in GRAINS}
        for row, _ in self.shares:
            if row not in known:
                raise SceneError(f"{row!r} is no row of a station's time; they are {', '.join(sorted(known))}")


_BAR, _GAP, _EDGE = 15.0, 7.0, 2.0


@asked_once()
def station_time(
    stations: Sequence[tuple[str, Sequence[StationTime]]],
    *,
    width: float = 1200.0,
    prefix: str = "time",
    why_link: WhyLink | None = None,
    why_links: Sequence[WhyLink] = (),
    title: str = "Where each station's time goes",
    font: str = SYSTEM_FONT,
) -> str:
    """Where does each station's time go, of today and of an option?

    Parameters: pairs of a label ("today", "option"; empty for one alone) and its stations in the same order; width in drawing units; prefix of every
    id; `why_link` from a figure's name to the address of its why (`why_links`: one for each label). Result: SVG text.
    """
    sheet = Sheet(prefix, why_link=why_link, font=font)
    narrow = width < 600
    left = (
        _EDGE
        if narrow
        else min(max((_width(one.name) for _, rows in stations for one in rows), default=0.0) + 16, 260.0)
    )
    label = max((_width(words) for words, _ in stations), default=0.0) + 8 if len(stations) > 1 else 0.0
    left += label
    y = _legend(sheet, _used(stations), 8.0, width) + 10
    count = len(stations[0][1]) if stations else 0
    for place in range(count):
        first = stations[0][1][place]
        if narrow:
            y = sheet.block(_EDGE, y, words(first.name, width - 2 * _EDGE, BODY, 2)) + 2
        for turn, (said, rows) in enumerate(stations):
            if why_links:
                sheet.why_link = why_links[turn]
            if not narrow and turn == 0:
                sheet.write(_EDGE, y, one_line(first.name, left - label - 14, BODY))
            if said:
                sheet.write(left - 8, y + 1, Row((Run(said, PENCIL),), SMALL), "end")
            _bar(sheet, rows[place], left, y, width - left - _EDGE)
            y += _BAR + 3
        y += _GAP
    return _with_grains(sheet, width, max(y, 20.0), title, _used(stations))


def _width(text: str) -> float:
    return Row((Run(text),), BODY).width


def _used(stations: Sequence[tuple[str, Sequence[StationTime]]]) -> tuple[str, ...]:
    there = {row for _, each in stations for one in each for row, share in one.shares if share.value > 0}
    return tuple(row for row, _ in GRAINS if row in there)


def _name(sheet: Sheet, row: str) -> str:
    return f"{sheet.prefix}-grain-{row.replace(' ', '-')}"


def _fill(sheet: Sheet, row: str, left: float, top: float, width: float, height: float) -> None:
    grain = dict(GRAINS)[row]
    fill = grain.ground if not grain.strokes else f"url(#{_name(sheet, row)})"
    c = coordinate
    sheet.path(f"M{c(left)} {c(top)}h{c(width)}v{c(height)}h{c(-width)}z", INK, HAIR, fill=fill)


def _bar(sheet: Sheet, one: StationTime, left: float, top: float, length: float) -> None:
    at = left
    for row, share in one.shares:
        long = min(share.value, 1.0) * length
        if long <= 0:
            continue
        with sheet.figure(share, f"{one.name}: {row}"):
            # A blank field is still a field that can be pointed at.
            sheet.rect(at, top, long, _BAR, "transparent")
            _fill(sheet, row, at, top, long, _BAR)
        at += long


def _legend(sheet: Sheet, rows: Sequence[str], top: float, width: float) -> float:
    x, y = _EDGE, top
    for row in rows:
        long = 34 + _width(row) + 18
        if x > _EDGE and x + long > width:
            x, y = _EDGE, y + 20
        _fill(sheet, row, x, y + 1, 24, 12)
        sheet.write(x + 30, y, Row((Run(row),), SMALL))
        x += long
    return y + 20


def _with_grains(sheet: Sheet, width: float, height: float, title: str, rows: Sequence[str]) -> str:
    grains = dict(GRAINS)
    tiles = "".join(
        f'<pattern id="{_name(sheet, row)}" width="8" height="8" patternUnits="userSpaceOnUse"><path d="{grains[row].strokes}" fill="none" '
        f'stroke="{grains[row].tone}" stroke-width="{grains[row].weight:g}" stroke-linecap="round"/></pattern>'
        for row in rows
        if grains[row].strokes
    )
    drawn = sheet.svg(
        width,
        height,
        title,
        "One bar a station, each as long as all of its time; the rows stand in the order of the key.",
    )
    head, end, rest = drawn.partition("</desc>")
    return f"{head}{end}<defs>{tiles}</defs>{rest}"
