"""Promises that a setting has to keep, as the line file gives them or as a person types them."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pullwright.flow.givens import Givens
from pullwright.forecast.money.lacking import lacking_for_cash
from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.measures import MEASURES, Measure
from pullwright.line import Line
from pullwright.line.faults import likely_slip, listed, shown
from pullwright.line.units import QuantityError, Rate, Span, parse


@dataclass(frozen=True, slots=True)
class Promise:
    """The mean of a measure over runs is at least `value` (at most, for measures where less is better).

    Parameters: `measure`, a name in `MEASURES`; `of`, a product, empty for all; `value`, in the unit of the measure (shares of 1, pieces a working day,
    working days); `zone`, by how much a setting may miss it and still be taken for keeping it (None: one point of a share, 1 % of
    anything else); `within`, working days, for on time.
    """

    measure: str
    value: float
    of: str = ""
    zone: float | None = None
    within: float | None = None

    @property
    def give(self) -> float:
        """By how much it may be missed."""
        if self.zone is not None:
            return self.zone
        return 0.01 if self.measure in _SHARES else 0.01 * abs(self.value)


_SHARES = ("on time", "dry")


def promises_of(line: Line) -> tuple[Promise, ...]:
    """What does the line file promise: the wished share of orders within the promised time, for each product that has both.

    >>> promises_of(Line.read("examples/hand_pump.yaml"))[0]
    Promise(measure='on time', value=0.95, of='P-32', zone=None, within=8.0)
    """
    givens = Givens(line)
    return tuple(
        Promise("on time", one.on_time.value, one.name, within=givens.span_days(("products", p, "promise")).value)
        for p, one in enumerate(line.products)
        if one.on_time is not None and one.promise is not None
    )


def read_promise(text: str, line: Line) -> tuple[Promise, ...]:
    """Which promises are meant by a text: `on time 95 %`, `on time of pump 95 % within 2 d`, `throughput 40 /d`, `lead time 3 d`, `dry 5 %`?

    "on time" without a product is a promise for each of them; without `within` it takes the time in the line file. `give or take 0.5 %` at the
    end says by how much it may be missed. Errors: CannotSearch.

    >>> line = Line.read("examples/hand_pump.yaml")
    >>> read_promise("on time of P-32 90 % within 2 d give or take 0.5 %", line)
    (Promise(measure='on time', value=0.9, of='P-32', zone=0.005, within=2.0),)
    >>> read_promise("throughput 40 /d", line)
    (Promise(measure='throughput', value=40.0, of='', zone=None, within=None),)
    """
    words = " ".join(text.split())
    name = next((one for one in _TYPED if words == one or words.startswith(one + " ")), None)
    if name is None:
        raise CannotSearch(f"{shown(words)!r} is no promise; allowed: {_ALLOWED}")
    rest = words[len(name) :].strip()
    rest, _, give = rest.partition(" give or take ")
    rest, _, within_text = rest.partition(" within ")
    products = [one.name for one in line.products]
    of = ""
    if rest.startswith("of "):
        of = next((one for one in sorted(products, key=len, reverse=True) if rest[3:].startswith(one + " ")), "")
        if not of:
            read = re.sub(r" [-+0-9.][^a-z]*(/.*|d)?$", "", rest[3:])
            slip = likely_slip(read, products)
            raise CannotSearch(
                f"{shown(read)!r} is no product of {line.line}; allowed: {listed(products)}"
                + (f" ({slip})" if slip else "")
            )
        rest = rest[3 + len(of) :].strip()
    value = _typed(rest, name, line)
    zone = _typed(give, name, line) if give else None
    if name != "on time":
        if within_text:
            raise CannotSearch(f"{shown(words)!r}: `within` goes with `on time` only")
        return (Promise(name, value, of, zone),)
    within = _typed(within_text, "lead time", line) if within_text else None
    return tuple(Promise(name, value, one, zone, _within(line, one, within)) for one in ([of] if of else products))


_TYPED = {"on time": "share", "throughput": "per day", "lead time": "span", "dry": "share"}
_ALLOWED = "`on time 95 %`, `on time of PRODUCT 95 % within 2 d`, `throughput 40 /d`, `lead time 3 d`, `dry 5 %`"


def _typed(text: str, name: str, line: Line) -> float:
    """A share, pieces a working day, or working days."""
    dimension = _TYPED[name]
    try:
        read = parse(text, dimension)
    except QuantityError as error:
        raise CannotSearch(f"{name}: {error}") from None
    calendar = line.work_calendar
    if isinstance(read, Rate):
        return calendar.per_working_day(read.value, read.per)
    if isinstance(read, Span):
        day = Givens(line).day_seconds().value
        each = {"wd": 1.0, "s": 1 / day, "cal d": calendar.working_days_per_year() / 365.2425}
        return read.value * each[read.unit]
    return read


def _within(line: Line, product: str, within: float | None) -> float:
    if within is not None:
        return within
    p = next(k for k, one in enumerate(line.products) if one.name == product)
    if line.products[p].promise is None:
        raise CannotSearch(
            f"how soon is {product} promised? Write `on time of {product} 95 % within 2 d`, or `promise` into the line file"
        )
    return Givens(line).span_days(("products", p, "promise")).value


def check_promises(line: Line, promises: Sequence[Promise], measures: Mapping[str, Measure] = MEASURES) -> None:
    """CannotSearch where promises cannot be measured, cannot be kept by any line, or contradict one another."""
    if not promises:
        raise CannotSearch(
            f"{line.line} has no promises: write `promise` and `on_time` for its products, or say some here: {_ALLOWED}"
        )
    seen: dict[tuple[str, str, float | None], Promise] = {}
    givens = Givens(line)
    rates = {one.name: givens.per_day(("products", p, "demand")).value for p, one in enumerate(line.products)}
    for one in promises:
        said = promise_words(one, measures)
        if one.measure not in measures:
            raise CannotSearch(f"{one.measure!r} is not measured; allowed: {listed(measures)}")
        measure = measures[one.measure]
        if one.of and one.of not in rates:
            raise CannotSearch(f"{said}: {one.of} is no product of {line.line}; allowed: {listed(rates)}")
        if not math.isfinite(one.value) or one.value < 0 or (measure.share and one.value > 1):
            raise CannotSearch(
                f"{said}: {one.value:g} was read; allowed: {'a share from 0 to 1' if measure.share else 'a number from 0'}"
            )
        if not 0 < one.give < math.inf:
            raise CannotSearch(
                f"{said}: give or take {one.give:g} was read; it has to be above 0, or no number of runs would tell"
            )
        if measure.share and (one.value - one.give <= 0 if measure.at_least else one.value + one.give >= 1):
            raise CannotSearch(
                f"{said}, give or take {100 * one.give:g} points: every setting keeps that; ask for more, or give less"
            )
        if one.measure == "on time" and (one.within is None or not one.of or not 0 <= one.within < math.inf):
            raise CannotSearch("a promise to be on time names a product and how many working days it has")
        if one.measure == "dry" and measure is MEASURES["dry"] and (lacking := lacking_for_cash(line)):
            raise CannotSearch(f"{said}: {'; '.join(one.words for one in lacking)}")
        if one.measure == "throughput" and one.value > (most := rates[one.of] if one.of else sum(rates.values())):
            raise CannotSearch(
                f"{said} cannot be kept: customers order {most:.4g} a working day, and no more can be shipped"
            )
        key = (one.measure, one.of, one.within)
        if key in seen and seen[key] != one:
            raise CannotSearch(
                f"two promises contradict each other: {promise_words(seen[key], measures)}, and {said}; keep one of them"
            )
        seen[key] = one


def promise_words(one: Promise, measures: Mapping[str, Measure] = MEASURES) -> str:
    """A promise in words.

    >>> promise_words(Promise("on time", 0.95, "pump", within=2.0)), promise_words(Promise("lead time", 3.0))
    ('on time of pump at least 95 % within 2 d', 'lead time at most 3 d')
    """
    measure = measures.get(one.measure)
    if measure is None:
        return f"{one.measure} {one.value:g}"
    said = f"{one.measure}{f' of {one.of}' if one.of else ''} at {'least' if measure.at_least else 'most'} {measure.shown(one.value)}"
    return said + (f" within {one.within:.4g} d" if one.within is not None else "")
