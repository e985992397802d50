"""Knobs as a person types them: `cards of weld base 1..12`, `set-up of hone bore 50 %..100 % by 10 %`, `room before paint 7, 14, 28`."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.kinds import KINDS, Kind
from pullwright.forecast.search.knob import MOST_VALUES, Knob, check_place, value_shown
from pullwright.forecast.search.knobs_of import knobs_of
from pullwright.line import Line
from pullwright.line.faults import listed, shown
from pullwright.line.units import QuantityError, parse


def read_knob(text: str, line: Line) -> Knob:
    """Which knob is meant by a text? Without values it takes the sensible range of `knobs_of`.

    Errors: CannotSearch, saying what may be turned in this line, or how values are written.

    >>> line = Line.read("examples/hand_pump.yaml")
    >>> read_knob("room before weld base 14..42 by 14", line)
    Knob(kind='room before', where='weld base', values=(14, 28, 42))
    >>> write_knob(read_knob("set-up of hone bore 50 %, 100 %", line))
    'set-up of hone bore 50 %..100 % by 50 %'
    """
    words = " ".join(text.split())
    kind, rest = _kind(words)
    where, values = _place(line, kind, rest)
    return Knob(kind.key, where, read_values(values, kind, line) if values else _usual(line, kind, where))


def _kind(words: str) -> tuple[Kind, str]:
    for kind in sorted(KINDS.values(), key=lambda kind: -len(kind.words)):
        if words == kind.words or words.startswith(kind.words + " "):
            return kind, words[len(kind.words) :].strip()
    begins = listed((kind.words for kind in KINDS.values()), 20)
    raise CannotSearch(f"{shown(words)!r} names nothing that can be turned; begin with one of: {begins}")


def _place(line: Line, kind: Kind, rest: str) -> tuple[str, str]:
    """The longest name of a place that the text begins with, and the values after it."""
    for name in sorted(kind.places(line), key=len, reverse=True):
        if rest == name or rest.startswith(name + " ") or name == "":
            return name, rest[len(name) :].strip()
    named = re.sub(r"\s+[-+0-9][-+0-9 .,%a-zA-Z]*$", "", rest)
    check_place(line, kind.key, named)
    raise CannotSearch(f"{shown(rest)!r} was read after {kind.words!r}; write a place and its values")


def _usual(line: Line, kind: Kind, where: str) -> tuple[float, ...]:
    one = next(one for one in knobs_of(line) if one.kind == kind.key and one.where == where)
    return one.knob().values


def read_values(text: str, kind: Kind, line: Line) -> tuple[float, ...]:
    """The values of a list (`7, 14, 28`) or a range (`1..12`, `10..50 by 5`)."""
    step_text: str | None
    range_text, _, step_text = text.partition(" by ")
    ends = range_text.split("..")
    if len(ends) == 2:
        low, high = (_number(end, kind, line) for end in ends)
        step = _number(step_text, kind, line) if step_text else Fraction(1, 10) if kind.unit == "times" else Fraction(1)
        if step <= 0 or low > high:
            raise CannotSearch(f"{shown(text)!r} holds no values: write the smaller end first, and a step above 0")
        if (many := int((high - low) / step)) >= MOST_VALUES:
            raise CannotSearch(
                f"{shown(text)!r} holds {many + 1:,} values; at most {MOST_VALUES:,} are tried: take larger steps"
            )
        return tuple(float(low + k * step) for k in range(many + 1))
    if step_text or len(ends) > 2:
        raise CannotSearch(f"{shown(text)!r} was read; write values as 1..12, 10..50 by 5, or 7, 14, 28")
    return tuple(float(_number(one, kind, line)) for one in text.split(","))


def _number(text: str, kind: Kind, line: Line) -> Fraction:
    words = text.strip()
    try:
        if kind.unit == "times":
            return Fraction(repr(parse(words, "factor")))
        if kind.unit == "money":
            typed = f"{words} {line.currency}" if re.fullmatch(r"[-+0-9 .]+", words) else words
            return Fraction(repr(parse(typed, "cash", currency=line.currency)))
        return Fraction(words.replace(" ", ""))
    except (QuantityError, ValueError, ZeroDivisionError):
        allowed = {"times": "a share of today's, such as 50 % or 0.5", "money": f"money, such as 5 000 {line.currency}"}
        raise CannotSearch(f"{shown(words)!r} was read; wanted: {allowed.get(kind.unit, 'a whole number')}") from None


def write_knob(knob: Knob) -> str:
    """The text of a knob, which `read_knob` reads back: a range where the values are evenly spaced, a list where they are not."""
    values = [Fraction(repr(value)) for value in knob.values]
    steps = {b - a for a, b in pairwise(values)}
    said = [value_shown(knob.unit, value) for value in knob.values]
    if len(steps) != 1:
        return f"{knob.name} {', '.join(said)}"
    step = float(next(iter(steps)))
    usual = step == 1 and knob.unit != "times"
    return f"{knob.name} {said[0]}..{said[-1]}" + ("" if usual else f" by {value_shown(knob.unit, step)}")
