"""How far each flow is set in when the line runs down the page: room for its loops, and a step for every join."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.draw.loops import lanes_of
from pullwright.draw.scene import LinePicture

EDGE = 12.0
_LANE = 11.0
_STEP_IN = 18.0
_FROM_LANES = 8.0
_DEEPEST = 140.0


@dataclass(frozen=True, slots=True)
class Inset:
    """left: where a flow's room begins; line: where the flow itself runs down; lane: from one loop to the next."""

    left: float
    line: float
    lane: float


def insets_of(picture: LinePicture) -> tuple[Inset, ...]:
    """The inset of every flow; a very deep nesting is drawn closer together, so that words keep their room."""
    lines: list[float] = []
    lefts: list[float] = []
    for branch in picture.branches:
        left = 0.0 if branch.joins is None else lines[branch.into] + _STEP_IN
        deep = max((lane.depth for lane in lanes_of(branch.loops)), default=-1) + 1
        lefts.append(left)
        lines.append(left + _FROM_LANES + _LANE * deep)
    closer = min(1.0, _DEEPEST / max(lines))
    return tuple(
        Inset(EDGE + left * closer, EDGE + line * closer, _LANE * closer)
        for left, line in zip(lefts, lines, strict=True)
    )
