"""What may be typed for each dimension: the one table of units, their factors, ranges and likely slips.

The parser, the error texts, the JSON Schema and docs/units.md all come from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

MONEY = "¤"  # stands for a currency code in the unit spellings of the table


@dataclass(frozen=True, slots=True)
class Unit:
    """One accepted unit: its written name, the factor to the unit ``key``, and other accepted spellings."""

    name: str
    factor: Fraction
    key: str
    also: tuple[str, ...] = ()
    written: bool = True


@dataclass(frozen=True, slots=True)
class Dimension:
    """One row of the table: what may be typed for one dimension."""

    name: str
    noun: str
    units: tuple[Unit, ...]
    example: str
    range: str
    most: Mapping[str, float]  # by key of the unit
    least: float = 0.0
    whole: bool = False
    advice: Mapping[str, str] = field(default_factory=dict)  # refused spelling -> what to write instead

    @property
    def key(self) -> str:
        """Key of the unit inside ("s", "m2", "money"); the first one where a dimension has several."""
        return self.units[0].key

    @property
    def spellings(self) -> dict[str, Unit]:
        """Every accepted spelling with its unit."""
        return {spelling: unit for unit in self.units for spelling in (unit.name, *unit.also)}


def _in(key: str, *rows: tuple[str, str, str], written: bool = True) -> tuple[Unit, ...]:
    return tuple(
        Unit(name, Fraction(factor), key, tuple(filter(None, also.split(", "))), written) for name, factor, also in rows
    )


_TIME = _in(
    "s",
    ("s", "1", "sec, secs, second, seconds"),
    ("ms", "1/1000", "millisecond, milliseconds"),
    ("min", "60", "mins, minute, minutes"),
    ("h", "3600", "hr, hrs, hour, hours"),
)
_LENGTH = _in(
    "m",
    ("m", "1", "metre, metres, meter, meters"),
    ("um", "1/1000000", "µm, μm, micrometre, micrometres"),
    ("mm", "1/1000", "millimetre, millimetres"),
    ("cm", "1/100", "centimetre, centimetres"),
    ("km", "1000", "kilometre, kilometres"),
)
_SHARE = (*_in("share", ("%", "1/100", "percent, per cent")), *_in("share", ("", "1", ""), written=False))
_FACTOR = (*_in("1", ("%", "1/100", "percent, per cent")), *_in("1", ("", "1", ""), written=False))
_PIECES = "piece, pcs, pc"
_TEN_YEARS = 10 * 365.25 * 86400
_HOURS = "a working day is as long as the calendar says, so write a duration in hours, such as "
_NO_DAYS = _HOURS + "{eight} h for days of 8 h"
_NO_WEEKS_OF_WORK = _HOURS + "{forty} h for weeks of 40 h"
_NO_WEEKS = "say which days are meant: {five} d are working days, {n} cal weeks are calendar weeks"
_NO_MONTHS = "months differ in length: write working days such as 21 d, or calendar days such as 30 cal d"


DIMENSIONS: dict[str, Dimension] = {
    row.name: row
    for row in (
        Dimension(
            "duration",
            "a duration",
            _TIME,
            "45 s",
            "from 0 to 10 years",
            {"s": _TEN_YEARS},
            advice=dict.fromkeys(("d", "day", "days", "wd", "working day", "working days"), _NO_DAYS)
            | dict.fromkeys(("week", "weeks", "wk", "wks"), _NO_WEEKS_OF_WORK)
            | {"m": "did you mean {n} min?", "": "did you mean {n} s or {n} min?"},
        ),
        Dimension(
            "span",
            "a lead time",
            (
                *_in("wd", ("d", "1", "day, days, wd, working day, working days")),
                *_in("cal d", ("cal d", "1", "cal day, cal days, calendar day, calendar days")),
                *_in("cal d", ("cal weeks", "7", "cal week, calendar week, calendar weeks"), written=False),
                *_TIME,
            ),
            "3 d",
            "from 0 to 10 years",
            {"wd": 3653, "cal d": 3653, "s": _TEN_YEARS},
            advice=dict.fromkeys(("week", "weeks", "w", "wk", "wks"), _NO_WEEKS)
            | dict.fromkeys(("month", "months", "cal month", "cal months"), _NO_MONTHS)
            | {"m": "did you mean {n} min?", "": "did you mean {n} d or {n} cal d?"},
        ),
        Dimension("length", "a length", _LENGTH, "12 m", "from 0 to 1000 km", {"m": 1e6}),
        Dimension("position", "a position", _LENGTH, "-1.5 m", "from -1000 km to 1000 km", {"m": 1e6}, least=-1e6),
        Dimension(
            "area",
            "an area",
            _in(
                "m2",
                ("m2", "1", "m², m^2, sqm, square metre, square metres"),
                ("mm2", "1/1000000", "mm², mm^2"),
                ("cm2", "1/10000", "cm², cm^2"),
                ("ha", "10000", "hectare, hectares"),
            ),
            "16 m2",
            "from 0 to 100 ha",
            {"m2": 1e6},
            advice={"m": "did you mean {n} m2?"},
        ),
        Dimension(
            "mass",
            "a mass",
            _in(
                "kg",
                ("kg", "1", "kilogram, kilograms"),
                ("g", "1/1000", "gram, grams"),
                ("t", "1000", "tonne, tonnes"),
            ),
            "2.5 kg",
            "from 0 to 100000 t",
            {"kg": 1e8},
        ),
        Dimension(
            "speed",
            "a speed",
            _in("m/s", ("m/s", "1", ""), ("m/min", "1/60", ""), ("km/h", "5/18", "")),
            "1.2 m/s",
            "from 0 to 100 m/s",
            {"m/s": 100},
        ),
        Dimension("share", "a share", _SHARE, "85 %", "from 0 to 1, or 0 % to 100 %", {"share": 1}),
        Dimension("factor", "a factor", _FACTOR, "120 %", "from 0 to 100, or 0 % to 10000 %", {"1": 100}),
        Dimension(
            "rate of carrying",
            "a carrying rate",
            _in("1/year", ("%/year", "1/100", "%/y, %/yr, %/a, percent/year, per cent/year")),
            "18 %/year",
            "from 0 to 1000 %/year",
            {"1/year": 10},
            advice={"%/month": "write the rate of a year, {dozen} %/year", "%": "did you mean {n} %/year?"},
        ),
        Dimension(
            "money",
            "an amount of money",
            _in("money", (MONEY, "1", "")),
            f"12.40 {MONEY}",
            f"from 0 to 1e12 {MONEY}",
            {"money": 1e12},
        ),
        Dimension(
            "cash",
            "a sum of money, owed or owned",
            _in("money", (MONEY, "1", "")),
            f"-2500 {MONEY}",
            f"from -1e12 to 1e12 {MONEY}",
            {"money": 1e12},
            least=-1e12,
        ),
        Dimension(
            "money per hour",
            "an amount of money per hour",
            _in("money/s", (f"{MONEY}/h", "1/3600", f"{MONEY}/hr, {MONEY}/hour")),
            f"24 {MONEY}/h",
            f"from 0 to 1e6 {MONEY}/h",
            {"money/s": 1e6 / 3600},
        ),
        Dimension(
            "money per year",
            "an amount of money per year",
            _in(
                "money/year",
                (f"{MONEY}/year", "1", f"{MONEY}/y, {MONEY}/yr, {MONEY}/a"),
                (f"{MONEY}/month", "12", ""),
            ),
            f"3000 {MONEY}/year",
            f"from 0 to 1e12 {MONEY}/year",
            {"money/year": 1e12},
        ),
        Dimension(
            "money per area per month",
            "a rent per area",
            _in(
                "money/m2/year",
                (f"{MONEY}/m2/month", "12", f"{MONEY}/m²/month, {MONEY}/m^2/month"),
                (f"{MONEY}/m2/year", "1", f"{MONEY}/m²/year, {MONEY}/m^2/year, {MONEY}/m2/y"),
            ),
            f"9 {MONEY}/m2/month",
            f"from 0 to 1e6 {MONEY}/m2/month",
            {"money/m2/year": 12e6},
            advice={f"{MONEY}/m2": "say for how long: {n} {currency}/m2/month or {n} {currency}/m2/year"},
        ),
        Dimension(
            "per day",
            "a demand",
            (
                *_in("wd", ("/d", "1", "/day, /wd, /working day")),
                *_in("week", ("/week", "1", "/wk")),
                *_in("month", ("/month", "1", "")),
                *_in("year", ("/year", "1", "/y, /yr, /a")),
            ),
            "18 /d",
            "from 0 to 10 million in any of these times",
            {"wd": 1e7, "week": 1e7, "month": 1e7, "year": 1e7},
            advice={
                "pieces": "say in what time: {n} /d, {n} /week, {n} /month or {n} /year",
                "/h": "say how many in a working day, such as {eight} /d for a day of 8 h",
            },
        ),
        Dimension(
            "pieces",
            "a number of pieces",
            (*_in("pieces", ("", "1", "")), *_in("pieces", ("pieces", "1", _PIECES), written=False)),
            "310",
            "from 0 to 1000 million",
            {"pieces": 1e9},
        ),
        Dimension(
            "count", "a whole number", _in("1", ("", "1", "")), "3", "from 0 to 1000 million", {"1": 1e9}, whole=True
        ),
        Dimension(
            "number",
            "a plain number",
            _in("1", ("", "1", "")),
            "0.25",
            "from -1e15 to 1e15",
            {"1": 1e15},
            least=-1e15,
        ),
    )
}
