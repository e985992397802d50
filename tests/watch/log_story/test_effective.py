"""Effective process times are those of the machines that a log was made with, whatever their number and the order of the queue."""

from __future__ import annotations

import heapq
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.watch.log.decide import decide
from pullwright.watch.log.events import Events
from pullwright.watch.log.story import story
from pullwright.watch.log.story.effective import held_from
from tests.watch.log_story.floor import MONDAY, row, table, told

MEAN, SHAPE = 600.0, 4.0  # gamma times: cv 1 / sqrt(4) = 0.5


def queue(
    machines: int, takes: str, *, many: int = 2000, load: float = 0.85, seed: int = 1, down: tuple[float, float] | None = None
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:  # fmt: skip
    """Arrivals, starts, ends and true holding times of a queue; `takes`: first, last or any of those that wait.

    `down`: mean running time between breakdowns and mean time to repair, both exponential; repairs are inside the holding time.
    """
    rng = np.random.default_rng(seed)
    holds = rng.gamma(SHAPE, MEAN / SHAPE, many)
    if down is not None:
        stops = rng.poisson(holds / down[0])
        holds = holds + np.array([rng.exponential(down[1], n).sum() for n in stops])
    arrival = np.cumsum(rng.exponential(holds.mean() / (machines * load), many))
    free, waiting, start, come = [0.0] * machines, [], np.zeros(many), 0
    for _ in range(many):
        now = heapq.heappop(free)
        while come < many and arrival[come] <= now:
            waiting.append(come)
            come += 1
        if not waiting:
            now, come = arrival[come], come + 1
            waiting.append(come - 1)
        place = {"first": 0, "last": -1, "any": int(rng.integers(len(waiting)))}[takes]
        one = waiting.pop(place)
        start[one] = now
        heapq.heappush(free, now + holds[one])
    return arrival, start, start + holds, holds


def plain(arrival: list[float], start: list[float], done: list[float], machines: int) -> list[float]:
    """The slow twin: walk through arrivals and ends, keep how many are there, and note each moment at which one more counts."""
    happenings = sorted([(at, 1) for at in arrival] + [(at, 0) for at in done])
    there, counting, begun = 0, 0, []
    for at, comes in happenings:
        if comes:
            there += 1
            if counting < machines:
                counting += 1
                begun.append(at)
        else:
            there -= 1
            counting -= 1
            if there > counting:
                counting += 1
                begun.append(at)
    by_start = sorted(range(len(start)), key=lambda k: (start[k], arrival[k]))
    held = [0.0] * len(start)
    for k, at in zip(by_start, begun, strict=True):
        held[k] = done[k] - min(at, start[k])
    return held


@pytest.mark.parametrize("takes", ["first", "last", "any"])
@pytest.mark.parametrize("machines", [1, 3])
def test_holding_times_are_exact_whoever_is_taken_next(machines: int, takes: str) -> None:
    arrival, start, done, holds = queue(machines, takes)

    ours = done - held_from(np.zeros(arrival.size, np.int64), arrival, start, done, np.array([machines]))

    assert np.abs(ours - holds).max() < 1e-4


@given(
    st.lists(st.tuples(st.integers(0, 500), st.integers(0, 60), st.integers(1, 90)), min_size=1, max_size=30),
    st.integers(1, 4),
)
@settings(max_examples=30)
def test_the_formula_is_the_walk_through_the_log(jobs: list[tuple[int, int, int]], machines: int) -> None:
    """Jobs with any waiting and any overlap, as dirty logs have them: at most `machines` at once is not given."""
    arrival = [float(a) + k * 1e-3 for k, (a, _, _) in enumerate(jobs)]
    start = [at + wait for at, (_, wait, _) in zip(arrival, jobs, strict=True)]
    done = [at + lasts + 0.5e-3 for at, (_, _, lasts) in zip(start, jobs, strict=True)]

    begins = held_from(
        np.zeros(len(jobs), np.int64), np.array(arrival), np.array(start), np.array(done), np.array([machines])
    )

    assert np.array(done) - begins == pytest.approx(plain(arrival, start, done, machines), abs=1e-5)


def two_steps(arrival: np.ndarray, start: np.ndarray, done: np.ndarray) -> Events:
    """A log of it: each order is fed in no time, then milled; the shop never closes."""
    names = [f"A{k}" for k in range(arrival.size)]
    at = np.concatenate([arrival, start])
    order = np.argsort(at, kind="stable")
    moments = [np.datetime64(MONDAY, "us") + (np.concatenate(some)[order] * 1e6).astype("timedelta64[us]") for some in ((arrival, start), (arrival, done))]  # fmt: skip
    return table(
        {"case": [(names * 2)[k] for k in order], "activity": [("feed", "mill")[int(k >= arrival.size)] for k in order], "start": moments[0], "end": moments[1],
         "station": [("feed", "mill")[int(k >= arrival.size)] for k in order]}
    )  # fmt: skip


def test_breakdowns_are_in_the_effective_time() -> None:
    """te = t0 / A and ce² = c0² + (1 + cr²) A (1 - A) mr / t0 (Hopp & Spearman, Factory Physics, ch. 8, from memory)."""
    between, repair = 3_000.0, 1_000.0
    arrival, start, done, _ = queue(1, "first", many=4000, down=(between, repair))
    available = between / (between + repair)
    mean = MEAN / available
    cv = math.sqrt(1 / SHAPE + 2 * available * (1 - available) * repair / MEAN)

    mill = story(decide(two_steps(arrival, start, done))).effective.of_station("mill")

    # Four standard errors: cv / sqrt(n) of the mean; a cv of such skewed times is known to about 4 % from 4,000.
    assert mill.lot.value == pytest.approx(mean, rel=4 * cv / math.sqrt(4000))
    assert mill.cv.value == pytest.approx(cv, rel=0.15)
    assert mill.lot.low < mean < mill.lot.high
    assert mill.machines == 1


def test_the_number_of_machines_is_taken_from_how_many_go_on_at_once() -> None:
    arrival, start, done, holds = queue(3, "first", load=0.95)

    mill = story(decide(two_steps(arrival, start, done))).effective.of_station("mill")

    assert mill.machines == 3
    assert mill.lot.value == pytest.approx(holds.mean(), rel=0.01)
    assert mill.cv.value == pytest.approx(0.5, rel=0.08)


def test_nothing_counts_while_the_shop_is_closed() -> None:
    days = [row(f"A{day}{k}", step, 24 * (day + day // 5 * 2) + 8 + k + begin, 24 * (day + day // 5 * 2) + 8 + k + begin + 0.5)
            for day in range(20) for k in range(8) for begin, step in ((0, "saw"), (0.5, "mill"))]  # fmt: skip
    # Sawn on Friday before closing, milled on Monday an hour after opening: an hour and a half of working time from arrival to end.
    late = [row("late", "saw", 4 * 24 + 15.4, 4 * 24 + 15.9), row("late", "mill", 7 * 24 + 9, 7 * 24 + 9.4)]

    effective = told(days + late).effective.of_step("mill")

    assert effective.lot.value < 3700
    assert effective.outside == 0


def test_a_station_that_waits_for_somebody_is_held_longer_than_it_is_booked() -> None:
    # One machine; each order is there when the one before is done, but begins half an hour later.
    rows = []
    for day in range(10):
        for k in range(8):
            at = 24 * (day + day // 5 * 2) + 7 + k
            rows += [row(f"{day}-{k}", "saw", at - 0.1, at), row(f"{day}-{k}", "mill", at + 0.5, at + 1)]

    mill = told(rows).effective.of_station("mill")

    assert mill.touch_share == pytest.approx(0.5, abs=0.05)


def test_a_step_without_a_row_is_named() -> None:
    with pytest.raises(KeyError, match="no step 'weld'"):
        told([row("A", "saw", 8, 9)]).effective.of_step("weld")
