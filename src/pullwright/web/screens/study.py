"""What a time study says: its times with their whys, its readings with those that are set aside, its order in time, what is missing."""

from __future__ import annotations

from pydantic import Field as Kept
from starlette.responses import Response

from pullwright.draw.charts import Dot, Level, dots_in_order
from pullwright.figure import Figure
from pullwright.paper.study_sheet import study_sheet
from pullwright.record import Note, Sheet
from pullwright.watch.study.csv_file import write_csv
from pullwright.watch.study.result import StudyResult, study_result
from pullwright.watch.study.sheet import StudySheet
from pullwright.web.charted import Charted, charted
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.inked import inked
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, head_of, open_sheet, watched
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Piece, Row, Shown, Table
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.studies import WORK_WORDS, study_on
from pullwright.web.way import Way

CSV, PDF = "text/csv", "application/pdf"
MOST_CHARTS = 8
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
    who: str
    when: str
    where: str


class StudyPage(AboutLine):
    """One time study and what it says."""

    sheet: SheetHead
    sentences: tuple[str, ...] = ()
    enough: tuple[str, ...] = ()
    headline: tuple[Shown, ...] = ()
    elements: Table | None = None
    kinds: Table | None = None
    charts: tuple[Charted, ...] = ()
    readings: tuple[ReadingShown, ...] = ()
    history: tuple[tuple[str, str, str, int], ...] = ()
    shape: str = ""
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
    parts = (
        ("Go on with the stopwatch", "stopwatch"),
        ("Correct readings", "readings"),
        ("Rating and allowances", "terms"),
    )
    more = (("Put into the line", "into-line"),) if result.readings else ()
    files = (("Readings as CSV", "readings.csv"), ("Print the sheet", "sheet.pdf"))
    last = (("Take it back" if kept.struck else "Strike it", "strike"),)
    return StudyPage(
        name=timed.name,
        found=Found(text=result.found, look=any(result.drifting)),
        trail=(*opened.trail(), watched(key)),
        places=opened.places(""),
        sheet=head_of(kept),
        sentences=result.sentences,
        enough=_enough(result),
        headline=_headline(result, way),
        elements=_elements(result, way) if timed.elements else None,
        kinds=_kinds(result, way) if result.account else None,
        charts=_charts(result),
        readings=_readings(timed),
        history=_history(notes),
        shape=_shape(result),
        acts=tuple(Crumb(words=words, href=address_of(kept, part)) for words, part in (*parts, *more, *files, *last)),
        **about(opened),
    )  # fmt: skip


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
                _count(result.readings),
                _shown(result.cycle.observed, way),
                _shown(result.cycle.cv, way),
                _shown(result.cycle.basic, way),
                None,
                _shown(result.cycle.standard, way),
            ),
        ),
    )


def _count(number: int) -> Shown:
    return Shown(
        name="readings that count", value=float(number), unit="readings", low=None, high=None, number=str(number)
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


def _enough(result: StudyResult) -> tuple[str, ...]:
    said = []
    if result.cycle.timing.enough is not None:
        said.append(f"Whole cycles: {result.cycle.timing.enough.sentence('cycle')}")
    said += [
        f"{one.element.what}: {one.timing.enough.sentence('reading')}"
        for one in result.elements
        if one.timing.enough is not None and one.timing.enough.worth
    ]
    return tuple(said)


def _shape(result: StudyResult) -> str:
    shape = result.cycle.timing.shape
    return f"From cycle to cycle: {shape.sentence}." if shape is not None else ""


def _charts(result: StudyResult) -> tuple[Charted, ...]:
    found = []
    for one in result.elements[:MOST_CHARTS]:
        if len(one.counted) < 2:
            continue
        dots = sorted(
            [
                *(Dot(float(each.cycle), each.seconds) for each in one.counted),
                *(Dot(float(each.cycle), each.seconds, aside=each.aside) for each in one.aside),
            ],
            key=lambda dot: dot.at,
        )
        levels = () if one.observed is None else (Level("mean", one.observed.value),)
        chart = dots_in_order(
            dots,
            title=f"{one.element.what}: readings in the order of cycles",
            caption=f"{one.element.what}, cycle by cycle.",
            unit="s",
            across="cycle",
            levels=levels,
            prefix=f"element-{one.index}",
        )
        found.append(charted(chart))
    return tuple(found)


def _readings(timed: StudySheet) -> tuple[ReadingShown, ...]:
    return tuple(
        ReadingShown(
            number=number,
            cycle=one.cycle,
            element="something else" if one.element < 0 else timed.elements[one.element].what,
            seconds=f"{one.seconds:.1f} s",
            rating="" if one.rating is None else f"{one.rating * 100:.0f}",
            aside=(one.aside or ("foreign to the work" if one.element < 0 else ""))
            + (f" ({one.note})" if one.note else ""),
            who=one.who,
            when=one.when[:16].replace("T", ", "),
            where=one.where,
        )
        for number, one in enumerate(timed.readings, 1)
    )


def _history(notes: tuple[Note, ...]) -> tuple[tuple[str, str, str, int], ...]:
    """Who did what and when, the same thing in a row told once; the latest first."""
    told: list[list[object]] = []
    for note in notes:
        what = SAID.get(note.kind, note.kind)
        if told and told[-1][0] == note.who and told[-1][1] == what:
            told[-1][3] = int(str(told[-1][3])) + 1
            told[-1][2] = note.taken.isoformat(timespec="minutes")
        else:
            told.append([note.who, what, note.taken.isoformat(timespec="minutes"), 1])
    return tuple((str(who), str(what), str(when), int(str(count))) for who, what, when, count in reversed(told[-60:]))


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
    said = (*result.sentences, *_enough(result)) if timed.readings else ()
    made = study_sheet(timed, sentence=result.found if timed.readings else "", figures=figures, notes=said)
    return Response(made, media_type=PDF, headers={"Content-Disposition": f'inline; filename="{kept.key}.pdf"'})


def register(pages: Pages) -> None:
    """Add the page of a study and its files."""
    pages.file("/lines/{key}/studies/{sheet}/readings.csv", study_csv, CSV)
    pages.file("/lines/{key}/studies/{sheet}/sheet.pdf", study_pdf, PDF)
    pages.page("/lines/{key}/studies/{sheet}", study, "study.html")
