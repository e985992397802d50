"""A round of counting: what lies where, how far things go, what is not right; on a phone, saved piece by piece."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from typing import Annotated
from urllib.parse import quote

from fastapi import Query
from pydantic import Field as Kept

from pullwright.draw.charts import Bar, bars
from pullwright.draw.charts.ticks import number_words
from pullwright.line import Line
from pullwright.record import NewNote, Sheet
from pullwright.record.limits import LIMITS
from pullwright.survey.caution import caution_of
from pullwright.watch.count.results import defects_said, stock_said, ways_said
from pullwright.watch.count.sheet import CountSheet, DefectCount, StockCount, WayWalked
from pullwright.watch.misread import CountError
from pullwright.web.charted import Charted, charted
from pullwright.web.counting import (
    DEFECTS,
    STOCK,
    UNDO,
    WAY,
    counted_sentence,
    counts_on,
    defects_bodies,
    move_words,
    stock_body,
    store_of,
    store_words,
    way_body,
    wrong_of,
)
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import PRESSED, Field, Filled, Form
from pullwright.web.inked import inked
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, head_of, open_sheet, watched
from pullwright.web.opened import Key, Opened, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Crumb, Found, Piece, Row, Table
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.tours import new_uid

MOST_STORES, MOST_MOVES = 40, 16
"""Places and ways that have a field of their own; any other is typed by name."""
BACK = "back:"
SIDES = (("", "(no other place)"), ("before", "before a step"), ("after", "after the last step"), ("part", "of a part"))
Asked = Annotated[str, Query(max_length=400, description="What is to be counted first.")]

WHO = Field(
    "who", "Who counts", hint="The name of a post, or the name that people on the floor know you by.",
    most=LIMITS["who"].most, autocomplete="name",
)  # fmt: skip
NEW = Form(
    "new-count",
    Field("title", "What is counted", hint="It stands in the list of what was watched.", most=LIMITS["title"].most),
    WHO,
    Field("focus", "What is to be counted first", kind="kept", required=False, most=400),
)


class NewCountPage(AboutLine, FormPage):
    """A round of counting that begins; `first` says what is to be counted first."""

    first: str
    action: str = Kept(exclude=True)
    back: str = Kept(exclude=True)


def new_count(key: Key, desk: AtDesk, store: Asked = "", move: Asked = "", step: Asked = "") -> NewCountPage:
    """What is to be counted, and by whom?"""
    opened = open_line(desk, key)
    first = store or move or (f"what is not right at {step}" if step else "")
    today = datetime.now().astimezone()
    return NewCountPage(
        name="Begin a round of counting",
        found=Found(
            text="Count what lies where, how far things go, and what is not right; every number is kept as soon as it is sent."
            + (f" First: {first}." if first else "")
        ),
        trail=(*opened.trail(), watched(key)),
        places=opened.places(""),
        first=first,
        action=opened.line_way.part("counts/new"),
        back=opened.line_way.part("watch"),
        start={"title": f"Count of {today.day} {today:%B %Y}", "focus": first},
        **about(opened),
    )


def begin_count(page: NewCountPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Begin a sheet for what is counted."""
    body = {"name": filled.typed["title"].strip(), "line": page.key, "focus": filled.typed["focus"].strip()}
    sheet = desk.record.begin_sheet("count", filled.typed["title"], body, filled.typed["who"], line=page.key)
    return Done(address_of(sheet))


class NotedLine(Piece):
    """One note as it stands on the sheet, in words, with who and when, and the name by which it is taken back."""

    uid: str
    what: str
    said: str
    who: str
    taken: datetime


class FieldBeside(Piece):
    """A place or a way that has a field: the name of the field, and what stands there already."""

    field: str
    words: str
    stood: str = ""


class CountPage(AboutLine, FormPage):
    """A round of counting: what stands on it, the fields for more, and the pictures."""

    sheet: SheetHead
    stores: tuple[FieldBeside, ...]
    moves: tuple[FieldBeside, ...]
    steps: tuple[str, ...]
    named: tuple[dict[str, str], ...] = Kept(default=(), exclude=True)
    noted: tuple[NotedLine, ...]
    charts: tuple[Charted, ...]
    figures: Table | None
    caution: str
    acts: tuple[Crumb, ...] = Kept(default=(), exclude=True)
    action: str = Kept(exclude=True)


def count(key: Key, sheet: SheetKey, desk: AtDesk) -> CountPage:
    """What was counted on this round, and what is still to be counted?"""
    opened = open_line(desk, key)
    kept = open_sheet(desk, key, sheet, "count")
    counted = counts_on(kept, desk.record.notes(kept.key))
    line = opened.survey.line
    return CountPage(
        name=kept.title,
        found=Found(text=_found(kept, counted)),
        trail=(*opened.trail(), watched(key)),
        places=opened.places(""),
        sheet=head_of(kept),
        stores=_stores(line, counted),
        moves=_moves(line, counted),
        steps=tuple(step.name for step in line.steps),
        named=tuple(store_of(store) for store in line.stores[:MOST_STORES]),
        noted=_noted(counted),
        charts=_charts(counted),
        figures=_figures(counted, address_of(kept, "why")),
        caution=opened.worked_out.once("caution", lambda: caution_of(line)),
        acts=_acts(opened, kept),
        action=address_of(kept),
        start={"who": kept.who},
        **about(opened),
    )


def _found(sheet: Sheet, counted: CountSheet) -> str:
    text = f"{sheet.title}: {counted_sentence(counted)[:1].lower()}{counted_sentence(counted)[1:]}."
    focus = str(sheet.body.get("focus", ""))
    return (
        f"{text} To be counted first: {focus}."
        if focus and not (counted.stocks or counted.ways or counted.defects)
        else text
    )


def _acts(opened: Opened, sheet: Sheet) -> tuple[Crumb, ...]:
    strike = Crumb(
        words="Take the striking back" if sheet.struck else "Strike this round", href=address_of(sheet, "strike")
    )
    return (Crumb(words="Put the counts into the line", href=address_of(sheet, "into-line")), strike)


def _stores(line: Line, counted: CountSheet) -> tuple[FieldBeside, ...]:
    last = {store_words({one.side: one.name}): one.pieces for one in counted.stocks}
    places = [store_words(store_of(store)) for store in line.stores[:MOST_STORES]]
    return tuple(
        FieldBeside(
            field=f"stock-{at}", words=words, stood=f"{number_words(last[words])} pieces" if words in last else ""
        )
        for at, words in enumerate(places)
    )


def _moves(line: Line, counted: CountSheet) -> tuple[FieldBeside, ...]:
    last = {f"{one.from_} to {one.to}": one.distance_m for one in counted.ways}
    return tuple(
        FieldBeside(field=f"way-{at}", words=words, stood=f"{number_words(last[words])} m" if words in last else "")
        for at, words in enumerate(move_words(move) for move in line.moves[:MOST_MOVES])
    )


def _noted(counted: CountSheet) -> tuple[NotedLine, ...]:
    def line(one: StockCount | WayWalked | DefectCount, what: str, said: str) -> NotedLine:
        return NotedLine(uid=one.uid, what=what, said=said, who=one.who, taken=one.at)

    lines = [line(one, one.place, f"{number_words(one.pieces)} pieces") for one in counted.stocks]
    lines += [line(one, f"{one.from_} to {one.to}", f"{number_words(one.distance_m)} m") for one in counted.ways]
    for one in counted.defects:
        said = f"{one.wrong} of {one.looked_at} not right" + (f": {one.what}" if one.what else "")
        lines.append(line(one, one.step, said))
    return tuple(sorted(lines, key=lambda one: one.taken, reverse=True))


def _charts(counted: CountSheet) -> tuple[Charted, ...]:
    found = []
    for at, one in enumerate(defects_said(counted)):
        if one.pareto:
            rows = [Bar(what, number) for what, number, _ in one.pareto]
            title = f"What was not right at {one.step}"
            chart = bars(
                rows, title=title, unit="pieces", caption=one.said, most_first=True, running=True, prefix=f"wrong-{at}"
            )
            found.append(charted(chart))
    said = stock_said(counted)
    if said:
        rows = [Bar(one.place, one.mean.value) for one in said]
        found.append(
            charted(
                bars(
                    rows,
                    title="What lay where",
                    unit="pieces",
                    caption="What lay where, on the mean of all counts.",
                    prefix="lay",
                )
            )
        )
    return tuple(found)


def _figures(counted: CountSheet, why: str) -> Table | None:
    rows = [(one.said, one.mean) for one in stock_said(counted)]
    rows += [(one.said, one.distance) for one in ways_said(counted)]
    rows += [(one.said, one.share) for one in defects_said(counted)]
    if not rows:
        return None
    return Table(
        caption="What the counts say; each number opens its why, down to the count",
        columns=("",),
        rows=tuple(
            Row(
                words=figure.name,
                question=said,
                figures=(inked(figure, why=f"{why}?figure={quote(figure.name, safe='')}"),),
            )
            for said, figure in rows
        ),
    )


def count_form(page: CountPage) -> Form:
    """Return the form of a round of counting: every field may stay empty, and what is typed is kept when it is sent."""
    steps = (("", "(no step)"), *((step, step) for step in page.steps))
    return Form(
        "count",
        WHO,
        *(Field(one.field, one.words, hint=f"So far {one.stood}." if one.stood else "", required=False, most=40)
          for one in (*page.stores, *page.moves)),
        Field("other_side", "Another place", kind="choice", required=False, choices=SIDES),
        Field("other_place", "Which step or part", required=False, most=400, known=page.steps),
        Field("other_pieces", "Pieces there", required=False, most=40),
        Field("from", "From", required=False, most=120, known=page.steps),
        Field("to", "To", required=False, most=120, known=page.steps),
        Field("far", "How far", hint="Metres or steps: 12 m, or 16 steps.", required=False, most=40),
        Field("batch", "Pieces at a time", required=False, most=12),
        Field("trips", "Trips a day", hint="Where somebody counted them.", required=False, most=12),
        Field("step", "After which step", kind="choice", required=False, choices=steps, most=400),
        Field("looked", "Pieces looked at", required=False, most=12),
        Field("wrong", "What was wrong", hint="One thing a line, with on how many pieces behind a colon: leaks at the seat: 3. "
              "Each piece counts once, under what was worst. Empty: all were right.", kind="text", required=False, most=4000),
        Field("again", "Of those not right, done again", hint="The rest is thrown away.", required=False, most=12),
        Field(PRESSED, "Button", required=False, most=120),
    )  # fmt: skip


def note_counts(page: CountPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Keep every number that was typed as a note of its own, or take one back."""
    typed, who = filled.typed, filled.typed["who"]
    if typed[PRESSED].startswith(BACK):
        uid = typed[PRESSED].removeprefix(BACK)
        if uid not in {one.uid for one in page.noted}:
            return filled.back(notice="Nothing was taken back: that note does not count any more.")
        desk.record.write_notes(page.sheet.key, [NewNote(new_uid(), UNDO, {"of": uid}, who, datetime.now(UTC))])
        return Done(page.action)
    found, errors = typed_notes(page, filled)
    if errors:
        return filled.back(errors)
    if not found:
        return filled.back(notice="Nothing was kept yet: type at least one number.")
    now = datetime.now(UTC)
    desk.record.write_notes(page.sheet.key, [NewNote(new_uid(), kind, body, who, now) for kind, body in found])
    return Done(page.action)


def typed_notes(page: CountPage, filled: Filled) -> tuple[list[tuple[str, dict[str, object]]], dict[str, str]]:
    """Return the notes in what was typed, and what is wrong with it by field; nothing is kept while anything is wrong."""
    typed = {name: value.strip() for name, value in filled.typed.items()}
    found: list[tuple[str, dict[str, object]]] = []
    errors: dict[str, str] = {}

    def put(field: str, kind: str, make: Callable[[], dict[str, object]]) -> None:
        if typed[field]:
            try:
                found.append((kind, make()))
            except CountError as error:
                errors[field] = f"{error}."

    for one, store in zip(page.stores, page.named, strict=True):
        put(one.field, STOCK, partial(stock_body, store, typed[one.field]))
    if typed["other_side"] or typed["other_place"] or typed["other_pieces"]:
        missing = [name for name in ("other_place", "other_pieces") if not typed[name]]
        errors |= dict.fromkeys(missing, "The place and how many lie there belong together.")
        if not missing:
            place = {typed["other_side"] or "before": typed["other_place"]}
            put("other_pieces", STOCK, partial(stock_body, place, typed["other_pieces"]))
    for one in page.moves:
        start, end = one.words.split(" to ", 1)
        put(one.field, WAY, partial(way_body, start, end, typed[one.field]))
    if typed["from"] or typed["to"] or typed["far"]:
        missing = [name for name in ("from", "to", "far") if not typed[name]]
        errors |= dict.fromkeys(missing, "From, to and how far belong together.")
        if not missing:
            put("far", WAY, partial(way_body, typed["from"], typed["to"], typed["far"], typed["batch"], typed["trips"]))
    if any(typed[name] for name in ("step", "looked", "wrong", "again")):
        _looked(typed, found, errors)
    return found, errors


def _looked(typed: dict[str, str], found: list[tuple[str, dict[str, object]]], errors: dict[str, str]) -> None:
    if not typed["step"]:
        errors["step"] = "Say after which step the pieces were looked at."
    numbers = {"looked": 0, "again": 0}
    for name in numbers:
        if name == "again" and not typed[name]:
            continue
        if re.fullmatch(r"[0-9]{1,7}", typed[name]):
            numbers[name] = int(typed[name])
        else:
            errors[name] = f"{typed[name][:40]!r} was read; allowed is a whole number of pieces, such as 180."
    if errors:
        return
    try:
        bodies = defects_bodies(typed["step"], numbers["looked"], wrong_of(typed["wrong"]), numbers["again"])
    except CountError as error:
        errors["wrong"] = f"{error}."
        return
    found += [(DEFECTS, body) for body in bodies]


def register(pages: Pages) -> None:
    """Add the pages of counting."""
    pages.form("/lines/{key}/counts/new", new_count, "count_new.html", form=NEW, act=begin_count)
    pages.form("/lines/{key}/counts/{sheet}", count, "count.html", form=count_form, act=note_counts)
