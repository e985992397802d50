"""Readings that do not look like the others: rules propose to set them aside, the person decides, and nothing is thrown away."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log, sqrt

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.sheet import TimedReading

Values = NDArray[np.float64]
Said = tuple[NDArray[np.bool_], str]

_FENCE = 1.5
_MODIFIED_Z = 3.5
_GRUBBS_CHANCE = 0.05
_NORMAL_QUARTILE = 0.6745  # a quartile of the normal law: turns the median deviation into a standard deviation
_NORMAL_MEAN = 1.253314  # sqrt(pi / 2): the same for the mean deviation


@dataclass(frozen=True, slots=True)
class Rule:
    """One way to say which readings lie apart: its key, its words, its source, and how many readings it needs."""

    key: str
    words: str
    source: str
    least: int
    find: Callable[[Values], Said]


def tukey_fences(values: Values) -> tuple[float, float]:
    """Between which fences do readings lie that are like the others? Quartiles, and one and a half of their distance beyond.

    Source: Tukey (1977), Exploratory Data Analysis.

    >>> tukey_fences(np.array([1.0, 2.0, 3.0, 4.0, 5.0]))
    (-1.0, 7.0)
    """
    low, high = np.quantile(values, [0.25, 0.75])
    return float(low - _FENCE * (high - low)), float(high + _FENCE * (high - low))


def modified_z(values: Values) -> Values:
    """How far is each reading from the median, in deviations that the odd ones cannot stretch? Beyond 3.5 it lies apart.

    Source: Iglewicz & Hoaglin (1993), How to Detect and Handle Outliers; with the mean deviation where the median one is 0.

    >>> modified_z(np.array([10.0, 11.0, 12.0, 13.0, 40.0])).round(2).tolist()
    [-1.35, -0.67, 0.0, 0.67, 18.89]
    """
    off = values - np.median(values)
    typical = float(np.median(np.abs(off)))
    if typical > 0:
        return np.asarray(_NORMAL_QUARTILE * off / typical)
    mean = float(np.abs(off).mean())
    return np.asarray(off / (_NORMAL_MEAN * mean)) if mean > 0 else np.zeros_like(off)


def grubbs_critical(readings: int, chance: float = _GRUBBS_CHANCE) -> float:
    """From which distance on, in standard deviations, is the farthest of so many normal readings too far? Two-sided.

    Errors: `StudyError` for fewer than three readings. Source: Grubbs (1969), Technometrics 11.

    >>> round(grubbs_critical(10), 3)
    2.29
    """
    if readings < 3:
        raise StudyError(f"{readings} readings", "have no farthest one", "three readings or more", "")
    from scipy.special import stdtrit

    t2 = float(stdtrit(readings - 2, 1 - chance / (2 * readings))) ** 2
    return (readings - 1) / sqrt(readings) * sqrt(t2 / (readings - 2 + t2))


def _by_fences(values: Values) -> Said:
    low, high = tukey_fences(values)
    return (values < low) | (values > high), "outside the fences of the quartiles"


def _by_z(values: Values) -> Said:
    return np.abs(modified_z(values)) > _MODIFIED_Z, f"more than {_MODIFIED_Z:g} robust deviations from the median"


def _by_grubbs(values: Values) -> Said:
    none = np.zeros(values.size, dtype=bool)
    spread = float(values.std(ddof=1))
    if spread <= 0:
        return none, ""
    away = np.abs(values - values.mean()) / spread
    far = int(away.argmax())
    limit = grubbs_critical(values.size)
    none[far] = away[far] > limit
    return none, f"{away[far]:.2f} standard deviations from the mean, where {limit:.2f} is the limit for the farthest of {values.size}"  # fmt: skip


def _in_logs(find: Callable[[Values], Said]) -> Callable[[Values], Said]:
    def found(values: Values) -> Said:
        odd, said = find(np.log(values))
        return odd, f"in logarithms, {said}" if said else said

    return found


RULES: tuple[Rule, ...] = (
    Rule("fences", "Tukey's fences", "Tukey (1977)", 5, _by_fences),
    Rule("robust", "modified z by the median deviation", "Iglewicz & Hoaglin (1993)", 5, _by_z),
    Rule("grubbs", "Grubbs' test for the farthest", "Grubbs (1969)", 6, _by_grubbs),
    Rule("fences in logs", "Tukey's fences on logarithms", "Tukey (1977)", 5, _in_logs(_by_fences)),
    Rule("robust in logs", "modified z on logarithms", "Iglewicz & Hoaglin (1993)", 5, _in_logs(_by_z)),
    Rule("grubbs in logs", "Grubbs' test on logarithms", "Grubbs (1969)", 6, _in_logs(_by_grubbs)),
)
"""Times are lopsided to the right more often than not; a reading that lies apart in logarithms too is the clearer case."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A reading that might be set aside: by which rules it lies apart, and why in words. The person decides."""

    reading: TimedReading
    rules: tuple[str, ...]
    why: str


def proposals(readings: Sequence[TimedReading]) -> tuple[Proposal, ...]:
    """Which of these readings of one element lie apart from the others, and why? Those that most rules name come first.

    Parameters: the readings that count, above 0 s. Result: proposals only; nothing is changed.

    >>> times = [41.0, 44.0, 39.0, 45.0, 40.0, 47.0, 38.0, 120.0]
    >>> (odd,) = proposals([TimedReading(f"r{cycle}", cycle, 0, time) for cycle, time in enumerate(times, 1)])
    >>> odd.reading.seconds, len(odd.rules)
    (120.0, 6)
    >>> print(odd.why)
    120 s in cycle 8, where the median is 42.5 s: outside the fences of the quartiles (Tukey's fences); 6 of 6 rules say so
    """
    values = np.array([one.seconds for one in readings], dtype=np.float64)
    rules = [rule for rule in RULES if values.size >= rule.least]
    said: dict[int, list[tuple[Rule, str]]] = {}
    for rule in rules:
        odd, words = rule.find(values)
        for index in np.flatnonzero(odd).tolist():
            said.setdefault(index, []).append((rule, words))
    found = []
    for index, by in said.items():
        one, (first, words) = readings[index], by[0]
        why = (
            f"{one.seconds:g} s in cycle {one.cycle}, where the median is {float(np.median(values)):.3g} s: "
            f"{words} ({first.words}); {len(by)} of {len(rules)} rules say so"
        )
        found.append(Proposal(one, tuple(rule.key for rule, _ in by), why))
    middle = log(float(np.median(values))) if values.size else 0.0
    return tuple(sorted(found, key=lambda one: (-len(one.rules), -abs(log(one.reading.seconds) - middle))))
