"""The scales of a drawing: one for all bars, one for all piles, one for the ribbon; shared when drawings are compared."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pullwright.draw.columns import Pile
from pullwright.draw.insets import Inset, inset_of
from pullwright.draw.ribbon_time import span
from pullwright.draw.scene import Branch, LinePicture

_CUT_WHEN = 4.0
_ROOM_OF_A_CUT_BAR = 1.6
_SIDES = (9.0, 7.5, 6.0, 5.0, 4.0)
_SIXTH = 6.0
_GROUPS = (1, 2, 5)


@dataclass(frozen=True, slots=True)
class Scales:
    """What full size stands for: bar_seconds at a full bar, most containers in a pile, lead_seconds over the ribbon.

    cells, cells_beside: of the wide layout's main flow, and of the longest of the others; inset: of the narrow layout.
    """

    bar_seconds: float
    most_containers: float
    lead_seconds: float
    cells: int
    cells_beside: int
    inset: Inset


@dataclass(frozen=True, slots=True)
class Squares:
    """How containers are drawn: side of a square and the gap to the next, containers per square, squares in a row."""

    side: float
    gap: float
    per_square: int
    in_row: int
    most_rows: int

    @property
    def pitch(self) -> float:
        """From one square to the next."""
        return self.side + self.gap


def scales_of(*pictures: LinePicture) -> Scales:
    """The scales on which all these pictures can be drawn beside one another.

    A single bar more than four times as long as the next is cut (and drawn cut), so that the others stay readable.
    """
    times = sorted(_finite(time for picture in pictures for time in _bar_times(picture)), reverse=True)
    top = times[0] if times else 0.0
    if len(times) > 1 and top > _CUT_WHEN * times[1] > 0:
        top = _ROOM_OF_A_CUT_BAR * times[1]
    piles = [count for picture in pictures for pile in piles_of(picture) for count in _counts(pile)]
    return Scales(
        bar_seconds=top if top > 0 else 1.0,
        most_containers=max(_finite(piles), default=0.0),
        lead_seconds=max(span(picture) for picture in pictures),
        cells=max(_cells(picture.branches[0]) for picture in pictures),
        cells_beside=max((_cells(flow) for picture in pictures for flow in picture.branches[1:]), default=0),
        inset=inset_of(pictures),
    )


def piles_of(picture: LinePicture) -> Iterator[Pile]:
    """Every pile of the picture."""
    for branch in picture.branches:
        yield from (column.queue for column in branch.columns if column.queue is not None)
        if branch.after is not None:
            yield branch.after


def squares_for(most_containers: float, width: float, height: float) -> Squares:
    """Which squares show the largest pile within this room? All piles of a drawing use the same.

    Squares shrink first; when even the smallest do not fit, each stands for 2, 5, 10, 20, 50 ... containers.

    >>> squares_for(12, 60, 60).per_square, squares_for(5000, 60, 60).per_square
    (1, 50)
    """
    for side in _SIDES:
        squares = _squares(side, 1, width, height)
        if most_containers <= squares.in_row * squares.most_rows:
            return squares
    step = 0
    while True:
        group = _GROUPS[step % 3] * 10 ** (step // 3)
        squares = _squares(_SIDES[-1], group, width, height)
        if most_containers / group <= squares.in_row * squares.most_rows:
            return squares
        step += 1


def _squares(side: float, group: int, width: float, height: float) -> Squares:
    gap = side / _SIXTH + 0.5
    pitch = side + gap
    return Squares(side, gap, group, max(int((width + gap) // pitch), 1), max(int((height + gap) // pitch), 1))


def _cells(branch: Branch) -> int:
    """One per station, and one behind the last for what is finished."""
    return len(branch.columns) + 1


def _bar_times(picture: LinePicture) -> Iterator[float]:
    yield picture.takt.value
    for branch in picture.branches:
        yield picture.takt_of(branch).value
        yield from (column.content.value for column in branch.columns)


def _counts(pile: Pile) -> Iterator[float]:
    yield pile.containers
    if pile.needed_containers is not None:
        yield pile.needed_containers


def _finite(values: Iterable[float]) -> list[float]:
    return [value for value in values if math.isfinite(value)]
