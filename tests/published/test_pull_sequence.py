"""Levelled sequences beside published examples, from memory, every value recomputed from its definition."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import numpy as np
import pytest

from pullwright.pull.sequence.aim import Aim
from pullwright.pull.sequence.goal_chasing import chased, distances, even_parts
from pullwright.pull.sequence.rate_variation import even_products, ideal_place, narrowest
from tests.pull.sequence.every_sequence import every_sequence

# --- Monden, Toyota Production System, the chapter on the sequence of mixed models ---------------------------------------

COUNTS = {"A": 2, "B": 3, "C": 5}
PARTS = {"A": (1, 0, 1, 1), "B": (1, 1, 0, 1), "C": (0, 1, 1, 0)}
MONDEN = Aim.of_parts(list(COUNTS.values()), [list(row) for row in PARTS.values()])


def distance(made: str) -> float:
    """From the definition: √Σ(K N_j / Q − X_j)² after `made`."""
    used = [sum(PARTS[name][j] for name in made) for j in range(4)]
    total = [sum(n * PARTS[name][j] for name, n in COUNTS.items()) for j in range(4)]
    return sqrt(sum((Fraction(len(made) * n, 10) - x) ** 2 for n, x in zip(total, used, strict=True)))


def test_first_distances_of_the_goal_chasing_example() -> None:
    """Monden: 1.11, 1.01 and 0.79 for A, B and C, so C comes first."""
    assert distances(MONDEN, ()).round(2).tolist() == [1.11, 1.01, 0.79]
    assert distances(MONDEN, ()).tolist() == pytest.approx([distance(name) for name in "ABC"])


def test_whole_sequence_of_the_goal_chasing_example() -> None:
    """Each place from the definition; at the fifth B and C are equally near, and the one named first is made."""
    made, left, equal = "", dict(COUNTS), []
    while any(left.values()):
        can = [name for name, n in left.items() if n]
        nearest = min(can, key=lambda name: round(distance(made + name), 9))
        equal += [len(made) + 1] if sum(distance(made + n) - distance(made + nearest) < 1e-9 for n in can) > 1 else []
        made += nearest
        left[nearest] -= 1

    assert "".join("ABC"[i] for i in chased(MONDEN)) == made == "CBACBCCABC"
    assert equal == [5]


def test_no_sequence_of_the_example_is_better_than_goal_chasing() -> None:
    everything = {"".join("ABC"[i] for i in order) for order in every_sequence([2, 3, 5])}
    squares = {order: sum(distance(order[:k]) ** 2 for k in range(1, 11)) for order in everything}

    found = even_parts(MONDEN)

    assert len(everything) == 2520
    assert min(squares.values()) == pytest.approx(found.squares) == pytest.approx(4.15)
    assert found.proven


# --- Miltenburg 1989, Management Science 35: level schedules for mixed-model lines ---------------------------------------


def nearest_mixes(counts: list[int]) -> float:
    """Miltenburg's lower bound: after each place by itself the whole-number mix nearest to the even course, of all mixes."""
    total, least = sum(counts), Fraction(0)
    for k in range(1, total + 1):
        course = [Fraction(k * n, total) for n in counts]
        whole = [int(x) for x in course]
        order = sorted(range(len(counts)), key=lambda i: course[i] - whole[i], reverse=True)
        for i in order[: k - sum(whole)]:
            whole[i] += 1
        least += sum(((x - y) ** 2 for x, y in zip(whole, course, strict=True)), Fraction(0))
    return float(least)


@pytest.mark.parametrize("counts", [[6, 6, 1], [2, 3, 5], [5, 5, 1], [2, 2, 1]])
def test_mixes_of_the_first_papers_keep_miltenburgs_bound(counts: list[int]) -> None:
    """(6, 6, 1) is the example in which the nearest mixes of places that follow each other cannot be made one from the other."""
    found = even_products(counts)

    assert found.squares >= nearest_mixes(counts) - 1e-9


def test_the_nearest_mixes_of_the_example_are_no_sequence() -> None:
    """6, 6 and 1: after the fifth place 2, 2, 1 is nearest and after the sixth 3, 3, 0, so the third product would have to be unmade."""
    assert even_products([6, 6, 1]).squares > nearest_mixes([6, 6, 1]) + 1e-9


# --- Kubiak & Sethi 1991, Management Science 37: the assignment ----------------------------------------------------------


def test_ideal_places_come_from_the_definition() -> None:
    """⌈(2j − 1) D / 2d⌉: the place from which on copy j is nearer to its course made than not made."""
    for count, total in ((3, 7), (2, 10), (5, 10), (6, 13)):
        for j in range(1, count + 1):
            place = ideal_place(j, count, total)
            off = [
                (j - Fraction(t * count, total)) ** 2 - (j - 1 - Fraction(t * count, total)) ** 2
                for t in range(total + 1)
            ]
            assert all(one > 0 for one in off[:place])
            assert all(one <= 0 for one in off[place:])


# --- Steiner & Yeomans 1993, Management Science 39: the least greatest deviation -----------------------------------------


@pytest.mark.parametrize("counts", [[2, 3, 5], [6, 6, 1], [7, 4, 3, 1], [1, 1, 1, 1]])
def test_the_least_greatest_deviation_lies_between_its_known_bounds(counts: list[int]) -> None:
    """Not below 1 − the largest share (the first place), not above 1 − 1 / D (Brauner & Crama 2004, Discrete Applied Mathematics 134)."""
    total = sum(counts)

    order, largest = narrowest(counts)

    assert 1 - Fraction(max(counts), total) <= largest <= 1 - Fraction(1, total)
    assert np.abs(Aim.of_products(counts).deviations(order)).max() == pytest.approx(float(largest))


def test_doubling_counts_stay_below_one_half() -> None:
    """Counts 1, 2, 4, ... have sequences that are off by less than a half: (2^(n−1) − 1) / (2^n − 1) (Brauner & Crama 2004)."""
    for n in (2, 3, 4, 5):
        assert narrowest([2**i for i in range(n)])[1] == Fraction(2 ** (n - 1) - 1, 2**n - 1)
