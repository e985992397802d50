"""What people were seen doing: the share of each kind of work, how sure it is, and where or when it differs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import Figure, Reading, Source, from_counts, percent
from pullwright.line.kinds import BY_KEY, KINDS, KindKey
from pullwright.watch.misread import SampleError
from pullwright.watch.sample.clusters import LEVEL, as_weights, ratio_variance, weighted_share, wilson, worth_of
from pullwright.watch.sample.looks import Look, Tour

By = Literal["station", "hour"]
SEEN: tuple[KindKey, ...] = tuple(kind.key for kind in KINDS)
MOST_READINGS = 2_000
"""So many looks are kept one by one behind a share; of more the rounds are."""
_KIND_ROW = {key: row for row, key in enumerate(SEEN)}


@dataclass(frozen=True, slots=True)
class SeenShare:
    """One kind of work: found by `found` of `looks`; `share` is a figure whose why ends at the looks.

    `plain` is Wilson's interval as if every look stood alone; `honest` is the interval with rounds as they were (None with one
    round: then nobody can tell); `design_effect` how many times the variance grew. Shares, not per cent.
    """

    kind: KindKey
    found: int
    looks: int
    share: Figure
    plain: tuple[float, float]
    honest: tuple[float, float] | None
    design_effect: float | None

    @property
    def words(self) -> str:
        """What this kind is called."""
        return BY_KEY[self.kind].words


@dataclass(frozen=True, slots=True)
class Shares:
    """All kinds of a sampling; `by` and `weights` where strata were given their weight."""

    looks: int
    rounds: int
    level: float
    rows: tuple[SeenShare, ...]
    by: By | None = None

    def row(self, kind: KindKey) -> SeenShare:
        """The row of one kind."""
        return self.rows[_KIND_ROW[kind]]


@dataclass(frozen=True, slots=True)
class Stratum:
    """The looks at one station or in one hour, by what they found."""

    name: str
    looks: int
    seen: Mapping[KindKey, int]


def stratum_of(look: Look, by: By) -> str:
    """In which stratum does a look lie: its station, or the hour of the clock in which it was taken ("08:00")?"""
    return look.station if by == "station" else f"{look.at:%H}:00"


def strata(tour: Tour, by: By) -> tuple[Stratum, ...]:
    """What was seen station by station (in the order of the plan), or hour by hour?"""
    counts: dict[str, dict[KindKey, int]] = {}
    for look in tour.looks:
        row = counts.setdefault(stratum_of(look, by), {})
        row[look.seen] = row.get(look.seen, 0) + 1
    planned = sorted({name for one in tour.rounds for name in one.stations}) if by == "station" else []
    names = [name for name in planned if name in counts] + sorted(set(counts) - set(planned))
    return tuple(Stratum(name, sum(counts[name].values()), counts[name]) for name in names)


def shares_of(
    tour: Tour,
    *,
    level: float = LEVEL,
    by: By | None = None,
    weights: Mapping[str, float] | None = None,
    name: str = "looks that found",
) -> Shares:
    """Which share of the time goes where, as well as these looks tell it?

    Parameters: `level` of the intervals; `by` and `weights`: strata ("station", "hour") that were looked at more or less often
    than they should have been get the weight that is theirs (people at a station, working time in an hour; equal where nothing
    is said); `name`, what the figures are called before the kind.
    Result: a row for every kind, also those that nobody saw. The figure's draws are those of as many looks as the looks are
    worth (see `worth_of`): people who are seen on one round are alike, so that two looks of one round tell less than two.
    Errors: `SampleError` where nobody has looked yet, or weights do not fit.

    >>> from datetime import datetime
    >>> at = datetime(2026, 3, 17, 8, 12)
    >>> looks = [Look(str(i), i // 4, "saw", at, "value" if i % 4 else "waiting") for i in range(40)]
    >>> row = shares_of(Tour("March", (), tuple(looks))).row("waiting")
    >>> row.found, row.looks, tuple(round(end, 3) for end in row.plain)
    (10, 40, (0.142, 0.402))
    """
    looks = tour.looks
    if not looks:
        raise SampleError("a sampling without looks", "has no shares", "one look or more", "walk a round first")
    numbers, row_of = np.unique(np.array([look.round for look in looks]), return_inverse=True)
    kind_of = np.array([_KIND_ROW[look.seen] for look in looks])
    names = [one.name for one in strata(tour, by)] if by else [""]
    place = {one: column for column, one in enumerate(names)}
    column_of = np.array([place[stratum_of(look, by)] if by else 0 for look in looks])
    given = as_weights(weights or dict.fromkeys(names, 1.0), names)
    table = np.zeros((len(SEEN), numbers.size, len(names)))
    np.add.at(table, (kind_of, row_of, column_of), 1.0)
    return Shares(len(looks), numbers.size, level, _rows(tour, table, given, level, name), by)


def _rows(
    tour: Tour, table: NDArray[np.float64], weights: Sequence[float], level: float, name: str
) -> tuple[SeenShare, ...]:
    of = table.sum(axis=0)
    looks, rounds = len(tour.looks), of.shape[0]
    found = [weighted_share(table[row], of, weights) for row in range(len(SEEN))]
    simple = sum(share * (1 - share) / looks for share, _ in found)
    pooled = sum(variance or 0.0 for _, variance in found) / simple if simple > 0 and rounds > 1 else None
    behind = _readings(tour)
    rows = []
    for row, (kind, (share, variance)) in enumerate(zip(SEEN, found, strict=True)):
        share = min(max(share, 0.0), 1.0)
        worth = worth_of(share, variance, looks, rounds, level, pooled)
        count = int(table[row].sum())
        said = f"activity sampling {tour.name}, {looks} looks in {rounds} round{'s' * (rounds != 1)}"
        figure = from_counts(
            f"{name} {BY_KEY[kind].words}",
            min(share * worth.looks, worth.looks),
            worth.looks,
            "share",
            Source("count", said, readings=behind(kind)),
        )
        honest = wilson(min(share * worth.looks, worth.looks), worth.looks, level) if rounds > 1 else None
        plain = wilson(min(share * looks, looks), looks, level)
        rows.append(SeenShare(kind, count, looks, figure, plain, honest, worth.design_effect))
    return tuple(rows)


def _readings(tour: Tour) -> Callable[[KindKey], tuple[Reading, ...]]:
    """What stands behind a share: the looks that found it, each with who, when and on which round; of very many the rounds."""
    by_kind: dict[KindKey, list[Look]] = {}
    for look in tour.looks:
        by_kind.setdefault(look.seen, []).append(look)

    def behind(kind: KindKey) -> tuple[Reading, ...]:
        looks = by_kind.get(kind, [])
        if len(looks) <= MOST_READINGS:
            return tuple(
                Reading(1.0, "looks", look.at.isoformat(" ", "minutes"), look.who, f"{_written(look)}, {look.station}")
                for look in looks
            )
        together: dict[int, list[Look]] = {}
        for look in looks:
            together.setdefault(look.round, []).append(look)
        return tuple(
            Reading(float(len(some)), "looks", some[0].at.isoformat(" ", "minutes"), some[0].who, f"round {number}")
            for number, some in sorted(together.items())
        )

    return behind


def _written(look: Look) -> str:
    return look.where if look.where in ("", f"round {look.round}") else f"{look.where}, round {look.round}"


def found(shares: Shares) -> str:
    """What did the looks find, in one sentence? The honest interval where there is one."""
    rows = sorted((row for row in shares.rows if row.found), key=lambda row: -row.share.value)
    looks = "1 look" if shares.looks == 1 else f"{shares.looks:,} looks"
    said = []
    for row in rows:
        low, high = row.honest or row.plain
        said.append(f"{row.words} {percent(row.share.value)} ({percent(low)[:-2]} to {percent(high)})")
    rounds = "1 round" if shares.rounds == 1 else f"{shares.rounds:,} rounds"
    last = "" if shares.rounds > 1 else " One round cannot tell how much rounds differ: walk more of them."
    return f"{looks} on {rounds} found {', '.join(said)}.{last}"


__all__ = [
    "SEEN", "SeenShare", "Shares", "Stratum", "found", "percent", "ratio_variance", "shares_of", "strata", "stratum_of", "wilson",
]  # fmt: skip


def looks_worth(shares: Shares) -> float:
    """How many looks taken one by one are all these worth, over all kinds together?

    Looks divided by the mean design effect of the shares, each weighted by 1 - share (Rao & Scott 1981, Journal of the
    American Statistical Association 76, first-order correction; from memory). Never more than the looks.
    """
    known = [(1 - row.found / row.looks, row.design_effect) for row in shares.rows if row.found and row.design_effect]
    total = sum(weight for weight, _ in known)
    effect = sum(weight * grown for weight, grown in known) / total if total > 0 else 1.0
    return shares.looks / max(1.0, effect)
