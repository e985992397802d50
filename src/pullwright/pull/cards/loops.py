"""Which time belongs to which loop: how long from a card that is free until its container is full and in its place.

A **production** loop: the card goes back, waits in the queue of the step, is set up for and worked on, and its pieces wait until they are
carried, and are carried. A **withdrawal** loop fetches what is ready elsewhere: its card waits for the next round and goes there and back.
Means in s of working time and variances in s²; numbers or arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

LoopKind = Literal["production", "signal", "withdrawal"]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of loop as people say it, and what its card lets somebody do."""

    key: LoopKind
    words: str
    lets: str


KINDS: tuple[Kind, ...] = (
    Kind("production", "production card", "make one container"),
    Kind("signal", "signal card", "make one lot"),
    Kind("withdrawal", "withdrawal card", "fetch one container"),
)


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of a lead time: mean (s) and variance (s²)."""

    mean: Any
    variance: Any


def queueing(wait: Any, load: Any) -> Stretch:
    """How much does a mean time in queue of `wait` (s) vary at a station with this load?

    A share of about the load waits at all, and those that do wait by an exponential law: Var = W² (2/u - 1). Exact for M/M/1; in heavy traffic for any
    station (Kingman 1962, from memory).

    >>> queueing(40.0, 0.8).variance  # M/M/1 of 10 s: (2/0.8 - 1) 40²
    2400.0
    """
    used = np.clip(np.asarray(load, dtype=float), 1e-12, 1.0)
    variance = np.where(np.asarray(wait) > 0, np.asarray(wait, dtype=float) ** 2 * (2 / used - 1), 0.0)
    return Stretch(wait, variance if variance.ndim else float(variance))


def working(
    pieces: Any, machines: Any, each: Any, variance: Any, *, set_up: Any = 0.0, set_up_cv: Any = 0.0, kept: bool = False
) -> Stretch:
    """How long from the begin of what is handed on together until its last piece is done?

    `pieces` of it, each with mean `each` (s) and `variance` (s²) without set-ups; `set_up` (s) comes once before them. A lot is `kept` together at one of the
    `machines`; single pieces are shared out among them.

    >>> working(10.0, 2.0, 60.0, 0.0).mean, working(10.0, 1.0, 60.0, 0.0, set_up=600.0, kept=True).mean
    (330.0, 1200.0)
    """
    beside = 1.0 if kept else machines
    mean = set_up + each * (1 + (pieces - 1) / beside)
    return Stretch(mean, variance * (1 + (pieces - 1) / beside**2) + (set_up_cv * set_up) ** 2)


def gathering(carried: Any, ready: Any, rate: Any) -> Stretch:
    """How long does what is `ready` together (pieces) wait until as much lies there as is `carried` at a time, at `rate` (pieces/s)?

    Any part of it is equally likely to lie there already: mean (b - n)/2 / rate, variance (b - n)² / 12 / rate².

    >>> gathering(28.0, 14.0, 0.001).mean, gathering(7.0, 14.0, 0.001).mean
    (7000.0, 0.0)
    """
    more = np.maximum(np.asarray(carried, dtype=float) - ready, 0.0)
    with np.errstate(all="ignore"):
        time = np.where(more > 0, np.divide(more, rate), 0.0)
    return Stretch(_plain(time / 2), _plain(time**2 / 12))


def rhythm(carried: Any, holds: Any, rate: Any) -> Stretch:
    """How long does a withdrawal card wait for the next round, when `carried` pieces go at a time and `rate` (pieces/s) are used?

    A round comes each time that a load is used up, at least a container; the card that is free just after one waits for all of the next one, and stock
    has to last so long (Monden: withdrawal in a constant cycle). It does not vary.

    >>> rhythm(25.0, 50.0, 0.01).mean, rhythm(100.0, 50.0, 0.01).mean
    (5000.0, 10000.0)
    """
    load = np.maximum(np.asarray(carried, dtype=float), holds)
    some = np.asarray(rate) > 0
    time = np.where(some, load / np.where(some, rate, 1.0), 0.0)
    return Stretch(_plain(time), _plain(0.0 * time))


def _plain(value: Any) -> Any:
    return value if np.ndim(value) else float(value)
