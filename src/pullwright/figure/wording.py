"""How a number reads: 3 significant digits, a readable unit, the interval in the same unit and decimals."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import inf, isinf
from typing import NamedTuple

from pullwright.figure.units import Rung, unit_named

GROUP = "\u202f"  # narrow no-break space between thousands
MINUS = "\u2212"
WITHOUT_END = "without end"
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_USUAL = (1e-6, 1e15)  # outside these a number is written with a power of ten


class Parts(NamedTuple):
    """A figure in three inks: the number, its unit (may be empty), its interval (empty where there is none)."""

    value: str
    unit: str
    interval: str


def digits_place(size: float, digits: int) -> int:
    """How many decimals show `size` with so many significant digits? Negative means tens, hundreds and so on.

    >>> digits_place(6.234, 3), digits_place(999.7, 3), digits_place(12345.0, 3)
    (2, -1, -2)
    """
    if size == 0 or isinf(size):
        return 0
    exponent = int(f"{abs(size):.{digits - 1}e}".partition("e")[2])  # after rounding: 999.7 has the digits of 1000
    return digits - 1 - exponent


def number_text(value: float, place: int) -> str:
    """A number rounded at a decimal place, thousands grouped; infinite reads "without end".

    >>> number_text(12345.0, -2).replace(GROUP, "_"), number_text(-0.04, 1), number_text(float("inf"), 0)
    ('12_300', '0.0', 'without end')
    """
    if isinf(value):
        return WITHOUT_END if value > 0 else f"{MINUS}{WITHOUT_END}"
    if value != 0 and not _USUAL[0] <= abs(value) < _USUAL[1] and round(value, place) != 0:
        return _power_of_ten(value)
    text = f"{round(abs(value), place):,.{max(place, 0)}f}".replace(",", GROUP)
    is_zero = not any(digit in text for digit in "123456789")
    return text if value >= 0 or is_zero else MINUS + text


def percent(share: float) -> str:
    """A share in words: "31 %"; one decimal below ten, nothing where it is not known (nan).

    >>> percent(0.314), percent(0.042), percent(0.0), percent(float("nan"))
    ('31 %', '4.2 %', '0 %', '')
    """
    if share != share:
        return ""
    return f"{share * 100:.1f} %" if 0 < share < 0.0995 else f"{share * 100:.0f} %"


def _power_of_ten(value: float) -> str:
    mantissa, _, exponent = f"{abs(value):.2e}".partition("e")
    sign = MINUS if value < 0 else ""
    return f"{sign}{_plain(mantissa)} × 10{str(int(exponent)).translate(_SUPERSCRIPT)}"


def _plain(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text and "×" not in text else text


def _place_of_value(value: float, rung: Rung) -> int:
    place = digits_place(value, 3)
    if rung.text == "%":  # a yield of 99.97 % must not read as 100 %
        near = place
        while value < 100 and near < 4 and round(value, max(near, 0)) >= 100:
            near = max(near, 0) + 1
        if round(value, max(near, 0)) < 100:  # what four decimals do not tell from 100 % is that
            place = near
    return place


@lru_cache(maxsize=16_384)
def parts(value: float, low: float, high: float, unit: str, currency: str = "EUR") -> Parts:
    """How does this read, in three inks?

    Parameters: `value` and its interval `low` to `high` in `unit` (equal ends: certain); `currency` printed for money.
    Result: the three texts; at most 3 significant digits, and no decimals that the width of the interval does
    not carry beyond its second digit (JCGM 100:2008, 7.2.6), with at least two digits of the value kept.

    >>> parts(6.23, 4.88, 7.81, "wd")
    Parts(value='6.2', unit='d', interval='4.9 to 7.8')
    >>> parts(150.0, 150.0, 150.0, "s")
    Parts(value='2.5', unit='min', interval='')
    """
    table = unit_named(unit)
    finite = [abs(size) for size in (low, high) if not isinf(size)]
    size = value if value != 0 and not isinf(value) else max(finite, default=0.0)
    rung = table.rung_for(size)
    unit_text = rung.text.replace("{money}", currency)
    value, low, high = value / rung.scale, low / rung.scale, high / rung.scale
    if low != high:
        shown, between = _with_interval(value, low, high, rung, unit)
        if between:
            if isinf(value) and unit_text:  # the unit stands beside the end that is a number
                first, _, last = between.partition(" to ")
                beside = f"{first} {unit_text} to {last}" if isinf(high) else f"{between} {unit_text}"
                return Parts(shown, "", beside)
            return Parts(shown, unit_text, between)
    if isinf(value):
        return Parts(number_text(value, 0), "", "")
    shown = _plain(number_text(value, _place_of_value(value, rung)))
    return Parts(shown, rung.one if rung.one and shown == "1" else unit_text, "")


def _with_interval(value: float, low: float, high: float, rung: Rung, unit: str) -> tuple[str, str]:
    width = high - low
    finite = [end for end in (low, high) if not isinf(end)]
    size = value if value != 0 and not isinf(value) else max(finite, key=abs, default=0.0)
    carried = digits_place(width, 2) if 0 < width < inf else digits_place(size, 2)
    place = min(_place_of_value(size, rung), max(carried, digits_place(size, 2) if size else carried))
    if unit == "cards":  # there are no parts of a card
        place = max(place, 0)
    # An end much larger than the value keeps four digits at most; otherwise the ends share the value's decimals.
    ends = [number_text(end, min(place, digits_place(end, 4)) if end else place) for end in (low, high)]
    shown = number_text(value, place)
    if ends[0] == ends[1] == shown:
        return shown, ""
    return shown, f"{ends[0]} to {ends[1]}"


def spans_text(spans: Sequence[tuple[float, float]], unit: str, currency: str = "EUR") -> tuple[str, ...]:
    """How do intervals read side by side? All in one readable unit, each with the two digits that its width carries.

    >>> spans_text([(4.88, 7.81), (5.21, 7.18)], "wd")
    ('4.9–7.8 d', '5.2–7.2 d')
    """
    ends = [abs(end) for span in spans for end in span if not isinf(end)]
    rung = unit_named(unit).rung_for(max(ends, default=0.0))
    unit_text = rung.text.replace("{money}", currency)
    for digits in (2, 3, 4):  # more where they would otherwise read alike
        texts = [_span(low / rung.scale, high / rung.scale, digits) for low, high in spans]
        if len(set(texts)) == len(set(spans)):
            break
    return tuple(f"{text} {unit_text}".strip() for text in texts)


def _span(low: float, high: float, digits: int) -> str:
    width = high - low
    size = max((abs(end) for end in (low, high) if not isinf(end)), default=0.0)
    place = digits_place(width, digits) if 0 < width < inf else digits_place(size, 3)
    texts = [number_text(end, place) for end in (low, high)]
    if texts[0] == texts[1]:
        return texts[0]
    return ("–" if low >= 0 and high < inf else " to ").join(texts)
