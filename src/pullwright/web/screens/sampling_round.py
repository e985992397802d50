"""One round of activity sampling, for a phone: at each place one tap on what is seen in the first instant."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Annotated

from fastapi import Path
from pydantic import Field as Kept
from starlette.requests import Request

from pullwright.line.kinds import KindKey
from pullwright.record.limits import LIMITS
from pullwright.survey.caution import caution_of
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, open_sheet
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Piece
from pullwright.web.problems import Problem
from pullwright.web.screens.about_line import AboutLine, about_sheet
from pullwright.web.tours import SEEN, TAKEN_BACK, look_notes, places_on, standing_looks, tour_on

RoundNumber = Annotated[int, Path(ge=1, le=10_000, description="The number of a round.", examples=[1])]
LOOKED = "seen-"
CHOICES = ((TAKEN_BACK, "not looked at yet"), *((key, words) for key, words, _ in SEEN))


class PlaceToLook(Piece):
    """One place of a round: the name of its field, its words, and what was seen there so far."""

    field: str
    words: str
    seen: str


class Seen(Piece):
    """One thing that may be seen: its key, its words, and the question beside it."""

    key: KindKey
    words: str
    question: str


class RoundPage(AboutLine, FormPage):
    """One round with its places; `before` and `after` are the rounds beside it."""

    sheet: SheetHead
    number: int
    rounds: int
    at: datetime
    to_look_at: tuple[PlaceToLook, ...]
    kinds: tuple[Seen, ...]
    looked: int
    caution: str
    action: str = Kept(exclude=True)
    before: str = Kept(default="", exclude=True)
    after: str = Kept(default="", exclude=True)
    back: str = Kept(exclude=True)


def round_of_tour(key: Key, sheet: SheetKey, number: RoundNumber, request: Request, desk: AtDesk) -> RoundPage:
    """What is to be looked at on this round, and what was seen so far?"""
    opened = open_line(desk, key)
    kept = open_sheet(desk, key, sheet, "sample")
    notes = desk.record.notes(kept.key)
    rounds = tour_on(kept, notes).rounds
    if number > len(rounds):
        raise Problem(404, f"round {number} of {len(rounds)}", allowed=f"Rounds 1 to {len(rounds)}.")
    looks = standing_looks(notes)
    places = tuple(
        PlaceToLook(
            field=f"{LOOKED}{at}",
            words=place.words,
            seen=str(found.body["seen"]) if (found := looks.get((number, place.station, place.person))) else "",
        )
        for at, place in enumerate(places_on(kept.body, rounds[number - 1]))
    )
    looked = sum(1 for place in places if place.seen)
    survey = opened.worked_out.survey
    base = address_of(kept)
    return RoundPage(
        name=f"Round {number}",
        found=Found(text=_found(number, len(rounds), rounds[number - 1].at, looked, len(places)), look=False),
        number=number,
        rounds=len(rounds),
        at=rounds[number - 1].at,
        to_look_at=places,
        kinds=tuple(Seen(key=key, words=words, question=question) for key, words, question in SEEN),
        looked=looked,
        caution=opened.worked_out.once("caution", lambda: caution_of(survey.line)) if survey else "",
        action=f"{base}/rounds/{number}",
        before=f"{base}/rounds/{number - 1}" if number > 1 else "",
        after=f"{base}/rounds/{number + 1}" if number < len(rounds) else "",
        back=base,
        start={"who": kept.who, **{place.field: place.seen for place in places}},
        **about_sheet(opened, kept),
    )


def _found(number: int, rounds: int, at: datetime, looked: int, places: int) -> str:
    when = f"{at:%A} {at.day} {at:%B} at {at:%H:%M}"
    what = "1 look" if places == 1 else f"{places} looks"
    if not looked:
        return f"Round {number} of {rounds}, drawn for {when}: {what} to take."
    if looked < places:
        return f"Round {number} of {rounds}: {looked} of {what} taken."
    return f"Round {number} of {rounds} is walked: {what} taken."


def round_form(page: RoundPage) -> Form:
    """Return the form of a round: who looks, what is seen at each place."""
    return Form(
        "round",
        Field("who", "Who looks", hint="The name of a post, or the name that people on the floor know you by.",
              most=LIMITS["who"].most, autocomplete="name"),
        *(
            Field(place.field, place.words, kind="choice", required=False, choices=CHOICES)
            for place in page.to_look_at
        ),
        Field("remark", "What else was seen", hint="Written on the looks that are noted with this button.",
              required=False, most=500),
        # Only the script sends these: the name of the note, and the moment at which it was taken.
        Field("uid", "Name of the note", kind="kept", required=False, most=60),
        Field("taken", "Moment of the look", kind="kept", required=False, most=20),
    )  # fmt: skip


def note_looks(page: RoundPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Note what was seen; a place that says what stands there already is not noted again."""
    who, typed = filled.typed["who"].strip(), filled.typed
    kept = desk.record.sheet(page.sheet.key)
    before = desk.record.notes(kept.key)
    looks = standing_looks(before)
    changed = [
        (place, typed[entry.field])
        for entry, place in zip(
            page.to_look_at, places_on(kept.body, tour_on(kept, before).rounds[page.number - 1]), strict=True
        )
        if (typed[entry.field] or not typed["uid"]) and typed[entry.field] != entry.seen
    ]
    uid = typed["uid"].strip()
    if uid and len(changed) > 1:
        return filled.back({"uid": "One name was sent for several looks; each look has a name of its own."})
    notes = [
        note
        for place, seen in changed
        for note in look_notes(
            page.number,
            place,
            seen,
            looks.get((page.number, place.station, place.person)),
            who=who,
            note=typed["remark"].strip(),
            uid=uid,
            taken=moment_of(typed["taken"]),
        )
    ]
    if notes:
        desk.record.write_notes(page.sheet.key, notes)
    if uid:
        return filled.shown_again("Noted.")
    if not notes and not page.looked:
        return filled.back(notice="Nothing was noted yet: tap what you see at one of the places.")
    left = sum(1 for entry in page.to_look_at if not typed[entry.field])
    return Done(page.action if left else page.back)


def moment_of(typed: str) -> datetime | None:
    """Return the moment that a phone wrote down, in thousandths of a second since 1970; None where it cannot be true.

    >>> moment_of("1741079700000").isoformat(), moment_of("soon"), moment_of("1")
    ('2025-03-04T09:15:00+00:00', None, None)
    """
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 14):
        return None
    taken = datetime.fromtimestamp(int(typed) / 1000, UTC)
    return taken if taken.year >= 2020 and taken <= datetime.now(UTC) + timedelta(minutes=10) else None


def register(pages: Pages) -> None:
    """Add the page of a round."""
    pages.form(
        "/lines/{key}/tours/{sheet}/rounds/{number}", round_of_tour, "round.html", form=round_form, act=note_looks
    )
