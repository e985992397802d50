"""The study sheet: a time study on paper, filled in, or empty for pencil and stopwatch where no phone is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from pullwright.draw.ink import FAINT, INK, PENCIL
from pullwright.figure import Figure, number_text
from pullwright.line.kinds import BY_KEY
from pullwright.paper.page import FACE, FACE_OF_COMMANDS
from pullwright.paper.press import press_with_letters
from pullwright.paper.words import figure_words, minute_words, printable
from pullwright.watch.study.sheet import StudySheet, TimedReading

TEMPLATE = "study_sheet.typ"
CYCLES_IN_A_ROW = 15
"""Cycles that stand beside each other on one sheet."""
EMPTY_CYCLES, EMPTY_IN_A_ROW = 20, 10
"""An empty sheet has wide cells, to write in."""
WAYS = {"manual": "by hand", "machine": "machine", "walking": "on foot"}
COLUMNS = ("", "element", "work", "what it is for", "once in", "readings", "mean", "cv", "basic time", "standard time")
CAUTION = "Caution: stand clear of moving machines, trucks and loads while you time; local rules and licensed practice come first."
EMPTY_NOTES = (
    "One column a cycle. Write the time of each element in seconds, or the clock at its end and take the difference later.",
    "Something that does not belong to the work: write it down with its time and why, and set a ring round it. It is kept.",
    "Rating: 100 is the pace of somebody trained who keeps it up all day. Ask the person first, and say what it is for.",
)


def study_sheet(
    sheet: StudySheet,
    *,
    sentence: str = "",
    figures: Sequence[Sequence[Figure | None]] = (),
    notes: Sequence[str] = (),
    printed: datetime | None = None,
) -> bytes:
    """What was timed, element by element and cycle by cycle, on paper; a sheet to fill in where nothing was timed yet.

    Parameters: `sheet`, the study; `sentence`, what it found; `figures`, for each element the observed mean (s), its cv,
    the basic time and the standard time (s), None where there is none; `notes`, sentences beside the allowances;
    `printed`, the date on the sheet (now, if nothing is said).
    Result: a PDF (PDF/UA-1), A4 landscape, as many pages as the readings take; the same study gives the same bytes.
    Errors: PrintError where the press fails.

    >>> from pullwright.watch.study.sheet import TimedElement
    >>> study = StudySheet("T-015", (TimedElement("load the casting"), TimedElement("turn", "machine", "value")))
    >>> study_sheet(study, printed=datetime(2026, 3, 2))[:5]
    b'%PDF-'
    """
    when = printed or datetime.now().astimezone().replace(second=0, microsecond=0)
    said = _contents(sheet, sentence, figures, notes, when)
    return press_with_letters(TEMPLATE, lambda missing: said | {"missing": missing}, when)


def _contents(
    sheet: StudySheet,
    sentence: str,
    figures: Sequence[Sequence[Figure | None]],
    notes: Sequence[str],
    when: datetime,
) -> dict[str, Any]:
    empty = not sheet.readings
    said = sentence or ("An empty sheet: fill it in at the station." if empty else f"{len(sheet.readings)} readings.")
    return {
        "title": printable(f"Time study {sheet.name}"),
        "sentence": printable(said),
        "facts": [[name, printable(words)] for name, words in _facts(sheet, when, empty) if words or empty],
        "empty": empty,
        "faces": [FACE, FACE_OF_COMMANDS],
        "inks": {"ink": INK, "pencil": PENCIL, "faint": FAINT},
        "columns": list(COLUMNS[:5] if empty else COLUMNS),
        "elements": [_element(sheet, number, figures)[: 5 if empty else None] for number in range(len(sheet.elements))],
        "blocks": list(_blocks(sheet, empty)),
        "aside": [_aside(sheet, reading) for reading in sheet.readings if reading.aside or reading.element < 0],
        "allowances": [[printable(one.words or one.key), _percent(one.share)] for one in sheet.allowances],
        "allowed": "" if empty else _percent(sum(one.share for one in sheet.allowances)),
        "notes": [printable(note) for note in (notes or (EMPTY_NOTES if empty else ()))],
        "caution": CAUTION,
    }


def _facts(sheet: StudySheet, when: datetime, empty: bool) -> list[tuple[str, str]]:
    return [
        ("of", sheet.of),
        ("line", sheet.line),
        ("station", sheet.station),
        ("step", sheet.step),
        ("product", sheet.product),
        ("on", sheet.on),
        ("timed by", sheet.who),
        ("rating", "" if empty else f"{number_text(sheet.rating * 100, 0)} (100 is standard)"),
        ("printed", minute_words(when)),
    ]


def _element(sheet: StudySheet, number: int, figures: Sequence[Sequence[Figure | None]]) -> list[Any]:
    element = sheet.elements[number]
    shown = figures[number] if number < len(figures) else ()
    cells = [figure_words(figure, "") if figure else "" for figure in (*shown, None, None, None, None)[:4]]
    counted = sum(1 for one in sheet.readings if one.element == number and not one.aside)
    every = "" if element.every == 1 else f"{element.every} cycles"
    kind = BY_KEY[element.kind].words
    words = [str(number + 1), printable(element.what), WAYS[element.work], kind, every, str(counted or "")]
    return [*words, *cells]


def _blocks(sheet: StudySheet, empty: bool) -> Iterable[dict[str, Any]]:
    """The readings, so many cycles beside each other; readings in brackets are set aside."""
    cycles = sorted({one.cycle for one in sheet.readings}) or list(range(1, EMPTY_CYCLES + 1))
    cells: dict[tuple[int, int], list[str]] = {}
    for one in sheet.readings:
        shown = number_text(one.seconds, 1)
        cells.setdefault((one.element, one.cycle), []).append(f"({shown})" if one.aside else shown)
    foreign = [-1] if empty or any(one.element < 0 for one in sheet.readings) else []
    across = EMPTY_IN_A_ROW if empty else min(CYCLES_IN_A_ROW, len(cycles))
    for first in range(0, len(cycles), across):
        block = cycles[first : first + across]
        blank = [""] * (across - len(block))
        rows = []
        for number in (*range(len(sheet.elements)), *foreign):
            what = "foreign to the work" if number < 0 else sheet.elements[number].what
            mark = "" if number < 0 else str(number + 1)
            rows.append([mark, printable(what), *(" ".join(cells.get((number, cycle), [])) for cycle in block), *blank])
        if empty:
            rows.append(["", "rating", *("" for _ in block), *blank])
        yield {"cycles": [*map(str, block), *blank], "rows": rows}


def _aside(sheet: StudySheet, reading: TimedReading) -> list[str]:
    what = "foreign to the work" if reading.element < 0 else sheet.elements[reading.element].what
    why = " ".join(part for part in (reading.aside, reading.note) if part)
    return [printable(what), str(reading.cycle), number_text(reading.seconds, 1), printable(why)]


def _percent(share: float) -> str:
    return f"{number_text(share * 100, 1)} %"
