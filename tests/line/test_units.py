"""Typed quantities: what is read, what is refused with which sentence, and what a form writes back."""

from __future__ import annotations

import doctest
import math
import pickle
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.line.units import (
    DIMENSIONS,
    MONEY,
    Amount,
    FloatDimension,
    QuantityError,
    Rate,
    Span,
    allowed,
    amount,
    parse,
    units_table,
    write,
)

PAGE = Path(__file__).parents[2] / "docs" / "units.md"


@pytest.mark.parametrize(
    ("read", "dimension", "inside"),
    [
        ("45 s", "duration", 45),
        ("45s", "duration", 45),
        ("250 ms", "duration", 0.25),
        ("2.5 min", "duration", 150),
        ("4 h", "duration", 14_400),
        ("1\N{NARROW NO-BREAK SPACE}200\N{NO-BREAK SPACE}s", "duration", 1200),
        ("1.5e2 s", "duration", 150),
        ("3 d", "span", Span(3, "wd")),
        ("1 working day", "span", Span(1, "wd")),
        ("5 cal d", "span", Span(5, "cal d")),
        ("2 cal weeks", "span", Span(14, "cal d")),
        ("4 h", "span", Span(14_400, "s")),
        ("30 min", "span", Span(1800, "s")),
        ("8 mm", "length", 0.008),
        ("120 cm", "length", 1.2),
        ("1.2 km", "length", 1200),
        ("35 µm", "length", 35e-6),
        ("35 \N{GREEK SMALL LETTER MU}m", "length", 35e-6),
        ("\N{MINUS SIGN}1.5 m", "position", -1.5),
        ("16 m2", "area", 16),
        ("16 m²", "area", 16),
        ("2500 cm2", "area", 0.25),
        ("350 g", "mass", 0.35),
        ("1.2 t", "mass", 1200),
        ("1.2 m/s", "speed", 1.2),
        ("30 m/min", "speed", 0.5),
        ("3.6 km/h", "speed", 1),
        (0.985, "share", 0.985),
        ("85 %", "share", 0.85),
        ("85%", "share", 0.85),
        ("85 per cent", "share", 0.85),
        (1, "share", 1),
        ("1.2", "factor", 1.2),
        ("120 %", "factor", 1.2),
        ("18 %/year", "rate of carrying", 0.18),
        ("18 % per year", "rate of carrying", 0.18),
        ("12.40 EUR", "money", 12.4),
        ("-2500 EUR", "cash", -2500),
        ("36 EUR/h", "money per hour", 0.01),
        ("36 EUR per hour", "money per hour", 0.01),
        ("250 EUR/month", "money per year", 3000),
        ("9 EUR/m2/month", "money per area per month", 108),
        ("108 EUR / m² / year", "money per area per month", 108),
        ("18 /d", "per day", Rate(18, "wd")),
        ("18 per d", "per day", Rate(18, "wd")),
        ("18 pieces/day", "per day", Rate(18, "wd")),
        ("90 /week", "per day", Rate(90, "week")),
        ("4000 /month", "per day", Rate(4000, "month")),
        ("20 000 /year", "per day", Rate(20_000, "year")),
        ("310 pieces", "pieces", 310),
        (np.float64(2.5), "pieces", 2.5),
        (3.0, "count", 3),
        (np.int64(3), "count", 3),
        ("-0.25", "number", -0.25),
    ],
)
def test_a_typed_quantity_comes_to_its_value_inside(read: object, dimension: str, inside: object) -> None:
    assert parse(read, dimension, currency="EUR") == inside


@pytest.mark.parametrize(
    ("read", "dimension", "said"),
    [
        (98.5, "share", "98.5 is a share above 1: did you mean 0.985 or 98.5 %?"),
        ("98.5", "share", "98.5 is a share above 1: did you mean 0.985 or 98.5 %?"),
        ("120 %", "share", "120 % is a share above 100 %"),
        ("500", "share", "500 is a share above 1"),
        ("120", "factor", "120 is a factor above 100: did you mean 1.2 or 120 %?"),
        ("16 m2", "duration", "16 m2 is an area; a duration is wanted, such as 45 s"),
        ("45 sek", "duration", "45 sek: did you mean 45 s?"),
        ("45 Min", "duration", "45 Min: did you mean 45 min?"),
        ("45 x", "duration", "45 x is not a duration"),
        ("4,5 s", "duration", "4,5 s has a comma in the number: did you mean 4.5 s?"),
        ("1,200 s", "duration", "1,200 s has a comma in the number: did you mean 1.200 s or 1200 s?"),
        ("0,125 s", "duration", "0,125 s has a comma in the number: did you mean 0.125 s?"),
        ("1.234,5 s", "duration", "1.234,5 s has a comma in the number: did you mean 1234.5 s?"),
        ("1,234,567", "pieces", "1,234,567 has a comma in the number: did you mean 1234567?"),
        (45, "duration", "45 has no unit: did you mean 45 s or 45 min?"),
        ("5 m", "duration", "5 m is a length; a duration is wanted, such as 45 s: did you mean 5 min?"),
        (
            "3 d",
            "duration",
            "3 d is a lead time; a duration is wanted, such as 45 s: a working day is as long as the calendar says, "
            "so write a duration in hours, such as 24 h for days of 8 h",
        ),
        ("1 h 30 min", "duration", "1 h 30 min: did you mean 90 min?"),
        ("1 m 20 cm", "length", "1 m 20 cm: did you mean 1.2 m?"),
        ("1:30", "duration", "1:30: did you mean 90 s or 90 min?"),
        ("40-60 s", "duration", "40-60 s: for a range give low, likely and high as three quantities"),
        ("-5 s", "duration", "-5 s is below 0"),
        ("11000000 h", "duration", "11000000 h is more than is allowed"),
        ("1e999 s", "duration", "1e999 s is more than is allowed"),
        ("1e-999 s", "duration", "1e-999 s is too small to be meant"),
        ("\N{FULLWIDTH DIGIT FOUR}5 s", "duration", "45 s has digits of another script: did you mean 45 s?"),
        ("nan", "number", "nan does not begin with a number"),
        ("inf s", "duration", "inf s does not begin with a number"),
        (math.nan, "number", "nan is not a number to reckon with"),
        (math.inf, "pieces", "inf is not a number to reckon with"),
        (10**400, "number", "a number of more than 30 digits is more than is allowed"),
        ("", "duration", "an empty text is not a quantity"),
        ("  ", "duration", "an empty text is not a quantity"),
        (None, "duration", "nothing is written here"),
        (True, "share", "true is a yes or no, not a quantity"),
        (np.False_, "count", "false is a yes or no, not a quantity"),
        ([45, "s"], "duration", "[45, 's'] is a list, not a quantity"),
        ({"mean": 1}, "duration", "{'mean': 1} is a table of fields, not a quantity"),
        ("12.40", "money", "12.40 has no currency: did you mean 12.40 EUR?"),
        (12.4, "money", "12.4 has no currency: did you mean 12.4 EUR?"),
        ("12.40 €", "money", "12.40 €: did you mean 12.40 EUR?"),
        ("12.40 ¤", "money", "12.40 ¤: did you mean 12.40 EUR?"),
        ("12.40 eur", "money", "12.40 eur: did you mean 12.40 EUR?"),
        ("EUR 12.40", "money", "EUR 12.40 does not begin with a number: did you mean 12.40 EUR?"),
        (
            "12.40 USD",
            "money",
            "12.40 USD is in USD, and this line counts in EUR: change it into EUR at the rate that you reckon with",
        ),
        (
            "24 EUR",
            "money per hour",
            "24 EUR is an amount of money; an amount of money per hour is wanted, such as 24 EUR/h",
        ),
        (
            "9 EUR/m2",
            "money per area per month",
            "9 EUR/m2: say for how long: 9 EUR/m2/month or 9 EUR/m2/year",
        ),
        (
            "18 %",
            "rate of carrying",
            "18 % is a share; a carrying rate is wanted, such as 18 %/year: did you mean 18 %/year?",
        ),
        ("1.5 %/month", "rate of carrying", "1.5 %/month: write the rate of a year, 18 %/year"),
        ("18", "per day", "18 has no unit: did you mean 18 /d?"),
        ("3 /h", "per day", "3 /h: say how many in a working day, such as 24 /d for a day of 8 h"),
        ("3", "span", "3 has no unit: did you mean 3 d or 3 cal d?"),
        ("2 weeks", "span", "2 weeks: say which days are meant: 10 d are working days, 2 cal weeks are calendar weeks"),
        ("2.5", "count", "2.5 is not a whole number"),
        ("3 machines", "count", "3 machines: did you mean 3?"),
    ],
)
def test_a_slip_is_named_with_what_was_read_and_what_is_allowed(read: object, dimension: str, said: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(read, dimension, currency="EUR")
    error = caught.value
    folded = str(error).replace("\N{FULLWIDTH DIGIT FOUR}", "4")
    assert folded == f"{said} (allowed: {allowed(dimension, 'EUR')})"
    assert error.allowed == allowed(dimension, "EUR")
    assert error.hint in said
    assert said.endswith(error.hint)


def test_the_error_keeps_its_parts_when_it_travels_between_processes() -> None:
    with pytest.raises(QuantityError) as caught:
        parse("98.5", "share")
    error = pickle.loads(pickle.dumps(caught.value))  # noqa: S301
    assert (error.read, error.hint) == ("98.5", "did you mean 0.985 or 98.5 %?")
    assert str(error) == str(caught.value)


@pytest.mark.parametrize("row", DIMENSIONS.values(), ids=lambda row: row.name)
def test_every_hint_that_proposes_one_quantity_can_be_typed(row) -> None:
    unit = row.units[0].name.replace(MONEY, "EUR")
    slips = [f"3 {unit.upper()}x", f"3,5 {unit}", "3", "\N{FULLWIDTH DIGIT THREE} " + unit, "3 d", "3 %", "3 m", "3 €"]
    for slip in slips:
        try:
            parse(slip, row.name, currency="EUR")
        except QuantityError as error:
            if error.hint.startswith("did you mean"):
                for proposal in error.hint.removeprefix("did you mean ").removesuffix("?").split(" or "):
                    if "3.5" not in proposal or not row.whole:
                        parse(proposal, row.name, currency="EUR")


def test_an_amount_tells_the_currency_that_was_typed() -> None:
    assert amount("24 CHF/h", "money per hour") == Amount(24 / 3600, "money/s", "CHF")
    assert amount("45 s", "duration") == Amount(45, "s", "")


def test_a_share_may_exceed_one_only_where_that_is_asked_for() -> None:
    assert parse("130 %", "share", above_one=True) == 1.3
    with pytest.raises(QuantityError):
        parse("130 %", "share")


def test_an_unknown_dimension_is_the_mistake_of_the_program() -> None:
    with pytest.raises(KeyError):
        parse("45 s", "time")


def test_the_literal_of_plain_dimensions_names_the_rows_of_the_table() -> None:
    assert set(get_args(FloatDimension)) | {"span", "per day"} == set(DIMENSIONS)


@pytest.mark.parametrize("row", DIMENSIONS.values(), ids=lambda row: row.name)
def test_every_row_of_the_table_holds_together(row) -> None:
    example = row.example.replace(MONEY, "EUR")
    assert amount(example, row.name, currency="EUR").unit == row.key
    spellings = [name for unit in row.units for name in (unit.name, *unit.also)]
    assert len(spellings) == len(set(spellings)), "a spelling stands for two units"
    assert not set(spellings) & set(row.advice), "a spelling is both accepted and refused"
    assert set(row.most) == {unit.key for unit in row.units}
    for key in row.most:
        assert any(unit.key == key and unit.written for unit in row.units), "a value that no form can write"


@pytest.mark.parametrize("row", DIMENSIONS.values(), ids=lambda row: row.name)
def test_every_spelling_of_the_table_is_read_with_its_factor(row) -> None:
    for spelling, unit in row.spellings.items():
        got = amount(f"1 {spelling}".replace(MONEY, "EUR"), row.name, currency="EUR")
        assert (got.value, got.unit) == (float(unit.factor), unit.key), spelling


@pytest.mark.parametrize(
    ("dimension", "edge", "beyond"),
    [
        ("duration", "87660 h", "87661 h"),
        ("span", "3653 d", "3654 d"),
        ("length", "1000 km", "1001 km"),
        ("position", "-1000 km", "-1001 km"),
        ("area", "100 ha", "101 ha"),
        ("mass", "100000 t", "100001 t"),
        ("speed", "100 m/s", "101 m/s"),
        ("share", "100 %", "101 %"),
        ("factor", "10000 %", "10001 %"),
        ("rate of carrying", "1000 %/year", "1001 %/year"),
        ("money", "1e12 EUR", "1.1e12 EUR"),
        ("cash", "-1e12 EUR", "-1.1e12 EUR"),
        ("money per hour", "1e6 EUR/h", "1.1e6 EUR/h"),
        ("money per year", "1e12 EUR/year", "1.1e12 EUR/year"),
        ("money per area per month", "1e6 EUR/m2/month", "1.1e6 EUR/m2/month"),
        ("per day", "10000000 /week", "10000001 /week"),
        ("pieces", "1000000000", "1000000001"),
        ("count", "1000000000", "1000000001"),
        ("number", "-1e15", "-1.1e15"),
    ],
)
def test_a_limit_belongs_to_what_is_allowed_and_the_next_value_does_not(dimension: str, edge: str, beyond: str) -> None:
    amount(edge, dimension)
    with pytest.raises(QuantityError):
        amount(beyond, dimension)


def _values_inside(dimension: str) -> st.SearchStrategy[float]:
    row = DIMENSIONS[dimension]
    most = row.most[row.key]
    if row.whole:
        return st.integers(int(row.least), int(most)).map(float)
    return st.floats(row.least, most)


@settings(deadline=None)
@given(data=st.data(), dimension=st.sampled_from([name for name in DIMENSIONS if name not in ("span", "per day")]))
def test_what_a_form_writes_is_read_back_to_the_very_same_value(data: st.DataObject, dimension: str) -> None:
    value = data.draw(_values_inside(dimension))
    assert parse(write(value, dimension, currency="EUR"), dimension, currency="EUR") == value


@settings(deadline=None)
@given(value=st.floats(0, 3653), unit=st.sampled_from(["wd", "cal d", "s"]))
def test_a_written_span_is_read_back_as_the_same_span(value: float, unit) -> None:
    assert parse(write(Span(value, unit), "span"), "span") == Span(value, unit)


@settings(deadline=None)
@given(value=st.floats(0, 1e7), per=st.sampled_from(["wd", "week", "month", "year"]))
def test_a_written_demand_is_read_back_as_the_same_demand(value: float, per) -> None:
    assert parse(write(Rate(value, per), "per day"), "per day") == Rate(value, per)


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (45.0, "duration", "45 s"),
        (150.0, "duration", "2.5 min"),
        (0.045, "duration", "45 ms"),
        (100.0, "duration", "100 s"),
        (28_800.0, "duration", "8 h"),
        (0.0, "duration", "0 h"),
        (0.35, "mass", "350 g"),
        (0.85, "share", "85 %"),
        (12.4, "money", "12.40 EUR"),
        (12.0, "money", "12 EUR"),
        (24 / 3600, "money per hour", "24 EUR/h"),
        (0.18, "rate of carrying", "18 %/year"),
        (1.2, "factor", "120 %"),
        (310.0, "pieces", "310"),
        (Span(14, "cal d"), "span", "14 cal d"),
        (Span(1800, "s"), "span", "30 min"),
        (Rate(20_000, "year"), "per day", "20000 /year"),
    ],
)
def test_a_form_writes_the_shortest_exact_text(value: float, dimension: str, text: str) -> None:
    assert write(value, dimension, currency="EUR") == text


@pytest.mark.parametrize(
    ("value", "dimension"),
    [
        (math.nan, "duration"),
        (-1.0, "duration"),
        (1.5, "share"),
        (1e13, "money"),
        (True, "share"),
        ("45 s", "duration"),
        (Span(1, "wd"), "duration"),
        (1.0, "span"),
        (Rate(1, "week"), "span"),
    ],
)
def test_what_could_not_be_read_back_is_not_written(value: float, dimension: str) -> None:
    with pytest.raises(QuantityError):
        write(value, dimension, currency="EUR")


def test_money_is_not_written_without_its_currency() -> None:
    with pytest.raises(QuantityError, match="give the currency of the line"):
        write(12.4, "money")


def _stubborn() -> object:
    class Stubborn:
        """Fails wherever it is asked for something."""

        @property
        def __class__(self):
            raise RuntimeError

        def __repr__(self) -> str:
            raise RuntimeError

        def __str__(self) -> str:
            raise RuntimeError

        def __float__(self) -> float:
            raise RuntimeError

        def __eq__(self, other: object) -> bool:
            raise RuntimeError

        __hash__ = None

    return Stubborn()


def _liars() -> tuple[str, float, int]:
    """A text and two numbers that fail when they are asked and not looked at."""

    class LyingText(str):
        __slots__ = ()

        def strip(self, *_: object) -> str:
            raise RuntimeError

        def __str__(self) -> str:
            raise RuntimeError

        def __len__(self) -> int:
            raise RuntimeError

        def isprintable(self) -> bool:
            raise RuntimeError

    class LyingNumber(float):
        def __float__(self) -> float:
            raise RuntimeError

        def __repr__(self) -> str:
            raise RuntimeError

    class LyingWhole(int):
        def __int__(self) -> int:
            raise RuntimeError

        def __abs__(self) -> int:
            raise RuntimeError

        def __str__(self) -> str:
            raise RuntimeError

    return LyingText("45 s"), LyingNumber(45.0), LyingWhole(45)


def _weird() -> list[object]:
    endless: list[object] = []
    endless.append(endless)
    return [
        _stubborn(),
        [_stubborn()],
        endless,
        object(),
        object,
        b"45 s",
        Decimal("NaN"),
        Decimal("45"),
        Fraction(1, 3),
        1 + 2j,
        np.array(["45 s"]),
        np.array([1.0, 2.0]),
        np.timedelta64(5, "s"),
        np.datetime64("NaT"),
        np.longdouble("1e4000"),
        np.complex128(1),
        range(3),
        ["45 s"] * 1000,
        lambda: None,
        "\ud800 s",
        "45\x00 s",
        "9" * 10_000,
        "9" * 79,
        10**5000,
        -(10**5000),
        "45 s\n45 s",
        "per" * 20,
        "1 per per per",
        "1 " * 39,
        "½ h",
        "٤٥ s",
        "{n}",
        "1 {n}",
    ]


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_whatever_object_comes_in_only_a_quantity_error_goes_out(dimension: str) -> None:
    for read in _weird():
        with pytest.raises(QuantityError) as caught:
            parse(read, dimension, currency="EUR")
        assert "(allowed: " in str(caught.value)
        assert len(str(caught.value)) < 700


def test_a_subclass_is_read_by_what_it_holds_and_not_by_what_it_says() -> None:
    text, number, whole = _liars()
    assert parse(text, "duration") == parse(number, "number") == parse(whole, "count") == 45


@settings(deadline=None)
@given(read=st.text(), dimension=st.sampled_from(list(DIMENSIONS)))
def test_any_text_is_read_or_refused_as_a_quantity(read: str, dimension: str) -> None:
    _read_or_refused(read, dimension)


_PIECES_OF_TEXT = """45 4,5 1.5 - + . e / per s min h d cal d m m2 % EUR EUR/h year month pieces € ¤ : ± {n} ² −"""
_ALMOST = st.lists(
    st.sampled_from([*_PIECES_OF_TEXT.split(), " ", "per ", "\N{NO-BREAK SPACE}"]),
    max_size=6,
).map("".join)


@settings(deadline=None)
@given(read=_ALMOST, dimension=st.sampled_from(list(DIMENSIONS)))
def test_text_that_is_almost_a_quantity_is_read_or_refused_as_one(read: str, dimension: str) -> None:
    _read_or_refused(read, dimension)


@settings(deadline=None)
@given(
    read=st.one_of(
        st.integers(),
        st.floats(),
        st.booleans(),
        st.none(),
        st.binary(),
        st.complex_numbers(),
        st.decimals(),
        st.fractions(),
        st.recursive(st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=5),
    ),
    dimension=st.sampled_from(list(DIMENSIONS)),
)
def test_any_plain_object_is_read_or_refused_as_a_quantity(read: object, dimension: str) -> None:
    _read_or_refused(read, dimension)


def _read_or_refused(read: object, dimension: str) -> None:
    row = DIMENSIONS[dimension]
    try:
        got = amount(read, dimension, currency="EUR")
    except QuantityError as error:
        refused = error
    else:
        assert row.least <= got.value <= row.most[got.unit]
        assert got.currency in ("", "EUR")
        return
    assert refused.allowed == allowed(dimension, "EUR")
    assert refused.hint in str(refused)
    assert MONEY in refused.read or MONEY not in refused.hint


def test_the_table_on_the_docs_page_is_the_table_of_the_program() -> None:
    """Where this fails, print `pullwright.line.units.units_table()` and paste it into the page."""
    assert units_table() in PAGE.read_text(encoding="utf-8")


def test_the_answers_on_the_docs_page_are_those_of_the_program() -> None:
    _, _, answers = PAGE.read_text(encoding="utf-8").partition("| typed | for | answer |\n|---|---|---|\n")
    rows = [line.strip("| ").split(" | ") for line in answers.partition("\n\n")[0].splitlines()]
    assert len(rows) >= 8
    for typed, dimension, answer in rows:
        with pytest.raises(QuantityError) as caught:
            parse(typed.strip("`"), dimension, currency="EUR")
        assert str(caught.value).split(" (allowed: ")[0] == answer


def test_the_example_on_the_docs_page_gives_what_it_says() -> None:
    result = doctest.testfile(str(PAGE), module_relative=False)
    assert (result.failed, result.attempted) == (0, 5)
