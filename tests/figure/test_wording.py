"""How figures read."""

import re
from math import inf

import numpy as np
import pytest
from hypothesis import assume
from hypothesis import given as for_all
from hypothesis import strategies as st

from pullwright.figure import Parts, Source, from_counts, from_draws, given, judged, number_text, parts, spans_text
from pullwright.figure.units import UNITS
from pullwright.figure.wording import GROUP, MINUS

TYPED = Source("line file", "x")


def _reads(value, unit, currency="EUR"):
    return given("x", value, unit, TYPED).text(currency).replace(GROUP, "_").replace(MINUS, "-")


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (0.4, "s", "0.4 s"),
        (45, "s", "45 s"),
        (119.9, "s", "120 s"),
        (150, "s", "2.5 min"),
        (6.2 * 3600, "s", "6.2 h"),
        (1e8, "s", "27_800 h"),
        (0.04125, "s", "0.0413 s"),
        (0, "s", "0 s"),
        (6.2, "wd", "6.2 d"),
        (0.985, "share", "98.5 %"),
        (1.0, "share", "100 %"),
        (0.99972, "share", "99.97 %"),
        (1.25, "share", "125 %"),
        (0.00012, "share", "0.012 %"),
        (16, "m2", "16 m²"),
        (0.85, "m", "0.85 m"),
        (0.012, "m", "12 mm"),
        (3400, "m", "3.4 km"),
        (3.2, "um", "3.2 µm"),
        (0.05, "kg", "50 g"),
        (12, "kg/wd", "12 kg/d"),
        (12345.67, "money", "12_300 EUR"),
        (-1234.5, "money", "-1_230 EUR"),
        (12.4, "money", "12.4 EUR"),
        (5, "money/m2/month", "5 EUR/m²/month"),
        (0.01, "money/s", "36 EUR/h"),
        (1 / 80, "1/s", "45 per h"),
        (0.5, "1/s", "30 per min"),
        (3, "1/wd", "3 per d"),
        (999.7, "pieces", "1_000 pieces"),
        (1, "pieces", "1 piece"),
        (1.5, "pieces", "1.5 pieces"),
        (1, "pieces/wd", "1 piece/d"),
        (4.5, "persons", "4.5 people"),
        (23400, "person-s", "6.5 h"),
        (23400, "person-s/wd", "6.5 h/d"),
        (2 * 7200.0**2, "s2", "8 h²"),
        (1.5, "1", "1.5"),
        (inf, "s", "without end"),
        (-inf, "money", "-without end"),
        (1e18, "1", "1 × 10¹⁸"),
        (-2.5e-9, "1", "-2.5 × 10⁻⁹"),
    ],
)
def test_a_certain_figure_reads_in_a_unit_of_its_size_with_three_digits(value, unit, text):
    assert _reads(value, unit) == text


def test_money_reads_in_the_currency_of_the_line():
    assert _reads(12.4, "money/wd", "CHF") == "12.4 CHF/d"


@pytest.mark.parametrize(
    ("value", "low", "high", "unit", "expected"),
    [
        (6.2, 4.9, 7.8, "wd", "6.2 d (4.9 to 7.8)"),
        (6.23, 4.88, 7.81, "wd", "6.2 d (4.9 to 7.8)"),
        (6.23, 1.2, 15.3, "wd", "6.2 d (1.2 to 15.3)"),
        (6.234, 6.221, 6.243, "wd", "6.23 d (6.22 to 6.24)"),
        (45.2, 43.9, 46.6, "s", "45.2 s (43.9 to 46.6)"),
        (45.2, 30.1, 60.2, "s", "45 s (30 to 60)"),
        (99.5, 96.1, 103.24, "s", "99.5 s (96.1 to 103.2)"),
        (150, 100, 200, "s", "2.5 min (1.7 to 3.3)"),
        (1234, 912, 1498, "pieces", "1_230 pieces (910 to 1_500)"),
        (0.96, 0.917, 0.983, "share", "96.0 % (91.7 to 98.3)"),
        (5.0, -2.0, 12.0, "money", "5.0 EUR (-2.0 to 12.0)"),
        (0.0, -5.2, 7.4, "s", "0.0 s (-5.2 to 7.4)"),
        (2.3, 1.0, 9001.0, "s", "2.3 s (1.0 to 9_001)"),
        (45.0, 44.999, 45.001, "s", "45 s"),
        (400, 300, inf, "s", "6.7 min (5.0 to without end)"),
        (inf, 300, inf, "s", "without end (5.0 min to without end)"),
    ],
)
def test_the_interval_reads_in_the_unit_and_decimals_of_the_value(value, low, high, unit, expected):
    shown, unit_text, between = parts(value, low, high, unit)
    text = f"{shown} {unit_text}".strip() + (f" ({between})" if between else "")
    assert text.replace(GROUP, "_").replace(MINUS, "-") == expected


def test_text_short_and_parts_say_the_same():
    figure = from_counts("yield", 96, 100, source=Source("count", "check"))
    assert figure.parts() == Parts("96.0", "%", "91.7 to 98.3")
    assert figure.short() == "96.0 %"
    assert figure.text() == "96.0 % (91.7 to 98.3)"


def test_a_figure_that_is_sure_to_its_last_digit_shows_no_interval():
    figure = from_draws("x", 45.0, 45 + np.linspace(-1e-6, 1e-6, 1000), "s", TYPED)
    assert not figure.certain
    assert figure.text() == "45 s"


def _number(text):
    return float(text.replace(GROUP, "").replace(MINUS, "-"))


@for_all(st.floats(1e-5, 1e14), st.sampled_from([-1, 1]), st.sampled_from(["1", "money", "wd", "um"]))
def test_what_reads_out_is_the_value_to_three_digits_and_never_in_powers_of_ten(size, sign, unit):
    shown = given("x", sign * size, unit, TYPED).parts().value
    assert re.fullmatch(rf"{MINUS}?[\d{GROUP}]+(\.\d+)?", shown)
    assert _number(shown) == pytest.approx(float(f"{sign * size:.3g}"), rel=1e-12)


@for_all(st.floats(0.001, 1e9))
def test_a_duration_reads_back_to_within_half_its_third_digit(seconds):
    value, unit, _ = given("x", seconds, "s", TYPED).parts()
    back = _number(value) * {"s": 1, "min": 60, "h": 3600}[unit]
    assert back == pytest.approx(seconds, rel=0.00501)
    assert abs(_number(value)) >= 0.5 or unit == "s"


USUAL = st.one_of(st.just(0.0), st.floats(1e-3, 1e6))


@for_all(USUAL, USUAL, USUAL, st.sampled_from(sorted(UNITS)))
def test_an_interval_never_reads_as_if_the_likely_value_lay_outside_it(low, rise, more, unit):
    assume(rise + more > 0)
    shown, _, between = parts(low + rise, low, low + rise + more, unit)
    if between and "×" not in between + shown:
        left, right = (_number(end) for end in between.split(" to "))
        step = 10.0 ** -len(shown.partition(".")[2]) if "." in shown else 10.0 ** (len(shown) - len(shown.rstrip("0")))
        coarser = max(abs(right) * 1e-3, step)
        assert left - coarser <= _number(shown) <= right + coarser


def test_a_judgement_reads_as_design_wants_it():
    assert judged("lead time", 4.0, 6.2, 9.0, "wd", TYPED).text() == "6.2 d (4.7 to 8.2)"


def test_thousands_are_grouped_without_a_place_to_break_the_line():
    assert number_text(1234567.0, 0) == "1\u202f234\u202f567"


def test_spans_side_by_side_share_their_unit_and_differ_where_they_differ():
    assert spans_text([(100.0, 130.0), (105.0, 118.0)], "s") == ("1.67–2.17 min", "1.75–1.97 min")
    assert spans_text([(12.2, 13.6), (12.23, 13.58)], "wd") == ("12.20–13.60 d", "12.23–13.58 d")
    assert spans_text([(-5.0, 7.0)], "money", "CHF") == (f"{MINUS}5 to 7 CHF",)
    assert spans_text([(5.0, inf), (5.0, 5.0)], "wd") == ("5.00 to without end d", "5.00 d")
