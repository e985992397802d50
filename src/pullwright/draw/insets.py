"""How far the flow is set in when it runs down the page: room for its loops beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.draw.loops import lanes_of
from pullwright.draw.scene import LinePicture

EDGE = 12.0
_LANE = 11.0
_FROM_LANES = 8.0
_MOST_ROOM = 140.0


@dataclass(frozen=True, slots=True)
class Inset:
    """line: where a flow runs down; lane: from one of its loops to the next."""

    line: float
    lane: float


def inset_of(pictures: Sequence[LinePicture]) -> Inset:
    """The inset that has room for the deepest loops of all flows; very many loops are drawn closer together."""
    flows = [branch for picture in pictures for branch in picture.branches]
    deep = max((lane.depth + 1 for branch in flows for lane in lanes_of(branch.loops)), default=0)
    lane = min(_LANE, _MOST_ROOM / deep) if deep else _LANE
    return Inset(EDGE + _FROM_LANES + lane * deep, lane)
