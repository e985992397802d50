"""Why is a figure this much? The tree of its formula, its inputs and their sources, each figure opened out once."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import isinf
from typing import Any

from pullwright.figure.faults import FigureError
from pullwright.figure.number import Figure
from pullwright.figure.source import Source
from pullwright.figure.wording import number_text

_INDENT = "    "
_READINGS_SHOWN = 8


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Why:
    """One line of the answer: a figure, and below it the figures it was made from.

    `depth` counts from 0 at the top. A figure met again carries `seen_above` and no children: it is opened out once,
    elsewhere in the tree. `hidden` counts the inputs that were left out because the depth asked for ended here.
    """

    figure: Figure
    depth: int
    children: tuple[Why, ...] = ()
    seen_above: bool = False
    hidden: int = 0
    currency: str = "EUR"

    def walk(self) -> Iterator[Why]:
        """The lines from top to bottom."""
        waiting = [self]
        while waiting:
            node = waiting.pop()
            yield node
            waiting.extend(reversed(node.children))

    def find(self, name: str) -> Why | None:
        """The line of the figure of this name, where it is opened out; None where there is none."""
        return next((node for node in self.walk() if node.figure.name == name and not node.seen_above), None)

    def as_dict(self) -> dict[str, Any]:
        """The whole tree as plain values that JSON can hold; a number without end is null beside its text."""
        top: dict[str, Any] = {}
        waiting: list[tuple[Why, dict[str, Any]]] = [(self, top)]
        while waiting:
            node, entry = waiting.pop()
            entry.update(_entry(node))
            entry["inputs"] = [{} for _ in node.children]
            waiting.extend(zip(node.children, entry["inputs"], strict=True))
        return top

    def __str__(self) -> str:
        lines = []
        opened: set[Figure] = set()
        for node in self.walk():
            indent = _INDENT * (node.depth - self.depth)
            lines.append(indent + _line(node, "above" if node.figure in opened else "below"))
            if node.hidden:
                lines.append(f"{indent}{_INDENT}… made from {_counted(node.hidden, 'figure')} more")
            if not node.seen_above:
                opened.add(node.figure)
        return "\n".join(lines)

    def __repr__(self) -> str:
        return f"Why({self.figure.name!r}, {sum(1 for _ in self.walk())} lines)"

    def _repr_html_(self) -> str:
        from pullwright.figure.notebook import html_of_why

        return html_of_why(self)


@dataclass(slots=True)
class _Open:
    """A figure whose inputs are being read."""

    figure: Figure
    left: Iterator[Figure]
    children: list[Why] = field(default_factory=list)


def why(figure: Figure, depth: int | None = None, currency: str = "EUR") -> Why:
    """Why is this figure this much?

    Parameters: `depth`, how many levels below it are wanted (None: all); `currency` printed for money.
    Result: a tree of `Why`; `str()` reads it out, `as_dict()` gives plain values. Every figure is opened out once, so
    that the tree stays as small as the number of uses, however much is shared. With a `depth`, it is opened out
    where it stands nearest the top.
    Errors: `FigureError` for a depth below 0.

    >>> from pullwright.figure import Source, derive, given
    >>> work = given("work content", 270.0, "s", Source("line file", "steps", file="line.yaml", line=12))
    >>> takt = given("takt time", 60.0, "s", Source("line file", "demand", file="line.yaml", line=4))
    >>> people = derive("people", lambda w, t: w / t, work, takt, unit="persons", formula="work content / takt time")
    >>> print(why(people))
    people: 4.5 people = work content / takt time
        work content: 4.5 min [line file: steps (line.yaml:12)]
        takt time: 60 s [line file: demand (line.yaml:4)]
    """
    if depth is not None and depth < 0:
        raise FigureError(f"a depth of {depth} was read; 0 shows the figure alone, None shows all")
    if depth == 0:
        return Why(figure, 0, hidden=len(figure.inputs), currency=currency)
    nearest = None if depth is None else _levels(figure)
    met = {figure}
    open_ones = [_Open(figure, iter(figure.inputs))]
    while True:
        current, level = open_ones[-1], len(open_ones)
        for given in current.left:
            first = given not in met and (nearest is None or nearest[given] == level)
            if first:
                met.add(given)
                if given.inputs and (depth is None or level < depth):
                    open_ones.append(_Open(given, iter(given.inputs)))
                    break
            hidden = len(given.inputs) if first else 0
            current.children.append(Why(given, level, (), not first, hidden, currency))
        else:
            open_ones.pop()
            node = Why(current.figure, level - 1, tuple(current.children), currency=currency)
            if not open_ones:
                return node
            open_ones[-1].children.append(node)


def _levels(figure: Figure) -> dict[Figure, int]:
    """How many steps below the top does each figure stand, at its nearest?"""
    levels = {figure: 0}
    waiting = deque([figure])
    while waiting:
        current = waiting.popleft()
        for given in current.inputs:
            if given not in levels:
                levels[given] = levels[current] + 1
                waiting.append(given)
    return levels


def _line(node: Why, where: str) -> str:
    figure = node.figure
    line = f"{figure.name}: {figure.text(node.currency)}"
    if node.seen_above:
        return f"{line} (see {where})"
    if figure.formula:
        line += f" = {figure.formula}"
    if figure.note:
        line += f"; {figure.note}"
    return f"{line} [{source_text(figure.source)}]" if figure.source else line


def source_text(source: Source) -> str:
    """A source with its kind, place and readings in one line.

    >>> source_text(Source("study", "study T-014", file="line.yaml", line=41))
    'study T-014 (line.yaml:41)'
    """
    text = str(source) if source.text.startswith(source.kind) else f"{source.kind}: {source}"
    if not source.readings:
        return text
    shown = [
        number_text(reading.value, _decimals(reading.value)) + (f" {reading.unit}" if reading.unit != "1" else "")
        for reading in source.readings[:_READINGS_SHOWN]
    ]
    more = len(source.readings) - len(shown)
    rest = f" and {more} more" if more else ""
    return f"{text}; {_counted(len(source.readings), 'reading')}: {', '.join(shown)}{rest}"


def _decimals(value: float) -> int:
    """As many decimals as the reading was written with, six at most."""
    return len(f"{value:.6f}".rstrip("0").partition(".")[2])


def _counted(count: int, one: str) -> str:
    return f"{count} {one}" if count == 1 else f"{count} {one}s"


def _finite(number: float) -> float | None:
    return None if isinf(number) else number


def _entry(node: Why) -> dict[str, Any]:
    figure = node.figure
    value_text, unit_text, interval_text = figure.parts(node.currency)
    low, high = figure.interval()
    return {
        "name": figure.name,
        "value": _finite(figure.value),
        "unit": figure.unit,
        "text": figure.text(node.currency),
        "value_text": value_text,
        "unit_text": unit_text,
        "interval": [_finite(low), _finite(high)],
        "interval_text": interval_text,
        "certain": figure.certain,
        "formula": figure.formula,
        "note": figure.note,
        "source": None if figure.source is None else _source_entry(figure.source),
        "depth": node.depth,
        "seen_above": node.seen_above,
        "hidden": node.hidden,
    }


def _source_entry(source: Source) -> dict[str, Any]:
    readings = [
        {
            "value": reading.value,
            "unit": reading.unit,
            "when": reading.when,
            "who": reading.who,
            "where": reading.where,
            "from": reading.origin,
        }
        for reading in source.readings
    ]
    return {
        "kind": source.kind,
        "text": source.text,
        "file": source.file,
        "line": source.line,
        "from": source.origin,
        "readings": readings,
    }
