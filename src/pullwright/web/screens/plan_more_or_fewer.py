"""With more or fewer people: the shortest takt that each number of posts can keep, where efficiency is best, and the way back to a plan with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import Query
from pydantic import Field
from starlette.requests import Request

from pullwright.draw.charts import Chart, Dot, Level, dots_in_order
from pullwright.figure import N_DRAWS
from pullwright.pull.errors import BadPlanInput
from pullwright.survey.planned.more_or_fewer import ToldRange, checked_range, told_range, usual_range
from pullwright.survey.survey import UnknownFigureError
from pullwright.web.charted import Charted, charted
from pullwright.web.desk import AtDesk
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Piece, Shown, WhyNode
from pullwright.web.plan_pages import PlanAsked, PlanMatter, PlanTableShown, PlanWay, plan_asked
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.why import AskedDigest, AskedName
from pullwright.web.way import digest_of
from pullwright.web.why_tree import tree_of

HERE = "/more-or-fewer"
MINUTES = 120.0
"""Takts are drawn in minutes from so many seconds on."""
Fewest = Annotated[int | None, Query(ge=1, le=9999, description="From how many posts on; some below what is needed where nothing is said.", examples=[4])]  # fmt: skip
Most = Annotated[int | None, Query(ge=1, le=9999, description="Up to how many posts; some above what is needed where nothing is said.", examples=[10])]  # fmt: skip


class Number(Piece):
    """A number that can be planned: its words, its takt, and the plan with it."""

    words: str
    takt: str
    best: bool
    href: str = Field(exclude=True)


class MoreOrFewerPage(PlanMatter):
    """Number after number of posts; `refused` where nothing can be shared out."""

    fewest: int = 0
    most: int = 0
    tables: tuple[PlanTableShown, ...] = ()
    notes: tuple[str, ...] = ()
    chart: Charted | None = None
    numbers: tuple[Number, ...] = ()
    refused: str = ""
    action: str = Field(default="", exclude=True)
    typed: tuple[tuple[str, str], ...] = Field(default=(), exclude=True)


class MoreOrFewerWhyPage(PlanMatter):
    """Why one number of the range is what it is."""

    figure: Shown
    why: WhyNode
    back_href: str = Field(default="", exclude=True)


@dataclass(frozen=True)
class _Asked:
    """A range of numbers of posts for one plan."""

    ask: PlanAsked
    numbers: range

    @property
    def query(self) -> str:
        return urlencode([("fewest", self.numbers[0]), ("most", self.numbers[-1]), *self.ask.wished.typed.items()])

    @property
    def href(self) -> str:
        return f"{self.ask.opened.way.part(f'plan{HERE}')}?{self.query}"

    def told(self) -> ToldRange:
        """Worked out once for this text and these numbers."""
        worked_out = self.ask.worked_out

        def made() -> ToldRange:
            told = told_range(self.ask.planned.plan, self.numbers)
            worked_out.weight += 8 * N_DRAWS * len(told.figures)
            return told

        return worked_out.once(f"with {self.numbers[0]} to {self.numbers[-1]} posts", made)


def _asked(ask: PlanAsked, fewest: int | None, most: int | None) -> _Asked:
    """The range that is asked for; one end alone is filled up to the usual number of rows. Problem (422) where it is no range."""
    low, high = usual_range(ask.planned.plan)
    wide = high - low
    if fewest is not None or most is not None:
        low = fewest if fewest is not None else max(1, (most or 1) - wide)
        high = most if most is not None else low + wide
    try:
        return _Asked(ask, checked_range(low, high))
    except BadPlanInput as error:
        raise Problem(
            422, f"{low} to {high} posts", title="This is no range of numbers.", allowed=str(error).partition("allowed: ")[2],
            todo="Type both numbers again.", steps=(NextStep("More or fewer people", ask.part(HERE)),),
        ) from None  # fmt: skip


def plan_more_or_fewer(
    opened: Opened, request: Request, desk: AtDesk, fewest: Fewest = None, most: Most = None
) -> MoreOrFewerPage:
    """With more or fewer people, what is the shortest takt that they can keep, and where is efficiency best?

    Every wish of the address and of the line file holds; how many posts there may be is what is asked about.
    """
    ask = plan_asked(opened, request, desk)
    about = {
        **ask.about("More or fewer people"),
        "action": opened.way.part(f"plan{HERE}"),
        "typed": tuple(ask.wished.typed.items()),
    }
    try:
        asked = _asked(ask, fewest, most)
        told = asked.told()
    except BadPlanInput as error:
        return MoreOrFewerPage(**about, found=Found(text=f"There are no posts to plan: {error}", look=True), refused=str(error))  # fmt: skip
    way = PlanWay(opened.way.base, asked.query, f"plan{HERE}/why")
    chapter = told.chapter
    return MoreOrFewerPage(
        **about,
        found=Found(text=chapter.sentence, look=chapter.look),
        fewest=asked.numbers[0],
        most=asked.numbers[-1],
        tables=tuple(ask.table(table, way) for table in chapter.tables),
        notes=chapter.reasons,
        chart=_drawn(told),
        numbers=_numbers(ask, told),
    )


def _drawn(told: ToldRange) -> Charted | None:
    chart = _chart(told)
    return None if chart is None else charted(chart)


def _chart(told: ToldRange) -> Chart | None:
    """The shortest takt against the number of posts, and the takt that is asked for across it; None where there is but one."""
    rows = [(row.posts, row.takt.value) for row in told.found.rows if row.takt is not None]
    if len(rows) < 2:
        return None
    asked = told.found.asked
    unit, scale = ("min", 60.0) if max(takt for _, takt in rows) >= MINUTES else ("s", 1.0)
    return dots_in_order(
        [Dot(posts, takt / scale) for posts, takt in rows], title="Shortest takt", unit=unit, across="people" if told.one_each else "posts",
        caption="The shortest takt that each number can keep; the dashed line is the takt that is asked for.",
        levels=[Level(f"takt {asked.short()}", asked.value / scale)], from_zero=True, prefix="takts",
    )  # fmt: skip


def _numbers(ask: PlanAsked, told: ToldRange) -> tuple[Number, ...]:
    """The numbers that have a plan, each with the address of the plan at its shortest takt; one that keeps the takt anyway is planned for that."""
    found = told.found
    made = []
    for row in found.rows:
        if row.balance is None or row.takt is None:
            continue
        own = {"balance.posts": str(row.posts)}
        if row is not found.needed:
            own["balance.takt"] = f"{row.balance.takt:.3f}".rstrip("0").rstrip(".") + " s"
        query = urlencode({**ask.wished.typed, **own})
        takt = found.asked.short() if row is found.needed else row.takt.short()
        href = f"{ask.opened.way.part('plan')}?{query}#posts"
        made.append(Number(words=told.words(row.posts), takt=takt, best=row is found.best, href=href))
    return tuple(made)


def plan_more_or_fewer_why(
    opened: Opened,
    request: Request,
    desk: AtDesk,
    figure: AskedName = "",
    digest: AskedDigest = "",
    fewest: Fewest = None,
    most: Most = None,
) -> MoreOrFewerWhyPage:
    """Why is this number of the range what it is, down to the line file?"""
    ask = plan_asked(opened, request, desk)
    try:
        if not figure and not digest:
            raise UnknownFigureError("", [])  # nothing has to be worked out for that
        asked = _asked(ask, fewest, most)
        told = asked.told()
        name = figure
        if digest and not name:
            name = next((one for one in told.figures if digest_of(one) == digest), "")
        shown = told.figure(name)
    except (UnknownFigureError, BadPlanInput) as error:
        hint = getattr(error, "hint", "")
        raise Problem(
            404, f"the figure {figure[:200]!r}" if figure else "no name of a figure", title="There is no figure of that name here.",
            allowed="The name of a figure of this range." + (f" {hint[0].upper()}{hint[1:]}" if hint else ""),
            todo="Look for it on the page.", steps=(NextStep("More or fewer people", ask.part(HERE)),),
        ) from None  # fmt: skip
    currency = opened.survey.line.currency
    tree = tree_of(shown, PlanWay(opened.way.base, asked.query, f"plan{HERE}/why"), currency)
    text = f"{shown.name}: {shown.text(currency)}"
    return MoreOrFewerWhyPage(
        found=Found(text=f"{text}, which is {shown.formula}." if shown.formula else f"{text}, as given."),
        figure=tree.figure,
        why=tree,
        back_href=asked.href,
        **ask.about(f"Why: {shown.name}"),
    )


def register(pages: Pages) -> None:
    """Add the range of numbers of people, and the why of its figures."""
    everywhere(pages, f"/plan{HERE}/why", plan_more_or_fewer_why, "plan_more_or_fewer_why.html")
    everywhere(pages, f"/plan{HERE}", plan_more_or_fewer, "plan_more_or_fewer.html")
