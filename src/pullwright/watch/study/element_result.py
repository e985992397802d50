"""What a study says of one element: how long, how much it varies, its basic and standard time, and whether there are enough readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from pullwright.figure import Figure, Reading, Source, derive, from_readings, given, variation_from_readings
from pullwright.watch.study.allowances import owed_on
from pullwright.watch.study.drift import Drift, drift_of
from pullwright.watch.study.enough import Enough, enough
from pullwright.watch.study.learning import LEAST as LEARNING_LEAST
from pullwright.watch.study.learning import Learning, learning_of
from pullwright.watch.study.outliers import Proposal, proposals
from pullwright.watch.study.performance import rating_for
from pullwright.watch.study.shapes import LEAST as SHAPE_LEAST
from pullwright.watch.study.shapes import Shape, shape_of
from pullwright.watch.study.sheet import StudySheet, TimedElement, TimedReading
from pullwright.watch.study.spread import Spread, spread_of


@dataclass(frozen=True)
class Timing:
    """Readings in order and what their order, number and spread say; for an element or for whole cycles."""

    seconds: tuple[float, ...]
    cycles: tuple[int, ...]

    @cached_property
    def enough(self) -> Enough | None:
        """Are there enough of them? None for fewer than two."""
        return enough(self.seconds) if len(self.seconds) > 1 else None

    @cached_property
    def drift(self) -> Drift | None:
        """Do they drift? None where there are none."""
        return drift_of(self.seconds, self.cycles) if self.seconds else None

    @cached_property
    def learning(self) -> Learning | None:
        """Is somebody still learning? None where there are too few readings to tell."""
        few = len(self.seconds) < LEARNING_LEAST or len(set(self.cycles)) < LEARNING_LEAST
        return None if few else learning_of(self.seconds, self.cycles)

    @cached_property
    def spread(self) -> Spread | None:
        """Mean, cv and their intervals, by methods that fit the readings. None for fewer than two."""
        return spread_of(self.seconds) if len(self.seconds) > 1 else None

    @cached_property
    def shape(self) -> Shape | None:
        """Which distribution do they follow? None for fewer than eight; worked out when asked for."""
        return shape_of(self.seconds) if len(self.seconds) >= SHAPE_LEAST else None


@dataclass(frozen=True)
class ElementResult:
    """One element: its figures (None where no reading counts), its readings that count, and those that are set aside.

    `observed` and `basic` are in s an occurrence, `standard` too; `basic_per_cycle` and `standard_per_cycle` spread them over the
    cycles in which the element does not come.
    """

    index: int
    element: TimedElement
    counted: tuple[TimedReading, ...]
    aside: tuple[TimedReading, ...]
    timing: Timing
    allowance: Figure
    observed: Figure | None = None
    cv: Figure | None = None
    rating: Figure | None = None
    basic: Figure | None = None
    standard: Figure | None = None
    basic_per_cycle: Figure | None = None
    standard_per_cycle: Figure | None = None

    @cached_property
    def proposals(self) -> tuple[Proposal, ...]:
        """Which readings might be set aside, and why; the person decides."""
        return proposals(self.counted)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All its figures that there are, in the order in which they follow from each other."""
        every = (
            self.observed, self.cv, self.rating, self.basic, self.allowance, self.standard,
            self.basic_per_cycle, self.standard_per_cycle,
        )  # fmt: skip
        return tuple(dict.fromkeys(one for one in every if one is not None))


def source_of(sheet: StudySheet) -> Source:
    """Where the figures of this study come from; readings are put to it where they are used."""
    return Source("study", sheet.name if sheet.name.startswith("study") else f"study {sheet.name}")


def as_reading(one: TimedReading, seconds: float | None = None, said: str = "") -> Reading:
    """The reading behind a figure, with who, when and where."""
    where = f"{one.where}: {said}" if said else one.where
    return Reading(one.seconds if seconds is None else seconds, "s", one.when, one.who, where, one.origin)


def element_result(sheet: StudySheet, index: int, allowances: Sequence[Figure]) -> ElementResult:
    """What do the readings of this element say?

    Parameters: `index` of the element, from 0; `allowances`, a figure for each allowance of the sheet, in its order.
    """
    element, study, source = sheet.elements[index], sheet.name, source_of(sheet)
    of_it = [one for one in sheet.readings if one.element == index]
    counted = tuple(one for one in of_it if not one.aside)
    aside = tuple(one for one in of_it if one.aside)
    timing = Timing(tuple(one.seconds for one in counted), tuple(one.cycle for one in counted))
    allowance = _allowance(sheet, element, allowances, source)
    if not counted:
        return ElementResult(index, element, counted, aside, timing, allowance)
    observed = from_readings(
        f"{study}: observed time / {element.what}", [as_reading(one) for one in counted], "s", source
    )
    cv = None
    if len(counted) > 1:
        cv = variation_from_readings(f"{study}: cv / {element.what}", [as_reading(one) for one in counted], source)
    rating, basic = _basic(sheet, element, counted, observed, source)
    standard = derive(
        f"{study}: standard time / {element.what}",
        lambda basic, share: basic * (1 + share),
        basic,
        allowance,
        unit="s",
        formula="basic time × (1 + allowances)",
    )
    basic_per_cycle, standard_per_cycle = basic, standard
    if element.every > 1:
        every = given(f"{study}: cycles for one / {element.what}", float(element.every), "1", source)
        basic_per_cycle, standard_per_cycle = (
            derive(
                f"{study}: {words} a cycle / {element.what}",
                lambda time, every: time / every,
                time,
                every,
                unit="s",
                formula=f"{words} / cycles in which it comes once",
            )
            for words, time in (("basic time", basic), ("standard time", standard))
        )
    return ElementResult(
        index, element, counted, aside, timing, allowance, observed, cv, rating, basic, standard,
        basic_per_cycle, standard_per_cycle,
    )  # fmt: skip


def _allowance(sheet: StudySheet, element: TimedElement, allowances: Sequence[Figure], source: Source) -> Figure:
    owed = owed_on(element.work, sheet.allowances)
    figures = [figure for one, figure in zip(sheet.allowances, allowances, strict=True) if one in owed]
    name = f"{sheet.name}: allowances / {element.what}"
    if not figures:
        return given(
            name, 0.0, "share", source, note="none was said" if not sheet.allowances else "none on machine time"
        )
    formula = " + ".join(one.words or one.key for one in owed)
    return derive(name, lambda *shares: sum(shares), *figures, unit="share", formula=formula)


def _basic(
    sheet: StudySheet, element: TimedElement, counted: Sequence[TimedReading], observed: Figure, source: Source
) -> tuple[Figure, Figure]:
    """The rating and the basic time. Where readings have ratings of their own each is turned into basic time by itself, so that the
    spread is that of basic times: who works briskly is quick, and rating takes that out again.
    """
    study, ratings = sheet.name, [rating_for(sheet, one) for one in counted]
    name = f"{study}: basic time / {element.what}"
    if len(set(ratings)) == 1:
        machine = element.work == "machine" and all(one.rating is None for one in counted)
        note = "a machine is not rated" if machine else ""
        rating = given(f"{study}: rating / {element.what}", ratings[0], "share", source, note=note)
        return rating, derive(
            name, lambda time, rating: time * rating, observed, rating, unit="s", formula="observed time × rating"
        )
    read = [
        as_reading(one, one.seconds * rating, f"{one.seconds:g} s at a rating of {rating * 100:g}")
        for one, rating in zip(counted, ratings, strict=True)
    ]
    rated = from_readings(name, read, "s", source)
    mean = derive(
        f"{study}: rating / {element.what}",
        lambda basic, observed: basic / observed,
        given(f"{name}, mean", rated.value, "s", rated.source or source),
        given(f"{observed.name}, mean", observed.value, "s", observed.source or source),
        unit="share",
        formula="mean basic time / mean observed time",
    )
    return mean, rated
