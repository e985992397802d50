"""The one cap on the main flow of a line that could stand in the place of its loops of cards."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.ladder import move_time
from pullwright.pull.cards.capped_flow import cap_by_practical_worst, smallest_cap
from pullwright.pull.cards.card_rule import rounded_up
from pullwright.pull.cards.lead_times import moves_between


@dataclass(frozen=True)
class CappedFlow:
    """A cap on the pieces between the begin of step `first` and the end of step `until`.

    `wished`: what it is to make (pieces/wd), a little more than is pulled, or orders would pile up. `critical`: pieces at which the flow would be just full if nothing varied. `by_practical_worst`: pieces by the practical worst case, which knows
    no lots and no ways. `least`: pieces that have to be let in so that lots can be handed on.
    """

    flow: Flow
    first: str
    until: str
    wished: Figure
    critical: Figure
    by_practical_worst: Figure
    least: int

    @cached_property
    def by_mean_values(self) -> Figure:
        """How many pieces by mean value analysis, with lots and ways? Worked out when it is asked for: it takes longer than all loops together."""
        return _by_mean_values(self.flow, self.wished, self.least)

    @property
    def cap(self) -> int:
        """The cap (pieces); 0 where none makes what is wished."""
        value = self.by_mean_values.value
        return int(value) if np.isfinite(value) else 0

    @property
    def chance(self) -> float:
        """How likely is this cap enough, as far as we know the numbers that it was made from?"""
        return float((self.by_mean_values.draws <= self.by_mean_values.value).mean()) if self.cap else 0.0

    def with_chance(self, chance: float) -> float:
        """Which cap is enough with this chance, as far as we know the numbers? In pieces; without end where none is."""
        draws = np.sort(self.by_mean_values.draws)
        return float(draws[min(int(np.ceil(chance * draws.size - 1e-9)) - 1, draws.size - 1)]) if chance > 0 else 0.0

    @property
    def says(self) -> tuple[str, ...]:
        """What the cap is and why, sentence by sentence."""
        if not self.cap:
            return (f"No cap makes {self.wished.short()}: the fullest station has no time left.",)
        likely = round(self.chance * 100)
        return (
            f"One cap for the whole flow: at most {self.cap} pieces from the begin of {self.first} to the end of {self.until} make {self.wished.short()}"
            + (f", with a chance of {likely} % as far as the numbers are known." if likely < 100 else "."),
            f"If nothing varied, {self.critical.short()} would keep the fullest station busy; the practical worst case asks for {self.by_practical_worst.short()}, "
            f"without lots and ways.",
        )

    def figures(self) -> list[Figure]:
        """All its figures."""
        return [self.wished, self.critical, self.by_practical_worst, self.by_mean_values]


def capped_of(flow: Flow, safety: Figure) -> CappedFlow | None:
    """Which cap on the main flow makes what is pulled and some more, `safety` as a share of it? None where the main flow is one step: a cap there is what cards are."""
    main = flow.line.route.chains[0].steps
    if len(main) < 2:
        return None
    critical = flow.cases.critical_wip
    rate, raw = critical.inputs
    wished = derive(
        "throughput of the capped flow", _some_more, flow.rates.demand, safety, rate, flow.day, unit="pieces/wd",
        formula="demand + safety x demand, but at most a quarter of what the fullest station has left",
    )  # fmt: skip
    worst = derive(
        "cap / by the practical worst case", lambda d, day, r, t: rounded_up(cap_by_practical_worst(d / day, r, r * t)), wished, flow.day, rate, raw,
        unit="pieces", formula="TH (W0 - 1) / (rb - TH), rounded up",
    )  # fmt: skip
    least = max(flow.rates.steps[i].together.value for i in main)
    steps = flow.line.steps
    return CappedFlow(flow, steps[main[0]].name, steps[main[-1]].name, wished, critical, worst, int(least))


def _some_more(demand: Any, safety: Any, rate: Any, day: Any) -> Any:
    """A flow that makes just what is pulled never works off what has piled up."""
    left = np.asarray(rate) * day - demand
    return demand + np.where(left > 0, np.minimum(safety * demand, left / 4), 0.0)


def _by_mean_values(flow: Flow, wished: Figure, least: int) -> Figure:
    main = flow.line.route.chains[0].steps
    there = [station for station in flow.stations if any(at.step.index in main for at in station.steps)]
    names = [step.name for step in flow.line.steps]
    moves = [m for i, k in pairwise(main) for m in moves_between(flow, [names[i]], names[k])]
    ways = [move_time(flow.givens, m) for m in moves]
    lots = [flow.waits[i].lot for i in main]
    count = len(there)

    def fewest(demand: Any, wish: Any, day: Any, *rest: Any) -> Any:
        loads, machines, cv2s = (rest[k * count : (k + 1) * count] for k in range(3))
        times = rest[3 * count :]
        some = np.asarray(demand) > 0
        # Work of a station for one unit that is shipped, in working days: what its load says, station by station at its own hours.
        work = [
            np.where(some, load * many / np.where(some, demand, 1.0), 0.0)
            for load, many in zip(loads, machines, strict=True)
        ]
        found = smallest_cap(wish, work, [int(np.max(many)) for many in machines], cv2s, sum(times) / day)
        found = np.where(some, np.maximum(found, least), 0.0)
        return found if found.size > 1 else found[0]

    return derive(
        "cap / by mean value analysis", fewest, flow.rates.demand, wished, flow.day, *(station.load for station in there),
        *(station.machines for station in there), *(station.cv2 for station in there), *lots, *ways, unit="pieces",
        formula="fewest pieces that make it by mean value analysis, with the effective times of the stations and the time in lots and under way; at least a lot",
    )  # fmt: skip
