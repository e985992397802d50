"""Ways through the figures below a figure: each is visited once, however often it is used, however deep it lies."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from pullwright.figure.number import Figure


def breadth_first(figure: Figure) -> Iterator[Figure]:
    """The figure, then its inputs, then theirs; each once."""
    waiting = deque([figure])
    met = {figure}
    while waiting:
        current = waiting.popleft()
        yield current
        for given in current.inputs:
            if given not in met:
                met.add(given)
                waiting.append(given)


def inputs_first(*figures: Figure) -> list[Figure]:
    """All figures below these and they themselves, each once, inputs before what is made of them."""
    ordered: list[Figure] = []
    met: set[Figure] = set()
    for figure in figures:
        if figure in met:
            continue
        met.add(figure)
        open_ones = [(figure, iter(figure.inputs))]
        while open_ones:
            current, left = open_ones[-1]
            for given in left:
                if given not in met:
                    met.add(given)
                    open_ones.append((given, iter(given.inputs)))
                    break
            else:
                ordered.append(current)
                open_ones.pop()
    return ordered
