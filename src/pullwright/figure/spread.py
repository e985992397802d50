"""Where does the spread of a figure come from? Its first-order shares among the given figures below it."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import NamedTuple

import numpy as np

from pullwright.figure.draws import Draws
from pullwright.figure.number import Figure
from pullwright.figure.propagation import aligned
from pullwright.figure.walk import inputs_first

TOGETHER = "together or by chance"

_MOST_TESTED = 200  # leaves in one fit; those that go along with the figure least are left to the remainder
_HEAVY = 30.0  # kurtosis beyond which a variance is ruled by a few draws, and ranks tell more
_ALIKE = 4.5  # standard errors beyond which two given figures' draws are alike by more than chance
_SURE = 2.6  # standard errors that a share must stand above nothing


@dataclass(frozen=True, slots=True)
class Share:
    """One given figure's share of the spread of another, between 0 and 1.

    `figure` is None in the last row, which holds what comes from several together or cannot be told from chance.
    `by_ranks` says that the spread was too long-tailed for variances, and that ranks were shared out instead.
    """

    figure: Figure | None
    share: float
    by_ranks: bool = False

    @property
    def name(self) -> str:
        """The given figure's name, or that of the remainder."""
        return TOGETHER if self.figure is None else self.figure.name

    def __str__(self) -> str:
        return f"{100 * self.share:.0f} % {self.name}"


class _Fit(NamedTuple):
    explained: Draws  # variance that each leaf explains
    total: float


def leaves(figure: Figure) -> list[Figure]:
    """The given figures below that have a spread of their own."""
    return [one for one in inputs_first(figure) if not one.inputs and not one.certain]


def share_of_uncertainty(figure: Figure) -> tuple[Share, ...]:
    """Which given figures does its spread come from, and how much from each?

    Result: one `Share` per uncertain given figure, the largest first, and a last one with the remainder; all lie in
    0 to 1 and add up to 1 (all are 0 where every draw is the same). A certain figure has none: ().
    Method: first-order Sobol shares from the draws at hand. A straight-line fit on all given figures at once takes
    the straight part; what each one's curve adds is read from the residuals, straight within groups of draws that
    are near in that figure, less what chance alone would give.
    What does not stand clear of chance goes to the remainder.
    Where an infinite or very long-tailed spread has no useful variance, ranks take the place of numbers.
    Source: Sobol (2001), Math. Comput. Simul. 55; Saltelli et al., Global Sensitivity Analysis (2008), ch. 1 and 4
    (from memory).

    >>> from pullwright.figure import Source, derive, judged
    >>> walk = judged("walking", 4.0, 7.0, 10.0, "s", Source("line file", "walk"))
    >>> work = judged("working", 36.0, 45.0, 54.0, "s", Source("line file", "work"))
    >>> both = derive("cycle", lambda a, b: a + b, walk, work, unit="s", formula="walking + working")
    >>> for share in share_of_uncertainty(both):
    ...     print(share)
    90 % working
    10 % walking
    0 % together or by chance
    """
    if figure.certain:
        return ()
    spread = figure.draws
    given = leaves(figure)
    columns = aligned([one.draws for one in given], spread.size)
    by_ranks = _is_heavy(spread)
    spread = _ranks(spread) if by_ranks else _scaled(spread)
    shares = np.zeros(len(given))
    if given and spread.std() > 0:
        table = np.array([_ranks(row) if by_ranks or _is_heavy(row) else _scaled(row) for row in columns])
        tested = np.argsort(-np.abs(np.einsum("ij,j->i", table, spread)), kind="stable")[
            : min(_MOST_TESTED, spread.size // 4)
        ]
        fit = _fit(table[tested], spread)
        shares[tested] = fit.explained / fit.total
        shares /= max(1.0, float(shares.sum()))
    ordered = sorted(zip(given, shares.tolist(), strict=True), key=lambda pair: -pair[1])
    rest = max(0.0, 1.0 - float(shares.sum())) if spread.std() > 0 else 0.0
    return (*(Share(one, share, by_ranks) for one, share in ordered), Share(None, rest, by_ranks))


def _is_heavy(row: Draws) -> bool:
    if np.isinf(row).any():
        return True
    return float(np.mean(_scaled(row) ** 4)) > _HEAVY


def _scaled(row: Draws) -> Draws:
    centred: Draws = row / (np.abs(row).max() or 1.0)
    centred -= centred.mean()
    deviation = centred.std()
    return centred / deviation if deviation > 0 else centred


def _ranks(row: Draws) -> Draws:
    """Centred, scaled ranks; equal numbers share their mean rank."""
    _, place, counts = np.unique(row, return_inverse=True, return_counts=True)
    return _scaled((np.cumsum(counts) - counts / 2)[place])


def _fit(table: Draws, spread: Draws) -> _Fit:
    """The variance that each row of the table explains: its straight part, and what its curve adds."""
    count = spread.size
    products = np.einsum("ij,kj->ik", table, table)
    slopes = _slopes(products, np.einsum("ij,j->i", table, spread))
    residual = spread - np.einsum("i,ij->j", slopes, table)
    freedom = max(count - 1 - len(table), 1)
    noise = float(residual @ residual) / freedom
    error = sqrt(noise / count)
    # Chance likeness between the given figures' draws belongs to none of them; draws made together are truly alike.
    alike = np.where(np.abs(products) > _ALIKE * sqrt(count), products, 0.0) / count
    along = slopes * np.einsum("ij,j->i", alike, slopes)
    straight = np.where(np.abs(slopes) > _SURE * error, np.maximum(along - error**2, 0.0), 0.0)
    curved = np.array([_curve(row, residual) for row in table])
    return _Fit(straight + curved, float(along.sum()) + float(residual.var()))


def _slopes(products: Draws, along: Draws) -> Draws:
    """Least squares by conjugate gradients (Hestenes & Stiefel 1952); rows that always go together share their slope.

    The rows are nearly independent, so that a few steps do, and a dense solver's threads would cost more than they
    give: on a busy machine they wait for one another far longer than this takes. Hence also the plain products.
    Parameters: the rows' `products` with one another and `along`, their products with the spread.
    """
    slopes = np.zeros(along.size)
    left = way = along
    size = float((left**2).sum())
    enough = size * 1e-24
    for _ in range(4 * along.size):
        step = (products * way).sum(axis=1)
        bend = float((way * step).sum())
        if size <= enough or bend <= 0:
            break
        length = size / bend
        slopes += length * way
        left = left - length * step
        size, before = float((left**2).sum()), size
        way = left + size / before * way
    return slopes


def _curve(row: Draws, residual: Draws) -> float:
    """What the residual still owes to this row: straight lines within groups of near draws, less chance's part."""
    count = row.size
    groups = int(min(50, max(4, sqrt(count) // 3)))
    size = count // groups
    if size < 5 or row.std() == 0:
        return 0.0
    order = np.argsort(row, kind="stable")[: groups * size]
    across = row[order].reshape(groups, size)
    along = residual[order].reshape(groups, size)
    centre = across - across.mean(axis=1, keepdims=True)
    square = (centre**2).sum(axis=1)
    slope = np.divide((centre * along).sum(axis=1), square, out=np.zeros(groups), where=square > 0)
    explained = float((size * along.mean(axis=1) ** 2 + slope**2 * square).sum()) / count
    whole = float(residual @ residual) / count
    if whole <= 0:
        return 0.0
    numbers = 2 * groups - 2  # the constant and the straight part are gone already
    share = 1 - (1 - min(explained / whole, 1.0)) * (count - 2) / (count - 2 - numbers)
    return share * whole if share > _SURE * sqrt(2 * numbers) / count else 0.0
