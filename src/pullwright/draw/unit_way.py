"""One unit on its way: a row for each step, the time across, what happened to the unit as fields in ink and pencil."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pullwright.draw.charts.ticks import round_ticks
from pullwright.draw.hatching import HATCHES
from pullwright.draw.ink import BODY, FAINT, HAIR, INK, PENCIL, SMALL, SYSTEM_FONT
from pullwright.draw.lettering import Row, Run, one_line, words
from pullwright.draw.letters import width_of
from pullwright.draw.scene import SceneError
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.draw.station_time import GRAINS, Grain
from pullwright.draw.told import asked_once

_LOOKS: dict[str, Grain] = {
    "is worked on": Grain(INK),
    "waits": Grain("none", HATCHES["waiting"].strokes, PENCIL, HATCHES["waiting"].weight),
    "is held": dict(GRAINS)["held"],
    "is on its way": Grain("none", HATCHES["moving"].strokes, PENCIL, HATCHES["moving"].weight),
}
_KEYS = {"is worked on": "worked on", "waits": "waits", "is held": "held", "is on its way": "on its way"}
_TILES = {"waits": HATCHES["waiting"].width, "is on its way": HATCHES["moving"].width}
_BAR, _GAP, _EDGE, _LEAST, _TICK_ROOM = 15.0, 8.0, 2.0, 2.0, 64.0
_HOURS_BELOW = 1.5
"""Working days below which the axis counts hours."""


@dataclass(frozen=True, slots=True)
class Spell:
    """From `begin` to `end` (s of working time since the unit was begun) it was `doing` at a step: waits, is worked on, is held, is on its way."""

    step: str
    doing: str
    begin: float
    end: float

    def __post_init__(self) -> None:
        if self.doing not in _LOOKS:
            raise SceneError(f"{self.doing!r} is nothing that a unit does; it {', '.join(_LOOKS)}")
        if not 0 <= self.begin <= self.end:
            raise SceneError(
                f"{self.step}: from {self.begin:g} s to {self.end:g} s was read; a spell ends after it began"
            )


@asked_once()
def unit_way(
    spells: Sequence[Spell],
    *,
    day: float,
    time_words: Callable[[float], str],
    width: float = 1200.0,
    prefix: str = "unit",
    title: str = "One unit on its way",
    font: str = SYSTEM_FONT,
) -> str:
    """Where was a unit, and when was it worked on?

    Parameters: its spells in order of time; `day`, working seconds of a working day; `time_words`, how a length of time (s) is said; width in drawing
    units; prefix of every id. Result: SVG text: a row a step in the order in which the unit came to them, all to one scale. Work is drawn at
    least as wide as a stroke. Errors: SceneError.
    """
    if not spells or not day > 0:
        raise SceneError("a unit without a spell, or a day without working time, cannot be drawn")
    paper = _Paper(Sheet(prefix, font=font), spells, day, time_words, width)
    return paper.drawn(title)


class _Paper:
    def __init__(
        self, sheet: Sheet, spells: Sequence[Spell], day: float, said: Callable[[float], str], width: float
    ) -> None:
        self.sheet, self.spells, self.said, self.width = sheet, spells, said, width
        self.steps = list(dict.fromkeys(one.step for one in spells))
        self.end = max(one.end for one in spells) or 1.0
        self.narrow = width < 600
        self.totals = {
            step: said(sum(one.end - one.begin for one in spells if one.step == step)) for step in self.steps
        }
        right = max(width_of(text, SMALL, False) for text in self.totals.values())
        longest = max(width_of(step, BODY, False) for step in self.steps)
        self.left = _EDGE if self.narrow else min(longest + 16, 260.0)
        self.right = width - (_EDGE if self.narrow else right + 14)
        hours = self.end < _HOURS_BELOW * day
        self.unit, self.each = ("working hours", 3600.0) if hours else ("working days", day)

    def at(self, seconds: float) -> float:
        return self.left + (self.right - self.left) * seconds / self.end

    def drawn(self, title: str) -> str:
        top = self._key(8.0) + 8
        head = self._axis_words(top)
        pitch = _BAR + _GAP + (18.0 if self.narrow else 0.0)
        bottom = head + 6 + pitch * len(self.steps)
        for tick in self._ticks():
            x = self.at(tick * self.each)
            self.sheet.line(x, head, x, bottom - _GAP / 2, FAINT, 0.5)
        y = head + 6
        for step in self.steps:
            self._row(step, y)
            y += pitch
        drawn = self.sheet.svg(
            self.width,
            bottom + 4,
            title,
            f"A row for each step from the first to the last; {self.unit} since the unit was begun go from left to right.",
        )
        start, end, rest = drawn.partition("</desc>")
        return f"{start}{end}<defs>{''.join(self._tile(doing) for doing in self._used())}</defs>{rest}"

    def _used(self) -> list[str]:
        there = {one.doing for one in self.spells}
        return [doing for doing in _LOOKS if doing in there]

    def _key(self, top: float) -> float:
        x, y = _EDGE, top
        for doing in self._used():
            long = 34 + width_of(_KEYS[doing], SMALL, False) + 18
            if x > _EDGE and x + long > self.width:
                x, y = _EDGE, y + 20
            self._fill(doing, x, y + 1, 24, 12)
            self.sheet.write(x + 30, y, Row((Run(_KEYS[doing]),), SMALL))
            x += long
        return y + 20

    def _ticks(self) -> list[float]:
        return round_ticks(0.0, self.end / self.each, max(int((self.right - self.left) / _TICK_ROOM), 2))

    def _axis_words(self, top: float) -> float:
        self.sheet.write(_EDGE, top, Row((Run(f"{self.unit} since it was begun", PENCIL),), SMALL))
        top += 16
        for tick in self._ticks():
            x, text = self.at(tick * self.each), Row((Run(f"{tick:g}", PENCIL),), SMALL)
            if x + text.width / 2 > self.width:
                self.sheet.write(self.width, top, text, "end")
            elif x - text.width / 2 < 0:
                self.sheet.write(x, top, text)
            else:
                self.sheet.write(x, top, text, "middle")
        return top + 16

    def _row(self, step: str, top: float) -> None:
        total = Row((Run(self.totals[step], PENCIL),), SMALL)
        if self.narrow:
            self.sheet.write(_EDGE, top, words(step, self.width - total.width - 16, BODY, 1)[0])
            self.sheet.write(self.width - _EDGE, top, total, "end")
            top += 18
        else:
            self.sheet.write(_EDGE, top, one_line(step, self.left - 12, BODY))
            self.sheet.write(self.width - _EDGE, top + 1, total, "end")
        self.sheet.line(self.left, top + _BAR, self.right, top + _BAR, FAINT, 0.5)
        # Work last: it is short, and what lies beside it must not cover it.
        mine = sorted((one for one in self.spells if one.step == step), key=lambda one: one.doing == "is worked on")
        for one in mine:
            left, right = self.at(one.begin), self.at(one.end)
            long = max(right - left, _LEAST if one.doing == "is worked on" else 0.5)
            left = min(left, self.right - long)
            said = f"{step}: {_KEYS[one.doing]} {self.said(one.end - one.begin)}, from {self._moment(one.begin)} to {self._moment(one.end)}"
            with self.sheet.group(said, "", role="img"):
                self.sheet.rect(left, top, long, _BAR, "transparent")
                self._fill(one.doing, left, top, long, _BAR)

    def _moment(self, seconds: float) -> str:
        return f"{seconds / self.each:.3g} {'h' if self.unit == 'working hours' else 'd'}"

    def _fill(self, doing: str, left: float, top: float, width: float, height: float) -> None:
        grain = _LOOKS[doing]
        fill = f"url(#{self._name(doing)})" if grain.strokes else grain.ground
        stroke = ("none", 0.0) if not grain.strokes and width < 2 * _LEAST else (INK, HAIR)
        self.sheet.rect(left, top, width, height, fill, *stroke)

    def _name(self, doing: str) -> str:
        return f"{self.sheet.prefix}-{doing.replace(' ', '-')}"

    def _tile(self, doing: str) -> str:
        grain = _LOOKS[doing]
        if not grain.strokes:
            return ""
        size = coordinate(_TILES.get(doing, 8.0))
        return (
            f'<pattern id="{self._name(doing)}" width="{size}" height="{size}" patternUnits="userSpaceOnUse"><path d="{grain.strokes}" fill="none" '
            f'stroke="{grain.tone}" stroke-width="{grain.weight:g}" stroke-linecap="round"/></pattern>'
        )
