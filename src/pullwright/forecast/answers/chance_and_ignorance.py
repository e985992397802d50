"""What of the spread is luck, and what is it that we do not know? Runs within draws of the inputs tell the two apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.forecast.answers.interval import Floats


@dataclass(frozen=True, slots=True)
class Split:
    """Two variances: `ignorance`, between the draws of what we do not know, and `chance`, between runs with the same inputs.

    `below_zero`: the estimate of the first one came out below 0, as happens by chance where it is small, and was taken as 0.
    """

    ignorance: float
    chance: float
    below_zero: bool

    @property
    def of_ignorance(self) -> float:
        """Which share of the variance of one stretch is what we do not know, 0 to 1."""
        whole = self.ignorance + self.chance
        return self.ignorance / whole if whole > 0 else 0.0

    @property
    def of_chance(self) -> float:
        """Which share of it is luck, 0 to 1; both are 0 where nothing varies."""
        return 1 - self.of_ignorance if self.ignorance + self.chance > 0 else 0.0

    def sentence(self) -> str:
        """Say it.

        >>> Split(78.0, 22.0, False).sentence()
        '78 % of the spread is what we do not know, 22 % is luck'
        """
        if self.ignorance + self.chance <= 0:
            return "nothing of it varies"
        known = round(100 * self.of_ignorance)
        return f"{known} % of the spread is what we do not know, {100 - known} % is luck"


def split(table: Floats) -> Split:
    """Luck and ignorance of a number that was run several times for each of several draws of the inputs.

    Parameters: `table` (K, m), K draws, m runs with luck of their own in each, both 2 or more.
    Result: variance within draws = mean square within; between draws = (mean square between - mean square within) / m; both are unbiased, the
    second one before it is cut off at 0.
    Errors: ValueError for fewer.
    Source: one-way random effects, Searle, Casella & McCulloch, Variance Components (1992), chapter 3 (from memory).

    >>> found = split(np.array([[1.0, 3.0], [11.0, 9.0], [6.0, 6.0]]))
    >>> round(found.ignorance, 3), round(found.chance, 3)
    (15.333, 1.333)
    """
    draws, runs = table.shape
    if draws < 2 or runs < 2:
        raise ValueError(f"{draws} draws of {runs} runs were read; luck and ignorance need 2 or more of both")
    means = table.mean(axis=1)
    within = float(((table - means[:, None]) ** 2).sum() / (draws * (runs - 1)))
    between = float(runs * means.var(ddof=1))
    found = (between - within) / runs
    return Split(max(found, 0.0), within, found < 0)


def drawn_together(table: Floats, error: float) -> Floats:
    """Means of the draws (K,) without the luck that is left in a mean of a few runs: they differ as what we do not know makes them.

    They are drawn together about their mean until their variance is that of ignorance and that of the `error` (a variance) which the runs leave.
    """
    found, means = split(table), table.mean(axis=1)
    seen = found.ignorance + found.chance / table.shape[1]
    together = min(1.0, float(np.sqrt((found.ignorance + error) / seen))) if seen > 0 else 1.0
    drawn: Floats = means.mean() + together * (means - means.mean())
    return drawn
