"""What the person decided about the oddities of a log, and the events that the analyses then use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .events import Events
from .faults import LogError
from .laid import ABSENT, Ints, Laid
from .looked import Looked

if TYPE_CHECKING:
    import polars as pl


LONGEST_SPAN = 10 * 366 * 86_400.0
"""Seconds that nothing takes: a longer span is a wrong number, and nothing is worked out from it."""


@dataclass(frozen=True)
class Decided:
    """A log after the person's decisions.

    `events` are those that the analyses use: every one has a start and an end that is not before it. `source` is the log
    as it was read, nothing taken away. `aside` has one row for each event that is not used: row, why (the key of the
    oddity), and one for nothing else. `changed` has one row for each event that is used with another time or name than
    the file's: row, why. `decisions` (key of the oddity to key of the choice, all of them) and `merges` (role to
    spelling to the name it is taken as) are plain and can be written down and given back to `decide`.
    """

    events: Events
    source: Events
    aside: pl.DataFrame
    changed: pl.DataFrame
    decisions: Mapping[str, str]
    merges: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    looked: Looked | None = field(default=None, repr=False, compare=False)
    """`events` laid out, where that was done already."""

    def as_dict(self) -> dict[str, object]:
        """The decisions as plain values for JSON."""
        return {
            "decisions": dict(self.decisions),
            "merges": {role: dict(names) for role, names in self.merges.items()},
        }


def decide(
    events: Events,
    decisions: Mapping[str, str] | None = None,
    *,
    merges: Mapping[str, Mapping[str, str]] | None = None,
    log: Looked | None = None,
) -> Decided:
    """Which events do the analyses use, after what a person decided about the oddities?

    Parameters: `decisions`, key of an oddity to one of its choices; what is not decided is done as the first choice says;
    keys of oddities that were met while reading are kept and change nothing here. `merges`, role to spelling to name; the
    proposals are taken where nothing is said; `log`, the events laid out where that was done already. Nothing is dropped from `events`, which the result keeps as its source.
    Errors: LogError for a decision that does not exist.

    A row that has no start and end after all, or ends before it begins, is set aside whatever was decided.
    """
    from .odd_together import spelt
    from .oddities import BY_KEY, ONE
    from .spellings import merges_of

    chosen = {key: kind.choices[0] for key, kind in BY_KEY.items()}
    for key, choice in (decisions or {}).items():
        kind = BY_KEY.get(key)
        if kind is not None and choice not in kind.choices:
            raise LogError(f"{choice!r} for {key!r}", " or ".join(kind.choices), "choose one of them", file=events.file)
        chosen[key] = choice
    log = log or Looked(Laid(events))
    if merges is None:
        merges = merges_of(spelt(log)) if chosen["spellings"] == ONE else {}
    return _Deciding(log, chosen, merges).done()


class _Deciding:
    """Carries decisions out one after another, on the arrays of the log."""

    def __init__(self, log: Looked, chosen: dict[str, str], merges: Mapping[str, Mapping[str, str]]) -> None:
        self.log, self.chosen, self.merges = log, chosen, merges
        laid = log.laid
        self.events = laid.events
        self.start, self.end = laid.start.copy(), laid.end.copy()
        self.laid = laid
        self.kept = np.ones(laid.size, bool)
        self.why = np.zeros(laid.size, np.int16)
        self.changed = np.zeros(laid.size, np.int16)
        self.keys: list[str] = [""]

    def done(self) -> Decided:
        from .oddities import AFTER, ASIDE, CASES, CLOSING, MOMENT, ODDITIES, SPAN, SWAP

        carry_out = {
            ASIDE: self._aside,
            SWAP: self._swap,
            SPAN: self._span,
            MOMENT: self._moment,
            AFTER: self._after,
            CASES: self._cases,
            CLOSING: self._closing,
        }
        self._put_aside(np.flatnonzero(self.laid.unexplained), self._key("unknown lifecycle word"))
        for kind in ODDITIES:
            act = carry_out.get(self.chosen[kind.key])
            # Only rows that something is done about are looked for again.
            found = kind.search(self.log) if act else None
            if act and found is not None and found.places.size:
                act(found.places, self._key(kind.key))
        self._put_aside(np.flatnonzero((self.start == ABSENT) | (self.end == ABSENT)), self._key("no start or end"))
        self._put_aside(np.flatnonzero(self.end < self.start), self._key("ends before it begins"))
        events = self._events()
        return Decided(
            events,
            self.events,
            self._told(self.why),
            self._told(self.changed * self.kept),
            dict(self.chosen),
            self.merges,
            self.log if events is self.events else None,
        )

    def _key(self, key: str) -> int:
        if key not in self.keys:
            self.keys.append(key)
        return self.keys.index(key)

    def _put_aside(self, places: Ints, key: int) -> None:
        places = places[self.kept[places]]
        self.kept[places] = False
        self.why[places] = key

    _aside = _put_aside

    def _swap(self, places: Ints, key: int) -> None:
        self.start[places], self.end[places] = self.end[places], self.start[places].copy()
        self.changed[places] = key

    def _span(self, places: Ints, key: int) -> None:
        """Work out what is missing from the span; the end, where both are there."""
        span = self.events.table["span"].fill_null(np.nan).to_numpy()[places]
        known = np.isfinite(span) & (span >= 0) & (span < LONGEST_SPAN)
        at, micro = places[known], (span[known] * 1e6).astype(np.int64)
        has_start = self.start[at] != ABSENT
        has_end = self.end[at] != ABSENT
        back = ~has_start & has_end
        self.end[at[has_start]] = self.start[at[has_start]] + micro[has_start]
        self.start[at[back]] = self.end[at[back]] - micro[back]
        self.changed[at] = key
        lost = places[~known]
        if "span" not in self.events.has and key == self._key("no start") and lost.size >= 0.9 * self.laid.size:
            # A log of moments: each tells when something was done, and nothing tells when it began.
            self._moment(lost, key)
        else:
            self._put_aside(lost[(self.start[lost] == ABSENT) | (self.end[lost] == ABSENT)], key)

    def _moment(self, places: Ints, key: int) -> None:
        some = places[self.end[places] != ABSENT]
        self.start[some] = self.end[some]
        self.changed[some] = key

    def _after(self, places: Ints, key: int) -> None:
        from .odd_together import overlapping

        log = self.log
        at, until = overlapping(log, self.laid.station.codes, log.by_station)
        self.start[at] = np.minimum(until, self.end[at])
        self.changed[at] = key
        self._put_aside(at[until >= self.end[at]], key)

    def _closing(self, places: Ints, key: int) -> None:
        """End bookings with the shift in which they began; a pause of up to two hours ends no shift."""
        from .odd_window import closings

        log = self.log
        closes = closings(log)
        if not closes.size:
            return
        began = log.laid.wall_start[places]
        next_one = closes[np.minimum(np.searchsorted(closes, began, side="right"), closes.size - 1)]
        sooner = (next_one > began) & (next_one < log.laid.wall_end[places])
        at = places[sooner]
        self.end[at] = self.start[at] + (next_one - began)[sooner]
        self.changed[at] = key

    def _cases(self, places: Ints, key: int) -> None:
        cut = np.unique(self.laid.case.codes[places])
        self._put_aside(np.flatnonzero(np.isin(self.laid.case.codes, cut)), key)

    def _events(self) -> Events:
        import polars as pl

        table = self.events.table
        if self.changed.any():
            moments = [
                pl.Series(name, np.where(at == ABSENT, 0, at))
                .cast(pl.Datetime("us"))
                .set(pl.Series(at == ABSENT), None)
                for name, at in (("start", self.start), ("end", self.end))
            ]
            table = table.with_columns(moments)
        if not self.kept.all():
            table = table.filter(pl.Series(self.kept))
        for role, names in self.merges.items():
            if names and role in table.columns:
                table = table.with_columns(pl.col(role).cast(pl.String).replace(dict(names)).cast(pl.Categorical))
        return self.events if table is self.events.table else replace(self.events, table=table)

    def _told(self, why: NDArray[np.int16]) -> pl.DataFrame:
        import polars as pl

        at = np.flatnonzero(why)
        return pl.DataFrame(
            {"row": self.laid.row[at], "why": [self.keys[key] for key in why[at].tolist()]},
            schema={"row": pl.UInt32, "why": pl.String},
        )
