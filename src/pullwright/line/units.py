"""Typed quantities: from "45 s" to seconds and back.

Whoever types a line file or a form writes a number with its unit. Inside, only floats in seconds, metres,
kilograms and the line's currency are used. What may be typed stands in the table ``DIMENSIONS``.

The arithmetic between text and float is exact (fractions) and rounded once, so "85 %" is the float 0.85 and
``write`` finds a text that ``parse`` reads back to the very same value.
"""

from __future__ import annotations

import difflib
import re
import reprlib
import unicodedata
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal, TypeAlias, cast, overload

import numpy as np

from pullwright.line.dimensions import DIMENSIONS, MONEY, Dimension, Unit

FloatDimension: TypeAlias = Literal[
    "duration", "length", "position", "area", "mass", "speed", "share", "factor", "rate of carrying",
    "money", "cash", "money per hour", "money per year", "money per area per month", "pieces", "count", "number",
]  # fmt: skip
"""The dimensions that parse to a plain float; "span" gives a Span and "per day" a Rate."""

LONGEST_TEXT = 80
REMEMBERED = 4096
"""So many texts are kept with what they come to: in a line, and from one look at it to the next, most are typed again and again."""


class QuantityError(ValueError):
    """What was typed is not a quantity of the wanted dimension.

    ``read`` is what was typed, ``allowed`` what may be typed, ``hint`` the likely slip (may be empty);
    ``str()`` is one sentence with all three.
    """

    def __init__(self, read: str, problem: str, allowed: str, hint: str = "") -> None:
        self.read, self.problem, self.allowed, self.hint = read, problem, allowed, hint
        said = f"{read or 'an empty text'} {problem}".strip()
        super().__init__(f"{said}: {hint} (allowed: {allowed})" if hint else f"{said} (allowed: {allowed})")

    def __reduce__(self) -> tuple[type[QuantityError], tuple[str, str, str, str]]:
        return type(self), (self.read, self.problem, self.allowed, self.hint)


@dataclass(frozen=True, slots=True)
class Amount:
    """A parsed quantity with the key of its unit; ``currency`` is filled for money only."""

    value: float
    unit: str
    currency: str = ""


@dataclass(frozen=True, slots=True)
class Span:
    """A lead time or promise: ``unit`` is "wd" (working days), "cal d" (calendar days) or "s" (working time)."""

    value: float
    unit: Literal["wd", "cal d", "s"]


@dataclass(frozen=True, slots=True)
class Rate:
    """Pieces per period: ``per`` is "wd" (a working day), "week", "month" or "year" of the calendar."""

    value: float
    per: Literal["wd", "week", "month", "year"]


_NUMBER = re.compile(
    r"([+-]?(?:[0-9]{1,3}(?: [0-9]{3})+(?![0-9])|[0-9]+)(?:\.[0-9]*)?|[+-]?\.[0-9]+)((?:[eE][+-]?[0-9]{1,3})?)"
)
_WITH_COMMA = re.compile(r"([+-]?[0-9][0-9.]*,[0-9.,]*[0-9])(.*)", re.DOTALL)
_CURRENCY = re.compile(r"([A-Z]{3})(?![A-Za-z])(.*)")
_KINDS_OF_OBJECT: dict[type, str] = {
    dict: "a table of fields, not a quantity",
    list: "a list, not a quantity",
    tuple: "a list, not a quantity",
}


@overload
def parse(read: object, dimension: Literal["span"], *, currency: str | None = ..., above_one: bool = ...) -> Span: ...
@overload
def parse(
    read: object, dimension: Literal["per day"], *, currency: str | None = ..., above_one: bool = ...
) -> Rate: ...
@overload
def parse(read: object, dimension: FloatDimension, *, currency: str | None = ..., above_one: bool = ...) -> float: ...
@overload
def parse(
    read: object, dimension: str, *, currency: str | None = ..., above_one: bool = ...
) -> float | Span | Rate: ...
def parse(read: object, dimension: str, *, currency: str | None = None, above_one: bool = False) -> float | Span | Rate:
    """What does this typed quantity come to in the units used inside?

    ``read`` is a text or number as it came from a line file or form; ``dimension`` a key of ``DIMENSIONS``;
    ``currency`` the code of the line's currency (None takes any code); ``above_one`` lets a share exceed 1, for
    factors such as "120 %". Returns seconds, metres, square metres, kilograms, pieces, a share of 1, or the line's
    currency (per second, per year, per square metre and year) as a float; a ``Span`` for "span"; a ``Rate`` for
    "per day". Raises QuantityError and nothing else, whatever object comes in (KeyError for an unknown dimension).

    >>> parse("2.5 min", "duration"), parse("85 %", "share"), parse("24 EUR/h", "money per hour", currency="EUR")
    (150.0, 0.85, 0.006666666666666667)
    >>> parse("5 cal d", "span"), parse("18 per d", "per day")
    (Span(value=5.0, unit='cal d'), Rate(value=18.0, per='wd'))
    >>> try:
    ...     parse(98.5, "share")
    ... except QuantityError as error:
    ...     print(error.hint)
    did you mean 0.985 or 98.5 %?
    """
    got = amount(read, dimension, currency=currency, above_one=above_one)
    if dimension == "span":
        return Span(got.value, cast('Literal["wd", "cal d", "s"]', got.unit))
    if dimension == "per day":
        return Rate(got.value, cast('Literal["wd", "week", "month", "year"]', got.unit))
    return got.value


def amount(read: object, dimension: str, *, currency: str | None = None, above_one: bool = False) -> Amount:
    """The same as ``parse``, with the key of the unit and, for money, the currency code that was typed.

    >>> amount("12.40 EUR", "money")
    Amount(value=12.4, unit='money', currency='EUR')
    """
    name = "factor" if above_one and dimension == "share" else dimension
    if type(read) is str and len(read) <= LONGEST_TEXT:
        return _of_text(read, name, currency)
    return _worked_out(read, DIMENSIONS[name], currency)


@lru_cache(REMEMBERED)
def _of_text(text: str, name: str, currency: str | None) -> Amount:
    return _worked_out(text, DIMENSIONS[name], currency)


def _worked_out(read: object, row: Dimension, currency: str | None) -> Amount:
    return _Reading(row, currency, *_as_text(read, row, currency)).amount()


def allowed(dimension: str, currency: str | None = None) -> str:
    """What may be typed for a dimension, in words, for error texts, forms and docs.

    >>> allowed("duration")
    'a duration in s, ms, min or h, such as 45 s, from 0 to 10 years'
    """
    row = DIMENSIONS[dimension]
    *most, last = [unit.name for unit in row.units if unit.name] or [""]
    names = f"{', '.join(most)} or {last}" if most else last
    units = " or ".join(filter(None, ("as a plain number" * ("" in row.spellings), names and f"in {names}")))
    words = (
        f"{row.noun} {units}, such as {row.example}, {row.range}"
        if names
        else f"{row.noun}, such as {row.example}, {row.range}"
    )
    return words.replace(MONEY, currency or "EUR")


def _as_text(read: object, row: Dimension, currency: str | None) -> tuple[str, str]:
    """The text to show and the tidied text to parse; refuses what is neither text nor number."""
    kind = type(read)  # isinstance would ask the object itself, which may lie or fail
    wanted = allowed(row.name, currency)
    if issubclass(kind, str):
        text = str.__str__(cast(str, read))
        shown = text.strip() if text.isprintable() else ascii(text)[1:-1]
        if len(text) > LONGEST_TEXT:
            raise QuantityError(shown[:LONGEST_TEXT] + "...", "is too long for a quantity", wanted)
        return shown, re.sub(r"\s+", " ", text).strip().replace("\N{MINUS SIGN}", "-")
    if issubclass(kind, bool | np.bool_):
        raise QuantityError(str(bool(read)).lower(), "is a yes or no, not a quantity", wanted)
    if not issubclass(kind, np.timedelta64) and issubclass(kind, int | np.integer):
        whole = int.__int__(cast(int, read)) if issubclass(kind, int) else int(cast(int, read))
        if abs(whole) >= 10**30:
            raise QuantityError("a number of more than 30 digits", "is more than is allowed", wanted)
        return str(whole), str(whole)
    if issubclass(kind, float | np.floating):
        number = float.__float__(cast(float, read)) if issubclass(kind, float) else float(cast(float, read))
        if not np.isfinite(number):
            raise QuantityError(repr(number), "is not a number to reckon with", wanted)
        return repr(number), repr(number)
    if read is None:
        raise QuantityError("nothing", "is written here", wanted)
    try:
        shown = reprlib.repr(read)[:LONGEST_TEXT]
        said = _KINDS_OF_OBJECT.get(kind, "neither a text nor a plain number")
    except Exception:  # the repr of a foreign object may fail in any way
        shown, said = "an object", "neither a text nor a plain number"
    raise QuantityError(shown, f"is {said}", wanted)


@dataclass(frozen=True, slots=True)
class _Reading:
    """One typed text on its way to an amount, or to the sentence that says what is wrong with it."""

    row: Dimension
    currency: str | None
    shown: str
    text: str

    def amount(self) -> Amount:
        found = _NUMBER.match(self.text)
        if found is None or _WITH_COMMA.match(self.text):
            raise self._no_number()
        digits = found.group().replace(" ", "")
        typed, code = self._unit(self.text[found.end() :])
        unit = self.row.spellings.get(typed)
        if unit is None:
            raise self._wrong_unit(digits, typed)
        if code and self.currency and code != self.currency:
            hint = f"change it into {self.currency} at the rate that you reckon with"
            raise self._error(f"is in {code}, and this line counts in {self.currency}", hint)
        exact = Fraction(digits) * unit.factor
        if self.row.whole and exact.denominator != 1:
            raise self._error("is not a whole number")
        try:
            value = float(exact)
        except OverflowError:
            value = float("inf") if exact > 0 else float("-inf")
        if value == 0 and exact != 0:
            raise self._error("is too small to be meant")
        if value < self.row.least:
            raise self._error("is below 0" if self.row.least == 0 else "is less than is allowed")
        if value > self.row.most[unit.key]:
            raise self._too_much(digits, exact, unit)
        return Amount(value, unit.key, code)

    def _unit(self, rest: str) -> tuple[str, str]:
        """The unit as the table spells it, and the currency code."""
        typed = rest.strip().replace(MONEY, "$")  # the placeholder of the table is no code that a person may type
        unit = re.sub(r" ?/ ?", "/", re.sub(r"(?:^| ?)\bper (?!cent)", "/", typed))
        unit = re.sub(r"^(?:pieces|piece|pcs|pc)/", "/", unit)
        money = _CURRENCY.match(unit)
        return (MONEY + money.group(2), money.group(1)) if money else (unit, "")

    def _error(self, problem: str, hint: str = "") -> QuantityError:
        return QuantityError(self.shown, problem, allowed(self.row.name, self.currency), hint)

    def _no_number(self) -> QuantityError:
        if not self.text:
            return self._error("is not a quantity")
        if any(sign.isdecimal() and not sign.isascii() for sign in self.text):
            plain = "".join(str(int(sign)) if sign.isdecimal() else sign for sign in self.text)
            return self._error("has digits of another script", f"did you mean {plain}?")
        comma = _WITH_COMMA.match(self.text)
        if comma is None:
            code = re.fullmatch(rf"([A-Z]{{3}}) ?({_NUMBER.pattern})(.*)", self.text)
            hint = f"did you mean {code.group(2)} {code.group(1)}{code.groups()[-1]}?" if code else ""
            return self._error("does not begin with a number", hint)
        digits, rest = comma.groups()
        marks = re.sub("[^.,]", "", digits)
        whole = re.sub("[.,]", "", digits)
        if len(marks) > 1 and len(set(marks)) == 1:
            meant = [whole]
        else:
            cut = max(digits.rfind(","), digits.rfind("."))
            meant = [re.sub("[.,]", "", digits[:cut]) + "." + digits[cut + 1 :]]
            if len(marks) == 1 and len(digits) - cut == 4 and not digits.startswith("0"):
                meant.append(whole)
        return self._error("has a comma in the number", f"did you mean {' or '.join(n + rest for n in meant)}?")

    def _wrong_unit(self, digits: str, typed: str) -> QuantityError:
        row, home = self.row, self.currency or "EUR"
        hint = self._likely_slip(digits, typed).replace(MONEY, home)
        if not typed:
            return self._error("has no currency" if MONEY in row.units[0].name else "has no unit", hint)
        for other in DIMENSIONS.values():
            if typed in other.spellings:
                wanted = f"{row.noun} is wanted, such as {row.example}".replace(MONEY, home)
                return self._error(f"is {other.noun}; {wanted}", hint if typed in row.advice else "")
        return self._error("" if hint else f"is not {row.noun}", hint)

    def _likely_slip(self, digits: str, typed: str) -> str:
        row, home = self.row, self.currency or "EUR"
        if advice := row.advice.get(typed):
            times = {"five": 5, "eight": 8, "dozen": 12, "forty": 40}
            worked = {word: _plain(Fraction(digits) * by) for word, by in times.items()}
            return advice.format(n=digits, currency=home, **worked)
        if not typed:
            return f"did you mean {digits} {row.units[0].name}?"
        if re.match(r"[-–±]|to [0-9]", typed):
            return "for a range give low, likely and high as three quantities"
        if total := self._in_one_unit():
            return f"did you mean {total}?"
        if set(row.spellings) == {""}:
            return f"did you mean {digits}?"
        spoken = "".join(home if unicodedata.category(sign) == "Sc" else sign for sign in typed).lower()
        known = {name.replace(MONEY, home).lower(): unit.name for name, unit in row.spellings.items() if name}
        near = difflib.get_close_matches(spoken, known, 1)
        return f"did you mean {digits} {known[near[0]]}?" if near else ""

    def _in_one_unit(self) -> str:
        """ "1 h 30 min" as "1.5 h", "1:30" as seconds and as minutes; empty where the text is not such a sum."""
        row = self.row
        if row.key == "s" and (clock := re.fullmatch(r"([0-9]+):([0-5][0-9])", self.text)):
            number = int(clock[1]) * 60 + int(clock[2])
            return f"{number} s or {number} min"
        parts = re.findall(rf"({_NUMBER.pattern}) ?([^0-9 ]+)", self.text)
        units = [row.spellings.get(part[-1]) for part in parts]
        if len(parts) < 2 or {unit and unit.key for unit in units} != {row.key}:
            return ""
        total = sum(
            Fraction(part[0].replace(" ", "")) * unit.factor for part, unit in zip(parts, units, strict=True) if unit
        )
        return write(float(total), row.name) if 0 < total <= row.most[row.key] and MONEY not in row.example else ""

    def _too_much(self, digits: str, exact: Fraction, unit: Unit) -> QuantityError:
        if self.row.name not in ("share", "factor"):
            return self._error("is more than is allowed")
        most = self.row.most[unit.key]
        if unit.name:
            return self._error(f"is {self.row.noun} above {100 * most:.0f} %")
        hint = f"did you mean {_plain(exact / 100)} or {digits} %?" if exact <= 100 * most else ""
        return self._error(f"is {self.row.noun} above {most:.0f}", hint)


def write(value: float | Span | Rate, dimension: str, *, currency: str | None = None, above_one: bool = False) -> str:
    """Which text does a form save, so that ``parse`` reads back the very same value?

    Takes what ``parse`` returned (``currency`` is needed for money); returns the shortest exact text over the units
    of the dimension, the larger unit where two are equally short. Raises QuantityError for a value out of range.

    >>> write(150.0, "duration"), write(45.0, "duration"), write(0.985, "share"), write(12.4, "money", currency="EUR")
    ('2.5 min', '45 s', '98.5 %', '12.40 EUR')
    >>> write(Span(3, "wd"), "span"), write(Rate(90, "week"), "per day")
    ('3 d', '90 /week')
    """
    row = DIMENSIONS["factor" if above_one and dimension == "share" else dimension]
    number: object = value
    keys = {unit.key for unit in row.units}
    key = row.key if len(keys) == 1 else ""
    if isinstance(value, Span):
        number, key = value.value, value.unit
    elif isinstance(value, Rate):
        number, key = value.value, value.per
    shown, text = _as_text(number, row, currency)
    if key not in keys or isinstance(number, str):
        raise QuantityError(repr(value), f"is no value of {row.noun} to write", allowed(row.name, currency))
    if MONEY in row.units[0].name and not currency:
        raise QuantityError(shown, "has no currency", allowed(row.name), "give the currency of the line")
    texts = []
    for unit in row.units:
        if unit.key == key and unit.written:
            digits = _shortest(float(text), unit.factor)
            if MONEY in unit.name and re.fullmatch(r"-?[0-9]+\.[0-9]", digits):
                digits += "0"
            texts.append((len(digits), -unit.factor, f"{digits} {unit.name}".strip()))
    best = min(texts)[2].replace(MONEY, currency or "")
    amount(best, row.name, currency=currency)
    return best


def _shortest(value: float, factor: Fraction) -> str:
    """The fewest digits that come back to the same float; 17 are always enough for a double."""
    exact = Fraction(value) / factor
    for digits in range(1, 18):
        near = Context(prec=digits).divide(Decimal(exact.numerator), Decimal(exact.denominator))
        if float(Fraction(near) * factor) == value:
            return _plain(Fraction(near))
    raise AssertionError(f"no text of 17 digits comes back to {value!r}")


def _plain(number: Fraction) -> str:
    """A fraction as decimal digits, without an exponent where that stays readable."""
    text = Context(prec=20).divide(Decimal(number.numerator), Decimal(number.denominator)).normalize()
    return format(text, "f") if -8 < text.adjusted() < 18 else format(text, "e")


def units_table() -> str:
    """All dimensions with their units and examples as a table for the docs (docs/units.md is checked against it)."""
    lines = ["| dimension | inside | may be typed | for example | range |", "|---|---|---|---|---|"]
    for row in DIMENSIONS.values():
        names = ", ".join(f"`{unit.name}`" if unit.name else "no unit" for unit in row.units)
        keys = ", ".join(f"`{key}`" for key in dict.fromkeys(unit.key for unit in row.units))
        cells = (row.name, keys, names, f"`{row.example}`", row.range)
        lines.append(f"| {' | '.join(cells)} |".replace(MONEY, "EUR"))
    return "\n".join(lines) + "\n"
