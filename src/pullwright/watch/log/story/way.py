"""Which way do the cases go through the shop: variants, the usual way, the usual order, loops, what runs side by side?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class Variant:
    """One way through: its steps in order (bookings of one step in a row count once), how many cases took it, their share.

    `rows` are the first source rows of the first cases that took it; `example` is one of those cases.
    """

    steps: tuple[str, ...]
    cases: int
    share: float
    example: str
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class OrderedStep:
    """A step at its place in the usual order.

    `cases` and `share`: how many cases visit it; `place`: where between the first (0) and the last (1) visit of a case
    it usually comes; `first` and `last`: share of those cases that begin and end with it; `again`: share of them that
    come back to it after another step; `main` is true where at least half of the cases visit it.
    """

    step: str
    cases: int
    share: float
    place: float
    first: float
    last: float
    again: float
    main: bool
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    """A loop: cases that come from step `after` back to step `step`, which they had visited before."""

    step: str
    after: str
    cases: int
    times: int
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Parallel:
    """Two steps of one case that overlap in time (`overlapping`) or come in either order (`either`): shares of cases with both."""

    one: str
    other: str
    cases: int
    overlapping: float
    either: float
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Way:
    """The ways through the shop.

    `variants` holds the commonest (at most 50) of `distinct` ways; `pooled` is the share of cases on the others; `carry`
    is how many of the commonest ways carry four fifths of the cases. `usual` is the commonest way of all. `order` has
    all steps in their usual order, `edges` one row for each two steps that follow one another: before, after, times,
    cases. `cases` counts those with at least one step.
    """

    cases: int
    distinct: int
    variants: tuple[Variant, ...]
    pooled: float
    carry: int
    usual: tuple[str, ...]
    order: tuple[OrderedStep, ...]
    repeats: tuple[Repeat, ...]
    parallel: tuple[Parallel, ...]
    edges: pl.DataFrame
    rows: tuple[int, ...]
    found: str
