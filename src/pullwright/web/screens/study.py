"""What a time study says: its times with their whys, its readings with those that are set aside, its order in time, what is missing."""

from __future__ import annotations

from datetime import datetime
from statistics import median

from pydantic import Field as Kept
from starlette.responses import Response

from pullwright.draw.charts import Chart, Dot, Level, Sloping, dots_in_order
from pullwright.figure import Figure
from pullwright.paper.study_sheet import study_sheet
from pullwright.record import Note, Sheet
from pullwright.watch.study.csv_file import write_csv
from pullwright.watch.study.element_result import Timing
from pullwright.watch.study.result import StudyResult, study_result
from pullwright.watch.study.sheet import StudySheet, TimedElement
from pullwright.web.charted import Charted, charted
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.inked import inked
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, head_of, open_sheet, watched
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Piece, Row, Shown, Table
from pullwright.web.render import moment
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.studies import WORK_WORDS, study_on
from pullwright.web.study_words import element_words, percent, seconds_words
from pullwright.web.way import Way

CSV, PDF = "text/csv", "application/pdf"
MOST_CHARTS = 8
MOST_TOLD = 40
SAID = {
    "reading": "took a reading",
    "mark": "marked a reading",
    "rating": "set the rating",
    "allowances": "set the allowances",
    "elements": "put the elements right",
    "undo": "took something back",
    "struck": "struck the study",
    "restored": "took the striking back",
}


class ReadingShown(Piece):
    """One reading as the page lists it; `aside` is why it does not count."""

    number: int
    cycle: int
    element: str
    seconds: str
    rating: str
    aside: str
    note: str
    who: str
    when: str
    where: str


class Told(Piece):
    """What the readings of an element, or of whole cycles, say: are there enough, do they drift, how do they spread?"""

    what: str
    sentences: tuple[str, ...]
    look: bool = False


class Done(Piece):
    """Something that somebody did on a study, so many times in a row, the last time at this moment."""

    who: str
    what: str
    when: datetime
    times: int


class StudyPage(AboutLine):
    """One time study and what it says."""

    sheet: SheetHead
    about: str = ""
    sentences: tuple[str, ...] = ()
    told: tuple[Told, ...] = ()
    to_time: tuple[str, ...] = ()
    headline: tuple[Shown, ...] = ()
    elements: Table | None = None
    kinds: Table | None = None
    charts: tuple[Charted, ...] = ()
    readings: tuple[ReadingShown, ...] = ()
    terms: str = ""
    history: tuple[Done, ...] = ()
    stopwatch: str = Kept(default="", exclude=True)
    correct: str = Kept(default="", exclude=True)
    notes: str = Kept(default="", exclude=True)
    acts: tuple[Crumb, ...] = Kept(default=(), exclude=True)


def opened_study(desk: Desk, key: str, sheet: str) -> tuple[Sheet, tuple[Note, ...], StudySheet]:
    """Return a study of a line with its notes."""
    kept = open_sheet(desk, key, sheet, "study")
    notes = desk.record.notes(kept.key)
    return kept, notes, study_on(kept, notes)


def study(key: Key, sheet: SheetKey, desk: AtDesk) -> StudyPage:
    """What does this time study say, and how many more readings are worth taking?"""
    opened = open_line(desk, key)
    kept, notes, timed = opened_study(desk, key, sheet)
    result = study_result(timed)
    way = Way(address_of(kept))
    acts = [("Add a reading", "typed"), ("Elements", "elements"), ("Rating and allowances", "terms")]
    if timed.readings:
        acts = [("Correct readings", "readings"), *acts]
    if result.readings:
        acts = [("Put into the line", "into-line"), *acts]
    acts += [("Readings as CSV", "readings.csv")] if timed.readings else []
    acts += [("Print the sheet", "sheet.pdf"), ("Take it back" if kept.struck else "Strike it", "strike")]
    return StudyPage(
        name=timed.name,
        found=Found(text=result.found, look=any(result.drifting)),
        trail=(*opened.trail(), watched(key)),
        places=opened.places(""),
        sheet=head_of(kept),
        about=_about(timed),
        sentences=result.sentences if timed.readings else (),
        told=_told(result),
        to_time=() if timed.readings else tuple(_element_words(one) for one in timed.elements),
        headline=_headline(result, way),
        elements=_elements(result, way) if timed.readings else None,
        kinds=_kinds(result, way) if result.account else None,
        charts=_charts(result),
        readings=_readings(timed),
        terms=_terms(timed),
        history=_history(notes),
        stopwatch=address_of(kept, "stopwatch"),
        correct=address_of(kept, "readings"),
        notes=address_of(kept, "notes"),
        acts=tuple(Crumb(words=words, href=address_of(kept, part)) for words, part in acts),
        **about(opened),
    )


def _about(timed: StudySheet) -> str:
    what = [timed.of or timed.step, f"at {timed.station}" if timed.station else "", timed.product]
    said = ", ".join(part for part in what if part)
    return said[:1].upper() + said[1:]


def _element_words(element: TimedElement) -> str:
    every = f", once in {element.every} cycles" if element.every > 1 else ""
    return f"{element.what}, {WORK_WORDS[element.work]}{every}"


def _terms(timed: StudySheet) -> str:
    rows = [f"{one.words or one.key} {percent(one.share)} %" for one in timed.allowances]
    allowances = f"allowances on basic time: {', '.join(rows)}" if rows else "no allowances were said yet"
    return f"Rated {percent(timed.rating)} where a reading has no rating of its own; {allowances}."


def _shown(figure: Figure | None, way: Way, words: str = "") -> Shown | None:
    return None if figure is None else inked(figure, why=way.why(figure.name), words=words)


def _headline(result: StudyResult, way: Way) -> tuple[Shown, ...]:
    cycle = result.cycle
    wanted = (
        ("observed time of a cycle", cycle.observed),
        ("basic time", cycle.basic),
        ("standard time", cycle.standard),
        ("cv from cycle to cycle", cycle.cv),
        ("foreign to the work", result.foreign_share if result.foreign else None),
        ("set aside", result.aside_share if result.aside else None),
    )
    return tuple(one for words, figure in wanted if (one := _shown(figure, way, words)) is not None)


def _elements(result: StudyResult, way: Way) -> Table:
    return Table(
        caption="Element by element, an occurrence",
        columns=("readings", "mean", "cv", "basic time", "allowances", "standard time"),
        rows=tuple(
            Row(
                kind=one.element.kind,
                words=one.element.what,
                question=WORK_WORDS[one.element.work]
                + (f", once in {one.element.every} cycles" if one.element.every > 1 else ""),
                figures=(
                    _count(len(one.counted)),
                    _shown(one.observed, way),
                    _shown(one.cv, way),
                    _shown(one.basic, way),
                    _shown(one.allowance, way),
                    _shown(one.standard, way),
                ),
            )
            for one in result.elements
        ),
        total=Row(
            words="a cycle",
            figures=(
                _count(len(result.cycle.timing.seconds), "whole cycles"),
                _shown(result.cycle.observed, way),
                _shown(result.cycle.cv, way),
                _shown(result.cycle.basic, way),
                None,
                _shown(result.cycle.standard, way),
            ),
        ),
    )


def _count(number: int, words: str = "") -> Shown:
    name = words or "readings that count"
    return Shown(
        name=name, value=float(number), unit="readings", low=None, high=None, number=str(number), unit_words=words
    )


def _kinds(result: StudyResult, way: Way) -> Table:
    return Table(
        caption="What the basic time of a cycle is for",
        columns=("a cycle", "share"),
        rows=tuple(
            Row(kind=row.kind, words=row.words, question=", ".join(row.elements), figures=(_shown(row.amount, way), _shown(row.share, way)))
            for row in result.account
        ),
    )  # fmt: skip


def _told(result: StudyResult) -> tuple[Told, ...]:
    """What is said of whole cycles and of each element: how many are enough, drift and learning, shape, what lies apart."""
    found = [Told(what="a whole cycle", sentences=_said(result.cycle.timing, "cycle"))]
    for one, drifts in zip(result.elements, result.drifting, strict=True):
        odd = tuple(f"Look at {each.why}." for each in one.proposals if len(each.rules) > 1)
        found.append(Told(what=one.element.what, sentences=(*_said(one.timing, "reading"), *odd), look=drifts))
    return tuple(one for one in found if one.sentences)


def _said(timing: Timing, counted: str) -> tuple[str, ...]:
    if timing.enough is None or timing.drift is None:
        return ()
    curve = timing.learning
    learning = curve is not None and curve.there
    said = [timing.enough.sentence(counted)]
    if timing.drift.there() or timing.drift.spells():
        said.append(_sentence(timing.drift.sentence(learning=learning)))
    if curve is not None and learning:
        said.append(_sentence(curve.sentence))
    if timing.shape is not None:
        said.append(_sentence(timing.shape.sentence))
    return tuple(said)


def _sentence(words: str) -> str:
    said = words[:1].upper() + words[1:]
    return said if said.endswith((".", "?")) else f"{said}."


def _charts(result: StudyResult) -> tuple[Charted, ...]:
    """Whole cycles first, then element by element, in the order in which they were read."""
    cycle, found = result.cycle, []
    if len(cycle.timing.seconds) > 1 and cycle.watched is not None:
        dots = [Dot(float(at), seconds) for at, seconds in zip(cycle.timing.cycles, cycle.timing.seconds, strict=True)]
        found.append(_chart("a whole cycle", dots, cycle.watched, cycle.timing, drifts=False, prefix="cycle"))
    for one, drifts in list(zip(result.elements, result.drifting, strict=True))[:MOST_CHARTS]:
        if len(one.counted) < 2 or one.observed is None:
            continue
        dots = [Dot(float(each.cycle), each.seconds, aside=each.aside) for each in (*one.counted, *one.aside)]
        dots.sort(key=lambda dot: float(dot.at))
        found.append(
            _chart(one.element.what, dots, one.observed, one.timing, drifts=drifts, prefix=f"element-{one.index}")
        )
    return tuple(charted(chart) for chart in found)


def _chart(what: str, dots: list[Dot], mean: Figure, timing: Timing, *, drifts: bool, prefix: str) -> Chart:
    slope = None
    if drifts and timing.drift is not None:
        # Theil's line goes through the middle of the readings.
        middle, height = median(timing.cycles), median(timing.seconds)
        ends = [
            (float(at), height + timing.drift.trend.slope * (at - middle))
            for at in (timing.cycles[0], timing.cycles[-1])
        ]
        slope = Sloping(ends[0], ends[1])
    said = f"{what}, cycle by cycle: mean {mean.short()}"
    return dots_in_order(
        dots,
        title=f"{what}: readings in the order of cycles",
        caption=f"{said}, and they drift." if drifts else f"{said}.",
        unit="s",
        across="cycle",
        mean=Level("mean", mean.value),
        band=mean.interval(),
        slope=slope,
        prefix=prefix,
    )


def _readings(timed: StudySheet) -> tuple[ReadingShown, ...]:
    return tuple(
        ReadingShown(
            number=number,
            cycle=one.cycle,
            element=element_words(one.element, timed.elements),
            seconds=seconds_words(one.seconds),
            rating="" if one.rating is None else percent(one.rating),
            aside=one.aside or ("foreign" if one.element < 0 else ""),
            note=one.note,
            who=one.who,
            when=_when(one.when),
            where=one.where,
        )
        for number, one in enumerate(timed.readings, 1)
    )


def _when(written: str) -> str:
    try:
        return moment(datetime.fromisoformat(written)) if "T" in written else written
    except ValueError:
        return written


def _history(notes: tuple[Note, ...]) -> tuple[Done, ...]:
    """Who did what and when, the same thing in a row told once; the latest first."""
    told: list[Done] = []
    for note in notes:
        what = SAID.get(note.kind, note.kind)
        again = told.pop().times if told and (told[-1].who, told[-1].what) == (note.who, what) else 0
        told.append(Done(who=note.who, what=what, when=note.taken, times=again + 1))
    return tuple(reversed(told[-MOST_TOLD:]))


def study_csv(key: Key, sheet: SheetKey, desk: AtDesk) -> Response:
    """Which readings were taken? To be taken away as CSV."""
    kept, _, timed = opened_study(desk, key, sheet)
    headers = {"Content-Disposition": f'attachment; filename="{kept.key}.csv"'}
    return Response(write_csv(timed).encode(), media_type=CSV, headers=headers)


def study_pdf(key: Key, sheet: SheetKey, desk: AtDesk) -> Response:
    """The study on paper: filled in, or empty for pencil where nothing was timed yet."""
    kept, _, timed = opened_study(desk, key, sheet)
    result = study_result(timed)
    figures = [(one.observed, one.cv, one.basic, one.standard) for one in result.elements]
    said = (*result.sentences, *_told(result)[0].sentences) if result.readings > 1 else ()
    made = study_sheet(timed, sentence=result.found if timed.readings else "", figures=figures, notes=said)
    return Response(made, media_type=PDF, headers={"Content-Disposition": f'inline; filename="{kept.key}.pdf"'})


def register(pages: Pages) -> None:
    """Add the page of a study and its files."""
    pages.file("/lines/{key}/studies/{sheet}/readings.csv", study_csv, CSV)
    pages.file("/lines/{key}/studies/{sheet}/sheet.pdf", study_pdf, PDF)
    pages.page("/lines/{key}/studies/{sheet}", study, "study.html")
