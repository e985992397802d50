"""How long does a time study of twenty cycles of eight elements take, beside plain means, and the choice of a distribution beside a loop of
general fits?
"""

from __future__ import annotations

import numpy as np
from scipy import stats

from bench.timing import Row, row, timed
from pullwright.watch.study.result import study_result
from pullwright.watch.study.shapes import shape_of
from pullwright.watch.study.sheet import StudySheet, TimedElement, TimedReading

CYCLES, ELEMENTS = 20, 8
SEED = 7
ROUNDS = 9


def _general_fits(times: np.ndarray) -> list[float]:
    laws = ((stats.norm, {}), (stats.lognorm, {"floc": 0}), (stats.gamma, {"floc": 0}), (stats.weibull_min, {"floc": 0}), (stats.expon, {"floc": 0}), (stats.gamma, {}), (stats.lognorm, {}), (stats.weibull_min, {}))  # fmt: skip
    return [float(law.logpdf(times, *law.fit(times, **fixed)).sum()) for law, fixed in laws]


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); ratios compare runs that follow each other."""
    times = np.random.default_rng(SEED).gamma(12, 4, (CYCLES, ELEMENTS))
    readings = tuple(
        TimedReading(f"{c}-{e}", c + 1, e, float(times[c, e]), where=f"reading {c * ELEMENTS + e + 1}")
        for c in range(CYCLES)
        for e in range(ELEMENTS)
    )
    sheet = StudySheet("T-1", tuple(TimedElement(f"element {e}") for e in range(ELEMENTS)), readings, rating=0.95)

    def plain() -> None:
        for _ in range(100):
            times.mean(axis=0), times.std(axis=0, ddof=1)

    def whole() -> None:
        result = study_result(sheet)
        result.found, result.sentences, [one.timing.enough for one in result.elements]

    whole()
    some = times[:, 0]
    shape_of(some.tolist()).sentence, _general_fits(some)
    studies, means, chosen, fits, tested = [], [], [], [], []
    for _ in range(ROUNDS):
        studies.append(timed(whole))
        means.append(timed(plain) / 100)
        chosen.append(timed(lambda: [shape_of(some.tolist()) for _ in range(10)]) / 10)
        fits.append(timed(lambda: _general_fits(some)))
        tested.append(timed(lambda: shape_of(some.tolist()).sentence))
    return [
        row(f"study of {CYCLES} cycles of {ELEMENTS} elements", studies, "ms", 1e3),
        row("study / plain means and deviations", [a / b for a, b in zip(studies, means, strict=True)], "times"),
        row("nine distributions fitted", chosen, "ms", 1e3),
        row("eight general fits / nine of ours", [a / b for a, b in zip(fits, chosen, strict=True)], "times"),
        row("distribution chosen and tested by bootstrap", tested, "ms", 1e3),
    ]


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
