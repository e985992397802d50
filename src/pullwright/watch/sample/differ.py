"""Do people do something else at other stations, or at other hours? A test that takes rounds as they were walked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import percent
from pullwright.watch.sample.looks import Tour
from pullwright.watch.sample.shares import SEEN, By, strata, stratum_of

CHANCE = 0.05
SHUFFLES = 999


@dataclass(frozen=True, slots=True)
class Differ:
    """`chi_square` of the table of strata by kinds, with its `freedom`; `plain`, its chance as if every look stood alone (None where
    a cell is expected below 5); `chance`, that of as large a one among shuffled rounds; `said`, in words."""

    by: By
    strata: tuple[str, ...]
    chi_square: float
    freedom: int
    plain: float | None
    chance: float | None
    said: str


def differ_by(tour: Tour, by: By, *, seed: int = 0, shuffles: int = SHUFFLES) -> Differ:
    """Do the shares differ between stations, or between hours, by more than luck?

    Method: Pearson's chi-square. Looks of one round are alike, so that its own table is believed only beside a permutation test
    that keeps rounds together: within each round the stations are dealt out anew; whole rounds get other rounds' hours.
    Its chance is (1 + as large ones) / (1 + shuffles): exact in the sense that luck passes it no more often than it says.
    Source: Pearson (1900); Fisher, The Design of Experiments (1935); Phipson & Smyth (2010), Stat. Appl. Genet. Mol. Biol. 9.

    >>> differ_by(Tour("March", ()), "hour").said
    'The looks lie at one hour only: whether the hour matters cannot be told.'
    """
    names = tuple(one.name for one in strata(tour, by))
    place = {name: row for row, name in enumerate(names)}
    rows = np.array([place[stratum_of(look, by)] for look in tour.looks], dtype=np.int64)
    kinds = sorted({look.seen for look in tour.looks}, key=SEEN.index)
    columns = np.array([kinds.index(look.seen) for look in tour.looks], dtype=np.int64)
    rounds = np.unique(np.array([look.round for look in tour.looks], dtype=np.int64), return_inverse=True)[1]
    if by == "hour" and rows.size:  # a round that runs over the hour belongs to the one in which it began
        began = rows[np.unique(rounds, return_index=True)[1]][rounds]
        kept, rows = np.unique(began, return_inverse=True)
        names = tuple(names[row] for row in kept)
    word = "station" if by == "station" else "hour"
    freedom = (len(names) - 1) * (len(kinds) - 1)
    if len(names) < 2:
        said = f"The looks lie at one {word} only: whether the {word} matters cannot be told."
        return Differ(by, names, 0.0, 0, None, None, said)
    if len(kinds) < 2:
        return Differ(by, names, 0.0, 0, None, None, f"Every look found the same, at every {word}.")
    size = (len(names), len(kinds))
    value, least = _chi_square(rows, columns, size)
    plain = None
    if least >= 5:
        from scipy.special import chdtrc

        plain = float(chdtrc(freedom, value))
    rng = np.random.default_rng(seed)
    deal = _within if by == "station" else _between
    as_large = sum(
        _chi_square(deal(rows, rounds, rng), columns, size)[0] >= value * (1 - 1e-9) for _ in range(shuffles)
    )
    chance = (1 + as_large) / (1 + shuffles)
    return Differ(by, names, value, freedom, plain, chance, _said(word, chance))


def _said(word: str, chance: float) -> str:
    luck = "less than 1 %" if chance < 0.01 else percent(chance)
    if chance <= CHANCE:
        return f"What was seen differs from {word} to {word} by more than luck: so much comes by chance in {luck} of such samplings."
    return f"That the {word} matters is not shown: so much difference comes by chance in {luck} of such samplings."


def _chi_square(rows: NDArray[np.int64], columns: NDArray[np.int64], size: tuple[int, int]) -> tuple[float, float]:
    """Pearson's sum, and the smallest number expected in a cell."""
    table = np.bincount(rows * size[1] + columns, minlength=size[0] * size[1]).reshape(size).astype(float)
    expected = np.outer(table.sum(axis=1), table.sum(axis=0)) / table.sum()
    parts = np.divide((table - expected) ** 2, expected, out=np.zeros(size), where=expected > 0)
    return float(parts.sum()), float(expected.min())


def _within(rows: NDArray[np.int64], rounds: NDArray[np.int64], rng: np.random.Generator) -> NDArray[np.int64]:
    """The strata dealt out anew inside each round."""
    order = np.lexsort((rng.random(rows.size), rounds))
    dealt = np.empty_like(rows)
    dealt[np.argsort(rounds, kind="stable")] = rows[order]
    return dealt


def _between(rows: NDArray[np.int64], rounds: NDArray[np.int64], rng: np.random.Generator) -> NDArray[np.int64]:
    """Every round with the hour of another one; the hour of a round is that of its first look."""
    first = np.unique(rounds, return_index=True)[1]
    return rows[first][rng.permutation(first.size)][rounds]
