"""What the looks of a tour say, as a page shows it: shares with both intervals, where and when they differ, how they settled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from pullwright.draw.charts import Banded, Bar, Chart, Level, bars, lines_with_band
from pullwright.draw.charts.ticks import number_words
from pullwright.line.kinds import KindKey
from pullwright.watch.sample.differ import differ_by
from pullwright.watch.sample.enough import enough_of
from pullwright.watch.sample.looks import Tour
from pullwright.watch.sample.running import running_share
from pullwright.watch.sample.shares import By, SeenShare, Shares, found, shares_of, strata
from pullwright.web.charted import Charted, charted
from pullwright.web.inked import inked
from pullwright.web.pieces import Piece, Row, Shown, Table


class Seen(Piece):
    """What a row of a table by station or hour says: so many looks, and how many of them found the kind of most interest."""

    name: str
    looks: int
    found: int


@dataclass(frozen=True)
class TourNumbers:
    """All that is said of the looks so far."""

    found: str
    enough: str
    differs: tuple[str, ...]
    shares: Table
    by_station: tuple[Seen, ...]
    by_hour: tuple[Seen, ...]
    charts: tuple[Charted, ...]


def numbers_of(tour: Tour, body: Mapping[str, Any], why: str) -> TourNumbers | None:
    """Return what the looks say; None before the first look. `why` is the address that answers why."""
    if not tour.looks:
        return None
    shares = shares_of(tour)
    kind: KindKey = next((row.kind for row in shares.rows if row.kind == body.get("kind")), "waiting")
    wished = body.get("half_width")
    half_width = float(wished) if isinstance(wished, int | float) and 0 < wished < 1 else 0.05
    return TourNumbers(
        found=found(shares),
        enough=_sentence(enough_of(shares, kind, half_width).said),
        differs=tuple(differ_by(tour, by).said for by in ("station", "hour")),
        shares=_table(shares, why),
        by_station=_strata(tour, "station", kind),
        by_hour=_strata(tour, "hour", kind),
        charts=(charted(_bars(shares)), charted(_running(tour, shares, kind))),
    )


def _sentence(said: str) -> str:
    return said[:1].upper() + said[1:]


def _table(shares: Shares, why: str) -> Table:
    rows = tuple(
        Row(
            kind=row.kind,
            words="cannot say" if row.kind == "unexplained" else row.words,
            figures=(
                inked(row.share, why=f"{why}?figure={quote(row.share.name, safe='')}"),
                _count(f"looks that found {row.words}", row.found),
                _span("plain interval", row.plain),
                _span("honest interval", row.honest) if row.honest else None,
                _count("design effect", row.design_effect) if row.design_effect else None,
            ),
        )
        for row in shares.rows
    )
    return Table(
        caption="Shares of the looks, with nine chances in ten beside them. The plain interval (95 %) takes every look for itself, "
        "the honest one (95 %) takes rounds as they were.",
        columns=("share", "looks", "plain interval", "honest interval", "design effect"),
        rows=rows,
    )


def _count(name: str, value: float) -> Shown:
    return Shown(
        name=name,
        value=float(value),
        unit="1",
        low=float(value),
        high=float(value),
        number=number_words(value, digits=3),
    )


def _span(name: str, ends: tuple[float, float]) -> Shown:
    low, high = (number_words(end, "share", 3) for end in ends)
    return Shown(
        name=name, value=None, unit="share", low=ends[0], high=ends[1], number=f"{low.removesuffix(' %')} to {high}"
    )


def _strata(tour: Tour, by: By, kind: KindKey) -> tuple[Seen, ...]:
    return tuple(Seen(name=one.name, looks=one.looks, found=one.seen.get(kind, 0)) for one in strata(tour, by))


def _ends(row: SeenShare) -> tuple[float, float]:
    return row.honest or row.plain


def _bars(shares: Shares) -> Chart:
    rows = [
        Bar("cannot say" if row.kind == "unexplained" else row.words, row.share.value, *_ends(row), kind=row.kind)
        for row in shares.rows
    ]
    caption = "What was seen, as shares of the looks; under each bar the interval in which the share of the time lies."
    return bars(rows, title="What was seen", unit="share", caption=caption, prefix="seen")


def _running(tour: Tour, shares: Shares, kind: KindKey) -> Chart:
    settled = running_share(tour, kind)
    words = shares.row(kind).words
    line = Banded(
        words,
        list(range(1, len(settled) + 1)),
        [one.share for one in settled],
        [one.low for one in settled],
        [one.high for one in settled],
    )
    last = settled[-1].share
    caption = f"How the share of {words} settled, round by round."
    return lines_with_band(
        [line], title=f"The share of {words}", unit="share", across="rounds walked", caption=caption,
        levels=[Level(f"now {number_words(last, 'share', 2)}", last)], prefix="settled",
    )  # fmt: skip
