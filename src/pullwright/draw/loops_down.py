"""Pull loops beside a line that runs down the page."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from pullwright.draw.ink import HAIR, LINE
from pullwright.draw.insets import Inset
from pullwright.draw.loops import LOOP_LOOKS, lanes_of, shift_of, tone_of
from pullwright.draw.scene import Loop
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.draw.told import told

_TABLET = (7.0, 3.0)
_TABLET_PITCH = 6.5


def draw_loops_down(
    sheet: Sheet,
    loops: Sequence[Loop],
    inset: Inset,
    start: float,
    places: Sequence[float],
    names: Callable[[int], str],
) -> None:
    """The loops left of a flow's line; `places` are the heights of its stations and of its end."""
    for lane in lanes_of(loops):
        loop, look, tone = lane.loop, LOOP_LOOKS[lane.loop.kind], tone_of(lane.loop)
        spine = inset.line
        x = spine - inset.lane * (lane.depth + 0.73)
        above = start if loop.maker == -1 else places[loop.maker] + shift_of("maker", lane.depth)
        below = places[loop.taker] + shift_of("taker", lane.depth)
        amount = "" if loop.amount is None else f" {told(loop.amount, sheet.currency).text}"
        about = f"From {names(loop.taker)} back to {names(loop.maker)}. {loop.label}".strip()
        with sheet.group(f"{look.meaning.split(':')[0]}{amount}", about):
            for shift in (-1.5, 1.5) if look.double else (0.0,):
                c = coordinate
                sheet.path(
                    f"M{c(spine)} {c(above)}H{c(x + shift + 4)}Q{c(x + shift)} {c(above)} {c(x + shift)} {c(above + 4)}"
                    f"V{c(below - 4)}Q{c(x + shift)} {c(below)} {c(x + shift + 4)} {c(below)}H{c(spine)}",
                    tone,
                    HAIR if look.double else LINE,
                    dashes=look.dashes,
                    cap="round" if look.dashes else "",
                )
            sheet.dot(spine, above, 2.6, tone)
            sheet.line(spine, below - 4, spine, below + 4, tone, 2.4)
            _tablets(sheet, loop, x, above, below, tone)


def _tablets(sheet: Sheet, loop: Loop, x: float, above: float, below: float, tone: str) -> None:
    if loop.kind != "cards" or loop.amount is None or not math.isfinite(loop.amount.value):
        return
    count = math.ceil(loop.amount.value - 1e-9)
    if count * _TABLET_PITCH > below - above - 20:
        return
    for place in range(count):
        sheet.rect(x - _TABLET[0] / 2, above + 10 + place * _TABLET_PITCH, *_TABLET, tone)
