"""From a figure to the tree that a page shows of its why: as deep as can be read at once, each figure opened out once."""

from __future__ import annotations

import re

from pullwright.figure import Figure, Reading, Source, Why, number_text, parts, unit_named
from pullwright.web.inked import inked
from pullwright.web.pieces import ReadingLine, Shown, WhyNode
from pullwright.web.way import Way

MOST_SHOWN = 240
"""Figures that one page opens out; what is deeper stands behind a link."""
_LINE = re.compile(r"(?:^line |:)(\d{1,7})$")


def tree_of(figure: Figure, way: Way, currency: str) -> WhyNode:
    """Return the why of a figure, every figure in it with the way to its own.

    >>> from pullwright.figure import given
    >>> takt = given("takt time", 60.0, "s", Source("line file", "demand", file="hone.yaml", line=4))
    >>> node = tree_of(takt, Way("/lines/hone"), "EUR")
    >>> node.source, node.source_href
    ('line 4 of hone.yaml: demand', '/lines/hone/text#L4')
    """
    return _node(_as_deep_as_fits(figure, currency), way, top=True)


def _as_deep_as_fits(figure: Figure, currency: str) -> Why:
    whole = figure.why(currency=currency)
    if _size(whole) <= MOST_SHOWN:
        return whole
    depth, shown = 1, figure.why(1, currency)
    while _size(deeper := figure.why(depth + 1, currency)) <= MOST_SHOWN:
        depth, shown = depth + 1, deeper
    return shown


def _size(why: Why) -> int:
    return sum(1 for _ in why.walk())


def _node(why: Why, way: Way, *, top: bool = False) -> WhyNode:
    figure = why.figure
    source = None if why.seen_above else figure.source
    return WhyNode(
        figure=inked(figure, why="" if top else way.why(figure.name), currency=why.currency),
        formula="" if why.seen_above else figure.formula,
        source=source_words(source) if source else "",
        source_href=way.text(source.line) if source and source.line else "",
        note="" if why.seen_above else figure.note,
        readings=tuple(_reading(reading, way) for reading in source.readings) if source else (),
        met=why.seen_above,
        hidden=why.hidden,
        inputs=tuple(_node(child, way) for child in why.children),
    )


def source_words(source: Source) -> str:
    """Return a source as a person says it.

    >>> source_words(Source("study", "study T-014", file="hone.yaml", line=41))
    'line 41 of hone.yaml: study T-014'
    >>> source_words(Source("common practice", "manual work varies by a fifth"))
    'common practice: manual work varies by a fifth'
    """
    origin = f", from {source.origin}" if source.origin else ""
    if source.line is not None:
        place = f"line {source.line} of {source.file}" if source.file else f"line {source.line}"
        return f"{place}: {source.text}{origin}"
    text = source.text if source.text.startswith(source.kind) else f"{source.kind}: {source.text}"
    return text + origin


def _reading(reading: Reading, way: Way) -> ReadingLine:
    found = _LINE.search(reading.where)
    return ReadingLine(
        value=reading_text(reading.value, reading.unit),
        who=reading.who,
        when=reading.when,
        where=f"line {found[1]}" if found else reading.where,
        origin=reading.origin,
        href=way.text(int(found[1])) if found else "",
    )


def reading_text(value: float, unit: str) -> str:
    """Return a reading as it was read off: in the unit inside, with as many decimals as it has.

    >>> reading_text(628.0, "s"), reading_text(0.5, "kg"), reading_text(4, "pieces/wd")
    ('628 s', '0.5 kg', '4 pieces/d')
    """
    words = next((rung.text for rung in unit_named(unit).rungs if rung.scale == 1), unit)
    return f"{number_text(value, decimals_of(value))} {words}".strip()


def decimals_of(value: float) -> int:
    """Return how many decimals a number was written with, six at most.

    >>> decimals_of(45.25), decimals_of(628.0)
    (2, 0)
    """
    return len(f"{value:.6f}".rstrip("0").partition(".")[2])


def share_shown(name: str, share: float, why: str) -> Shown:
    """Return a share of a spread, which is a plain number beside the figure that it comes from."""
    number, unit, _ = parts(share, share, share, "share")
    return Shown(name=name, value=share, unit="share", low=share, high=share, number=number, unit_words=unit, why=why)
