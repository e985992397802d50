"""The one table of units: what a figure may be measured in, and the readable unit a person sees.

Inside, every figure carries the unit its key names: seconds, metres, kilograms, the line's currency, working days for
"wd", micrometres for "um". The rungs say which unit is printed for which size. To add a unit, add one row.
Keys with a stroke ("pieces/wd", "money/m2/month") are put together from a row of `UNITS` and rows of `PER`, unless
they have a row of their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import inf

from pullwright.figure.faults import FigureError


@dataclass(frozen=True, slots=True)
class Rung:
    """One readable unit: printed as `text` while the size inside is below `below`; `scale` of the inside unit each."""

    text: str
    scale: float = 1.0
    below: float = inf
    one: str = ""  # how it reads beside a plain 1 ("1 piece")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit figures are carried in, with its readable units from small to large.

    `lowest` and `highest` bound what the quantity itself can be; draws about readings stay within them.
    """

    key: str
    rungs: tuple[Rung, ...]
    lowest: float = -inf
    highest: float = inf

    def rung_for(self, size: float) -> Rung:
        """The readable unit for a quantity of this size (in the unit inside)."""
        return next((rung for rung in self.rungs if abs(size) < rung.below), self.rungs[-1])


def _counted(key: str, one: str, many: str | None = None) -> Unit:
    return Unit(key, (Rung(many or key, one=one),), lowest=0.0)


_HOUR = 3600.0
_DURATION = (Rung("s", 1.0, 120.0), Rung("min", 60.0, 7200.0), Rung("h", _HOUR))

UNITS: dict[str, Unit] = {
    unit.key: unit
    for unit in (
        Unit("1", (Rung(""),)),
        Unit("share", (Rung("%", 0.01),), lowest=0.0, highest=1.0),
        Unit("s", _DURATION, lowest=0.0),
        Unit("s2", (Rung("s²", 1.0, 120.0**2), Rung("min²", 60.0**2, 7200.0**2), Rung("h²", _HOUR**2)), lowest=0.0),
        Unit("h", (Rung("h"),), lowest=0.0),
        Unit("wd", (Rung("d"),), lowest=0.0),
        Unit("wd2", (Rung("d²"),), lowest=0.0),
        Unit("cal d", (Rung("cal d"),), lowest=0.0),
        Unit("month", (Rung("months", one="month"),), lowest=0.0),
        Unit("year", (Rung("years", one="year"),), lowest=0.0),
        Unit("m", (Rung("mm", 0.001, 0.1), Rung("m", 1.0, 2000.0), Rung("km", 1000.0)), lowest=0.0),
        Unit("um", (Rung("µm"),)),
        Unit("m2", (Rung("m²"),), lowest=0.0),
        Unit("m3", (Rung("m³"),), lowest=0.0),
        Unit("kg", (Rung("g", 0.001, 0.2), Rung("kg", 1.0, 2000.0), Rung("t", 1000.0)), lowest=0.0),
        Unit("N", (Rung("N"),)),
        Unit("deg", (Rung("°"),)),
        Unit("m/s", (Rung("m/s"),)),
        Unit("money", (Rung("{money}"),)),
        Unit("money/s", (Rung("{money}/h", 1 / _HOUR),)),
        Unit("1/s", (Rung("per h", 1 / _HOUR, 2 / 60.0), Rung("per min", 1 / 60.0, 2.0), Rung("per s")), lowest=0.0),
        Unit("pieces/s", (Rung("pieces/h", 1 / _HOUR),), lowest=0.0),
        Unit("person-s", (Rung("min", 60.0, 360.0), Rung("h", _HOUR)), lowest=0.0),
        _counted("persons", "person", "people"),
        _counted("pieces", "piece"),
        Unit("pieces2", (Rung("pieces²"),), lowest=0.0),
        _counted("containers", "container"),
        _counted("cards", "card"),
        _counted("lots", "lot"),
        _counted("set-ups", "set-up"),
        _counted("stations", "station"),
        _counted("machines", "machine"),
        _counted("moves", "move"),
        _counted("deliveries", "delivery"),
        _counted("readings", "reading"),
        _counted("looks", "look"),
        _counted("units", "unit"),
        _counted("failures", "failure"),
    )
}

PER: dict[str, str] = {
    "s": "s",
    "min": "min",
    "h": "h",
    "wd": "d",
    "week": "week",
    "month": "month",
    "year": "year",
    "m": "m",
    "m2": "m²",
    "kg": "kg",
    "piece": "piece",
    "container": "container",
    "card": "card",
    "lot": "lot",
    "set-up": "set-up",
    "person": "person",
    "station": "station",
    "move": "move",
    "delivery": "delivery",
    "unit": "unit",
    "look": "look",
}


@cache
def unit_named(key: str) -> Unit:
    """Which unit is this, and how is it printed?

    Parameters: `key`, a row of the table, or one of its rows with "/" and what it is counted per.
    Errors: `FigureError` naming the key, the table, and the likely slip.

    >>> unit_named("money/wd").rungs[0].text
    '{money}/d'
    >>> unit_named("seconds")
    Traceback (most recent call last):
        ...
    pullwright.figure.faults.FigureError: there is no unit 'seconds': did you mean 's'? Allowed are 1, share, s, ...
    """
    if key in UNITS:
        return UNITS[key]
    top, *below = key.split("/")
    if top in UNITS and below and all(part in PER for part in below):
        tail = "".join(f"/{PER[part]}" for part in below)
        unit = UNITS[top]
        rungs = tuple(
            Rung(
                rung.text + tail if rung.text else f"per {tail[1:]}",
                rung.scale,
                rung.below,
                rung.one and rung.one + tail,
            )
            for rung in unit.rungs
        )
        return Unit(key, rungs, lowest=unit.lowest)
    raise FigureError(_unknown(key))


_SLIPS = {
    "sec": "s", "seconds": "s", "second": "s", "minutes": "s", "min": "s", "hours": "h", "d": "wd", "day": "wd",
    "days": "wd", "%": "share", "percent": "share", "metres": "m", "EUR": "money", "piece": "pieces", "pcs": "pieces",
    "person": "persons", "people": "persons", "person-h": "person-s", "": "1", "m²": "m2", "µm": "um",
}  # fmt: skip


def _unknown(key: str) -> str:
    slip = f": did you mean {_SLIPS[key]!r}?" if key in _SLIPS else "."
    return (
        f"there is no unit {key!r}{slip} Allowed are {', '.join(UNITS)}, "
        f"and each of these per (/) {', '.join(PER)}; a new one is one row in figure/units.py"
    )
