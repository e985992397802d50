"""What a time study says: every element and the whole cycle, as figures whose why ends at the readings, and one sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isfinite

from pullwright.figure import Figure, Source, derive, from_readings, given, variation_from_readings
from pullwright.figure.source import Reading
from pullwright.line.faults import listed, nearest, shown
from pullwright.watch.study.account import KindOfTime, time_by_kind
from pullwright.watch.study.allowances import BY_KEY, SOURCE
from pullwright.watch.study.drift import holm
from pullwright.watch.study.element_result import ElementResult, Timing, element_result, source_of
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.sheet import StudySheet, TimedReading
from pullwright.watch.study.sound import sound


@dataclass(frozen=True)
class CycleResult:
    """The whole cycle: `observed`, `basic` and `standard` time in s as sums of the elements (None where nothing was read).

    `timing` holds the times of the cycles that were read completely, elements that come in every cycle only; `watched` is their mean
    and `cv` how much they vary. `missing` names the elements without a reading, which the sums leave out.
    """

    timing: Timing
    missing: tuple[str, ...]
    observed: Figure | None = None
    basic: Figure | None = None
    standard: Figure | None = None
    watched: Figure | None = None
    cv: Figure | None = None

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All its figures that there are."""
        every = (self.observed, self.basic, self.standard, self.watched, self.cv)
        return tuple(dict.fromkeys(one for one in every if one is not None))


@dataclass(frozen=True)
class StudyResult:
    """A time study, worked out. `foreign` and `aside` readings are kept, with their shares of all the time that was watched."""

    sheet: StudySheet
    elements: tuple[ElementResult, ...]
    cycle: CycleResult
    allowances: tuple[Figure, ...]
    foreign: tuple[TimedReading, ...]
    aside: tuple[TimedReading, ...]
    foreign_share: Figure | None
    aside_share: Figure | None
    account: tuple[KindOfTime, ...]

    @property
    def readings(self) -> int:
        """How many readings count."""
        return sum(len(one.counted) for one in self.elements)

    @cached_property
    def drifting(self) -> tuple[bool, ...]:
        """Which elements drift beyond chance, all tests of the study taken together (Holm 1979)?"""
        drifts = [one.timing.drift for one in self.elements]
        return holm([drift.trend.chance if drift and drift.readings > 5 else 1.0 for drift in drifts])

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """What is worth saying of single elements and of the study: drift and learning, what lies apart, what is missing."""
        said = []
        for one, drifts in zip(self.elements, self.drifting, strict=True):
            if drifts and one.timing.drift:
                curve = one.timing.learning
                learning = curve is not None and curve.there
                said.append(f"{one.element.what}: {one.timing.drift.sentence(learning=learning)}.")
                if learning and curve:
                    said.append(f"{one.element.what}: {curve.sentence}.")
            if odd := [each for each in one.proposals if len(each.rules) > 2]:
                many = f", and {len(odd) - 1} more" if len(odd) > 1 else ""
                said.append(f"{one.element.what}: look at {odd[0].why}{many}.")
        if self.cycle.missing:
            said.append(f"Without a reading, and left out of the cycle: {listed(self.cycle.missing)}.")
        if self.foreign and self.foreign_share:
            said.append(
                f"Foreign elements took {self.foreign_share.short()} of the time watched: "
                "does a contingency allowance cover them, or should they go?"
            )
        return tuple(said)

    @cached_property
    def found(self) -> str:
        """One sentence that a foreman would say of it."""
        standard, basic = self.cycle.standard, self.cycle.basic
        if standard is None or basic is None:
            return f"{self.sheet.name} has no reading that counts yet."
        time = f"A cycle takes {standard.text()}" + (" with its allowances" if self.sheet.allowances else "")
        waste = max((row for row in self.account if row.waste), key=lambda row: row.amount.value, default=None)
        value = next((row for row in self.account if row.kind == "value"), None)
        on = f"{value.share.short()} of it adds value" if value else "nothing of it adds value"
        if waste:
            on += f", {waste.share.short()} is {waste.words} ({waste.elements[0]})"
        return f"{time}; {on}; {self._more}."

    @property
    def _more(self) -> str:
        first = next((i for i, drifts in enumerate(self.drifting) if drifts), None)
        if first is not None:
            drift = self.elements[first].timing.drift
            falls = drift is not None and drift.trend.slope < 0
            what, way = self.elements[first].element.what, "fall" if falls else "rise"
            return f"readings of {what} still {way} from cycle to cycle, so ask why before you lean on it"
        enough = self.cycle.timing.enough
        if enough is None:
            return "take more cycles before you lean on it"
        if enough.worth == 0:
            return f"{enough.taken} cycles are enough"
        are = "cycle is" if enough.worth == 1 else "cycles are"
        return f"{enough.worth} more {are} worth taking"

    @cached_property
    def figures(self) -> dict[str, Figure]:
        """Every figure by its name, the cycle's first."""
        every = [*self.cycle.figures]
        for one in self.elements:
            every += one.figures
        for row in self.account:
            every += [row.amount, row.share]
        every += [*self.allowances, *(share for share in (self.foreign_share, self.aside_share) if share)]
        return {one.name: one for one in every}

    def figure(self, name: str) -> Figure:
        """The figure of this name, with or without the study's name before it.

        Errors: `StudyError` naming the nearest.
        """
        for asked in (name, f"{self.sheet.name}: {name}"):
            if asked in self.figures:
                return self.figures[asked]
        near = nearest(name, self.figures) or nearest(f"{self.sheet.name}: {name}", self.figures)
        raise StudyError(
            f"figure {shown(name)}",
            "is not in this study",
            listed(self.figures, 40),
            f"did you mean {near}?" if near else "",
        )


def study_result(sheet: StudySheet) -> StudyResult:
    """What does this study say?

    Parameters: a sheet, however it was written. Result: see `StudyResult`; distributions and what lies apart are worked out when asked
    for. Errors: `StudyError` for a sheet that is not sound.
    Source: ILO, Introduction to Work Study (from memory): observed time, rating, basic time, allowances, standard time.

    >>> from pullwright.watch.study.csv_file import read_csv
    >>> result = study_result(read_csv("# rating: 90\\nload,hone\\n10,60\\n11,60\\n9,63\\n10,61\\n", "T-1.csv"))
    >>> result.cycle.basic.text(), result.figure("observed time / load").short()
    ('63.9 s (62.1 to 65.6)', '10.0 s')
    """
    sound(sheet)
    source = source_of(sheet)
    allowances = tuple(
        given(
            f"{sheet.name}: allowance / {one.words or one.key}",
            one.share,
            "share",
            Source("published", SOURCE) if one.key in BY_KEY and BY_KEY[one.key].share == one.share else source,
        )
        for one in sheet.allowances
    )
    elements = tuple(element_result(sheet, index, allowances) for index in range(len(sheet.elements)))
    cycle = _cycle(sheet, elements, source)
    foreign = tuple(one for one in sheet.readings if one.element < 0)
    aside = tuple(one for one in sheet.readings if one.element >= 0 and one.aside)
    account: tuple[KindOfTime, ...] = ()
    if cycle.basic is not None:
        account = time_by_kind(sheet.name, sheet.elements, [one.basic_per_cycle for one in elements], cycle.basic)
    return StudyResult(
        sheet, elements, cycle, allowances, foreign, aside,
        _share(sheet, "foreign elements", foreign, source), _share(sheet, "readings set aside", aside, source), account,
    )  # fmt: skip


def _share(sheet: StudySheet, words: str, some: Sequence[TimedReading], source: Source) -> Figure | None:
    """Which share of all the time that was watched do these readings hold? None where nothing was watched."""
    if not sheet.readings:
        return None
    readings = tuple(Reading(one.seconds, "s", one.when, one.who, one.where, one.origin) for one in some)
    part = given(f"{sheet.name}: time of {words}", sum(one.seconds for one in some), "s", Source(source.kind, source.text, readings=readings))  # fmt: skip
    whole = given(f"{sheet.name}: time watched", sum(one.seconds for one in sheet.readings), "s", source)
    return derive(
        f"{sheet.name}: share of {words}",
        lambda part, whole: part / whole,
        part,
        whole,
        unit="share",
        formula=f"time of {words} / time watched",
    )


def _sum(name: str, times: Sequence[Figure], formula: str) -> Figure | None:
    return derive(name, lambda *each: sum(each), *times, unit="s", formula=formula) if times else None


def _cycle(sheet: StudySheet, elements: Sequence[ElementResult], source: Source) -> CycleResult:
    study = sheet.name
    missing = tuple(one.element.what for one in elements if not one.counted)
    observed = []
    for one in elements:
        if one.observed is not None:
            every = one.element.every
            observed.append(
                one.observed
                if every == 1
                else derive(
                    f"{study}: observed time a cycle / {one.element.what}",
                    lambda time, every=every: time / every,
                    one.observed,
                    unit="s",
                    formula=f"observed time / {every} cycles",
                )
            )
    basic = [one.basic_per_cycle for one in elements if one.basic_per_cycle]
    standard = [one.standard_per_cycle for one in elements if one.standard_per_cycle]
    complete = _complete(elements)
    watched = cv = None
    if complete:
        behind = Source(source.kind, source.text)
        watched = from_readings(f"{study}: time of a cycle as watched", list(complete.values()), "s", behind)
        if len(complete) > 1:
            cv = variation_from_readings(f"{study}: cv of a cycle", list(complete.values()), behind)
    return CycleResult(
        timing=Timing(tuple(one.value for one in complete.values()), tuple(complete)),
        missing=missing,
        observed=_sum(f"{study}: observed time of a cycle", observed, "sum of the observed times of its elements"),
        basic=_sum(f"{study}: basic time of a cycle", basic, "sum of the basic times of its elements"),
        standard=_sum(f"{study}: standard time of a cycle", standard, "sum of the standard times of its elements"),
        watched=watched,
        cv=cv,
    )


def _complete(elements: Sequence[ElementResult]) -> dict[int, Reading]:
    """The cycles in which every element that comes in every cycle was read and counts; all that was read of it, added up."""
    always = [one for one in elements if one.element.every == 1 and one.counted]
    totals: dict[int, list[TimedReading]] = {}
    count: dict[int, int] = {}
    odd = {reading.cycle for one in always for reading in one.aside}
    for one in always:
        for reading in one.counted:
            totals.setdefault(reading.cycle, []).append(reading)
        for cycle in {reading.cycle for reading in one.counted}:
            count[cycle] = count.get(cycle, 0) + 1
    whole = {}
    for cycle in sorted(totals):
        parts = totals[cycle]
        seconds = sum(one.seconds for one in parts)
        if count[cycle] == len(always) and cycle not in odd and isfinite(seconds):
            where = f"cycle {cycle}: {listed([one.where for one in parts if one.where], 3)}"
            whole[cycle] = Reading(seconds, "s", parts[0].when, parts[0].who, where)
    return whole
