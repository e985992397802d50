"""The cards of a loop beside what is published: the card rule, base stocks from their definition, exact queues, and plain simulations."""

from __future__ import annotations

from math import exp, factorial, lgamma, log

import numpy as np
import pytest

from pullwright.pull.cards.base_stock import Asked, base_stock, level_of
from pullwright.pull.cards.capped_flow import cap_by_practical_worst, smallest_cap, throughput
from pullwright.pull.cards.card_rule import cards_by_rule
from pullwright.pull.cards.loops import queueing
from tests.published.closed_networks import closed_network

RULE = [
    # Demand a day, lead time in days, safety, pieces in a container, cards.
    (
        (2000.0, 0.02 + 0.08, 0.10, 22.0),
        10,
    ),  # Krajewski & Ritzman, Operations Management, worked example of the number of containers; from memory
    (
        (500.0, 2.0, 0.25, 250.0),
        5,
    ),  # Heizer & Render, Operations Management: 2 days, half a day of safety, 250 a container; from memory
    (
        (800.0, 1.5, 0.0, 400.0),
        3,
    ),  # from the formula of Sugimori et al. 1977, without safety: y = D (Tw + Tp)(1 + alpha) / a
]


@pytest.mark.parametrize(("given", "cards"), RULE)
def test_the_card_rule_gives_what_is_printed(given: tuple[float, ...], cards: int) -> None:
    assert cards_by_rule(*given) == cards


def poisson(mean: float, most: int) -> list[float]:
    return [exp(k * log(mean) - mean - lgamma(k + 1)) for k in range(most)]


def negative_binomial(mean: float, variance: float, most: int) -> list[float]:
    """Mean r (1 - p) / p, variance r (1 - p) / p²: the number of failures before success r, r any number above 0."""
    p = mean / variance
    r = mean * p / (1 - p)
    return [exp(lgamma(r + k) - lgamma(r) - lgamma(k + 1) + r * log(p) + k * log(1 - p)) for k in range(most)]


LAWS = [(mean, ratio) for mean in (0.3, 2.0, 11.0, 60.0) for ratio in (1.0, 1.4, 3.0, 9.0)]


@pytest.mark.parametrize(("mean", "ratio"), LAWS)
def test_fill_rates_are_those_of_the_sum_over_the_law(mean: float, ratio: float) -> None:
    """Chance that at most S - 1 pieces were asked for in a lead time; the mean of that over the levels of order point and order quantity (Axsaeter, chapter 5)."""
    most = 3000
    law = poisson(mean, most) if ratio == 1 else negative_binomial(mean, mean * ratio, most)
    for top in (1, 5, 14, 70):
        for levels in (1, 4, 14):
            ready = shelf = waited = 0.0
            for y in range(top - levels + 1, top + 1):
                ready += sum(chance for k, chance in enumerate(law) if k <= y - 1) / levels
                shelf += sum(chance * (y - k) for k, chance in enumerate(law) if k < y) / levels
                waited += sum(chance * (k - y) for k, chance in enumerate(law) if k > y) / levels
            found = level_of(Asked(mean, mean * ratio), float(top), float(levels))
            assert float(found.fill_rate[0]) == pytest.approx(ready, abs=1e-11)
            assert float(found.on_shelf[0]) == pytest.approx(shelf, abs=1e-9)
            assert float(found.backorders[0]) == pytest.approx(waited, abs=1e-8)


def test_the_smallest_stock_is_the_first_that_the_sum_says() -> None:
    law = negative_binomial(12.0, 30.0, 500)
    total, top = 0.0, 0
    while total < 0.97:
        total += law[top]
        top += 1
    assert float(base_stock(Asked(12.0, 30.0), 0.97)[0]) == top


@pytest.mark.parametrize("offered", [0.5, 3.0, 12.0])
def test_pieces_lost_in_erlangs_formula_and_waited_for_here_belong_to_one_law(offered: float) -> None:
    """With lost sales the share lost is Erlang's B = (a^S/S!) / sum a^k/k! (Erlang 1917), the chance of S out of at most S on order.

    With waiting, the same law without its upper end: P(X = S) / P(X <= S) has to be B for every S.
    """
    for stock in range(1, 25):
        ready = [float(level_of(Asked(offered, offered), float(s)).ready_rate[0]) for s in (stock, stock + 1)]
        blocked = (ready[1] - ready[0]) / ready[1]
        erlang = offered**stock / factorial(stock) / sum(offered**k / factorial(k) for k in range(stock + 1))
        assert blocked == pytest.approx(erlang, rel=1e-9)


@pytest.mark.parametrize("load", [0.5, 0.75, 0.9])
def test_one_exponential_machine_that_makes_to_stock_is_exact(load: float) -> None:
    """Share met with S cards of one piece: 1 - u^S (M/M/1 made to stock; Buzacott & Shanthikumar, Stochastic Models of Manufacturing Systems, chapter 4; from memory)."""
    te = 1.0
    wait = load / (1 - load) * te
    queue = queueing(wait, load)
    asked = Asked.over(load / te, 1.0, queue.mean + te, queue.variance + te**2)
    for cards in (1, 2, 5, 20):
        assert float(level_of(asked, float(cards)).fill_rate[0]) == pytest.approx(1 - load**cards, abs=1e-12)


def test_two_binomial_laws_have_the_mean_and_the_variance_that_are_asked_for() -> None:
    """Demand that is more even than Poisson (Adan, van Eenige & Resing 1995): moments from the chances."""
    for mean, variance in ((10.0, 5.0), (10.0, 0.3), (1.5, 0.25), (0.5, 0.25), (80.0, 79.0), (37.3, 12.0)):
        above = [1 - float(level_of(Asked(mean, variance), float(k)).ready_rate[0]) for k in range(1, 400)]
        assert sum(above) == pytest.approx(mean, abs=1e-8)
        assert sum((2 * k + 1) * chance for k, chance in enumerate(above)) - mean**2 == pytest.approx(
            variance, abs=1e-6
        )


def simulated(
    rng: np.random.Generator, shape: float, rate: float, lead: float, cards: int, each: int, orders: int
) -> float:
    """Share of orders met at once by cards of `each` pieces that take exactly `lead`; gamma times between the orders, one piece each."""
    comes = rng.gamma(shape, 1 / (rate * shape), orders).cumsum()
    # Piece n of the stock is the one that card n // each brought back; it went out when its piece n - cards x each was the last of its container.
    number = np.arange(orders)
    last = (number // each + 1 - cards) * each - 1
    ready = np.where(last < 0, 0.0, comes[np.clip(last, 0, orders - 1)] + lead)
    return float((ready <= comes)[orders // 10 :].mean())


@pytest.mark.parametrize(("each", "cards"), [(1, 12), (4, 4), (10, 2)])
def test_poisson_demand_and_cards_of_several_pieces_are_as_simulated(each: int, cards: int) -> None:
    """400,000 orders, about 8 in a lead time; within four standard errors, counting as independent one order in a lead time's worth."""
    rng = np.random.default_rng(11)
    share = simulated(rng, 1.0, 8.0, 1.0, cards, each, 400_000)
    exact = float(level_of(Asked(8.0, 8.0), float(cards * each), float(each)).fill_rate[0])
    spread = (exact * (1 - exact) / (360_000 / 8.0)) ** 0.5
    assert abs(share - exact) < 4 * spread
    assert 0.5 < exact < 0.995


@pytest.mark.parametrize(("cv2", "cards"), [(0.5, 4), (1.8, 5), (3.0, 6)])
def test_uneven_demand_is_near_what_is_simulated(cv2: float, cards: int) -> None:
    """Gamma times between orders, as the forecast draws them: mean and variance of what a piece finds are taken, not its whole law, so within 1.5 points."""
    rng = np.random.default_rng(12)
    share = simulated(rng, 1 / cv2, 8.0, 1.0, cards, 4, 400_000)
    found = float(level_of(Asked.over(8.0, cv2, 1.0, 0.0), cards * 4.0, 4.0).fill_rate[0])
    assert abs(share - found) < 0.015
    assert 0.8 < found < 0.999


NETWORKS = [
    ((2.0, 2.0, 2.0, 2.0), (1, 1, 1, 1)),
    ((1.0, 3.0, 2.0), (1, 1, 1)),
    ((2.0, 5.0, 10.0, 3.0), (1, 2, 6, 2)),
    ((4.0, 1.0), (3, 1)),
]


@pytest.mark.parametrize(("means", "machines"), NETWORKS)
def test_a_capped_flow_of_exponential_times_makes_what_exact_mean_value_analysis_says(
    means: tuple[float, ...], machines: tuple[int, ...]
) -> None:
    for pieces in (1, 2, 5, 12, 30):
        exact = closed_network(means, machines, pieces).rate
        assert float(throughput(pieces, means, machines, [1.0] * len(means))[0]) == pytest.approx(exact, rel=1e-9)


def test_the_practical_worst_case_is_a_balanced_exponential_flow() -> None:
    """Hopp & Spearman, Factory Physics, chapter 7 (from memory): four stations of 2 h, rb 0.5, W0 4."""
    for rate in (0.2, 0.25, 0.4, 0.45):
        cap = float(np.ceil(cap_by_practical_worst(rate, 0.5, 4.0) - 1e-9))
        assert float(smallest_cap(rate, [2.0] * 4, [1] * 4, [1.0] * 4)[0]) == cap
