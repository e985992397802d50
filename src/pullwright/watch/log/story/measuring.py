"""Means, shares and ratios by group, each with its interval and its first source rows, in one pass over the arrays."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.log.laid import Floats, first_rows, is_large, rows_at
from pullwright.watch.log.story.measured import MOST_ROWS, Measured

LEVEL = 0.9
NONE = Measured(float("nan"), float("nan"), float("nan"), 0)
Codes = NDArray[np.integer[Any]]


def t_reach(count: Floats | float, level: float = LEVEL) -> Any:
    """How many standard errors does Student's interval of so many readings reach? nan for fewer than two."""
    from scipy.special import stdtrit

    freedom = np.asarray(count, float) - 1
    return np.where(freedom >= 1, stdtrit(np.maximum(freedom, 1), (1 + level) / 2), np.nan)


def means(codes: Codes, values: Floats, groups: int, rows: NDArray[Any]) -> list[Measured]:
    """The mean of each group with Student's interval; values that are nan are left out.

    Parameters: `codes` from 0 to `groups` - 1, `values` and source `rows`, shape (n,). Times stay at 0 or above.
    """
    count, mean, spread, floor, named = _spread_out(codes, values, groups, rows)
    with np.errstate(invalid="ignore", divide="ignore"):
        reach = t_reach(count) * np.sqrt(spread / (count - 1) / count)
    return [
        Measured(float(mean[k]), max(float(mean[k] - reach[k]), floor) if reach[k] == reach[k] else float("nan"), float(mean[k] + reach[k]), int(count[k]), named[k])
        if count[k]
        else NONE
        for k in range(groups)
    ]  # fmt: skip


def mean(values: Floats, rows: NDArray[Any]) -> Measured:
    """The mean of all, with Student's interval."""
    return means(np.zeros(values.size, np.int64), values, 1, rows)[0]


def spreads(codes: Codes, values: Floats, groups: int) -> Floats:
    """The coefficient of variation of each group (standard deviation by mean); nan where it cannot be said."""
    count, middle, spread, _, _ = _spread_out(codes, values, groups, None)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where((count > 1) & (middle > 0), np.sqrt(spread / (count - 1)) / middle, np.nan)


def _spread_out(
    codes: Codes, values: Floats, groups: int, rows: NDArray[Any] | None
) -> tuple[Floats, Floats, Floats, float, list[tuple[int, ...]]]:
    """Of each group the count, the mean, the sum of squares around it, below which none may be, and its first rows."""
    if is_large(values.size):
        from .sums_kernel import squares, sums

        small, values = codes.astype(np.int32, copy=False), values.astype(float, copy=False)
        many, total, lowest, places = sums(small, values, groups, MOST_ROWS)
        count = many.astype(float)
        with np.errstate(invalid="ignore", divide="ignore"):
            mean = total / count
        floor = 0.0 if 0 <= lowest < np.inf else -np.inf
        return count, mean, squares(small, values, mean), floor, [] if rows is None else rows_at(places, rows)
    some = np.isfinite(values) & (codes >= 0)
    codes, values = codes[some], values[some]
    count = np.bincount(codes, minlength=groups).astype(float)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.bincount(codes, values, groups) / count
    spread = np.bincount(codes, (values - mean[codes]) ** 2, groups)
    floor = 0.0 if values.size and values.min() >= 0 else -np.inf
    return count, mean, spread, floor, [] if rows is None else first_rows(codes, rows[some], groups, MOST_ROWS)


def ratios(codes: Codes, top: Floats, bottom: Floats, groups: int, rows: NDArray[Any]) -> list[Measured]:
    """Sum of `top` by sum of `bottom` in each group, with the interval of a ratio estimator (Cochran, Sampling Techniques, ch. 6)."""
    count, ratio, under, left, named = _ratio_sums(codes, top, bottom, groups, rows)
    with np.errstate(invalid="ignore", divide="ignore"):
        reach = t_reach(count) * np.sqrt(left / (count - 1) * count) / under
    return [
        Measured(float(ratio[k]), max(float(ratio[k] - reach[k]), 0.0) if reach[k] == reach[k] else float("nan"), float(ratio[k] + reach[k]), int(count[k]), named[k])
        if count[k]
        else NONE
        for k in range(groups)
    ]  # fmt: skip


def _ratio_sums(
    codes: Codes, top: Floats, bottom: Floats, groups: int, rows: NDArray[Any]
) -> tuple[Floats, Floats, Floats, Floats, list[tuple[int, ...]]]:
    """Of each group the count, the ratio, the sum below, the squares of what is off, and its first rows."""
    if is_large(top.size):
        from .sums_kernel import pair_sums, ratio_squares

        small = codes.astype(np.int32, copy=False)
        top, bottom = top.astype(float, copy=False), bottom.astype(float, copy=False)
        many, above, under, places = pair_sums(small, top, bottom, groups, MOST_ROWS)
        with np.errstate(invalid="ignore", divide="ignore"):
            ratio = above / under
        return many.astype(float), ratio, under, ratio_squares(small, top, bottom, ratio), rows_at(places, rows)
    some = np.isfinite(top) & np.isfinite(bottom) & (bottom > 0) & (codes >= 0)
    codes, top, bottom = codes[some], top[some], bottom[some]
    count = np.bincount(codes, minlength=groups).astype(float)
    below: Floats = np.bincount(codes, bottom, groups)
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = np.bincount(codes, top, groups) / below
    left = np.bincount(codes, (top - ratio[codes] * bottom) ** 2, groups)
    return count, ratio, below, left, first_rows(codes, rows[some], groups, MOST_ROWS)


def share(found: float, of: float, rows: tuple[int, ...] = ()) -> Measured:
    """A share with its Wilson interval (Wilson 1927).

    >>> one = share(3, 100)
    >>> round(one.low, 3), round(one.high, 3)
    (0.012, 0.073)
    """
    if not of > 0:
        return NONE
    z2 = 1.6448536269514722**2
    part = min(max(found / of, 0.0), 1.0)
    middle = (part + z2 / (2 * of)) / (1 + z2 / of)
    reach = np.sqrt(z2 * (part * (1 - part) / of + z2 / (4 * of * of))) / (1 + z2 / of)
    return Measured(part, max(float(middle - reach), 0.0), min(float(middle + reach), 1.0), int(of), rows[:MOST_ROWS])


def cv_of(cv: float, count: int, rows: tuple[int, ...] = ()) -> Measured:
    """A coefficient of variation with its interval for large counts: cv sqrt((1 + 2 cv^2) / (2 n)) (Kendall & Stuart, from memory)."""
    if cv != cv:
        return NONE
    reach = 1.6448536269514722 * cv * np.sqrt((1 + 2 * cv * cv) / (2 * max(count, 1)))
    return Measured(cv, max(float(cv - reach), 0.0), float(cv + reach), count, rows[:MOST_ROWS])
