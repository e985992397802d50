"""Where every stretch of lead time lies on one clock: sub-flows end when the station they join begins.

A product's own way ends with the main flow at the customer, or begins when the station that it leaves is done.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pullwright.draw.scene import Branch, LinePicture, RibbonPiece

_SHARE_OF_AN_ENDLESS_PIECE = 0.2


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of ribbon from start to end on the clock (seconds); cut when it never ends and is drawn broken."""

    piece: RibbonPiece
    start: float
    end: float
    cut: bool


@dataclass(frozen=True, slots=True)
class Strip:
    """One flow's ribbon. `joins_at` is the moment it reaches the flow it is assembled into; None for the main flow."""

    branch: int
    stretches: tuple[Stretch, ...]
    joins_at: float | None

    @property
    def start(self) -> float:
        """The moment the first stretch begins."""
        return self.stretches[0].start if self.stretches else 0.0

    @property
    def end(self) -> float:
        """The moment the last stretch ends."""
        return self.stretches[-1].end if self.stretches else 0.0


def strips_of(picture: LinePicture) -> tuple[Strip, ...]:
    """Every flow's ribbon on one clock that starts at 0 with the earliest of them."""
    endless = _endless_length(picture)
    strips: list[Strip] = []
    for index, branch in enumerate(picture.branches):
        lengths = [endless if math.isinf(piece.time.value) else piece.time.value for piece in branch.ribbon]
        total = math.fsum(lengths)
        joins_at = None if branch.joins is None else _moment_of(strips[branch.into], branch.joins)
        start = _start(branch, total, joins_at, strips)
        stretches: list[Stretch] = []
        for piece, length in zip(branch.ribbon, lengths, strict=True):
            stretches.append(Stretch(piece, start, start + length, cut=math.isinf(piece.time.value)))
            start += length
        strips.append(Strip(index, tuple(stretches), joins_at))
    earliest = min((strip.start for strip in strips if strip.stretches), default=0.0)
    return tuple(_later(strip, -earliest) for strip in strips)


def _start(branch: Branch, total: float, joins_at: float | None, before: list[Strip]) -> float:
    if joins_at is not None:
        return joins_at - total
    if branch.leaves is not None:
        return _done_at(before[branch.out_of], branch.leaves)
    return before[0].end - total if before else 0.0


def span(picture: LinePicture) -> float:
    """From the earliest start to the latest end, in seconds as drawn."""
    return max((strip.end for strip in strips_of(picture)), default=0.0)


def _endless_length(picture: LinePicture) -> float:
    finite = max(
        math.fsum(piece.time.value for piece in branch.ribbon if math.isfinite(piece.time.value))
        for branch in picture.branches
    )
    return finite * _SHARE_OF_AN_ENDLESS_PIECE if finite > 0 else 1.0


def _moment_of(strip: Strip, column: int) -> float:
    """When work at a column begins: its first touch piece, else its first piece, else the end of the ribbon."""
    here = [stretch for stretch in strip.stretches if stretch.piece.column == column]
    touched = [stretch for stretch in here if stretch.piece.touch]
    if touched or here:
        return (touched or here)[0].start
    return strip.end


def _done_at(strip: Strip, column: int) -> float:
    """When work at a column ends; the end of the ribbon where nothing is known of it."""
    return max((one.end for one in strip.stretches if one.piece.column == column), default=strip.end)


def _later(strip: Strip, seconds: float) -> Strip:
    moved = tuple(Stretch(one.piece, one.start + seconds, one.end + seconds, one.cut) for one in strip.stretches)
    return Strip(strip.branch, moved, None if strip.joins_at is None else strip.joins_at + seconds)


def branch_of(picture: LinePicture, strip: Strip) -> Branch:
    """The flow a strip belongs to."""
    return picture.branches[strip.branch]
