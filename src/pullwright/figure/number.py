"""The figure: a number that says how sure it is, what it was made from and where that came from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from pullwright.figure.draws import Draws, any_nan, quantiles
from pullwright.figure.faults import FigureError
from pullwright.figure.source import Source
from pullwright.figure.units import unit_named
from pullwright.figure.wording import Parts, parts

if TYPE_CHECKING:
    from pullwright.figure.advice import Advice
    from pullwright.figure.spread import Share
    from pullwright.figure.why import Why


_USUAL_LEVEL = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Recipe:
    """How a derived figure is worked out again from other draws; shared by the figures one function makes together."""

    function: Callable[..., Any]
    many: bool = False


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a given figure rests on: "readings", "pieces" or "judged", and how many of them."""

    kind: str
    count: float


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Figure:
    """How much is it, how sure is that, and why?

    Make one with `given`, `judged`, `from_readings`, `from_counts`, `from_draws`, `derive` or `derive_many`. Two
    figures are the same only if they are the same object: use one object for one quantity, so that a figure used
    twice brings the same draws twice.

    Parameters: `name`, unique within one computation, written like a path ("load / honing"); `value` in `unit` (a key
    of the table of units); `draws`, equally likely values in the same unit, shape (1,) where certain; `formula` in
    words, empty for given figures; `inputs`; `source`; `note`, one sentence about a condition.
    Errors: `FigureError` for a unit that is not in the table, or for draws that are not numbers.

    >>> from pullwright.figure import Source, derive, given
    >>> work = given("work content", 270.0, "s", Source("line file", "steps", file="line.yaml", line=12))
    >>> takt = given("takt time", 60.0, "s", Source("line file", "demand", file="line.yaml", line=4))
    >>> people = derive("people", lambda w, t: w / t, work, takt, unit="persons", formula="work content / takt time")
    >>> people
    Figure('people': 4.5 people)
    """

    name: str
    value: float
    unit: str
    draws: Draws
    formula: str
    inputs: tuple[Figure, ...] = ()
    source: Source | None = None
    note: str = ""
    _recipe: Recipe | None = field(default=None, kw_only=True)
    _which: int = field(default=0, kw_only=True)
    _evidence: Evidence | None = field(default=None, kw_only=True)
    _usual: tuple[float, float] | None = field(default=None, init=False)
    """The interval that every screen asks for, once it was worked out."""

    def __post_init__(self) -> None:
        unit_named(self.unit)
        if self.draws.ndim != 1 or self.draws.size == 0 or self.draws.dtype != np.float64:
            raise FigureError(
                f"{self.name}: draws of shape {self.draws.shape} and type {self.draws.dtype} are no figure's; "
                "give one row of floats, of length 1 where it is certain"
            )
        if self.value != self.value or any_nan(self.draws):
            raise FigureError(
                f"{self.name}: its value or a draw is not a number (NaN); infinite is allowed, NaN is not"
            )
        if self.draws.flags.writeable:
            frozen = self.draws.copy()
            frozen.setflags(write=False)
            object.__setattr__(self, "draws", frozen)

    @property
    def certain(self) -> bool:
        """Is it known without any spread? Then its draws have the shape (1,)."""
        return self.draws.size == 1

    def interval(self, level: float = _USUAL_LEVEL) -> tuple[float, float]:
        """Between which two numbers does it lie with this probability? In the figure's unit; equal when certain.

        Errors: `FigureError` for a level that is not between 0 and 1.

        >>> from pullwright.figure import Source, judged
        >>> low, high = judged("walk", 40.0, 45.0, 60.0, "s", Source("line file", "walk")).interval()
        >>> round(low, 1), round(high, 1)
        (42.2, 56.1)
        """
        if not 0 < level < 1:
            raise FigureError(f"an interval's level of {level} was read; it lies between 0 and 1, such as 0.9")
        if self.certain:
            return self.value, self.value
        if level != _USUAL_LEVEL:
            return self._between(level)
        usual = self._usual
        if usual is None:
            usual = self._between(level)
            object.__setattr__(self, "_usual", usual)
        return usual

    def _between(self, level: float) -> tuple[float, float]:
        low, high = quantiles(self.draws, (1 - level) / 2, (1 + level) / 2)
        return low, high

    def parts(self, currency: str = "EUR") -> Parts:
        """How does it read, in three inks: number, unit, interval ("4.9 to 7.8", empty where there is none)?"""
        return parts(self.value, *self.interval(), self.unit, currency)

    def text(self, currency: str = "EUR") -> str:
        """How does it read, with its interval: "6.2 d (4.9 to 7.8)"?"""
        value, unit, interval = self.parts(currency)
        shown = f"{value} {unit}".strip()
        return f"{shown} ({interval})" if interval else shown

    def short(self, currency: str = "EUR") -> str:
        """How does it read without its interval: "6.2 d"?"""
        value, unit, _ = self.parts(currency)
        return f"{value} {unit}".strip()

    def find(self, name: str) -> Figure | None:
        """Which figure of this name is it made from? Itself or an input, nearest first; None if there is none."""
        from pullwright.figure.walk import breadth_first

        return next((figure for figure in breadth_first(self) if figure.name == name), None)

    def why(self, depth: int | None = None, currency: str = "EUR") -> Why:
        """Why is it this much? A tree of lines down to the sources; see `pullwright.figure.why`."""
        from pullwright.figure.why import why

        return why(self, depth, currency)

    def share_of_uncertainty(self) -> tuple[Share, ...]:
        """Which given figures does its spread come from? See `pullwright.figure.spread`."""
        from pullwright.figure.spread import share_of_uncertainty

        return share_of_uncertainty(self)

    def watch_next(
        self, most: int = 5, more: int | None = None, level: float = 0.9, currency: str = "EUR"
    ) -> tuple[Advice, ...]:
        """What should we watch next to be surer of it? See `pullwright.figure.advice`."""
        from pullwright.figure.advice import watch_next

        return watch_next(self, most=most, more=more, level=level, currency=currency)

    def __repr__(self) -> str:
        return f"Figure({self.name!r}: {self.text()})"

    def _repr_html_(self) -> str:
        from pullwright.figure.notebook import html_of

        return html_of(self)
