"""The page of a tour: the plan of its moments with the next round first, and what the looks found so far."""

from __future__ import annotations

from datetime import datetime

from pydantic import Field as Kept
from starlette.responses import Response

from pullwright.line.kinds import KINDS
from pullwright.record import Sheet
from pullwright.watch.sample.csv_file import write_looks
from pullwright.watch.sample.looks import Tour
from pullwright.web.charted import Charted
from pullwright.web.desk import AtDesk
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, head_of, open_sheet, watched
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Piece, Table
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.tour_numbers import Seen, numbers_of
from pullwright.web.tours import places_on, tour_on

CSV = "text/csv"


class PlannedRound(Piece):
    """One round of the plan: when it was drawn for, how many looks were taken on it, and where it is walked."""

    number: int
    at: datetime
    looks: int
    late: bool
    href: str


class TourPage(AboutLine):
    """A tour: its plan, and its results as far as looks were taken."""

    sheet: SheetHead
    next_round: PlannedRound | None
    rounds: tuple[PlannedRound, ...]
    looks: int
    places_looked_at: int
    sentences: tuple[str, ...]
    shares: Table | None
    by_station: tuple[Seen, ...]
    by_hour: tuple[Seen, ...]
    of_interest: str
    charts: tuple[Charted, ...]
    acts: tuple[Crumb, ...] = Kept(default=(), exclude=True)


def tour(key: Key, sheet: SheetKey, desk: AtDesk) -> TourPage:
    """When is the next round, and what did the looks find so far, how sure, and how many more are worth taking?"""
    opened = open_line(desk, key)
    kept = open_sheet(desk, key, sheet, "sample")
    walked = tour_on(kept, desk.record.notes(kept.key))
    now = datetime.now().astimezone().replace(tzinfo=None)
    rounds = _rounds(address_of(kept), walked, now)
    numbers = numbers_of(walked, kept.body, why=address_of(kept, "why"))
    kind = kept.body.get("kind")
    return TourPage(
        name=kept.title,
        found=Found(text=numbers.found if numbers else _planned(walked)),
        trail=(*opened.trail(), watched(key)),
        places=opened.places(""),
        sheet=head_of(kept),
        next_round=_next(rounds, now),
        rounds=rounds,
        looks=len(walked.looks),
        places_looked_at=len(places_on(kept.body, walked.rounds[0])) if walked.rounds else 0,
        sentences=(numbers.enough, *numbers.differs) if numbers else (),
        shares=numbers.shares if numbers else None,
        by_station=numbers.by_station if numbers else (),
        by_hour=numbers.by_hour if numbers else (),
        of_interest=next((one.words for one in KINDS if one.key == kind), "waiting"),
        charts=numbers.charts if numbers else (),
        acts=_acts(kept, seen=bool(walked.looks)),
        **about(opened),
    )


def _planned(walked: Tour) -> str:
    count = len(walked.rounds)
    return f"{count} {'round is' if count == 1 else 'rounds are'} drawn at random moments; nothing was seen yet."


def _rounds(base: str, walked: Tour, now: datetime) -> tuple[PlannedRound, ...]:
    taken: dict[int, int] = {}
    for look in walked.looks:
        taken[look.round] = taken.get(look.round, 0) + 1
    return tuple(
        PlannedRound(
            number=one.number,
            at=one.at,
            looks=taken.get(one.number, 0),
            late=one.at < now and not taken.get(one.number),
            href=f"{base}/rounds/{one.number}",
        )
        for one in walked.rounds
    )


def _next(rounds: tuple[PlannedRound, ...], now: datetime) -> PlannedRound | None:
    coming = next((one for one in rounds if not one.looks and one.at >= now), None)
    return coming or next((one for one in reversed(rounds) if not one.looks), None)


def _acts(kept: Sheet, *, seen: bool) -> tuple[Crumb, ...]:
    strike = Crumb(
        words="Take the striking back" if kept.struck else "Strike this tour", href=address_of(kept, "strike")
    )
    if not seen:
        return (strike,)
    into = Crumb(words="Put the shares into the line", href=address_of(kept, "into-line"))
    return (into, Crumb(words="The looks as CSV", href=address_of(kept, "looks.csv")), strike)


def tour_looks(key: Key, sheet: SheetKey, desk: AtDesk) -> Response:
    """What was seen, look by look, as a table to be taken away?"""
    kept = open_sheet(desk, key, sheet, "sample")
    text = write_looks(tour_on(kept, desk.record.notes(kept.key)).looks)
    headers = {"Content-Disposition": f'attachment; filename="{kept.key}-looks.csv"'}
    return Response(text.encode(), media_type=CSV, headers=headers)


def register(pages: Pages) -> None:
    """Add the page of a tour, and its looks as a file."""
    pages.file("/lines/{key}/tours/{sheet}/looks.csv", tour_looks, CSV)
    pages.page("/lines/{key}/tours/{sheet}", tour, "tour.html")
