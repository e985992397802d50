"""Pull loops under the stations: what lets work into a stretch of the flow, in shapes of our own.

Every loop runs from the station that takes (a short bar) back to the station that makes (a full dot).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pullwright.draw.ink import INK, LINE, LOOK, PENCIL, SMALL
from pullwright.draw.lettering import Row, figure_rows, height_of, remark_rows, words
from pullwright.draw.scene import Loop, LoopKind
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.draw.told import told

_UNDER_LABEL = 9.0
_MOST_TABLETS = 40
_TABLET = (3.0, 7.0)
_TABLET_PITCH = 6.5
_ROUND = 5.0


@dataclass(frozen=True, slots=True)
class LoopLook:
    """How a kind of loop is written and drawn: words before and after its number, dashes, whether the line is double."""

    before: str
    after: str
    meaning: str
    dashes: str = ""
    double: bool = False


LOOP_LOOKS: dict[LoopKind, LoopLook] = {
    "cards": LoopLook("", "cards", "cards: one small tablet for each, where there is room"),
    "cap": LoopLook("at most", "in work", "work in process is capped", double=True),
    "order": LoopLook("made to order", "", "made when an order comes", dashes="9 4"),
    "push": LoopLook("pushed by schedule", "", "pushed by schedule, whatever stands there", dashes="1 4"),
}


Label = Callable[[float], tuple[Row, ...]]
"""From the room for a loop's words to its lines."""


@dataclass(frozen=True, slots=True)
class Lane:
    """A loop and how deep it hangs: 0 is nearest to the stations."""

    loop: Loop
    depth: int


@dataclass(frozen=True, slots=True)
class Hung:
    """A loop's part within one band: the two ends (x, or None where it goes on in another band), lane and label."""

    lane: Lane
    maker_x: float | None
    taker_x: float | None
    left: float
    right: float
    label: tuple[Row, ...]


def lanes_of(loops: Sequence[Loop]) -> tuple[Lane, ...]:
    """Which loop hangs how deep? Short ones first, each as high as it can without touching another.

    >>> [lane.depth for lane in lanes_of([Loop(0, 3, "cap"), Loop(0, 1, "cards"), Loop(1, 2, "cards")])]
    [1, 0, 0]
    """
    depth: dict[int, int] = {}
    order = sorted(range(len(loops)), key=lambda index: (loops[index].taker - loops[index].maker, index))
    for index in order:
        mine = loops[index]
        taken = {depth[other] for other in depth if loops[other].maker < mine.taker and mine.maker < loops[other].taker}
        depth[index] = next(level for level in range(len(loops) + 1) if level not in taken)
    return tuple(Lane(loop, depth[index]) for index, loop in enumerate(loops))


def shift_of(end: str, depth: int) -> float:
    """How far a leg stands beside its station's middle line, so that nested loops do not cross."""
    away = 7.0 - 2.5 * min(depth, 2)
    return -away if end == "taker" else away


def loop_rows(loop: Loop, currency: str, width: float, whereto: str = "") -> tuple[Row, ...]:
    """What is written at a loop: what is out of place, its kind and number, its label.

    whereto: words behind, where the loop itself is not drawn right beside ("back from 5").
    """
    look = LOOP_LOOKS[loop.kind]
    rows = remark_rows(loop.remark, width, SMALL)
    if loop.amount is None:
        rows += words(f"{look.before} {look.after} {whereto}", width, SMALL, 3)
    else:
        unit = told(loop.amount, currency).unit
        after = "" if unit and unit in look.after else look.after
        rows += figure_rows(loop.amount, currency, width, SMALL, look.before, f"{after} {whereto}")
    return rows + words(loop.label, width, SMALL, 2, PENCIL)


def hang(lane: Lane, ends: tuple[float | None, float | None], edges: tuple[float, float], label: Label) -> Hung:
    """A loop's part in one band.

    ends: x of maker and taker in this band, None for an end that is in another; edges: left and right edge of the band;
    label: from the room there is to what is written at this part.
    """
    left = edges[0] if ends[0] is None else ends[0]
    right = edges[1] if ends[1] is None else ends[1]
    return Hung(lane, *ends, left, right, label(right - left - 2 * _ROUND))


def height_of_loops(hung: Sequence[Hung]) -> float:
    """How much room the loops of a band take."""
    return math.fsum(_lane_heights(hung))


def draw_loops(sheet: Sheet, hung: Sequence[Hung], top: float, floor: float, names: Callable[[int], str]) -> float:
    """The loops of a band under `top`; legs reach up to `floor`. Returns the bottom."""
    heights = _lane_heights(hung)
    for one in sorted(hung, key=lambda part: part.lane.depth):
        loop, bottom = one.lane.loop, top + math.fsum(heights[: one.lane.depth + 1])
        line = bottom - 6
        amount = "" if loop.amount is None else f" {told(loop.amount, sheet.currency).text}"
        about = f"From {names(loop.taker)} back to {names(loop.maker)}. {loop.label}".strip()
        with sheet.group(f"{LOOP_LOOKS[loop.kind].meaning.split(':')[0]}{amount}", about):
            sheet.block(one.left + _ROUND, line - _UNDER_LABEL + 3 - height_of(one.label), one.label)
            _trough(sheet, one, line)
    # Legs come last: they make way for every label they pass.
    for one in hung:
        line = top + math.fsum(heights[: one.lane.depth + 1]) - 6
        _legs(sheet, one, floor, line - _ROUND)
    return top + math.fsum(heights)


def tone_of(loop: Loop) -> str:
    """Ink, pencil for what is pushed, the look-here colour when something is out of place."""
    if loop.remark is not None:
        return LOOK
    return PENCIL if loop.kind == "push" else INK


def _lane_heights(hung: Sequence[Hung]) -> list[float]:
    deepest = max((one.lane.depth for one in hung), default=-1)
    return [
        max((height_of(one.label) + _UNDER_LABEL + 7 for one in hung if one.lane.depth == depth), default=0.0)
        for depth in range(deepest + 1)
    ]


def _trough(sheet: Sheet, one: Hung, line: float) -> None:
    c = coordinate
    look, tone = LOOP_LOOKS[one.lane.loop.kind], tone_of(one.lane.loop)
    for shift in (0.0, 3.0) if look.double else (0.0,):
        y = line + shift - (1.5 if look.double else 0.0)
        start = f"M{c(one.left)} {c(y)}"
        if one.maker_x is not None:
            start = f"M{c(one.left)} {c(line - _ROUND)}Q{c(one.left)} {c(y)} {c(one.left + _ROUND)} {c(y)}"
        end = f"H{c(one.right)}"
        if one.taker_x is not None:
            end = f"H{c(one.right - _ROUND)}Q{c(one.right)} {c(y)} {c(one.right)} {c(line - _ROUND)}"
        sheet.path(start + end, tone, LINE, dashes=look.dashes, cap="round" if look.dashes else "")
    for x, joined in ((one.left, one.maker_x), (one.right, one.taker_x)):
        if joined is None:
            for step in range(3):
                sheet.dot(x + (step - 1) * 4, line + 4.5, 0.9, tone)
    _tablets(sheet, one, line, tone)


def _tablets(sheet: Sheet, one: Hung, line: float, tone: str) -> None:
    loop = one.lane.loop
    if loop.kind != "cards" or loop.amount is None or one.maker_x is None or not loop.amount.value <= _MOST_TABLETS:
        return
    count = math.ceil(loop.amount.value - 1e-9)
    if count * _TABLET_PITCH > one.right - one.left - 4 * _ROUND:
        return
    for place in range(count):
        left = one.left + 2 * _ROUND + place * _TABLET_PITCH
        sheet.rect(left, line - _TABLET[1] / 2, *_TABLET, tone)


def _legs(sheet: Sheet, one: Hung, floor: float, bottom: float) -> None:
    look, tone = LOOP_LOOKS[one.lane.loop.kind], tone_of(one.lane.loop)
    if one.maker_x is not None:
        sheet.upright(one.maker_x, floor + 4, bottom, tone, LINE, look.dashes)
        sheet.dot(one.maker_x, floor + 4, 2.6, tone)
    if one.taker_x is not None:
        sheet.upright(one.taker_x, floor + 4, bottom, tone, LINE, look.dashes)
        sheet.line(one.taker_x - 4, floor + 4, one.taker_x + 4, floor + 4, tone, 2.0)
