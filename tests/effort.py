"""How much work something is, told in turns: a turn is a fixed piece of plain Python, timed beside it in the same run.

A bound in turns holds on a slow machine and on a busy one; how many seconds things take is measured in bench/.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from time import process_time

REPEATS = 5


def turns(work: Callable[[], object], times: int = 1) -> float:
    """How many turns the quickest of so many runs of this work takes, in time of the processor.

    A turn takes about 10 ms on the machine that these bounds were set on, when it is quiet.
    """
    before = seconds_of_a_turn()
    taken = min(_seconds(work) for _ in range(times))
    return taken / ((before + seconds_of_a_turn()) / 2)


@contextmanager
def within(most: float) -> Iterator[None]:
    """Fail where what stands below takes more turns than this.

    A turn is timed anew only where the first timing of this run would fail it: the machine may have become busier since.
    """
    usual = _usual_turn()
    start = process_time()
    yield
    taken = process_time() - start
    assert taken < most * usual or taken < most * seconds_of_a_turn(), f"{taken / usual:.0f} turns, at most {most:g}"


def seconds_of_a_turn() -> float:
    """How long a turn takes now."""
    return sum(_seconds(_turn) for _ in range(REPEATS)) / REPEATS


@cache
def _usual_turn() -> float:
    return seconds_of_a_turn()


def _turn() -> int:
    counts: dict[int, int] = {}
    for number in range(70_000):
        counts[number % 1009] = counts.get(number % 1009, 0) + number
    return max(counts.values())


def _seconds(work: Callable[[], object]) -> float:
    start = process_time()
    work()
    return process_time() - start
