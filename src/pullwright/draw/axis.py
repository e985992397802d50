"""Which flows there are, in which order they are read, what their stations are called, and how they hang together."""

from __future__ import annotations

from pullwright.draw.scene import Branch, LinePicture


def reading_order(picture: LinePicture) -> tuple[int, ...]:
    """The flows as one reads them: the main flow, then what comes into it from its first station to its last.

    Each flow is followed by what comes into it. Products' own ways to the customer come last, each with its own. In this
    order no joining line of the ribbons crosses another flow.
    """
    ends = [index for index, branch in enumerate(picture.branches) if branch.joins is None]
    return tuple(index for end in ends for index in _with_joining(picture, end))


def joined_by(picture: LinePicture, into: int, column: int) -> tuple[tuple[int, Branch], ...]:
    """Sub-flows that are assembled at this column, with their index."""
    return tuple(
        (index, branch)
        for index, branch in enumerate(picture.branches)
        if branch.joins == column and branch.into == into
    )


def left_by(picture: LinePicture, out_of: int, column: int) -> tuple[tuple[int, Branch], ...]:
    """Flows that leave after this column, with their index."""
    return tuple(
        (index, branch)
        for index, branch in enumerate(picture.branches)
        if branch.leaves == column and branch.out_of == out_of
    )


def station_numbers(picture: LinePicture) -> tuple[tuple[str, ...], ...]:
    """The numbers of all stations: per branch, per column."""
    return tuple(
        tuple(number_of(place, column) for column in range(len(branch.columns)))
        for place, branch in enumerate(picture.branches)
    )


def number_of(branch: int, column: int) -> str:
    """The number a station is called by: 1, 2, 3 in the main flow, A1, A2 in the next flow, B1 ...

    >>> number_of(0, 4), number_of(2, 0)
    ('5', 'B1')
    """
    return f"{branch_letter(branch)}{column + 1}"


def branch_letter(place: int) -> str:
    """Nothing for the main flow, then A to Z, AA, AB ..."""
    letters = ""
    while place > 0:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _with_joining(picture: LinePicture, into: int) -> tuple[int, ...]:
    joining = sorted(
        (index for index, other in enumerate(picture.branches) if other.joins is not None and other.into == into),
        key=lambda index: (picture.branches[index].joins or 0, index),
    )
    return (into, *(row for index in joining for row in _with_joining(picture, index)))
