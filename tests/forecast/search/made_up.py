"""Searches with functions in the place of a line: what is true of every setting is known, and a run costs nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from pullwright.forecast.search.problem import Problem
from pullwright.forecast.search.searching import Search
from pullwright.forecast.search.spreading import Hands
from pullwright.forecast.search.trial import Row, Setting, Threshold

Means = Callable[[Setting], float]


class Shares:
    """Runs whose share is on time with the mean of the setting: yes or no (the widest spread of all), on the same luck for every setting."""

    def __init__(self, mean: Means, seed: int, many: int = 20_000) -> None:
        self.mean, self.luck = mean, np.random.default_rng(seed).random(many).tolist()

    def __call__(self, setting: Setting, numbers: Sequence[int]) -> list[Row | str]:
        mean = self.mean(setting)
        return [(1.0 if self.luck[n] < mean else 0.0,) for n in numbers]


class Normals:
    """Runs with a normal cost around the mean of the setting, half of whose variance is luck that all settings share; every promise is kept."""

    def __init__(self, mean: Means, seed: int, settings: Sequence[Setting], many: int = 3_000) -> None:
        luck = np.random.default_rng(seed)
        common = luck.normal(size=many)
        self.costs = {one: (mean(one) + (common + luck.normal(size=many)) / np.sqrt(2)).tolist() for one in settings}

    def __call__(self, setting: Setting, numbers: Sequence[int]) -> list[Row | str]:
        return [(1.0, self.costs[setting][n]) for n in numbers]


def asked(*axes: int, zone: float = 0.1, value: float = 0.8, rising: bool = True, **more: object) -> Problem:
    """A share of at least `value`, and the smallest sum of settings from 1 on."""
    return Problem(
        tuple(tuple(range(1, many + 1)) for many in axes),
        (Threshold(value, zone, at_least=True, share=True),),
        **({"cost": sum, "rising": rising, "most_runs": 20_000} | more),  # type: ignore[arg-type]
    )


def searched(problem: Problem, work: Callable[..., list[Row | str]], hands: Hands | None = None) -> Search:
    """A search that was gone through to its end."""
    search = Search(problem, work, hands or AtOnce())
    search.run()
    assert search.done
    return search


class AtOnce:
    """Whoever is there runs it, at once and without a thread."""

    width = 1

    def done(self, work: Callable[..., list[Row | str]], pieces: Sequence[tuple[Setting, tuple[int, ...]]], stop: Callable[[], bool]) -> list[list[Row | str]] | None:  # fmt: skip
        return None if stop() else [work(*piece) for piece in pieces]
