"""Which of two columns that suit a role equally well? What follows from what, and in which the times run on, tells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from pullwright.watch.log.plan import Candidate
from pullwright.watch.log.roles import Role
from pullwright.watch.log.time_forms import read_times

if TYPE_CHECKING:
    import polars as pl

Scores = dict[tuple[Role, str], Candidate]
NEAR = 0.04
"""Candidates whose confidence differs by no more than this stand level."""
GAIN = 0.05
"""So much is taken off the confidence of a column for which nothing speaks where all speaks for another."""


def determines(table: pl.DataFrame, one: str, other: str) -> float:
    """Does the other column follow from the one? The share of rows, from 0 to 1, that have what is usual beside their value.

    >>> import polars as pl
    >>> made = pl.DataFrame({"step": ["a", "b", "a", "c"], "machine": ["M1", "M1", "M1", "M2"]})
    >>> determines(made, "step", "machine"), determines(made, "machine", "step")
    (1.0, 0.75)
    """
    import polars as pl

    if one == other:
        return 1.0
    counted = table.select(one, other).drop_nulls().group_by(one, other).len()
    if not counted.height:
        return 0.0
    return float(counted.group_by(one).agg(pl.col("len").max())["len"].sum()) / float(counted["len"].sum())


def in_order(table: pl.DataFrame, name: str, at: pl.Series) -> float:
    """Do the times run on within each value of a column, as they do within an order? The share of steps that do not go back.

    >>> import polars as pl
    >>> in_order(pl.DataFrame({"order": ["A", "A", "B", "B"]}), "order", pl.Series([3, 4, 1, 2]))
    1.0
    """
    import polars as pl

    pairs = table.select(pl.col(name), at.alias("at")).drop_nulls()
    if name == "at" or not pairs.height:
        return 0.0
    went_on = pairs.select((pl.col("at") >= pl.col("at").shift(1).over(name)).alias("on"))["on"].drop_nulls()
    return float(went_on.sum()) / went_on.len() if went_on.len() else 0.0


class Evidence:
    """What the rows say for a column in a role, worked out only where it is asked for."""

    def __init__(self, sample: pl.DataFrame, times: Mapping[Role, tuple[str, ...]], *, day_first: bool) -> None:
        self.sample, self.times, self.day_first = sample, times, day_first
        self._at: pl.Series | None = None

    def at(self) -> pl.Series | None:
        """When each row was, by its start or its moment."""
        names = next((self.times[role] for role in ("start", "moment", "end") if role in self.times), ())
        if len(names) != 1:
            return None
        if self._at is None:
            self._at = read_times(self.sample[names[0]], day_first=self.day_first).at
        return self._at

    def of(self, role: Role, name: str, known: Mapping[Role, str]) -> tuple[float, str]:
        """From 0 to 1, and in words: an order has one product, goes on in time and goes through places, a step has its station."""
        said: list[tuple[float, str]] = []
        if role == "case":
            at = self.at()
            if at is not None:
                share = in_order(self.sample, name, at)
                said.append((share, f"the times go on in {share:.0%} of its rows"))
            for other, words in (("product", "one product"), ("asked", "one quantity")):
                column = known.get(other)  # type: ignore[call-overload]
                if column and column != name:
                    share = determines(self.sample, name, column)
                    said.append((share, f"{share:.0%} of its rows have {words}"))
            place = known.get("station") or known.get("activity")
            if place and place != name:
                share = 1.0 - determines(self.sample, name, place)
                said.append((share, f"{share:.0%} of its rows are elsewhere than it usually is"))
        elif role == "activity" and known.get("station", name) != name:
            share = determines(self.sample, name, known["station"])
            said.append((share, f"{share:.0%} of its rows have one station"))
        elif role == "station" and known.get("activity", name) != name:
            share = determines(self.sample, known["activity"], name)
            said.append((share, f"it follows from the step in {share:.0%} of the rows"))
        if not said:
            return 0.0, ""
        return sum(share for share, _ in said) / len(said), "; ".join(words for _, words in said)


def break_ties(scores: Scores, evidence: Evidence) -> None:
    """Lower the confidence of columns that stand level for the case, the step or the station where the rows speak for another."""
    best: dict[Role, str] = {}
    for (role, name), one in sorted(scores.items(), key=lambda item: -item[1].confidence):
        if role not in best and one.confidence >= 0.45:
            best[role] = name
    for role in ("case", "activity", "station"):
        some = [(name, one) for (r, name), one in scores.items() if r == role]
        top = max((one.confidence for _, one in some), default=0.0)
        level = [(name, one) for name, one in some if top >= 0.45 and one.confidence >= top - NEAR]
        if len(level) < 2:
            continue
        known = {r: n for r, n in best.items() if r != role}
        told = {name: evidence.of(role, name, known) for name, _ in level}
        most = max(share for share, _ in told.values())
        for name, one in level:
            share, why = told[name]
            if why:
                sure = round(one.confidence - GAIN * (most - share), 3)
                scores[role, name] = replace(one, confidence=sure, reason=f"{one.reason}; {why}")
