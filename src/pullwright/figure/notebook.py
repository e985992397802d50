"""How a figure and its why show in a notebook: the number in ink, unit and interval lighter, the why folded below."""

from __future__ import annotations

from html import escape

from pullwright.figure.number import Figure
from pullwright.figure.why import Why, source_text

_LIGHTER = '<span style="opacity:0.6">{}</span>'


def html_of(figure: Figure) -> str:
    """The figure as one line of HTML, with its why folded below it.

    >>> from pullwright.figure import Source, given
    >>> html_of(given("takt time", 60.0, "s", Source("line file", "demand"))).startswith("<div><span>takt time: 60 ")
    True
    """
    return f"<div>{_inked(figure, 'EUR')}{html_of_why(figure.why(), folded=True) if figure.inputs else ''}</div>"


def html_of_why(node: Why, *, folded: bool = False) -> str:
    """The tree as nested lists that fold; the first level stands open unless `folded`."""
    pieces: list[str] = []
    waiting: list[Why | str] = [node]
    while waiting:
        one = waiting.pop()
        if isinstance(one, str):
            pieces.append(one)
            continue
        line = _line(one)
        if not one.children:
            pieces.append(f"<div>{line}</div>")
            continue
        is_open = " open" if one is node and not folded else ""
        head = "why" if one is node and folded else line
        pieces.append(f'<details{is_open} style="margin-left:1em"><summary>{head}</summary>')
        if head == "why":
            pieces.append(f"<div>{line}</div>")
        waiting.append("</details>")
        waiting.extend(reversed(one.children))
    return "".join(pieces)


def _inked(figure: Figure, currency: str) -> str:
    value, unit, interval = figure.parts(currency)
    lighter = " ".join(text for text in (unit, f"({interval})" if interval else "") if text)
    tail = f" {_LIGHTER.format(escape(lighter))}" if lighter else ""
    return f"<span>{escape(figure.name)}: {escape(value)}{tail}</span>"


def _line(node: Why) -> str:
    figure = node.figure
    line = _inked(figure, node.currency)
    if node.seen_above:
        return line + _LIGHTER.format(" (shown once, elsewhere here)")
    if figure.formula:
        line += f" = {escape(figure.formula)}"
    if figure.note:
        line += f"; {escape(figure.note)}"
    if node.hidden:
        line += _LIGHTER.format(f" … {node.hidden} more below")
    return line + (_LIGHTER.format(f" [{escape(source_text(figure.source))}]") if figure.source else "")
