"""The event kernel against exact Markov chains: small lines made at random, all that a run tells of them."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from scipy import stats

from pullwright.forecast.events.rows import HELD, NOT_ASKED, REPAIRED, STARVED, WORKING
from tests.forecast.small_lines import DAY, run
from tests.published.exact_chains import SerialLine

NO_BREAKDOWNS = (None, None, None, None)


def saturated(means: list[float], spaces: list[int | None]) -> SerialLine:
    return SerialLine(tuple(means), tuple(spaces), NO_BREAKDOWNS[: len(means)])


@pytest.mark.parametrize(
    ("stations", "spaces", "theory"),
    [
        (3, 0, 22 / 39),
        (3, 1, 0.67047),
        (3, 2, 0.73402),
        (4, 0, 0.51478),
        *((2, k, (k + 2) / (k + 3)) for k in range(4)),
    ],
)
def test_the_chain_of_equal_machines_says_what_is_published(stations, spaces, theory):
    """Two: (K + 2) / (K + 3), exact; three and four in the setting of Hillier & Boling 1967, worked out here to the last bit."""
    assert saturated([1.0] * stations, [spaces] * (stations - 1)).shares().rate == pytest.approx(theory, abs=5e-6)


def test_the_chain_of_two_unequal_machines_is_that_of_a_queue_with_few_places():
    """Two machines with K spaces are M/M/1 with K + 2 places and one in service: rate m2 (1 - p0), p_n as r^n (Erlang; any textbook)."""
    means, spaces = [50.0, 65.0], 2
    r = means[1] / means[0]
    alone = 1 / sum(r**n for n in range(spaces + 3))
    assert saturated(means, [spaces]).shares().rate == pytest.approx((1 - alone) / means[1], rel=1e-12)


def test_the_chain_of_one_machine_with_orders_at_random_is_m_m_1():
    found = SerialLine((50.0,), (), (None,), orders=80.0, most_owed=150).shares()
    assert found.in_line == pytest.approx(50 / 80)
    assert found.rate == pytest.approx(1 / 80)
    assert found.cut_off < 1e-12


def test_the_chain_of_a_machine_that_breaks_down_makes_what_its_availability_leaves():
    """Hopp & Spearman, chapter 8, from memory: 744 min and 248 min are an availability of 0.75."""
    found = SerialLine((900.0,), (), ((744 * 60.0, 248 * 60.0, False),)).shares()
    assert found.rate * 900 == pytest.approx(0.75)
    assert found.repaired[0] == pytest.approx(0.25)


@pytest.mark.parametrize("by_clock", [False, True])
def test_the_chain_makes_as_much_the_other_way_round(by_clock):
    """Reversibility (Yamazaki & Sakasegawa 1975; Muth 1979) holds where breakdowns come in the work; by the clock it need not."""
    fails = ((900.0, 200.0, by_clock), None, (500.0, 60.0, by_clock))
    forth = SerialLine((60.0, 45.0, 75.0), (0, 2), fails).shares().rate
    back = SerialLine((75.0, 45.0, 60.0), (2, 0), fails[::-1]).shares().rate
    assert (forth == pytest.approx(back, rel=1e-10)) or by_clock


def random_line(seed: int) -> SerialLine:
    """Two to four stations; by turns never without orders, with a cap, with cards, with orders at random."""
    rng = np.random.default_rng(seed)
    kind = ("never without", "never without", "capped", "cards, never without", "orders", "cards")[seed % 6]
    stations = int(rng.integers(2, 4 if kind in ("orders", "cards") else 5))
    means = tuple(round(float(one), 1) for one in rng.uniform(40, 80, stations))
    spaces: list[int | None] = [int(one) for one in rng.integers(0, 4, stations - 1)]
    cards: tuple[int, ...] = ()
    if "cards" in kind:
        cards = tuple(int(one) for one in rng.integers(1, 4, stations))
        spaces = [None if rng.random() < 0.6 else space for space in spaces]
    if kind == "capped":
        spaces = [None if rng.random() < 0.6 else space for space in spaces]
    fails: list[tuple[float, float, bool] | None] = []
    for j in range(stations):
        # Where no room is at all before it, nothing is said of a machine that broke down by the clock while idle.
        by_clock = bool(rng.random() < 0.5) and (j == 0 or spaces[j - 1] != 0)
        between, repair = round(float(rng.uniform(400, 2000)), 1), round(float(rng.uniform(50, 300)), 1)
        fails.append((between, repair, by_clock) if rng.random() < 0.4 else None)
    line = SerialLine(
        means, tuple(spaces), tuple(fails), cards=cards, cap=int(rng.integers(1, 7)) if kind == "capped" else None
    )
    if kind not in ("orders", "cards"):
        return line
    most = line.shares().rate
    return SerialLine(means, tuple(spaces), tuple(fails), orders=round(1 / (0.6 * most), 1), cards=cards)


LINES = range(24)
RUNS, DAYS = 30, 30.0
COMPARISONS = 24 * 16
"""At most, of all lines."""


@pytest.mark.parametrize("seed", LINES)
def test_runs_of_a_small_line_come_to_what_its_chain_says(seed):
    """Rate, stock and the split of machine time; 999 of 1000 correct programs would pass all comparisons of all lines (Bonferroni)."""
    line = random_line(seed)
    theory = line.shares()
    assert theory.cut_off < 1e-7
    runs = run(line.text(), days=DAYS + 4, warm_days=4, runs=RUNS, samples=1, seed=seed)
    span, n = DAYS * DAY, len(line.means)
    shares = np.array([one.times / span for one in runs])
    rates = [one.made[-1] / span * 60 for one in runs]
    assert np.std(rates, ddof=1) / sqrt(RUNS) < 0.005 * theory.rate * 60, "too wide a check"
    agrees("rate", rates, theory.rate * 60)
    lying = np.array([one.lying for one in runs])
    agrees("in the line", lying[:, -1], theory.in_line)
    if line.cards and line.orders is not None:
        agrees("in the finished store", lying[:, -2], theory.in_store)
    for j in range(n):
        agrees(f"before {j}", lying[:, j], theory.before[j] if j else 0.0)
        agrees(f"{j} works", shares[:, j, WORKING], theory.working[j])
        agrees(f"{j} held", shares[:, j, HELD], theory.held[j])
        fails = line.breakdowns[j]
        if fails is not None and fails[2]:
            continue  # how long an idle machine is repaired is seen when it is asked; see the next test
        agrees(f"{j} repaired", shares[:, j, REPAIRED], theory.repaired[j])
        if j == 0:
            agrees(
                f"{j} not asked or starved",
                shares[:, j, [NOT_ASKED, STARVED]].sum(1),
                theory.not_asked[j] + theory.starved[j],
            )
        else:
            agrees(f"{j} not asked", shares[:, j, NOT_ASKED], theory.not_asked[j])
            agrees(f"{j} starved", shares[:, j, STARVED], theory.starved[j])


def agrees(what: str, found: object, theory: float) -> None:
    numbers = np.asarray(found, float)
    error = float(np.std(numbers, ddof=1)) / sqrt(len(numbers))
    widest = stats.t.ppf(1 - 0.001 / 2 / COMPARISONS, len(numbers) - 1)
    assert abs(numbers.mean() - theory) <= widest * error + 2e-7, (
        f"{what}: {numbers.mean():.5g} for {theory:.5g}, error {error:.2g}"
    )
