"""The rest sheet: the rest of today's box on one page, for whoever makes it."""

from __future__ import annotations

from datetime import datetime
from itertools import groupby
from typing import Any

from pullwright.draw.ink import FAINT, INK, LOOK, PENCIL
from pullwright.paper.page import FACE, FACE_OF_COMMANDS
from pullwright.paper.press import press_with_letters
from pullwright.paper.words import minute_words, printable
from pullwright.pull.sequence.day_box import shown
from pullwright.survey.planned.rest import SlotToCome, ToldRest, slots_to_come

TEMPLATE = "rest_sheet.typ"
SETTINGS = ((22, 1), (20, 1), (18, 1), (16, 1), (14, 1), (12.5, 1), (11, 1), (12, 2), (10.5, 2), (9.5, 2), (8.5, 2), (9, 3), (8, 3), (7, 3))  # fmt: skip
"""Sizes of letters (points) and columns that are tried, the best first; with the last one, what has no room is left out and said."""
MOST_BOXES = 16
"""A run of more pieces than this has no boxes to tick."""


def rest_sheet(told: ToldRest, *, wished: str = "", printed: datetime | None = None) -> bytes:
    """What is to be made from now on today, slot by slot and in which order? On one page, to take to the line.

    Parameters: `told`, the rest of the day; `wished`, what is wished otherwise than in the line file (may be empty); `printed`, the date and time on the
    sheet (now, if nothing is said). Result: a PDF (PDF/UA-1) of one page of A4, upright; the same rest and time give the same bytes. Letters are as
    large as there is room; of a day with very many slots the last ones are left out, and the sheet says so.
    Errors: PrintError where the press fails.
    """
    when = printed or datetime.now().astimezone().replace(second=0, microsecond=0)
    said = _contents(told, wished, when)
    return press_with_letters(TEMPLATE, lambda missing: said | {"missing": missing}, when)


def _contents(told: ToldRest, wished: str, when: datetime) -> dict[str, Any]:
    rest = told.rest
    day, line = rest.day, rest.planning.flow.line
    since = f"{rest.begun.now:%H:%M}" if rest.begun.now else "now"
    notes = (
        [f"{'1 piece is' if day.done == 1 else f'{day.done} pieces are'} finished and left out."] if day.done else []
    )
    if rest.begun.lost:
        notes.append(next(one for one in day.said if " lost and " in one))
    if day.pacer and day.set_ups.value:
        notes.append(
            f"{day.pacer} is set up anew at every change of product"
            + (f"; it stands ready for {rest.begun.on}." if rest.begun.on else ".")
        )
    return {
        "title": printable(f"The rest of today: {line.line}"),
        "span": f"from {since} until {shown(rest.ends)}",
        "sentence": printable(told.chapter.sentence),
        "look": told.chapter.look,
        "invented": line.invented,
        "wished": printable(wished),
        "printed": minute_words(when),
        "notes": [printable(one) for one in notes],
        "faces": [FACE, FACE_OF_COMMANDS],
        "inks": {"ink": INK, "pencil": PENCIL, "faint": FAINT, "look": LOOK},
        "settings": [list(one) for one in SETTINGS],
        "slots": [_slot(one, rest.ends_usually) for one in slots_to_come(rest)],
        "left_over": [[str(n), printable(name)] for name, n in day.left_over.items()],
    }


def _slot(one: SlotToCome, usual: float) -> dict[str, Any]:
    slot = one.slot
    return {
        "number": f"slot {one.number}",
        "from": shown(slot.start).removesuffix(" next day"),
        "to": shown(slot.end).removesuffix(" next day"),
        "done": f"{slot.done} done" if slot.done else "",
        "look": "overtime" if slot.end > usual + 30 else "",
        "same": one.same,
        "runs": [*_runs(one.pieces[: one.started], started=True), *_runs(one.pieces[one.started :], started=False)],
    }


def _runs(pieces: tuple[str, ...], *, started: bool) -> list[dict[str, Any]]:
    counted = [(name, sum(1 for _ in same)) for name, same in groupby(pieces)]
    return [
        {"pieces": n, "product": printable(name), "boxes": n if n <= MOST_BOXES else 0, "started": started}
        for name, n in counted
    ]
