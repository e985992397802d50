"""The trials of a search, by setting: what was asked for, what came of it, and the best so far."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass

from pullwright.forecast.search.problem import Problem
from pullwright.forecast.search.trial import Row, Setting, Trial, Verdict


@dataclass(frozen=True, slots=True)
class Ask:
    """A procedure wants to know what run `number` of a setting comes to; the same run of the settings `beside` comes next."""

    setting: Setting
    number: int
    beside: tuple[Setting, ...] = ()


Asking = Generator[Ask, Row | str, Setting | None]
"""A procedure: it asks for runs, and ends with the setting that it found, None where no setting keeps the promises."""


class Book:
    """All trials of a search so far."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.trials: dict[Setting, Trial] = {}
        self.left = len(problem.settings)
        """Settings of which it is not told yet whether they matter."""

    def tested(self, setting: Setting) -> Generator[Ask, Row | str, Verdict]:
        """Ask for runs of a setting until it is told whether it keeps the promises."""
        trial = self.trials.get(setting)
        if trial is None:
            problem = self.problem
            trial = Trial(setting, problem.thresholds, wrong=problem.wrong, most_runs=problem.most_runs)
            self.trials[setting] = trial
        while trial.verdict is None:
            trial.add((yield Ask(setting, trial.runs)))
        return trial.verdict

    @property
    def best(self) -> Trial | None:
        """The cheapest setting that was shown to keep the promises; where the cost is measured in runs, the one with the smallest mean."""
        kept = [trial for trial in self.trials.values() if trial.verdict == "kept"]
        return min(kept, key=self.cost_of, default=None)

    @property
    def nearest(self) -> Trial | None:
        """The setting whose worst promise comes nearest to what is asked."""
        run = [trial for trial in self.trials.values() if trial.rows]
        return max(run, key=lambda trial: min(trial.margins()), default=None)

    def cost_of(self, trial: Trial) -> float:
        """What a trial's setting costs, settled or as far as its runs tell."""
        return trial.means()[-1] if self.problem.cost is None else self.problem.cost(trial.setting)
