"""How many looks are enough, and how many rounds that means."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from pullwright.figure import percent
from pullwright.line.kinds import KindKey
from pullwright.watch.misread import SampleError
from pullwright.watch.sample.clusters import LEVEL, normal_quantile
from pullwright.watch.sample.shares import SeenShare, Shares

HALF_WIDTH = 0.05


def looks_needed(
    share: float,
    half_width: float = HALF_WIDTH,
    *,
    level: float = LEVEL,
    design_effect: float = 1.0,
    z: float | None = None,
) -> int:
    """How many looks tell a share to within so much, up and down?

    Parameters: `share` as far as it is known, `half_width` of the wished interval, both as shares; `design_effect` of rounds;
    `z` in place of the level (2 in the textbooks' rule).
    Source: n = z^2 p (1 - p) / h^2; ILO, Introduction to Work Study, chapter on work sampling (from memory); times the design
    effect, Kish, Survey Sampling (1965), 8.2.

    >>> looks_needed(0.25, 0.05, z=2), looks_needed(0.25, 0.05), looks_needed(0.25, 0.05, design_effect=2.0)
    (300, 289, 577)
    """
    if not 0 <= share <= 1:
        raise SampleError(f"share {share:g}", "is none", "0 to 1")
    if not 0 < half_width < 1:
        raise SampleError(f"a half-width of {half_width:g}", "is none", "more than 0 and less than 1, such as 0.05")
    wide = normal_quantile(level) if z is None else z
    wanted = wide**2 * share * (1 - share) / half_width**2 * max(1.0, design_effect)
    return max(1, ceil(wanted - 1e-9))


def rounds_for(share: float, half_width: float, each: int, *, level: float = LEVEL, design_effect: float = 1.0) -> int:
    """How many rounds with so many looks `each` tell a share to within `half_width`? Two at least, so that rounds can be compared.

    >>> rounds_for(0.25, 0.05, 8)
    37
    """
    if each < 1:
        raise SampleError(f"{each} looks on a round", "tell nothing", "one look or more")
    return max(ceil(looks_needed(share, half_width, level=level, design_effect=design_effect) / each), 2)


@dataclass(frozen=True, slots=True)
class Enough:
    """For one kind of work: the looks and rounds that are needed in all, how many more that is, and that in words."""

    kind: KindKey
    half_width: float
    reached: float
    looks: int
    rounds: int
    more_looks: int
    more_rounds: int
    said: str


def enough_of(shares: Shares, kind: KindKey | None = None, half_width: float = HALF_WIDTH) -> Enough:
    """How many more rounds are worth walking, for one kind of work or for the one that is known least?

    The share is taken a little towards the middle, (found + z^2 / 2) / (looks + z^2), so that one that nobody saw yet is not held
    for known. Rounds to come are taken to hold as many looks as those that were walked, and to be as alike.
    """
    row = shares.row(kind) if kind else max(shares.rows, key=lambda one: (_half(one), one.found))
    z2 = normal_quantile(shares.level) ** 2
    likely = (row.share.value * row.looks + z2 / 2) / (row.looks + z2)
    looks = looks_needed(likely, half_width, level=shares.level, design_effect=row.design_effect or 1.0)
    each = shares.looks / shares.rounds
    reached = _half(row)
    rounds = max(ceil(looks / each - 1e-9), 2)
    if reached <= half_width:
        rounds, looks = min(rounds, shares.rounds), min(looks, shares.looks)
    more = max(rounds - shares.rounds, 0)
    if reached > half_width:
        more = max(more, 1)
    more_looks = 0 if not more else max(ceil(more * each - 1e-9), 1)
    known = f"{row.words} is known to {percent(reached)} up and down"
    wished = f"{percent(half_width)} was wished"
    said = (
        f"{known}; {wished}: enough."
        if not more
        else f"{known}; {wished}: walk {more:,} more round{'s' * (more != 1)} (about {more_looks:,} look{'s' * (more_looks != 1)})."
    )
    return Enough(row.kind, half_width, reached, looks, max(rounds, shares.rounds + more), more_looks, more, said)


def _half(row: SeenShare) -> float:
    low, high = row.honest or row.plain
    return (high - low) / 2
