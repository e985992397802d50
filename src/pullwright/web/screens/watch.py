"""What was watched at a line, and what to watch next: the way from a doubt to the place where it is settled."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from pydantic import Field as Kept

from pullwright.draw.charts.ticks import number_words
from pullwright.record import Note, Sheet
from pullwright.watch.study.result import study_result
from pullwright.web.counting import counted_sentence, counts_on
from pullwright.web.desk import AtDesk
from pullwright.web.line_sheets import SheetHead, head_of
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Piece, Watch
from pullwright.web.screens.about_line import AboutLine, about, watch
from pullwright.web.studies import study_on
from pullwright.web.tours import tour_on

MOST_ADVICE = 6
MOST_TOLD = 40
"""Sheets whose notes are read to say what was found; older ones say how many notes they have."""


class SheetLine(Piece):
    """One sheet in the list: what it is, what was found so far, and when something was last noted."""

    head: SheetHead
    found: str
    last: datetime | None = None


class WatchPage(AboutLine):
    """All that was watched at a line, the newest first, and what to watch next."""

    watch: tuple[Watch, ...]
    sheets: tuple[SheetLine, ...]
    struck: tuple[SheetLine, ...]
    begin: tuple[Crumb, ...] = Kept(default=(), exclude=True)


def watched_at(key: Key, desk: AtDesk) -> WatchPage:
    """What was watched at this line, by whom and when, and what should be watched next?"""
    opened = open_line(desk, key)
    survey = opened.worked_out.survey
    kept = desk.record.sheets(line=key, struck=True)
    lines = [_line(desk, sheet, told=at < MOST_TOLD) for at, sheet in enumerate(kept)]
    counting = tuple(line for line in lines if not line.head.struck)
    advice = (
        ()
        if survey is None
        else opened.worked_out.once(f"watch next {MOST_ADVICE}", lambda: survey.watch_next(MOST_ADVICE))
    )
    shown = () if survey is None else watch(opened, advice)
    return WatchPage(
        name="Watch",
        found=Found(text=_found(counting, shown)),
        trail=opened.trail(),
        places=opened.places("Watch"),
        watch=shown,
        sheets=counting,
        struck=tuple(line for line in lines if line.head.struck),
        begin=(
            Crumb(words="Begin a time study", href=opened.line_way.part("studies/new")),
            Crumb(words="Plan a tour of rounds", href=opened.line_way.part("tours/new")),
            Crumb(words="Begin a round of counting", href=opened.line_way.part("counts/new")),
        ),
        **about(opened),
    )


def _found(sheets: tuple[SheetLine, ...], advice: tuple[Watch, ...]) -> str:
    if not sheets:
        text = "Nothing was watched here yet."
    else:
        words = [line.head.words for line in sheets]
        told = [_many(words.count(word), word) for word in dict.fromkeys(words)]
        text = f"Watched so far: {_listed(told)}."
    first = next((one for one in advice if one.begin and one.gain > 0), None)
    if first is not None and first.begin is not None:
        surer = number_words(first.gain, "share", 2)
        text += f" Next: {first.begin.words[:1].lower()}{first.begin.words[1:]}; that makes {first.about.name} surer by {surer}."
    return text


def _many(count: int, words: str) -> str:
    if count == 1:
        return f"1 {words}"
    first, _, rest = words.partition(" ")
    if rest.startswith("of "):
        return f"{count} {first}s {rest}"
    return f"{count} {'time studies' if words == 'time study' else words + 's'}"


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _line(desk: AtDesk, sheet: Sheet, *, told: bool) -> SheetLine:
    notes = desk.record.notes(sheet.key) if told and sheet.notes else ()
    return SheetLine(
        head=head_of(sheet),
        found=_told(sheet, notes) if told else f"{sheet.notes} notes",
        last=notes[-1].taken if notes else None,
    )


def _told(sheet: Sheet, notes: Sequence[Note]) -> str:
    if sheet.kind == "sample":
        tour = tour_on(sheet, notes)
        walked = len({look.round for look in tour.looks})
        return f"{walked} of {len(tour.rounds)} rounds walked, {_many(len(tour.looks), 'look')}"
    if sheet.kind == "count":
        return counted_sentence(counts_on(sheet, notes))
    if sheet.kind == "study":
        return study_result(study_on(sheet, notes)).found
    return _many(len(notes), "note")


def register(pages: Pages) -> None:
    """Add the page of what was watched."""
    pages.page("/lines/{key}/watch", watched_at, "watch.html")
