"""One setting put to the test, run after run, until it is told whether it keeps its promises."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log
from typing import Literal

from pullwright.forecast.search.averages import Average
from pullwright.forecast.search.averages import interval as interval_of_averages
from pullwright.forecast.search.betting import Bet
from pullwright.forecast.search.betting import interval as interval_of_shares

Setting = tuple[float, ...]
"""One value for each knob."""
Row = tuple[float, ...]
"""What one run of a setting came to: one number for each promise, and one more where the cost is measured in runs too."""

Verdict = Literal["kept", "broken", "open", "refused"]
"""open: not told within the runs that were allowed; refused: the line cannot be run like that."""


@dataclass(frozen=True, slots=True)
class Threshold:
    """What a promise asks of the mean of one column of the rows: at least (at most) `value`, give or take `zone`."""

    value: float
    zone: float
    at_least: bool
    share: bool

    def margin(self, mean: float) -> float:
        """By how many zones a mean is better than asked (below 0: worse)."""
        return (mean - self.value if self.at_least else self.value - mean) / self.zone


class _Watch:
    """Evidence on one promise: that its mean is within the zone of what is asked, or that it is worse than asked."""

    def __init__(self, threshold: Threshold) -> None:
        self.threshold, self.held = threshold, False
        sign = -1 if threshold.at_least else 1
        missed = threshold.value + sign * threshold.zone
        if threshold.share:
            self._good: Bet | Average = Bet(missed, above=threshold.at_least)
            self._bad: Bet | Average = Bet(threshold.value, above=not threshold.at_least)
        else:
            self._good, self._bad = Average(missed), Average(threshold.value)

    def add(self, value: float) -> None:
        self._good.add(value)
        self._bad.add(value)

    @property
    def good(self) -> float:
        return _evidence(self._good, above=self.threshold.at_least)

    @property
    def bad(self) -> float:
        return _evidence(self._bad, above=not self.threshold.at_least)


def _evidence(of: Bet | Average, *, above: bool) -> float:
    if isinstance(of, Bet):
        return of.evidence
    return of.above if above else of.below


class Trial:
    """A setting with what its runs came to so far.

    It is "kept" when each promise is shown to be within its zone, "broken" when one is shown to be worse than asked. Where every mean is as asked or
    better, "broken" comes with a chance of at most `wrong`; where one is worse by more than its zone, so does "kept". In
    between both are right, so that the test always ends.
    """

    def __init__(self, setting: Setting, thresholds: Sequence[Threshold], *, wrong: float, most_runs: int) -> None:
        self.setting, self.rows, self.refusal = setting, list[Row](), ""
        self.verdict: Verdict | None = None
        self._watches = [_Watch(one) for one in thresholds]
        self._good, self._bad = log(1 / wrong), log(len(thresholds) / wrong)
        self._most = most_runs

    @property
    def runs(self) -> int:
        """Runs that were taken in."""
        return len(self.rows)

    def add(self, row: Row | str) -> None:
        """Take in the next run; a text says why it cannot be run."""
        if isinstance(row, str):
            self.refusal, self.verdict = row, "refused"
            return
        self.rows.append(row)
        if self.verdict is not None:
            return
        for watch, value in zip(self._watches, row, strict=False):
            watch.add(value)
            watch.held = watch.held or watch.good >= self._good
        if any(watch.bad >= self._bad for watch in self._watches):
            self.verdict = "broken"
        elif all(watch.held for watch in self._watches):
            self.verdict = "kept"
        elif self.runs >= self._most:
            self.verdict = "open"

    def means(self) -> Row:
        """The mean of each column."""
        return tuple(sum(column) / len(column) for column in zip(*self.rows, strict=True))

    def intervals(self, wrong: float, shares: Sequence[bool]) -> tuple[tuple[float, float], ...]:
        """An interval of the mean of each column that may be looked at any time; `shares`: which columns lie from 0 to 1."""
        columns = list(zip(*self.rows, strict=True))
        return tuple(
            (interval_of_shares if share else interval_of_averages)(column, wrong)
            for column, share in zip(columns, shares, strict=True)
        )

    def margins(self) -> tuple[float, ...]:
        """By how many zones each promise is better than asked, as far as the runs tell."""
        means = self.means()
        return tuple(watch.threshold.margin(mean) for watch, mean in zip(self._watches, means, strict=False))
