"""Activity sampling: planning a tour of rounds at moments drawn at random, and the page of a tour with what it found."""

from __future__ import annotations

import re
import secrets
from datetime import date, datetime, timedelta
from typing import Annotated

from fastapi import Query
from pydantic import Field as Kept

from pullwright.line import Line
from pullwright.line.kinds import BY_KEY, KindKey
from pullwright.record.limits import LIMITS
from pullwright.watch.misread import SampleError
from pullwright.watch.sample.enough import rounds_for
from pullwright.watch.sample.looks import Tour
from pullwright.watch.sample.plan import plan_rounds
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import address_of, watched
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.tours import MOST_ROUNDS, Place, PlacesError, body_of, read_places

Wanted = Annotated[
    str, Query(max_length=40, description="The kind of work that is of most interest.", examples=["waiting"])
]
LONGEST = 92
"""Days over which a tour may be spread."""

KIND_CHOICES = tuple((kind.key, kind.words) for kind in BY_KEY.values() if kind.key != "unexplained")
PLAN = Form(
    "plan-rounds",
    Field("title", "What the tour is called", hint="It stands in the list of what was watched.", most=LIMITS["title"].most),
    Field("who", "Who walks", hint="The name of a post, or the name that people on the floor know you by.",
          most=LIMITS["who"].most, autocomplete="name"),
    Field("first", "First day", hint="Year, month, day: 2025-03-04.", most=10),
    Field("last", "Last day", hint="Rounds are drawn in the paid time of all days in between.", most=10),
    Field("rounds", "How many rounds", hint="Left empty, as many as make the share below as sure as is wished.",
          required=False, most=4),
    Field("half_width", "Or how sure: half the width of the interval", hint="In per cent of all looks: 5 means a share of 20 % comes out as 15 to 25.",
          required=False, most=8),
    Field("kind", "For the share of", hint="What is of most interest.", kind="choice", choices=KIND_CHOICES, most=20),
    Field("stations", "Stations to look at", kind="text", most=20_000,
          hint="One a line. A number behind a colon says how many people are looked at there, as in assembly bench: 2."),
)  # fmt: skip


class PlanPage(AboutLine, FormPage):
    """A tour of rounds that is to be planned."""

    action: str = Kept(exclude=True)
    back: str = Kept(exclude=True)


def plan_tour(key: Key, desk: AtDesk, seen: Wanted = "waiting") -> PlanPage:
    """When are rounds to be walked, past whom, and how many of them?"""
    opened = open_line(desk, key)
    line = opened.survey.line
    today = datetime.now().astimezone().date()
    kind = seen if seen in dict(KIND_CHOICES) else "waiting"
    return PlanPage(
        name="Plan a tour of rounds",
        found=Found(
            text="Walk past at moments that nobody chose, look once at each person, and note what you see: "
            "the shares of the looks are the shares of the time."
        ),
        trail=(*opened.trail(), watched(key)),
        places=opened.places(""),
        action=opened.line_way.part("tours/new"),
        back=opened.line_way.part("watch"),
        start={
            "title": f"Rounds from {today.day} {today:%B %Y}",
            "first": today.isoformat(),
            "last": (today + timedelta(days=4)).isoformat(),
            "half_width": "5",
            "kind": kind,
            "stations": _stations(line),
        },
        **about(opened),
    )


def _stations(line: Line) -> str:
    """Return the stations in the order of the work, each with the people who attend there."""
    people: dict[str, int] = {}
    for step in line.steps:
        people[step.station] = max(people.get(step.station, 1), step.people)
    for station in line.stations:
        people.setdefault(station.name, 1)
    return "\n".join(name if number == 1 else f"{name}: {number}" for name, number in people.items())


def begin_tour(page: PlanPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Draw the moments and keep the plan."""
    typed = {name: value.strip() for name, value in filled.typed.items()}
    line = open_line(desk, page.key).survey.line
    errors: dict[str, str] = {}
    places: tuple[Place, ...] = ()
    try:
        places = read_places(typed["stations"], [station.name for station in line.stations])
    except PlacesError as error:
        errors["stations"] = str(error)
    first, last = (_day(typed, name, errors) for name in ("first", "last"))
    if first and last and not timedelta(0) <= last - first < timedelta(days=LONGEST):
        errors["last"] = (
            f"{typed['first']} to {typed['last']} was read; a tour takes 1 to {LONGEST} days, the last not before the first."
        )
    rounds = _whole(typed, errors)
    half_width = _half_width(typed, errors)
    if rounds is None and half_width is None and not {"rounds", "half_width"} & set(errors):
        errors["rounds"] = "Say how many rounds, or how sure the share is to be."
    if errors or first is None or last is None:
        return filled.back(errors)
    kind: KindKey = next(key for key in BY_KEY if key == typed["kind"])
    if rounds is None and half_width is not None:
        rounds = rounds_for(_known_share(line, kind), half_width, len(places))
        if rounds > MOST_ROUNDS:
            return filled.back(
                {
                    "half_width": f"{rounds:,} rounds would be needed for that; at most {MOST_ROUNDS} are planned at once. "
                    "Take a wider interval."
                }
            )
    seed = secrets.randbelow(2**31)
    stations = tuple(dict.fromkeys(place.station for place in places))
    try:
        plan = plan_rounds(line.work_calendar, first, last, rounds or 1, stations, seed=seed, within="paid")
    except SampleError as error:
        return filled.back({"rounds": f"{error}."})
    tour = Tour(typed["title"], plan, line=page.key, seed=seed)
    body = body_of(tour, places, half_width=half_width, kind=kind)
    sheet = desk.record.begin_sheet("sample", typed["title"], body, typed["who"], line=page.key)
    return Done(address_of(sheet))


def _known_share(line: Line, kind: KindKey) -> float:
    """Return what earlier looks at this line say of a share; where nobody looked, the half, at which most looks are needed."""
    looks = sum(sample.looks for sample in line.samples)
    return sum(int(getattr(sample, kind, 0)) for sample in line.samples) / looks if looks else 0.5


def _day(typed: dict[str, str], name: str, errors: dict[str, str]) -> date | None:
    try:
        found = date.fromisoformat(typed[name])
    except ValueError:
        errors[name] = f"{typed[name]!r} was read; allowed is a day as year, month, day: 2025-03-04."
        return None
    if not 2000 <= found.year <= 2200:
        errors[name] = f"{typed[name]!r} was read; allowed are days from 2000 to 2200."
        return None
    return found


def _whole(typed: dict[str, str], errors: dict[str, str]) -> int | None:
    if not typed["rounds"]:
        return None
    if re.fullmatch(r"[0-9]{1,4}", typed["rounds"]) and 1 <= int(typed["rounds"]) <= MOST_ROUNDS:
        return int(typed["rounds"])
    errors["rounds"] = f"{typed['rounds']!r} was read; allowed are 1 to {MOST_ROUNDS} rounds."
    return None


def _half_width(typed: dict[str, str], errors: dict[str, str]) -> float | None:
    if not typed["half_width"]:
        return None
    plain = typed["half_width"].removesuffix("%").strip().replace(",", ".")
    if re.fullmatch(r"[0-9]{1,2}(\.[0-9]{1,3})?", plain) and 0.5 <= float(plain) <= 40:
        return float(plain) / 100
    errors["half_width"] = f"{typed['half_width']!r} was read; allowed are 0.5 to 40 %."
    return None


def register(pages: Pages) -> None:
    """Add the page on which a tour is planned."""
    pages.form("/lines/{key}/tours/new", plan_tour, "tour_new.html", form=PLAN, act=begin_tour)
