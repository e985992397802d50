"""What is out of place in a picture: the reasons for colour, each with where it is."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.draw.columns import Remark
from pullwright.draw.scene import LinePicture
from pullwright.draw.station_words import called
from pullwright.draw.told import told


def remarks_of(picture: LinePicture) -> tuple[tuple[str, Remark], ...]:
    """Every remark with the place it stands at, in flow order; empty for a line with nothing out of place."""
    return tuple(_remarks(picture))


def described(picture: LinePicture) -> str:
    """The picture in words, for whoever does not see it: what was found, what is out of place, and the layers."""
    found = "; ".join(f"{where}: {remark.word}" for where, remark in remarks_of(picture)) or "nothing"
    stations = sum(len(branch.columns) for branch in picture.branches)
    return (
        f"{picture.sentence} Out of place: {found}. {stations} stations; takt {told(picture.takt, picture.currency).text}; "
        f"lead time {told(picture.lead_written, picture.currency).text}, touch time {told(picture.touch, picture.currency).text}. "
        "Work per station over stock and stations over lead time, all to scale."
    ).strip()


def _remarks(picture: LinePicture) -> Iterator[tuple[str, Remark]]:
    for index, branch in enumerate(picture.branches):
        for place, column in enumerate(branch.columns):
            name = called(picture, index, place)
            if column.queue is not None and column.queue.remark is not None:
                yield f"stock before {name}", column.queue.remark
            remark = column.beyond(picture.takt_of(branch))
            if remark is not None:
                yield name, remark
        if branch.after is not None and branch.after.remark is not None:
            yield f"stock after {called(picture, index, len(branch.columns) - 1)}", branch.after.remark
        for loop in branch.loops:
            if loop.remark is not None:
                yield f"loop back to {called(picture, index, loop.maker)}", loop.remark
