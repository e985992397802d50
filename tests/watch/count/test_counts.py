"""Counts: what lay there, how far somebody walked, what was not right; each number with who counted it and when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from pullwright.watch.count.results import defects_said, stock_said, trend_of, ways_said
from pullwright.watch.count.told import checked_note, counts_of
from pullwright.watch.misread import CountError

START = datetime(2026, 3, 16, 9, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Noted:
    uid: str
    kind: str
    body: dict[str, Any]
    day: int = 0
    who: str = "storekeeper"

    @property
    def taken(self) -> datetime:
        return START + timedelta(days=self.day)


def stock(uid: str, pieces: object, day: int = 0) -> Noted:
    return Noted(uid, "stock", {"store": {"before": "hone"}, "pieces": pieces}, day)


def test_every_kind_of_count_is_read() -> None:
    sheet = counts_of(
        {"name": "March"},
        [
            stock("a", "12,5"),
            Noted("b", "way", {"from": "saw", "to": "hone", "steps": 40, "step_m": 0.8, "batch": 8, "trips": 6}),
            Noted("c", "defects", {"step": "hone", "looked_at": 40, "wrong": 3, "again": 1, "what": "scratch"}),
        ],
        zone=UTC,
    )

    assert (sheet.stocks[0].pieces, sheet.stocks[0].place, sheet.stocks[0].where) == (
        12.5,
        "before hone",
        "count 1 of March",
    )
    assert (sheet.ways[0].distance_m, sheet.ways[0].batch) == (32.0, 8)
    assert (sheet.defects[0].wrong, sheet.defects[0].who) == (3, "storekeeper")


def test_a_count_that_was_undone_is_gone() -> None:
    sheet = counts_of({"name": "March"}, [stock("a", 10), Noted("u", "undo", {"of": "a"}, 1)], zone=UTC)

    assert sheet.stocks == ()


@pytest.mark.parametrize(
    ("kind", "body", "said"),
    [
        ("stock", {"store": {"near": "hone"}, "pieces": 3}, "is no place (allowed: exactly one of before, after, part, with a name)"),
        ("stock", {"store": {"before": "hone"}, "pieces": -1}, "pieces -1 is no such number (allowed: 0, at most 10,000,000)"),
        ("way", {"from": "a", "to": "b"}, "a way gives its length not at all or twice (allowed: distance_m, or steps)"),
        ("way", {"from": "a", "to": "b", "distance_m": "far"}, "distance_m far is no such number"),
        ("defects", {"step": "hone", "looked_at": 10, "wrong": 2, "again": 3}, "again 3 is no such number (allowed: a whole number from 0 to 2)"),
        ("undo", {}, "names no note"),
    ],
)  # fmt: skip
def test_a_count_that_cannot_be_is_refused(kind: str, body: dict[str, Any], said: str) -> None:
    with pytest.raises(CountError) as refused:
        checked_note(kind, body)
    assert said in str(refused.value)


def test_mean_stock_has_the_doubt_of_its_counts_and_says_that_it_grows() -> None:
    sheet = counts_of(
        {"name": "March"}, [stock(str(day), 100 + 10 * day + (day % 2), day) for day in range(6)], zone=UTC
    )

    (said,) = stock_said(sheet)

    assert said.mean.value == pytest.approx(125.5)
    low, high = said.mean.interval()
    assert low < 125.5 < high
    assert said.trend == pytest.approx(10.0, abs=0.2)
    assert "it grows by 10" in said.said
    assert said.mean.source is not None
    assert said.mean.source.readings[0].who == "storekeeper"


def test_two_counts_show_no_trend() -> None:
    assert trend_of([0, 1], [10, 20]) == (None, None)
    assert trend_of([1, 1, 1], [10, 20, 30]) == (None, None)


def test_metres_walked_are_there_and_back_times_the_trips_of_a_mean_day() -> None:
    notes = [
        Noted(str(day), "way", {"from": "saw", "to": "hone", "distance_m": 20, "trips": trips}, day) for day, trips in enumerate((9, 11))
    ]  # fmt: skip

    (said,) = ways_said(counts_of({"name": "March"}, notes, zone=UTC))

    assert said.walked is not None
    assert said.walked.value == pytest.approx(2 * 20 * 10)
    assert said.walked.formula == "2 x distance x trips a day"


def test_defects_are_pooled_and_what_was_wrong_comes_most_first() -> None:
    bodies = [(20, 2, "scratch"), (20, 1, "bore wide"), (60, 4, "scratch")]
    notes = [
        Noted(str(k), "defects", {"step": "hone", "looked_at": n, "wrong": w, "what": what}, k) for k, (n, w, what) in enumerate(bodies)
    ]  # fmt: skip

    (said,) = defects_said(counts_of({"name": "March"}, notes, zone=UTC))

    assert (said.looked_at, said.wrong) == (100, 7)
    assert said.pareto == (("scratch", 6, pytest.approx(6 / 7)), ("bore wide", 1, pytest.approx(1.0)))
    assert said.interval == pytest.approx((0.0343, 0.1375), abs=1e-4)
    assert said.said == "At hone 7 of 100 pieces were not right: 7.0 % (3.4 to 14 %); most often scratch (6)."
