"""How long do five hundred figures take, beside the same sums done number by number in plain Python?

Both make the same line: judged times, studies, counted yields and certain numbers, then 500 derived figures of 1000
draws each, every one made from the one before and a given figure.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from time import perf_counter

from bench.timing import Row, row
from pullwright.figure import N_DRAWS, Figure, Source, derive, from_counts, from_readings, given, judged
from pullwright.figure.draws import chi, jeffreys_beta, student_t

TYPED = Source("line file", "steps")
STUDY = Source("study", "study T-014")
N_DERIVED = 500
N_OF_A_KIND = 40
ROUNDS = 9


def figures() -> list[Figure]:
    """160 given figures and 500 derived from them, the tables of quantiles made anew."""
    for table in (student_t, jeffreys_beta, chi):
        table.cache_clear()
    made: list[Figure] = []
    for number in range(N_OF_A_KIND):
        made.append(judged(f"judged {number}", 40.0, 45.0 + number / 10, 60.0, "s", TYPED))
        made.append(from_readings(f"study {number}", [40.0 + number, 41.0, 45.0, 46.0, 50.0], "s", STUDY))
        made.append(from_counts(f"yield {number}", 60 + number, 100, source=TYPED))
        made.append(given(f"typed {number}", 60.0 + number, "s", TYPED))
    count = len(made)
    for number in range(N_DERIVED):
        made.append(
            derive(
                f"derived {number}", lambda a, b: a / (b + 1.0), made[number % count], made[-1], unit="1", formula="x"
            )
        )
    return made


def plain_python() -> list[list[float]]:
    """The same number of draws and sums, one number at a time."""
    dice = random.Random(1)  # noqa: S311 - draws, not secrets
    made: list[list[float]] = []
    for number in range(N_OF_A_KIND):
        made.append([dice.triangular(40.0, 60.0, 45.0 + number / 10) for _ in range(N_DRAWS)])
        made.append([dice.gauss(44.0, 1.8) for _ in range(N_DRAWS)])
        made.append([dice.betavariate(60.5 + number, 40.5 - number) for _ in range(N_DRAWS)])
        made.append([60.0 + number] * N_DRAWS)
    count = len(made)
    for number in range(N_DERIVED):
        made.append([a / (b + 1.0) for a, b in zip(made[number % count], made[-1], strict=True)])
    return made


def _timed(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit); the ratio compares pairs of runs that follow each other."""
    last = figures()[-1]
    ours, plain = [], []
    for _ in range(ROUNDS):
        ours.append(_timed(figures))
        plain.append(_timed(plain_python))
    ratios = [slow / quick for slow, quick in zip(plain, ours, strict=True)]
    whys = [_timed(lambda: str(last.why())) for _ in range(ROUNDS)]
    shares = [_timed(last.share_of_uncertainty) for _ in range(ROUNDS)]
    advice = [_timed(last.watch_next) for _ in range(ROUNDS)]
    return [
        row("160 given and 500 derived figures, 1000 draws each", ours, "ms", 1e3),
        row("the same in plain Python, number by number", plain, "ms", 1e3),
        row("plain Python / figures", ratios, "times"),
        row("why of the last of 500, as text", whys, "ms", 1e3),
        row("share_of_uncertainty of the last of 500", shares, "ms", 1e3),
        row("watch_next of the last of 500", advice, "ms", 1e3),
    ]


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
