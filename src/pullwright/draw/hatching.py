"""One hatch per kind of time, the same in every bar, told apart without colour."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.draw.ink import INK
from pullwright.line.kinds import KINDS, KindKey


@dataclass(frozen=True, slots=True)
class Hatch:
    """A tile that repeats: its width and height, its strokes as path commands, their weight, and what it looks like."""

    width: float
    height: float
    strokes: str
    weight: float
    looks: str


HATCHES: dict[KindKey, Hatch] = {
    "value": Hatch(0, 0, "", 0, "solid ink"),
    "needed": Hatch(8, 8, "M-1 1l2-2M-1 5l6-6M-1 9l10-10M3 9l6-6M7 9l2-2", 1.1, "close rising lines"),
    "waiting": Hatch(12, 12, "M3 3h0M9 3h0M3 9h0M9 9h0", 1.7, "sparse dots"),
    "moving": Hatch(8, 8, "M0 2h8M0 6h8", 1.0, "level lines"),
    "motion": Hatch(10, 9, "M2.5 1.5v6M7.5 1.5v6", 1.2, "upright dashes"),
    "extra": Hatch(7, 7, "M0 0l7 7M0 7l7-7", 0.9, "crossed lines"),
    "again": Hatch(8, 8, "M-2-2l12 12M-2 6l4 4M6-2l4 4", 2.2, "heavy falling lines"),
    "ahead": Hatch(8, 8, "M2 2h4v4h-4z", 1.0, "small open squares"),
    "unexplained": Hatch(0, 0, "", 0, "blank, with a dashed edge"),
}
"""In the order and with the keys of `pullwright.line.kinds.KINDS`."""

ORDER: dict[KindKey, int] = {kind.key: place for place, kind in enumerate(KINDS)}


def pattern(kind: KindKey, name: str) -> str:
    """The SVG pattern of a kind's hatch under this id."""
    hatch = HATCHES[kind]
    return (
        f'<pattern id="{name}" width="{hatch.width:g}" height="{hatch.height:g}" patternUnits="userSpaceOnUse">'
        f'<path d="{hatch.strokes}" fill="none" stroke="{INK}" stroke-width="{hatch.weight:g}" '
        'stroke-linecap="round"/></pattern>'
    )
