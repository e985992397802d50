"""Where people hand over who take over from one another, beside Bartholdi & Eisenstein 1996 (Operations Research 44), from memory."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pullwright.pull.crew.self_balancing import next_points, settled_points, settled_takt

BOOK = "Bartholdi & Eisenstein 1996, A production line that balances itself"

# The fixed point: the i-th person works from the sum of the paces before it to that with its own, over the sum of all; and the line then
# makes (sum of all paces) pieces in a unit of time. Paces, then hand-over points worked out from that definition by hand.
SETTLED = [
    ((1, 1), (Fraction(1, 2),)),
    ((1, 2), (Fraction(1, 3),)),
    ((1, 2, 3), (Fraction(1, 6), Fraction(1, 2))),
    ((2, 3, 5), (Fraction(1, 5), Fraction(1, 2))),
]


@pytest.mark.parametrize(("paces", "points"), SETTLED)
def test_the_fixed_point_of_the_theorem(paces, points):
    """The points at which the line balances itself."""
    assert settled_points(paces) == pytest.approx([float(point) for point in points])
    assert settled_takt(1.0, paces) == pytest.approx(1 / sum(paces))


@pytest.mark.parametrize(("paces", "points"), SETTLED)
def test_the_line_comes_there_by_itself_from_a_bad_start(paces, points):
    """Slowest to quickest: iterating the walk back and the taking over leads to the fixed point, whatever the start."""
    for start in ([0.0] * len(points), [1.0] * len(points)):
        here = tuple(start)
        for _ in range(400):
            here = next_points(here, paces)
        # Two people of one pace come nearer by a swing that does not die out: the mean of two rounds settles.
        mean = [(one + other) / 2 for one, other in zip(here, next_points(here, paces), strict=True)]
        assert mean == pytest.approx([float(point) for point in points], abs=1e-6)


def test_each_round_brings_two_people_nearer_by_the_ratio_of_their_paces():
    """For two people the distance to the fixed point shrinks by v1/v2 each round, from one side to the other."""
    paces, point = (1.0, 2.5), settled_points((1.0, 2.5))[0]
    here = (0.4,)
    for _ in range(6):
        after = next_points(here, paces)
        assert after[0] - point == pytest.approx(-(here[0] - point) * paces[0] / paces[1])
        here = after
