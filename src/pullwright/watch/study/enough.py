"""How many readings are enough, how many more are worth taking, and what the interval will be then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, fsum, inf, sqrt

from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.spread import mean_of, standard_deviation

WITHIN = 0.05
"""Half-width of the interval that is wanted, as a share of the mean (common practice)."""
LEVEL = 0.95
ILO_LEVEL = 0.9544997361036416
"""Two standard errors on each side: 95.45 %."""
MOST = 1_000_000
STEP = 10
WORTH = 0.005
"""Readings are worth taking while ten more narrow the half-width by this share of the mean or more (a rule of our own)."""


def readings_needed_ilo(values: Sequence[float], within: float = WITHIN, level: float = ILO_LEVEL) -> float:
    """How many readings does the formula of the ILO ask for, before rounding up?

    n = (z / within)² (n' sum x² - (sum x)²) / (sum x)², with z standard errors for the level; z / within = 40 for ±5 % at 95.45 %.
    Parameters: the readings taken so far; `within`, half-width as a share of the mean; `level` of confidence.
    Errors: `StudyError` for fewer than two readings or an accuracy that is none.
    Source: ILO, Introduction to Work Study, statistical method (from memory); it takes the spread as known.

    >>> round(readings_needed_ilo([7, 6, 7, 7, 6]), 2)
    8.82
    """
    _check(within, level)
    _two(len(values))
    from scipy.special import ndtri

    n, total = len(values), fsum(values)
    middle = total / n
    # n sum x² - (sum x)² = n sum (x - mean)², which does not lose its digits where the readings are nearly alike.
    scatter = n * fsum((x - middle) ** 2 for x in values)
    return float(ndtri((1 + level) / 2) / within) ** 2 * scatter / total**2


def half_width(cv: float, readings: int, level: float = LEVEL) -> float:
    """How far from the mean do the ends of its interval lie with so many readings, as a share of the mean?

    t(n - 1) cv / sqrt(n); infinite for one reading. Source: Student (1908).

    >>> round(half_width(0.1, 20), 4)
    0.0468
    """
    if readings < 2:
        return inf if cv > 0 else 0.0
    return _t(readings - 1, level) * cv / sqrt(readings)


def readings_needed(cv: float, within: float = WITHIN, level: float = LEVEL) -> int:
    """What is the smallest number of readings whose Student interval is this narrow, if the cv stays as it is?

    Parameters: `cv`, standard deviation / mean; `within`, half-width as a share of the mean. Result: 2 or more.
    Errors: `StudyError` for an accuracy that is none, or one that a million readings do not give.

    >>> readings_needed(0.1), readings_needed(0.3)
    (18, 141)
    """
    _check(within, level)
    if half_width(cv, MOST, level) > within:
        raise StudyError(
            f"±{within:.3%} with a cv of {cv:g}", f"needs more than {MOST:,} readings", "a wider interval", ""
        )
    low, high = 1, 2
    while half_width(cv, high, level) > within:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if half_width(cv, middle, level) <= within else (middle, high)
    return high


def readings_needed_stein(cv: float, taken: int, within: float = WITHIN, level: float = LEVEL) -> int:
    """How many readings in all keep the promise of the level, whatever the true spread, if `taken` gave this cv?

    n = (t(taken - 1) cv / within)², at least `taken`. The half-width is a share of the mean of the readings taken.
    Source: Stein (1945), Annals of Mathematical Statistics 16, two-stage sampling.

    >>> readings_needed_stein(0.1, 5), readings_needed_stein(0.1, 20)
    (31, 20)
    """
    _check(within, level)
    _two(taken)
    return max(taken, ceil((_t(taken - 1, level) * cv / within) ** 2 - 1e-9))


def worth_taking(cv: float, taken: int, within: float = WITHIN, level: float = LEVEL) -> int:
    """How many more readings are worth taking: up to the accuracy that is wanted, and no further than they still help.

    The interval narrows with the root of the number. Beyond the point at which ten more readings narrow its half-width by
    less than half a per cent of the mean, standing there longer buys little.

    >>> worth_taking(0.1, 10), worth_taking(0.5, 20), worth_taking(0.02, 10)
    (8, 77, 0)
    """
    if cv <= 0:
        return 0
    wanted = readings_needed(cv, within, level) if half_width(cv, MOST, level) <= within else MOST
    low, high = max(taken, 2) - 1, wanted  # the gain falls with every reading: search for the first that is too small
    if high <= taken:
        return 0
    while high - low > 1:
        middle = (low + high) // 2
        gain = half_width(cv, middle, level) - half_width(cv, middle + STEP, level)
        low, high = (low, middle) if gain < WORTH else (middle, high)
    return max(0, high - taken)


@dataclass(frozen=True, slots=True)
class Enough:
    """Are there enough readings of one time?

    `taken` so far; `within` is wanted at `level`; `now` is the half-width reached, `ilo` and `needed` and `stein` how many in all
    by each method, `more` how many are missing to `needed`, `worth` how many more are worth taking and `then` the half-width
    with them. Half-widths are shares of the mean.
    """

    taken: int
    cv: float
    within: float
    level: float
    now: float
    ilo: float
    needed: int
    stein: int
    more: int
    worth: int
    then: float

    def sentence(self, counted: str = "reading") -> str:
        """In words: what is reached, and what more would bring.

        >>> print(enough([41, 44, 39, 45, 40, 47, 38, 43]).sentence())
        8 readings hold the mean to ±6.2 %; 4 more are worth taking: ±4.7 %.
        """
        have = f"{self.taken} {counted}{'s' if self.taken != 1 else ''}"
        if self.cv == 0:
            return f"{have}, all alike: no more are needed."
        if self.worth == 0:
            reached = self.now <= self.within
            return f"{have} hold the mean to ±{self.now:.1%}: {'enough' if reached else 'more would help little'}.".replace("%", " %")  # fmt: skip
        are = "is" if self.worth == 1 else "are"
        told = f"{have} hold the mean to ±{self.now:.1%}; {self.worth} more {are} worth taking: ±{self.then:.1%}."
        return told.replace("%", " %")


def enough(values: Sequence[float], within: float = WITHIN, level: float = LEVEL) -> Enough:
    """How many readings are enough, how many more are worth taking, and what is the interval then?

    Parameters: the readings, in one unit, at least two, with a mean above zero; `within`, wanted half-width as a share of the mean.
    Errors: `StudyError` for fewer than two readings.
    """
    _check(within, level)
    _two(len(values))
    middle = mean_of(values)
    cv = standard_deviation(values) / middle
    taken = len(values)
    if cv <= 1e-12:
        return Enough(taken, 0.0, within, level, 0.0, 0.0, 2, taken, 0, 0, 0.0)
    needed = readings_needed(cv, within, level)
    worth = worth_taking(cv, taken, within, level)
    return Enough(
        taken=taken,
        cv=cv,
        within=within,
        level=level,
        now=half_width(cv, taken, level),
        ilo=readings_needed_ilo(values, within),
        needed=needed,
        stein=readings_needed_stein(cv, taken, within, level),
        more=max(0, needed - taken),
        worth=worth,
        then=half_width(cv, taken + worth, level),
    )


def _t(freedom: int, level: float) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, (1 + level) / 2))


def _two(count: int) -> None:
    if count < 2:
        raise StudyError(
            f"{count} reading{'' if count == 1 else 's'}",
            "cannot say how much the time varies",
            "two readings or more",
            "take a few cycles more",
        )


def _check(within: float, level: float) -> None:
    if not 0 < within < inf:
        raise StudyError(f"an accuracy of ±{within:g}", "is none", "a share of the mean above 0, such as 0.05", "")
    if not 0 < level < 1:
        raise StudyError(f"a confidence of {level:g}", "is none", "a share between 0 and 1, such as 0.95", "")
