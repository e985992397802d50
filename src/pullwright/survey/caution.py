"""Where the work of a line can hurt somebody: the usual caution, said on every screen and print that shows the line."""

from __future__ import annotations

import re
from collections.abc import Iterator

from pullwright.line import Line

HAZARDS: tuple[tuple[str, str], ...] = (
    ("welding", "weld|braz|solder"),
    ("pressure", "pressure|leak|hydraul|pneumat|compress|boiler"),
    ("machines with moving parts", "saw|lathe|turn|mill|press|drill|grind|hon(?:e|ing)|bend|cut|punch|shear|robot"),
    ("lifting and carrying", "lift|crane|hoist|carry|hand|trolley|stack"),
    ("trucks", "truck|fork"),
    ("paint, dust and solvents", "paint|spray|lacquer|solvent|glue|polish|sand|blast|dust"),
    ("heat", "furnace|oven|dry|heat|cast|forg|anneal|hot"),
    ("electricity", "electr|wir(?:e|ing)|batter|volt"),
    ("chemicals", "chemic|acid|pickl|plat(?:e|ing)|degreas|etch"),
)
"""What can hurt, and the beginnings of words by which it is noticed (common practice; no list of this kind is complete)."""

FIRST = "local rules and licensed practice come first, and no number here says that anything is safe."


def caution_of(line: Line) -> str:
    """Which caution does the work of this line call for? One sentence; it never says that there is nothing to heed.

    >>> from importlib.resources import files
    >>> line = Line.read(str(files("pullwright").joinpath("../../examples/hand_pump.yaml")))
    >>> caution_of(line).startswith("Caution: this line has welding, pressure, machines with moving parts")
    True
    """
    words = " ".join(_words(line))
    found = [name for name, beginnings in HAZARDS if re.search(rf"\b(?:{beginnings})", words, re.IGNORECASE)]
    if not found:
        return f"Caution: where work can hurt somebody, {FIRST}"
    listed = found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}"
    return f"Caution: this line has {listed}; {FIRST}"


def _words(line: Line) -> Iterator[str]:
    for station in line.stations:
        yield from (station.name, station.what)
    for step in line.steps:
        yield from (step.name, step.what)
        yield from (element.what for element in step.elements)
    yield from (move.by for move in line.moves)
