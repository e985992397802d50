"""What every page of a plan has: the wishes of its address, the plan, and its chapters as a page shows them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import quote, urlencode

from pydantic import Field
from starlette.requests import Request

from pullwright.figure import N_DRAWS, Figure
from pullwright.pull.changes import applied
from pullwright.pull.plan import plan_of
from pullwright.pull.wished import BY_NAME
from pullwright.survey.planned.chapter import Cell, Chapter, PlanRow, PlanTable
from pullwright.survey.planned.planned import Planned
from pullwright.web.desk import Desk
from pullwright.web.inked import inked
from pullwright.web.opened import Opened
from pullwright.web.pieces import Crumb, Piece, Shown
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.shelf import WorkedOut
from pullwright.web.way import LONGEST_IN_ADDRESS, Way, digest_of
from pullwright.web.wished import Wished, WishField, read_wishes

PLAN_BYTES = 8 * N_DRAWS
"""What a figure of a plan may hold: its draws."""
NO_WISHES = frozenset(("figure", "digest", "of", "move", "part", "paper", "fewest", "most", "before"))
"""Names in an address of a plan that wish for nothing."""


class CellShown(Piece):
    """One cell: a figure, or words; both empty where there is nothing."""

    figure: Shown | None = None
    words: str = ""


class PlanRowShown(Piece):
    """One row of a table of the plan."""

    words: str
    cells: tuple[CellShown, ...]
    look: str = ""
    below: str = ""


class PlanTableShown(Piece):
    """A table of the plan, with what has to be said under it; `said` are the columns that hold words."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[PlanRowShown, ...]
    notes: tuple[str, ...] = ()
    behind: bool = False
    said: tuple[bool, ...] = Field(default=(), exclude=True)


class PlanPart(Piece):
    """One chapter of the plan; `changes` are sentences of what it changes in the line file."""

    key: str
    title: str
    sentence: str
    look: bool
    tables: tuple[PlanTableShown, ...]
    reasons: tuple[str, ...]
    refused: str
    binding: tuple[str, ...]
    instead: str
    works: tuple[Crumb, ...] = Field(default=(), exclude=True)
    changes: tuple[str, ...]
    wishes: tuple[WishField, ...] = Field(default=(), exclude=True)


class PlanMatter(AboutLine):
    """A page about a plan; `wishes` are the words of what is wished otherwise than in the file, `query` asks for it."""

    wishes: str = ""
    query: str = ""
    plan_href: str = Field(default="", exclude=True)
    file_href: str = Field(default="", exclude=True)


@dataclass(frozen=True, slots=True)
class PlanWay(Way):
    """The way to the figures of a plan with these wishes."""

    query: str = ""
    page: str = "plan/why"

    def why(self, figure: str) -> str:
        """The address at which a figure of the plan answers why."""
        name = quote(figure, safe="")
        asked = f"figure={name}" if len(name) <= LONGEST_IN_ADDRESS // 2 else f"digest={digest_of(figure)}"
        return f"{self.base}/{self.page}?{asked}{'&' + self.query if self.query else ''}"


@dataclass(frozen=True)
class PlanAsked:
    """A plan as it was asked for: of which line, with which wishes."""

    opened: Opened
    wished: Wished
    worked_out: WorkedOut

    @property
    def query(self) -> str:
        """What follows the question mark, with it; empty where nothing is wished otherwise."""
        return f"?{self.wished.query}" if self.wished.typed else ""

    def part(self, name: str = "") -> str:
        """The address of a page of this plan."""
        return self.opened.way.part(f"plan{name}") + self.query

    @property
    def way(self) -> PlanWay:
        """The way to its figures."""
        return PlanWay(self.opened.way.base, self.wished.query)

    @cached_property
    def planned(self) -> Planned:
        """The plan, told; worked out once for this text."""
        survey = self.worked_out.survey
        if survey is None:
            raise self.opened.unreadable()

        def made() -> Planned:
            planned = Planned(plan_of(survey.accounts))
            # All that is lazy is asked for before anybody else sees it; what it holds counts when the shelf makes room.
            self.worked_out.weight += PLAN_BYTES * len(planned.figures)
            return planned

        return self.worked_out.once("plan", made)

    def as_planned(self, keys: Sequence[str]) -> str:
        """The line file with what these parts of the plan change in it; made once. EditError where it cannot be written into it."""
        planned = self.planned
        return self.worked_out.once(
            f"as planned: {', '.join(keys)}", lambda: applied(self.wished.text, planned.changes_of(keys))
        )

    def about(self, name: str) -> dict[str, object]:
        """What every page of the plan takes."""
        inside = (Crumb(words="Plan", href=self.part()),) if name != "Plan" else ()
        return {
            "name": name,
            "trail": (*self.opened.trail(), *inside),
            "places": self.opened.places("Plan" if name == "Plan" else ""),
            "wishes": self.wished.words,
            "query": self.wished.query,
            "plan_href": self.part(),
            "file_href": self.opened.way.part("plan"),
            **about(self.opened),
        }

    def shown(self, figure: Figure, look: str = "", way: PlanWay | None = None) -> Shown:
        """A figure of the plan with the way to its why."""
        why = (way or self.way).why(figure.name)
        return inked(figure, why=why, currency=self.opened.survey.line.currency, look=look)

    def parts(self) -> tuple[PlanPart, ...]:
        """The chapters as a page shows them."""
        return tuple(self.told(chapter) for chapter in self.planned.chapters)

    def told(self, chapter: Chapter) -> PlanPart:
        """A chapter as a page shows it."""
        return PlanPart(
            key=chapter.key, title=chapter.title, sentence=chapter.sentence, look=chapter.look, tables=tuple(map(self.table, chapter.tables)),
            reasons=chapter.reasons, refused=chapter.refused, binding=chapter.binding, instead=chapter.instead,
            works=tuple(Crumb(words=f"Plan with {BY_NAME[name].says}: {typed}", href=self._with(name, typed)) for name, typed in chapter.works),
            changes=tuple(change.because for change in chapter.changes), wishes=self.wished.fields(chapter.wishes),
        )  # fmt: skip

    def table(self, table: PlanTable, way: PlanWay | None = None) -> PlanTableShown:
        """A table as a page shows it; `way`: where its figures answer why, where that is not the why of the plan."""
        return PlanTableShown(
            caption=table.caption,
            columns=table.columns,
            rows=tuple(self._row(row, way) for row in table.rows),
            notes=table.notes,
            behind=table.behind,
            said=tuple(any(isinstance(row.cells[k], str) for row in table.rows) for k in range(len(table.columns))),
        )

    def _with(self, name: str, typed: str) -> str:
        """The address of the plan with one wish in place of what is wished of that now."""
        return f"{self.opened.way.part('plan')}?{urlencode({**self.wished.typed, name: typed})}"

    def _row(self, row: PlanRow, way: PlanWay | None) -> PlanRowShown:
        cells = tuple(self._cell(cell, way) for cell in row.cells)
        return PlanRowShown(words=row.words, cells=cells, look=row.look, below=row.below)

    def _cell(self, cell: Cell, way: PlanWay | None) -> CellShown:
        if isinstance(cell, Figure):
            return CellShown(figure=self.shown(cell, way=way))
        return CellShown(words=cell or "")


def plan_asked(opened: Opened, request: Request, desk: Desk) -> PlanAsked:
    """Read which plan is asked for. Problem (422) where the line or the wishes cannot be read."""
    asked = [(name, text) for name, text in request.query_params.multi_items() if name not in NO_WISHES]
    return plan_with(opened, asked, desk)


def plan_with(opened: Opened, asked: Iterable[tuple[str, str]], desk: Desk) -> PlanAsked:
    """The plan of a line with these wishes, by their names. Problem (422) where they cannot be read."""
    wished = read_wishes(asked, opened.survey.line, opened.way.part("plan"))
    worked_out = desk.shelf.of(wished.text, f"{opened.key}.yaml") if wished.typed else opened.worked_out
    return PlanAsked(opened, wished, worked_out)
