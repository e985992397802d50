"""From a figure to what a page shows of it: number, unit and interval in three inks, and the address of its why."""

from __future__ import annotations

from collections.abc import Callable

from pullwright.figure import Figure
from pullwright.figure.as_plain import finite
from pullwright.web.pieces import Shown

Show = Callable[..., Shown]
"""Turns a figure into what is shown of it: `show(figure, look="beyond takt", words="load")`."""


def inked(figure: Figure, *, why: str = "", currency: str = "EUR", look: str = "", words: str = "") -> Shown:
    """Return what a page shows of a figure.

    Parameters: `why`, the address that opens its derivation; `currency` printed for money; `look`, the word beside the
    mark when it is out of place; `words`, what people call it where its name is not what they would say.

    >>> from pullwright.figure import Source, given
    >>> takt = given("takt time", 90.0, "s", Source("line file", "demand"))
    >>> inked(takt).number, inked(takt).unit_words, inked(takt).value
    ('90', 's', 90.0)
    """
    number, unit, interval = figure.parts(currency)
    low, high = figure.interval()
    return Shown(
        name=words or figure.name,
        value=finite(figure.value),
        unit=figure.unit,
        low=finite(low),
        high=finite(high),
        number=number,
        unit_words=unit,
        interval=interval,
        why=why,
        look=look,
    )
