"""One number out of a figure: what is taken for true in a run."""

from __future__ import annotations

from pullwright.figure import Figure


def drawn(figure: Figure, draw: int | None) -> float:
    """What is taken for true: the value of a figure, or one of its equally likely draws.

    >>> from pullwright.figure import Source, given
    >>> drawn(given("cash", 500.0, "money", Source("line file", "money")), 7)
    500.0
    """
    return float(figure.value if draw is None else figure.draws[draw % figure.draws.size])
