"""The fields of a line file as figures: each one made once, with its place in the file, so that what is used twice varies together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Hashable
from dataclasses import replace
from typing import Any

import numpy as np

from pullwright.figure import (
    Figure,
    Reading,
    Source,
    derive,
    from_counts,
    from_readings,
    given,
    judged,
    variation_from_readings,
)
from pullwright.flow.assumed import ASSUMED, AssumedKey
from pullwright.line import Line
from pullwright.line.calendar import Hours
from pullwright.line.distributions import OWN_CV
from pullwright.line.quantity import Quantity

Path = tuple[str | int, ...]


class Givens:
    """Makes figures out of the fields of one line.

    Names of figures are paths with the names of things instead of their numbers: "steps / hone bore / set_up / time".
    """

    def __init__(self, line: Line) -> None:
        self.line = line
        self._made: dict[Hashable, Figure] = {}

    def figure(self, path: Path, quantity: Quantity | None = None) -> Figure:
        """Give the value of a field as a figure in its own unit (s, m, m2, kg, money, share, pieces/wd, wd, cal d ...)."""
        found = quantity if quantity is not None else self.at(path)
        if found.study is not None:
            return self.once(("study", found.study), lambda: self._study(found.study or ""))
        return self.once(path, lambda: self._make(path, found))

    def number(self, path: Path, value: float, unit: str = "1") -> Figure:
        """Give a plain number of the file (machines, lot, people) as a figure; what the file does not say is no field of it."""
        return self.once((path, "number"), lambda: given(self.name(path), float(value), unit, self._said(path, value)))

    def _said(self, path: Path, value: float) -> Source:
        around: Any = self.line
        for step in path[:-1]:
            around = around[step] if isinstance(step, int) else getattr(around, step)
        if path[-1] in around.model_fields_set:
            return self.source(path)
        return Source("common practice", f"the line file does not say it: {value:g} is taken")

    def assumed(self, key: AssumedKey) -> Figure:
        """Give a value that the file does not say and that is taken from common practice."""
        value, unit, words, text = ASSUMED[key]
        return self.once(
            ("assumed", key), lambda: given(f"assumed / {words}", value, unit, Source("common practice", text))
        )

    def cv(self, path: Path, quantity: Quantity | None, otherwise: AssumedKey) -> Figure:
        """Give how much a time varies from piece to piece (standard deviation / mean)."""
        if quantity is None:
            return self.assumed(otherwise)
        if quantity.cv is not None:
            return self.figure((*path, "cv"), quantity.cv)
        if quantity.distribution is not None and quantity.distribution in OWN_CV:
            own = OWN_CV[quantity.distribution]
            return self.once(
                (path, "cv"), lambda: given(f"{self.name(path)} / cv", own, "1", self.source((*path, "distribution")))
            )
        if quantity.study is not None:
            return self.once(("study", quantity.study, "cv"), lambda: self._study_cv(quantity.study or "", otherwise))
        if len(quantity.readings) > 1 and quantity.value > 0:
            source = self.source((*path, "readings"))
            readings = self._readings((*path, "readings"), quantity)
            return self.once((path, "cv"), lambda: variation_from_readings(f"{self.name(path)} / cv", readings, source))
        return self.assumed(otherwise)

    def per_day(self, path: Path, quantity: Quantity | None = None) -> Figure:
        """Give a demand as pieces per working day of the calendar."""
        figure = self.figure(path, quantity)
        period = figure.unit.removeprefix("pieces/")
        if period == "wd":
            return figure
        days = self.working_days(period)
        return self.once((path, "per wd"), lambda: derive(
            f"{figure.name} per working day", lambda d, n: d / n, figure, days, unit="pieces/wd", formula=f"pieces per {period} / working days per {period}"
        ))  # fmt: skip

    def working_days(self, period: str) -> Figure:
        """Give the working days of a week, month or year of the calendar, days off taken out where they fall."""
        calendar = self.line.work_calendar
        off = self.line.calendar.days_off
        start = dt.date(max(off).year, 1, 1) if off else None
        count = {
            "week": calendar.working_days_per_week,
            "month": calendar.working_days_per_month,
            "year": calendar.working_days_per_year,
        }[period]
        source = self.source(("calendar", "days_off") if off else ("calendar",))
        return self.once(
            ("working days", period),
            lambda: given(f"working days per {period}", count(start), f"wd/{period}", source),
        )

    def span_days(self, path: Path, quantity: Quantity | None = None) -> Figure:
        """Give a lead time or promise in working days of the calendar."""
        figure = self.figure(path, quantity)
        if figure.unit == "wd":
            return figure
        name, unit = f"{figure.name} in working days", "wd"
        if figure.unit == "cal d":
            year = self.working_days("year")
            return self.once(
                (path, "wd"),
                lambda: derive(
                    name,
                    lambda s, y: s * y / 365.2425,
                    figure,
                    year,
                    unit=unit,
                    formula="calendar days x working days per year / 365.2425",
                ),
            )
        day = self.day_seconds()
        return self.once(
            (path, "wd"),
            lambda: derive(
                name, lambda s, d: s / d, figure, day, unit=unit, formula="working time / net working time of a day"
            ),
        )

    def calendar_days(self, path: Path, quantity: Quantity | None = None) -> Figure:
        """Give a span in calendar days: money is owed on Sundays too."""
        figure = self.figure(path, quantity)
        if figure.unit == "cal d":
            return figure
        days, year = self.span_days(path, quantity), self.working_days("year")
        return self.once(
            (path, "cal d"),
            lambda: derive(
                f"{figure.name} in calendar days",
                lambda s, y: s * 365.2425 / y,
                days,
                year,
                unit="cal d",
                formula="working days x 365.2425 / working days per year",
            ),
        )

    def day_seconds(self, shifts: tuple[str, ...] | None = None) -> Figure:
        """Give the net working time of an average working day (s), of all shifts or of some of them."""
        return self._day("net working time of a day", shifts, lambda hours: hours.working)

    def paid_seconds(self, shifts: tuple[str, ...] | None = None) -> Figure:
        """Give the paid time of one place in the crew on an average working day (s), of all shifts or of some."""
        return self._day("paid time of a day", shifts, lambda hours: hours.paid)

    def paid_pauses(self, shifts: tuple[str, ...] | None = None) -> Figure:
        """Give the paid breaks and planned stops of an average working day (s), of all shifts or of some."""
        return self._day("paid breaks and planned stops of a day", shifts, lambda hours: hours.paid - hours.working)

    def _day(self, words: str, shifts: tuple[str, ...] | None, part: Callable[[Hours], float]) -> Figure:
        calendar = self.line.work_calendar
        names = tuple(sorted(shifts)) if shifts else ()
        chosen = [shift for shift in calendar.shifts if not names or shift.name in names]
        # Days are those of the line, so that a shift of three days a week counts for three fifths of a day.
        share = 1 / len(calendar.working_weekdays)
        name = words + (f" / {' and '.join(names)}" if names else "")
        seconds = sum(part(shift.hours()) * len(shift.days) for shift in chosen) * share
        return self.once((words, names), lambda: given(name, seconds, "s", self.source(("calendar", "shifts"))))

    def at(self, path: Path) -> Quantity:
        """Find the quantity at a path of the line."""
        here: Any = self.line
        for step in path:
            here = here[step] if isinstance(step, int) else getattr(here, step)
        if not isinstance(here, Quantity):
            raise TypeError(f"there is no quantity at {path}")
        return here

    def name(self, path: Path) -> str:
        """Say a path with the names of things instead of their numbers.

        Where two things have the same name (elements called alike), the second one gets its number.
        """
        words: list[str] = []
        here: Any = self.line
        for step in path:
            if isinstance(step, int):
                words.append(_called(here, step))
                here = here[step]
            else:
                words.append(step.rstrip("_"))
                here = getattr(here, step, None)
        return " / ".join(words)

    def source(self, path: Path) -> Source:
        """Say where a field stands in the file."""
        typed = tuple(step.rstrip("_") if isinstance(step, str) else step for step in path)
        return Source("line file", self.name(path), file=self.line.file, line=self.line.mark(typed).line)

    def made(self) -> tuple[Figure, ...]:
        """Give all figures that anybody asked for so far, in the order in which they were made."""
        return tuple(dict.fromkeys(self._made.values()))

    def once(self, key: Hashable, make: Callable[[], Figure]) -> Figure:
        """Give the figure of this key, made the first time that anybody asks for it: one quantity is one figure."""
        if key not in self._made:
            self._made[key] = make()
        return self._made[key]

    def _make(self, path: Path, quantity: Quantity) -> Figure:
        name, source = self.name(path), self.source((*path, *quantity.field_of))
        if quantity.origin:
            source = replace(source, origin=quantity.origin)
        if quantity.given == "judged":
            assert quantity.low is not None
            assert quantity.high is not None
            return judged(name, quantity.low, quantity.value, quantity.high, quantity.unit, source)
        if quantity.given == "readings":
            return from_readings(name, self._readings((*path, *quantity.field_of), quantity), quantity.unit, source)
        if quantity.given == "counts":
            assert quantity.count is not None
            assert quantity.of is not None
            return from_counts(name, quantity.count, quantity.of, quantity.unit, source)
        return given(name, quantity.value, quantity.unit, source)

    def _readings(self, path: Path, quantity: Quantity) -> tuple[Reading, ...]:
        return tuple(
            Reading(value, quantity.unit, where=self.source((*path, i)).place)
            for i, value in enumerate(quantity.readings)
        )

    def _study(self, name: str) -> Figure:
        return from_readings(f"study {name}", self._study_readings(name), "s", self._study_source(name))

    def _study_cv(self, name: str, otherwise: AssumedKey) -> Figure:
        readings = self._study_readings(name)
        if len(readings) < 2 or not sum(reading.value for reading in readings) > 0:
            return self.assumed(otherwise)
        return variation_from_readings(f"study {name} / cv", readings, self._study_source(name))

    def _study_index(self, name: str) -> int:
        return next(i for i, study in enumerate(self.line.studies) if study.name == name)

    def _study_source(self, name: str) -> Source:
        i = self._study_index(name)
        said = f"study {name}" + (f", {self.line.studies[i].of}" if self.line.studies[i].of else "")
        line = self.line.mark(("studies", i, "readings")).line
        return Source("study", said, file=self.line.file, line=line, origin=self.line.studies[i].from_)

    def _study_readings(self, name: str) -> tuple[Reading, ...]:
        i = self._study_index(name)
        study = self.line.studies[i]
        return tuple(
            Reading(reading.value.value, "s", str(reading.on or study.on or ""), reading.who or study.who, self.source(("studies", i, "readings", k)).place, reading.from_)
            for k, reading in enumerate(study.readings)
        )  # fmt: skip


class LikelyGivens(Givens):
    """The same figures, each taken as certain at its likely value: for who asks only for values, in a tenth of the time."""

    def once(self, key: Hashable, make: Callable[[], Figure]) -> Figure:
        """Give the figure of this key with its value as its only draw."""
        if key not in self._made:
            found = make()
            self._made[key] = found if found.certain else replace(found, draws=np.array([found.value]))
        return self._made[key]

    def source(self, path: Path) -> Source:
        """Nobody asks these figures why."""
        return _LIKELY


_LIKELY = Source("line file", "at its likely value")


def _called(items: Any, index: int) -> str:
    item = items[index]
    for field in ("name", "what", "before", "after", "part", "step", "station", "product"):
        word = getattr(item, field, None)
        if isinstance(word, str) and word:
            said = f"{field} {word}" if field in ("before", "after") else word
            words = [getattr(other, field, None) for other in items]
            if words.count(word) == 1:
                return said
            numbered = f"{said} #{words[: index + 1].count(word)}"
            return numbered if numbered not in words else f"{said} (entry {index + 1})"
    return f"#{index + 1}"
