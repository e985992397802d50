"""Parts of chapters dealt to the columns of a page, in their order, none of them broken."""

from __future__ import annotations

from collections.abc import Sequence

Dealt = tuple[tuple[tuple[int, int], ...], ...]


def dealt(blocks: Sequence[Sequence[float]], count: int, room: float) -> Dealt | None:
    """Blocks of the chapters in their order in so many columns of this height; None where they have no room."""
    columns: list[list[tuple[int, int]]] = [[]]
    used = 0.0
    for chapter, heights in enumerate(blocks):
        for block, height in enumerate(heights):
            if height > room:
                return None
            if used + height > room:
                columns.append([])
                used = 0.0
            columns[-1].append((chapter, block))
            used += height
    return tuple(tuple(column) for column in columns) if len(columns) <= count else None


def evenly(blocks: Sequence[Sequence[float]], count: int, room: float) -> Dealt:
    """The same in columns that are as even as they can be; where even the least has no room, all in one column."""
    whole = [[sum(heights)] for heights in blocks]
    if len(blocks) > 1 and dealt(whole, count, room) is not None:
        # Chapters stay whole where they can.
        columns = evenly_parted(whole, count, room)
        return tuple(
            tuple((chapter, block) for chapter, _ in column for block in range(len(blocks[chapter])))
            for column in columns
        )
    return evenly_parted(blocks, count, room)


def evenly_parted(blocks: Sequence[Sequence[float]], count: int, room: float) -> Dealt:
    """The same, with chapters broken between their blocks wherever that makes columns more even."""
    best = dealt(blocks, count, room)
    if best is None:
        return (tuple((chapter, block) for chapter, heights in enumerate(blocks) for block in range(len(heights))),)
    least, most = 0.0, room
    while most - least > 1.0:
        middle = (least + most) / 2
        tried = dealt(blocks, count, middle)
        if tried is None:
            least = middle
        else:
            best, most = tried, middle
    return best
