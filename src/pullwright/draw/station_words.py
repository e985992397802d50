"""What is said of a station beside its bar, and of where a flow comes from and goes to."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.draw.axis import branch_letter, joined_by, left_by, number_of
from pullwright.draw.columns import StationColumn
from pullwright.draw.ink import BODY, PENCIL, SMALL
from pullwright.draw.lettering import Row, flowing, words
from pullwright.draw.scene import Branch, LinePicture
from pullwright.draw.told import told

_NAME_LINES = 3


def name_rows(picture: LinePicture, branch: int, column: int, width: float) -> tuple[Row, ...]:
    """A station's name with its number, under it in pencil the steps done there, machines, people, and what comes in or leaves."""
    station = picture.branches[branch].columns[column]
    rows = words(called(picture, branch, column), width, BODY, _NAME_LINES)
    small = words(_steps(station), width, SMALL, 2, PENCIL)
    small += tuple(row for part in _manned(station) for row in words(part, width, SMALL, 2, PENCIL))
    again = again_at(picture, branch, column)
    small += words(f"also at {listed(again)}" if again else "", width, SMALL, 2, PENCIL)
    return rows + flowing(small, width)


def coming_in(picture: LinePicture, branch: int, column: int, names: bool = False) -> str:
    """Which flows come in here, by letter and if asked by name: "A and B come in"; empty for none."""
    flows = [_flow(picture, index, names) for index, _ in joined_by(picture, branch, column)]
    return f"{listed(flows)} come{'s' if len(flows) == 1 else ''} in" if flows else ""


def going_out(picture: LinePicture, branch: int, column: int, names: bool = False) -> str:
    """Which flows leave behind this station: "C leaves"; empty for none."""
    flows = [_flow(picture, index, names) for index, _ in left_by(picture, branch, column)]
    return f"{listed(flows)} leave{'s' if len(flows) == 1 else ''}" if flows else ""


def whole_names(picture: LinePicture, flows: Sequence[tuple[int, Branch]]) -> str:
    """Flows by letter and name, for a title: "A form lever and B turn piston"."""
    return listed([_flow(picture, index, names=True) for index, _ in flows])


def flow_called(picture: LinePicture, branch: int) -> str:
    """A flow by letter and name, with where it leaves from if it does."""
    flow = picture.branches[branch]
    name = f"{branch_letter(branch)} {flow.name}".strip()
    return name if flow.leaves is None else f"{name}, from {called(picture, flow.out_of, flow.leaves)}"


def where_to(picture: LinePicture, branch: int) -> str:
    """What stands at the end of a flow: "customer", or "into 6 assembly bench"."""
    flow = picture.branches[branch]
    return "customer" if flow.joins is None else f"into {called(picture, flow.into, flow.joins)}"


def same_station(picture: LinePicture, column: StationColumn) -> str:
    """Where the bar of a station stands that the flow comes to again; empty for the others."""
    return "" if column.same_as is None else f"same station as {number_of(*column.same_as)}"


def again_at(picture: LinePicture, branch: int, column: int) -> tuple[str, ...]:
    """The numbers under which the flow comes to this station again."""
    return tuple(
        number_of(index, place)
        for index, flow in enumerate(picture.branches)
        for place, other in enumerate(flow.columns)
        if other.same_as == (branch, column)
    )


def work_in_words(picture: LinePicture, column: StationColumn) -> str:
    """A station's work for whoever does not see its bar."""
    currency = picture.currency
    load = "" if column.load is None else f", {told(column.load, currency).text} of takt"
    said = f"{told(column.content, currency).text} per piece{load}."
    if column.same_as is not None:
        said = f"The {same_station(picture, column)}, whose bar is drawn there: {said}"
    manned = ", ".join(part for part in (_machines(column), column.people) if part)
    steps = f" Steps: {', '.join(column.steps)}." if column.steps else ""
    return f"{said} {manned}.{steps}" if manned else f"{said}{steps}"


def called(picture: LinePicture, branch: int, column: int) -> str:
    """A station by number and name; before the first one stands what the flow comes from, behind the last what takes from it."""
    flow = picture.branches[branch]
    if column < 0:
        return "the supplier" if flow.leaves is None else called(picture, flow.out_of, flow.leaves)
    if column < len(flow.columns):
        return f"{number_of(branch, column)} {flow.columns[column].name}"
    return "the customer" if flow.joins is None else called(picture, flow.into, flow.joins)


def _flow(picture: LinePicture, index: int, names: bool) -> str:
    return f"{branch_letter(index)} {picture.branches[index].name}".strip() if names else branch_letter(index)


def _steps(column: StationColumn) -> str:
    """The steps that are called otherwise than the station."""
    return ", ".join(step for step in column.steps if step.strip().casefold() != column.name.strip().casefold())


def _manned(column: StationColumn) -> tuple[str, ...]:
    """Machines and people; nothing for the usual single machine."""
    return tuple(part for part in (_machines(column), column.people) if part)


def _machines(column: StationColumn) -> str:
    return {0: "no machine", 1: ""}.get(column.machines, f"{column.machines} machines")


def listed(names: Sequence[str]) -> str:
    """Words as one says them: "A, B and C"."""
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
