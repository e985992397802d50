"""Two revisions of a line beside each other: both drawings on one scale, what differs and how surely, and the texts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, TypeVar
from urllib.parse import quote

from fastapi import Query
from pydantic import Field

from pullwright.draw import compare_drawings
from pullwright.survey import Change, compare
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference, difference_of
from pullwright.web.inked import inked
from pullwright.web.opened import Key, Opened, open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Page, RevisionLine, Row, Shown, Table, WhyNode
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.line import NARROW, WIDE
from pullwright.web.way import line_way
from pullwright.web.why_tree import tree_of

FIRST_CHANGES = 6
"""So many differences stand above the drawings."""
RevisionNumber = Annotated[int, Query(ge=1, le=1_000_000_000, description="The number of a revision.", examples=[1])]
T = TypeVar("T")
ChangedFigure = Annotated[str, Query(max_length=2_000, description="The words of a difference.")]


class ComparePage(Page):
    """Two revisions of a line, and everything that is different between them."""

    key: str
    before: RevisionLine
    after: RevisionLine
    sentence: str
    changes: Table
    first_changes: Table = Field(exclude=True)
    text: TextDifference
    wide: str = Field(exclude=True)
    narrow: str = Field(exclude=True)


class DifferencePage(Page):
    """Why one figure is different: what it was, what it is, and what the difference is made of."""

    key: str
    why: WhyNode
    before: Shown
    after: Shown


class Pair:
    """Two revisions of one line, opened."""

    def __init__(self, desk: Desk, key: str, before: int, after: int) -> None:
        self.key = key
        self.before, self.after = open_line(desk, key, before), open_line(desk, key, after)
        self.changes: tuple[Change, ...] = self.once("changes", self._compared)

    def _compared(self) -> tuple[Change, ...]:
        return compare(self.before.survey, self.after.survey)

    def once(self, name: str, make: Callable[[], T]) -> T:
        """Return what was made for these two under this name; make it the first time."""
        return self.after.worked_out.once(f"{name} since {self.before.way.base}", make)

    @property
    def words(self) -> str:
        """What the two are called together."""
        return f"Revisions {_number(self.before)} and {_number(self.after)}"

    @property
    def query(self) -> str:
        """The two numbers, as an address asks for them."""
        return f"before={_number(self.before)}&after={_number(self.after)}"

    @property
    def address(self) -> str:
        """Where the two are compared."""
        return f"{line_way(self.key).part('compare')}?{self.query}"

    @property
    def trail(self) -> tuple[Crumb, ...]:
        """The way to their comparison."""
        way = line_way(self.key)
        return (
            Crumb(words="Lines", href="/"),
            Crumb(words=self.after.title, href=way.base),
            Crumb(words="Revisions", href=way.part("revisions")),
        )

    def why(self, change: Change) -> str:
        """Where a difference answers why."""
        return f"{line_way(self.key).part('compare/why')}?{self.query}&figure={quote(change.words, safe='')}"

    def difference(self, change: Change, *, linked: bool = True) -> Shown:
        """Return what is shown of a difference."""
        currency = self.after.survey.line.currency
        shown = inked(change.difference, why=self.why(change) if linked else "", currency=currency)
        # Of two shares, 60 % and 34 %, the difference is 26 points and not 26 % of anything.
        return shown.model_copy(update={"unit_words": "% points"}) if shown.unit == "share" else shown


def _number(opened: Opened) -> int:
    return opened.revision.number if opened.revision else 0


def revision_line(opened: Opened) -> RevisionLine:
    """Return who wrote a revision, when and why."""
    revision = opened.revision
    if revision is None:
        raise ValueError("an example has no revisions")
    return RevisionLine(
        number=revision.number,
        who=revision.who,
        when=revision.when,
        why=revision.why,
        href=line_way(opened.key, revision.number).base,
        latest=revision.number == opened.latest,
    )


def comparison(key: Key, desk: AtDesk, before: RevisionNumber, after: RevisionNumber) -> ComparePage:
    """What is different between two revisions of a line, how much, and how sure is that?"""
    pair = Pair(desk, key, before, after)
    rows = pair.once("rows", lambda: tuple(_row(pair, change) for change in pair.changes))
    columns = (f"revision {before}", f"revision {after}", "difference")
    drawings = pair.once("drawings", lambda: (_drawing(pair, WIDE, "wide"), _drawing(pair, NARROW, "narrow")))
    return ComparePage(
        name=pair.words,
        found=Found(text=_found(pair), look=not pair.after.survey.flow.keeps_up),
        trail=pair.trail,
        places=open_line(desk, key).places("Revisions"),
        key=key,
        before=revision_line(pair.before),
        after=revision_line(pair.after),
        sentence=pair.after.survey.sentence,
        changes=Table(caption="Every figure that differs, in the order of reading", columns=columns, rows=rows),
        first_changes=Table(caption="The first of them", columns=columns, rows=rows[:FIRST_CHANGES]),
        text=pair.once("text", lambda: difference_of(pair.before.worked_out.text, pair.after.worked_out.text)),
        wide=drawings[0],
        narrow=drawings[1],
    )


def _row(pair: Pair, change: Change) -> Row:
    figures = (pair.before.show(change.before), pair.after.show(change.after), pair.difference(change))
    return Row(words=change.words, figures=figures)


def _found(pair: Pair) -> str:
    verdict = pair.after.survey.flow.verdict()
    before, after = _number(pair.before), _number(pair.after)
    if not pair.changes:
        return f"Nothing that is worked out differs between revisions {before} and {after}. {verdict}"
    count = len(pair.changes)
    differ = "one figure differs" if count == 1 else f"{count} figures differ"
    lead = next((change for change in pair.changes if change.words == "lead time"), None)
    first = lead or pair.changes[0]
    currency = pair.after.survey.line.currency
    went = f"{first.words} goes from {first.before.short(currency)} to {first.after.short(currency)}"
    return f"Between revisions {before} and {after}, {differ}: {went}. {verdict}"


def _drawing(pair: Pair, width: float, prefix: str) -> str:
    before, after = pair.before, pair.after
    return compare_drawings(
        before.survey.picture(before.way.why),
        after.survey.picture(after.way.why),
        labels=(f"Revision {_number(before)}", f"Revision {_number(after)}"),
        width=width,
        prefix=prefix,
    )


def difference(
    key: Key, desk: AtDesk, before: RevisionNumber, after: RevisionNumber, figure: ChangedFigure
) -> DifferencePage:
    """Why is this figure different in the later revision?"""
    pair = Pair(desk, key, before, after)
    change = next((one for one in pair.changes if one.words == figure), None)
    if change is None:
        raise Problem(
            404,
            f"the figure {figure[:200]!r}",
            title="No figure of that name is different between these revisions.",
            allowed="A figure from the list of differences.",
            todo="Look for it in the comparison.",
            steps=(NextStep("The comparison", pair.address),),
        )
    currency = pair.after.survey.line.currency
    less = pair.difference(change, linked=False)
    shown = {"before": pair.before.show(change.before), "after": pair.after.show(change.after)}
    sides = tuple(
        tree_of(side, opened.way, currency).model_copy(
            update={"figure": opened.show(side, words=f"{change.words}, revision {_number(opened)}")}
        )
        for side, opened in ((change.after, pair.after), (change.before, pair.before))
    )
    return DifferencePage(
        name=f"Why: {change.words}",
        found=Found(
            text=f"{change.words}: the difference between revisions {before} and {after} is "
            f"{less.number} {less.unit_words}{f' ({less.interval})' if less.interval else ''}."
        ),
        trail=(*pair.trail, Crumb(words=pair.words, href=pair.address)),
        places=open_line(desk, key).places("Revisions"),
        key=key,
        why=WhyNode(figure=less, formula=change.difference.formula, inputs=sides),
        **shown,
    )


def register(pages: Pages) -> None:
    """Add the page on which two revisions are compared, and the why of its differences."""
    pages.page("/lines/{key}/compare/why", difference, "difference.html")
    pages.page("/lines/{key}/compare", comparison, "compare.html")
