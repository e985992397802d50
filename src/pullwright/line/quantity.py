"""A quantity as a person gives it in a line file: a text, a judgement, readings, a study or a count.

Two things are kept apart. *Variation* (`cv`, `distribution`): the same step takes a different time from piece to piece. *Ignorance*
(`low`/`likely`/`high`, `readings`, `study`, `count` of `of`): we do not know the mean better than that.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from pydantic_core import PydanticCustomError

from pullwright.line import units
from pullwright.line.dimensions import DIMENSIONS
from pullwright.line.distributions import DISTRIBUTIONS, Distribution, unfit
from pullwright.line.faults import likely_slip, listed, shown
from pullwright.line.words import read_name, read_text

SubPath = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI units (or in `unit`, where the calendar is needed to go on) with what is known of it.

    `value` is the text's value, the likely one of a judgement, the mean of the readings, or count / of (nan for a study, whose readings stand elsewhere in
    the file). `given` tells which of them.
    """

    value: float
    unit: str
    given: Literal["text", "judged", "readings", "study", "counts"] = "text"
    low: float | None = None
    high: float | None = None
    readings: tuple[float, ...] = ()
    study: str | None = None
    count: int | None = None
    of: int | None = None
    cv: Quantity | None = None
    distribution: Distribution | None = None
    origin: str = ""
    """What it was written down from: "rows 2 to 212 of shop.csv"."""
    field_of: SubPath = field(default=(), compare=False)
    """Where the value itself stands inside the field: ("mean",) of `{mean: 45 s, cv: 0.2}`."""


def measure(read: Any, dimension: str, currency: str | None) -> tuple[float, str]:
    """Read a typed text as (value, unit key); spans and rates keep the unit that needs the calendar.

    >>> measure("90 /week", "per day", None), measure("2.5 min", "duration", None)
    ((90.0, 'pieces/week'), (150.0, 's'))
    """
    parsed = units.parse(read, dimension, currency=currency or "")
    if isinstance(parsed, units.Span):
        return parsed.value, parsed.unit
    if isinstance(parsed, units.Rate):
        return parsed.value, f"pieces/{parsed.per}"
    return parsed, DIMENSIONS[dimension].key


class _Slips:
    """Collects what is wrong with one quantity, so that all of it is said at once."""

    def __init__(self) -> None:
        self.found: list[tuple[SubPath, str, str, str, str]] = []

    def add(self, path: SubPath, read: object, allowed: str, hint: str = "", message: str = "") -> None:
        self.found.append((path, shown(read), allowed, hint, message))

    def number(self, path: SubPath, read: object, dimension: str, currency: str | None) -> tuple[float, str] | None:
        try:
            return measure(read, dimension, currency)
        except units.QuantityError as error:
            self.add(path, read, error.allowed, error.hint, str(error))
            return None

    def raise_any(self) -> None:
        if self.found:
            raise PydanticCustomError(
                "quantity", "{said}", {"said": self.found[0][4] or "this is not a quantity", "faults": self.found}
            )


FROM = "from"
"""The part of a quantity that says what it was written down from."""
_FORMS = ("low", "likely", "high"), ("readings",), ("study",), ("count", "of")
_READ = ("readings", "study")


def read_quantity(
    read: Any,
    dimension: str,
    *,
    varies: bool,
    counted: bool,
    currency: str | None,
    plain: bool = False,
    meant: bool = True,
) -> Quantity:
    """Turn what stands in a field into a quantity, or say everything that is wrong with it.

    `varies`: the field may carry a cv and a distribution. `counted`: it may be given as a count of so many. `plain`: only a number
    with its unit may stand here. `meant`: the value may stand behind the word `mean`.
    """
    slips = _Slips()
    if not isinstance(read, dict) or plain:
        number = slips.number((), read, dimension, currency)
        slips.raise_any()
        assert number is not None
        return Quantity(*number)
    forms = [*_FORMS[:2], *([("study",)] if dimension == "duration" else []), *([_FORMS[3]] if counted else [])]
    names = (
        ["mean"] * meant + ["cv", "distribution"] * varies + [name for form in forms for name in form] + [FROM] * meant
    )
    for key in read:
        if key not in names and not (key == "of" and "count" in read):
            slips.add(
                (key,),
                key,
                listed(names),
                likely_slip(str(key), names),
                _NOT_HERE.get(key) or f"{shown(key)!r} is not a part of a quantity; allowed: {listed(names)}",
            )
    if slips.found and not any(name in read for name in names if name not in ("cv", "distribution", FROM)):
        slips.raise_any()  # the value was probably meant by what could not be understood
    quantity = _base(read, dimension, forms, meant, currency, slips)
    cv = distribution = None
    if varies and "cv" in read:
        try:
            cv = read_quantity(read["cv"], "factor", varies=False, counted=False, currency=None)
        except PydanticCustomError as error:
            slips.found += [(("cv", *path), *rest) for path, *rest in _inner(error)]
    if varies and "distribution" in read:
        distribution = read["distribution"]
        if distribution not in DISTRIBUTIONS:
            hint = likely_slip(str(distribution), DISTRIBUTIONS)
            slips.add(("distribution",), distribution, listed(DISTRIBUTIONS), hint)
        elif quantity is not None and (
            said := unfit(distribution, None if cv is None else cv.value, read=quantity.given in _READ)
        ):
            slips.add(("distribution",), distribution, "a distribution and a cv that go together", "", said)
    origin = ""
    if meant and FROM in read:
        try:
            origin = read_text(read[FROM])
        except PydanticCustomError as error:
            slips.found += [((FROM, *path), *rest) for path, *rest in _inner(error)]
    slips.raise_any()
    assert quantity is not None
    return replace(quantity, cv=cv, distribution=distribution, origin=origin)


_NOT_HERE = {
    "study": "a study holds times; this field is none",
    "count": "only a share can be given as a count of so many",
    "of": "only a share can be given as a count of so many",
    "cv": "this value does not vary from piece to piece, so that it has no cv",
    "distribution": "this value does not vary from piece to piece, so that it has no distribution",
}


def _inner(error: PydanticCustomError) -> list[Any]:
    return list((error.context or {})["faults"])


def _base(
    read: dict[str, Any],
    dimension: str,
    allowed: list[tuple[str, ...]],
    meant: bool,
    currency: str | None,
    slips: _Slips,
) -> Quantity | None:
    """Read the value itself: exactly one of the forms in which it may be given."""
    possible = [*allowed, *([("mean",)] if meant else [])]
    forms = [form for form in possible if any(key in read for key in form)]
    if len(forms) != 1:
        wanted = "one of: " + "; ".join(", ".join(form) for form in possible)
        what = "gives its value in more than one way" if forms else "gives no value"
        slips.add((), ", ".join(str(key) for key in read) or "{}", wanted, "", f"this {what}; allowed: {wanted}")
        return None
    form = forms[0]
    if form == ("mean",):
        return _mean(read["mean"], dimension, ("count", "of") in allowed, currency, slips)
    if form == ("low", "likely", "high"):
        return _judged(read, dimension, currency, slips)
    if form == ("readings",):
        return _readings(read["readings"], dimension, currency, slips)
    if form == ("study",):
        try:
            name = read_name(read["study"])
        except PydanticCustomError:
            slips.add(("study",), read["study"], "the name of a study, such as T-014")
            return None
        return Quantity(float("nan"), DIMENSIONS[dimension].key, "study", study=name, field_of=("study",))
    return _counted(read, slips)


def _mean(mean: Any, dimension: str, counted: bool, currency: str | None, slips: _Slips) -> Quantity | None:
    if isinstance(mean, dict):
        try:
            inner = read_quantity(mean, dimension, varies=False, counted=counted, currency=currency, meant=False)
        except PydanticCustomError as error:
            slips.found += [(("mean", *path), *rest) for path, *rest in _inner(error)]
            return None
        return replace(inner, field_of=("mean", *inner.field_of))
    number = slips.number(("mean",), mean, dimension, currency)
    return None if number is None else Quantity(*number, field_of=("mean",))


def _judged(read: dict[str, Any], dimension: str, currency: str | None, slips: _Slips) -> Quantity | None:
    found: dict[str, tuple[float, str]] = {}
    for key in ("low", "likely", "high"):
        if key not in read:
            slips.add(
                (),
                listed(map(str, read)),
                "low, likely and high together",
                "",
                f"{key!r} is missing; a judgement gives low, likely and high",
            )
        elif (number := slips.number((key,), read[key], dimension, currency)) is not None:
            found[key] = number
    if len(found) < 3:
        return None
    (low, unit), (likely, _), (high, _) = found["low"], found["likely"], found["high"]
    if len({unit for _, unit in found.values()}) > 1:
        slips.add(
            ("low",),
            read["low"],
            "low, likely and high in units of one kind",
            "",
            "low, likely and high are given in units that do not go together",
        )
    elif not low <= likely <= high:
        order = f"{read['low']}, {read['likely']}, {read['high']}"
        slips.add(
            ("low",),
            order,
            "low ≤ likely ≤ high",
            "are two of them swapped?",
            f"low, likely, high read {order}: they must not fall",
        )
    return Quantity(likely, unit, "judged", low=low, high=high, field_of=("likely",))


def _readings(read: Any, dimension: str, currency: str | None, slips: _Slips) -> Quantity | None:
    if not isinstance(read, list) or not read:
        slips.add(("readings",), read, "a list of readings, such as [41 s, 44 s, 39 s]")
        return None
    numbers = [slips.number(("readings", index), one, dimension, currency) for index, one in enumerate(read)]
    kept = [number for number in numbers if number is not None]
    if len(kept) < len(numbers):
        return None
    if len({unit for _, unit in kept}) > 1:
        slips.add(("readings",), read, "readings in units of one kind")
        return None
    values = tuple(value for value, _ in kept)
    return Quantity(sum(values) / len(values), kept[0][1], "readings", readings=values, field_of=("readings",))


def _counted(read: dict[str, Any], slips: _Slips) -> Quantity | None:
    numbers: dict[str, int] = {}
    for key in ("count", "of"):
        if key not in read:
            slips.add(
                (),
                listed(map(str, read)),
                "count and of together",
                "",
                f"{key!r} is missing; a count says how many of how many",
            )
        elif (number := slips.number((key,), read[key], "count", None)) is not None:
            numbers[key] = int(number[0])
    if len(numbers) < 2:
        return None
    if numbers["of"] < 1 or numbers["count"] > numbers["of"]:
        slips.add(
            ("count",),
            f"{numbers['count']} of {numbers['of']}",
            "count ≤ of, and of at least 1",
            "are count and of swapped?",
            f"read {numbers['count']} of {numbers['of']}: allowed is count ≤ of, and of at least 1",
        )
        return None
    return Quantity(
        numbers["count"] / numbers["of"],
        "share",
        "counts",
        count=numbers["count"],
        of=numbers["of"],
        field_of=("count",),
    )


def walk(model: Any, path: SubPath = ()) -> Iterator[tuple[SubPath, Quantity]]:
    """Give every quantity below a model with its path."""
    if isinstance(model, Quantity):
        yield path, model
    elif isinstance(model, tuple):
        for index, item in enumerate(model):
            yield from walk(item, (*path, index))
    elif hasattr(model, "model_fields_set"):
        for name in type(model).model_fields:
            yield from walk(getattr(model, name), (*path, name))
    elif isinstance(model, dict):
        for key, item in model.items():
            yield from walk(item, (*path, key))
