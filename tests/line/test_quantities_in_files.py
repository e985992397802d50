"""What a person may know of a quantity, and what becomes of it: variation and ignorance stay apart."""

from __future__ import annotations

from typing import Any

import pytest

from pullwright.line import Line
from pullwright.line.edit import set_field
from pullwright.line.quantity import Quantity, walk
from tests.line_base import BASE


def manual(value: Any) -> Quantity:
    text = set_field(
        BASE, ("studies",), [{"name": "T-1", "readings": ["58 s", "62 s"]}, {"name": 14, "readings": ["5 s"]}]
    )
    found = Line.from_text(set_field(text, ("steps", 0, "manual"), value)).steps[0].manual
    assert found is not None
    return found


def test_a_text_is_certain() -> None:
    assert manual("2.5 min") == Quantity(150.0, "s")


def test_variation_is_not_ignorance() -> None:
    varied = manual({"mean": "45 s", "cv": 0.2, "distribution": "gamma"})
    assert (varied.value, varied.given, varied.distribution) == (45.0, "text", "gamma")
    assert varied.cv == Quantity(0.2, "1")
    assert (varied.low, varied.high, varied.field_of) == (None, None, ("mean",))


def test_a_judgement_has_limits() -> None:
    judged = manual({"low": "40 s", "likely": "45 s", "high": "1 min"})
    assert (judged.low, judged.value, judged.high, judged.given) == (40.0, 45.0, 60.0, "judged")
    assert judged.cv is None


def test_readings_are_kept_one_by_one() -> None:
    read = manual({"readings": ["58 s", "1 min", "62 s"]})
    assert (read.readings, read.value, read.given, read.field_of) == (
        (58.0, 60.0, 62.0),
        60.0,
        "readings",
        ("readings",),
    )


def test_a_study_is_referred_to_by_its_name() -> None:
    assert (manual({"study": "T-1"}).study, manual({"study": 14}).study, manual({"study": "T-1"}).given) == (
        "T-1",
        "14",
        "study",
    )


def test_both_kinds_of_not_knowing_may_stand_together() -> None:
    both = manual(
        {"mean": {"low": "40 s", "likely": "45 s", "high": "60 s"}, "cv": {"low": 0.1, "likely": "20 %", "high": 0.3}}
    )
    assert (both.low, both.value, both.high, both.field_of) == (40.0, 45.0, 60.0, ("mean", "likely"))
    assert both.cv is not None
    assert (both.cv.low, both.cv.value, both.cv.high) == (0.1, 0.2, 0.3)
    read = manual({"mean": {"readings": ["58 s", "62 s"]}, "distribution": "empirical"})
    assert (read.readings, read.distribution) == ((58.0, 62.0), "empirical")


def test_a_share_may_be_a_count() -> None:
    scrap = Line.from_text(set_field(BASE, ("steps", 0, "scrap"), {"count": 4, "of": 310})).steps[0].scrap
    assert scrap is not None
    assert (scrap.value, scrap.count, scrap.of, scrap.given, scrap.unit) == (4 / 310, 4, 310, "counts", "share")


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [
        ("18 /d", 18, "pieces/wd"),
        ("90 /week", 90, "pieces/week"),
        ("20 000 /year", 20_000, "pieces/year"),
        ("400 /month", 400, "pieces/month"),
    ],
)
def test_a_demand_keeps_the_time_that_the_calendar_reckons_with(typed: str, value: float, unit: str) -> None:
    assert Line.from_text(set_field(BASE, ("products", 0, "demand"), typed)).products[0].demand == Quantity(value, unit)


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [("8 d", 8, "wd"), ("10 cal d", 10, "cal d"), ("2 cal weeks", 14, "cal d"), ("4 h", 14_400, "s")],
)
def test_a_span_keeps_its_kind_of_day(typed: str, value: float, unit: str) -> None:
    assert Line.from_text(set_field(BASE, ("products", 0, "promise"), typed)).products[0].promise == Quantity(
        value, unit
    )


def test_cash_may_be_owed() -> None:
    money = Line.from_text(set_field(BASE, ("money", "cash"), "-2500 EUR")).money
    assert money is not None
    assert money.cash == Quantity(-2500.0, "money")


@pytest.mark.parametrize(
    "value",
    [
        {"mean": "60 s", "distribution": "constant"},
        {"mean": "60 s", "cv": 0, "distribution": "constant"},
        {"mean": "60 s", "distribution": "exponential"},
        {"mean": "60 s", "cv": 1, "distribution": "exponential"},
        {"mean": "60 s", "cv": 0.7, "distribution": "triangular"},
        {"mean": "60 s", "cv": 3, "distribution": "weibull"},
        {"readings": ["1 s", "2 s"], "distribution": "lognormal"},
        {"study": "T-1", "distribution": "empirical"},
    ],
)
def test_a_shape_goes_with_its_cv(value: Any) -> None:
    assert manual(value).distribution == value["distribution"]


def test_every_quantity_of_a_line_is_found_with_its_path() -> None:
    line = Line.from_text(set_field(BASE, ("steps", 0, "rework"), {"share": "2 %", "time": "9 s"}))
    assert [path for path, _ in walk(line)] == [
        ("products", 0, "demand"),
        ("steps", 0, "manual"),
        ("steps", 0, "rework", "share"),
        ("steps", 0, "rework", "time"),
    ]
