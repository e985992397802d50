"""What is said of a station beside its bar."""

from __future__ import annotations

from pullwright.draw.axis import station_numbers
from pullwright.draw.scene import LinePicture, StationColumn


def manned(column: StationColumn) -> str:
    """Machines and people at a station in words; nothing for the usual single machine."""
    machines = {0: "no machine", 1: ""}.get(column.machines, f"{column.machines} machines")
    return ", ".join(part for part in (machines, column.people) if part)


def work_in_words(column: StationColumn, currency: str) -> str:
    """A station's work for whoever does not see its bar."""
    load = "" if column.load is None else f", {column.load.text(currency)} of takt"
    steps = f" Steps: {', '.join(column.steps)}." if column.steps else ""
    return f"{column.content.text(currency)} per piece{load}. {manned(column)}.{steps}"


def called(picture: LinePicture, branch: int, column: int) -> str:
    """A station by number and name; before the first one stands the supplier, behind the last what takes from it."""
    flow = picture.branches[branch]
    if column < 0:
        return "the supplier"
    if column < len(flow.columns):
        return f"{station_numbers(picture)[branch][column]} {flow.columns[column].name}"
    return "the customer" if flow.joins is None else called(picture, flow.into, flow.joins)
