"""A closed account: rows that add up to the whole, with what is not explained as a row of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.line.kinds import BY_KEY, KindKey

AccountKey = Literal["hours", "floor", "material", "mass", "tied up", "year"]
Entry = tuple[str, str, KindKey, Figure, tuple[Figure, ...]]
"""A row before its account is closed: key, words, kind, amount, and the parts that add up to it."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its words, its kind (whose hatch it is drawn with), its amount, its share of the whole, and the parts that add up to it.

    `parts` is empty where the row is not made of several. `seen` is the share that activity sampling found, where somebody sampled.
    """

    key: str
    words: str
    kind: KindKey
    amount: Figure
    share: Figure
    parts: tuple[Figure, ...] = ()
    seen: Figure | None = None


@dataclass(frozen=True, slots=True)
class Account:
    """One closed account. `notes` say what was not given and therefore assumed or left out."""

    key: AccountKey
    title: str
    whole: Figure
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = field(default=())

    def row(self, key: str) -> Row:
        """Find a row by its key; KeyError names those that there are."""
        for row in self.rows:
            if row.key == key:
                return row
        raise KeyError(f"the account {self.key!r} has no row {key!r}; it has {', '.join(row.key for row in self.rows)}")

    @property
    def unexplained(self) -> Row:
        """The row of what is not explained."""
        return self.row("unexplained")

    def figures(self) -> dict[str, Figure]:
        """Give all figures of the account by name."""
        found = [
            self.whole,
            *(
                figure
                for row in self.rows
                for figure in (row.amount, row.share, *row.parts, *((row.seen,) if row.seen else ()))
            ),
        ]
        return {figure.name: figure for figure in found}


def nothing(name: str, unit: str, why: str) -> Figure:
    """A row in which nothing stands, with the reason."""
    return given(name, 0.0, unit, Source("computed", why))


def total(
    name: str, figures: Iterable[Figure], unit: str, formula: str = "sum of its parts", why_none: str = "there is none"
) -> Figure:
    """Add figures up."""
    parts = tuple(figures)
    return (
        derive(name, lambda *v: sum(v), *parts, unit=unit, formula=formula) if parts else nothing(name, unit, why_none)
    )


def close(
    key: AccountKey,
    title: str,
    whole: Figure,
    rows: list[Entry],
    *,
    notes: tuple[str, ...] = (),
    seen: Mapping[str, Figure] | None = None,
    unexplained: tuple[Figure, ...] = (),
) -> Account:
    """Close an account: whatever the rows leave of the whole goes into the row "not explained", be it above or below zero.

    `unexplained`: what that row is known to consist of, found by another way; it must add up to the same.

    >>> hall, saw = (given(name, area, "m2", Source("line file", name)) for name, area in (("hall", 40.0), ("saw", 12.0)))
    >>> floor = close("floor", "Floor", hall, [("stations", "stations", "value", saw, (saw,))])
    >>> [(row.words, row.amount.text(), row.share.text()) for row in floor.rows]
    [('stations', '12 m²', '30 %'), ('not explained', '28 m²', '70 %')]
    """
    amounts = [amount for *_, amount, _ in rows]
    rest = derive(
        f"{key} / not explained",
        lambda w, *v: _rest(w, v),
        whole,
        *amounts,
        unit=whole.unit,
        formula="the whole - all other rows",
    )
    entries = [*rows, ("unexplained", BY_KEY["unexplained"].words, "unexplained", rest, unexplained)]
    made = tuple(
        Row(name, words, kind, amount, _share(key, words, amount, whole), parts, (seen or {}).get(name))
        for name, words, kind, amount, parts in entries
    )  # fmt: skip
    return Account(key, title, whole, made, notes)


def _rest(whole: float, rows: tuple[float, ...]) -> float:
    """What is left; a rest that is only rounding is nothing."""
    rest = whole - sum(rows)
    size = abs(whole) + sum(np.abs(row) for row in rows)
    return np.where(np.abs(rest) <= 1e-12 * size, 0.0, rest)  # type: ignore[return-value]


def _share(key: str, words: str, amount: Figure, whole: Figure) -> Figure:
    return derive(
        f"{key} / {words} / share",
        lambda a, w: np.where(w != 0, a / np.where(w != 0, w, 1.0), 0.0),
        amount,
        whole,
        unit="share",
        formula="row / whole",
    )
