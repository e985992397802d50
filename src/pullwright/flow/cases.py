"""Best, worst and practical worst case: what a line makes of a given number of pieces in work.

Hopp & Spearman, Factory Physics, chapter 7 (from memory; recomputed in the tests): bottleneck rate rb, raw process time T0, critical
work in process W0 = rb · T0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive


@dataclass(frozen=True, slots=True)
class Case:
    """What a line does with a number of pieces in work: throughput and the time that a piece takes."""

    name: str
    throughput: Figure
    cycle: Figure


@dataclass(frozen=True, slots=True)
class Cases:
    """The three cases beside each other, and the work in process at which a line without any variation is just full."""

    critical_wip: Figure
    best: Case
    practical_worst: Case
    worst: Case


def bottleneck_rate(times: Sequence[tuple[float, int]]) -> float:
    """How fast is the slowest station? `times`: (process time, machines) of each; pieces per unit of time.

    >>> bottleneck_rate([(2, 1), (5, 2), (10, 6), (3, 2)])
    0.4
    """
    return min(machines / time for time, machines in times)


def raw_process_time(times: Sequence[tuple[float, int]]) -> float:
    """How long does one piece alone take through the line?

    >>> raw_process_time([(2, 1), (5, 2), (10, 6), (3, 2)])
    20
    """
    return sum(time for time, _ in times)


def cases(wip: Figure, rate: Figure, raw: Figure) -> Cases:
    """What can a line make of `wip` pieces (pieces), at a bottleneck rate (pieces/s) and raw process time (s)?

    Best: TH = min(w / T0, rb), CT = max(T0, w / rb). Practical worst: TH = w rb / (W0 + w - 1), CT = T0 + (w - 1) / rb.
    Worst: TH = 1 / T0, CT = w T0. Below one piece, the line makes as if it held one now and then: TH = w / T0.
    """
    critical = derive(
        "critical work in process",
        lambda r, t: r * t,
        rate,
        raw,
        unit="pieces",
        formula="bottleneck rate x raw process time",
    )

    def case(name: str, throughput: tuple[object, str], cycle: tuple[object, str]) -> Case:
        made = derive(f"{name} / throughput", throughput[0], wip, rate, raw, unit="pieces/s", formula=throughput[1])  # type: ignore[arg-type]
        time = derive(f"{name} / lead time", cycle[0], wip, rate, raw, unit="s", formula=cycle[1])  # type: ignore[arg-type]
        return Case(name, made, time)

    return Cases(
        critical,
        case("best case", (lambda w, r, t: np.minimum(w / t, r), "the lower of work in process / raw time and bottleneck rate"), (lambda w, r, t: np.maximum(t, w / r), "the longer of raw time and work in process / bottleneck rate")),
        case("practical worst case", (_practical_worst, "w x rb / (W0 + w - 1)"), (_practical_worst_cycle, "T0 + (w - 1) / rb")),
        case("worst case", (lambda w, r, t: np.minimum(w, 1) / t, "1 / T0"), (lambda w, r, t: np.maximum(w, 1) * t, "w x T0")),
    )  # fmt: skip


def _practical_worst(wip: Any, rate: Any, raw: Any) -> Any:
    """Endless work in process keeps the bottleneck busy; a bottleneck that never works makes nothing."""
    finite = np.minimum(wip, 1e15)
    others = rate * raw + np.maximum(finite, 1) - 1
    some = np.asarray(others) > 0
    return np.where(np.asarray(wip) < 1, np.minimum(wip / raw, rate), finite * rate / np.where(some, others, 1.0))


def _practical_worst_cycle(wip: Any, rate: Any, raw: Any) -> Any:
    works = np.asarray(rate) > 0
    return np.where(works, raw + (np.maximum(wip, 1) - 1) / np.where(works, rate, 1.0), np.inf)
