"""A day's demand in whole pieces: what is not made of a piece today is made on a later day, so that the sum over the days is right."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import floor

from pullwright.pull.errors import BadPlanInput

_FINEST = 10**6


def whole_pieces(
    demand: Sequence[float], carried: Sequence[Fraction] = ()
) -> tuple[tuple[int, ...], tuple[Fraction, ...]]:
    """How many of each product are asked for today, and what is carried to the next day?

    The rule: wanted = demand of a day + what was carried; the day has as many pieces as is nearest to all that is wanted (halves up); every product
    gets the whole pieces that it wants, and what is missing goes one by one to those that then want most (the first named of equals). What
    remains, or was given ahead, is carried (largest remainders, day after day).

    Parameters: `demand`, pieces a working day; `carried`, what was carried from the day before (nothing where nothing is said). Result: whole pieces
    and what is carried on. Errors: BadPlanInput for a demand below 0.

    >>> today, carried = whole_pieces([2.5, 0.75, 0.75])
    >>> today, whole_pieces([2.5, 0.75, 0.75], carried)[0]
    ((2, 1, 1), (3, 1, 0))
    """
    if any(not 0 <= each < float("inf") for each in demand):
        raise BadPlanInput(f"a demand of {min(demand):g} pieces a day was read; allowed: numbers from 0 on")
    exact = [Fraction(each).limit_denominator(_FINEST) for each in demand]
    wanted = [each + before for each, before in zip(exact, carried or [Fraction(0)] * len(exact), strict=True)]
    total = floor(sum(wanted, Fraction(1, 2)))
    given = [max(floor(each), 0) for each in wanted]
    while sum(given) < total:
        most = max(range(len(given)), key=lambda i: (wanted[i] - given[i], -i))
        given[most] += 1
    while sum(given) > total:  # products that were given ahead want less than nothing; somebody else waits for that
        least = min((i for i in range(len(given)) if given[i]), key=lambda i: (wanted[i] - given[i], -i))
        given[least] -= 1
    return tuple(given), tuple(want - got for want, got in zip(wanted, given, strict=True))


def on_day(demand: Sequence[float], day: int) -> tuple[int, ...]:
    """How many of each product on the `day`-th working day (from 1 on), if nothing was carried to the first one?

    >>> [on_day([2.5, 0.75, 0.75], day) for day in (1, 2, 3, 4)]
    [(2, 1, 1), (3, 1, 0), (3, 0, 1), (2, 1, 1)]
    """
    carried: tuple[Fraction, ...] = ()
    today: tuple[int, ...] = ()
    for _ in range(day):
        today, carried = whole_pieces(demand, carried)
    return today
