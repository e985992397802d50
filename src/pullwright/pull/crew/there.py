"""Who is there on a day: every way to be there with its chance, or, where there are too many ways, days drawn by lot."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.crew.skills import Skills

DAYS = 4000
"""So many days are drawn; a chance is then known to about 0.8 % of itself (one standard deviation, at the worst)."""

Array = NDArray[np.float64]


class There(Protocol):
    """People of each crew who are there, way by way, shape (ways, crews), and the chance of each way."""

    def there(self, absent: Sequence[float]) -> tuple[Array, Array]:
        """With these shares of each crew away."""


def ways_to_be_there(skills: Skills, crews: Sequence[int]) -> int:
    """In how many ways can the people of these crews be there?"""
    return math.prod(skills.hands[c].people * skills.hands[c].shifts + 1 for c in crews)


class EveryWay:
    """Every number of people of each of these crews, with its binomial chance; people are away one independent of the other."""

    def __init__(self, skills: Skills, crews: Sequence[int]) -> None:
        self._crews = tuple(crews)
        self._heads = [skills.hands[c].people * skills.hands[c].shifts for c in crews]
        self._numbers = np.array(list(itertools.product(*(range(n + 1) for n in self._heads))), dtype=np.int64)
        # People of several shifts are there one shift after another: on average so many at a time.
        self._people = np.zeros((len(self._numbers), len(skills.hands)))
        self._people[:, list(crews)] = self._numbers / np.array([skills.hands[c].shifts for c in crews])

    @property
    def people(self) -> Array:
        """People of each crew who are there, way by way, shape (ways, crews)."""
        return self._people

    def chances(self, absent: Sequence[Any] | Array) -> Array:
        """The chance of each way, shape (..., ways), with these shares of each crew away, numbers or rows of shape (...)."""
        shares = [np.clip(np.asarray(absent[c], dtype=float), 0.0, 1.0)[..., None] for c in self._crews]
        chances = np.ones((*np.broadcast_shapes(*(share.shape[:-1] for share in shares)), len(self._numbers)))
        for k, away in enumerate(shares):
            n, here = self._heads[k], np.arange(self._heads[k] + 1)
            ways = np.array([math.comb(n, one) for one in here.tolist()], dtype=float)
            chances *= (ways * (1 - away) ** here * away ** (n - here))[..., self._numbers[:, k]]
        return chances

    def there(self, absent: Sequence[float]) -> tuple[Array, Array]:
        """With these shares of each crew away."""
        return self._people, self.chances(absent)


class DrawnDays:
    """Days drawn by lot, each person for itself and evenly over the days (Latin hypercube; McKay, Beckman & Conover 1979).

    The same person is away on the same days whatever else changes: two plans are compared on the same days, so that nobody who learns
    something makes a day worse.
    """

    def __init__(self, skills: Skills, seed: int) -> None:
        self._crews = [c for c, crew in enumerate(skills.hands) for _ in range(crew.people * crew.shifts)]
        self._shifts = np.array([crew.shifts for crew in skills.hands], dtype=float)
        self._luck = _luck(len(self._crews), seed)

    def there(self, absent: Sequence[float]) -> tuple[Array, Array]:
        """With these shares of each crew away."""
        people = np.zeros((DAYS, len(self._shifts)))
        for c, luck in zip(self._crews, self._luck, strict=True):
            people[:, c] += luck >= absent[c]
        return people / self._shifts, np.full(DAYS, 1 / DAYS)


@lru_cache(maxsize=4)
def _luck(people: int, seed: int) -> Array:
    """One number a day for each person, shape (people, days)."""
    luck = np.random.default_rng(seed)
    return np.array([(luck.permutation(DAYS) + 0.5) / DAYS for _ in range(people)]).reshape(-1, DAYS)
