"""With more or fewer people: number after number, as a page, a command and a program are told it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from pullwright.figure import Figure
from pullwright.pull.balance.more_or_fewer import AtNumber, MoreOrFewer, more_or_fewer
from pullwright.pull.balance.of_line import asked_of
from pullwright.pull.balance.rounds import Rounds, up
from pullwright.pull.balance.wishes import people, posts
from pullwright.pull.balance.work import TICK
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.plan import PullPlan
from pullwright.survey.planned.chapter import Cell, Chapter, PlanRow, PlanTable, figures_below
from pullwright.survey.survey import UnknownFigureError

AROUND = 3
"""So many numbers below and above what is needed are looked at where nothing else is asked for."""
MOST_NUMBERS = 15
"""So many numbers are looked at together at most: each takes some searching."""


@dataclass(frozen=True)
class ToldRange:
    """What each number of a range of posts comes to, told."""

    found: MoreOrFewer

    @property
    def one_each(self) -> bool:
        """Is a post one person's round everywhere? Then a number of posts is one of people."""
        return all(
            row.balance is None or (row.balance.conditions.people_at_a_post == 1 and not row.balance.idle)
            for row in self.found.rows
        )

    def words(self, number: int) -> str:
        """How a number of the range is called."""
        return people(number) if self.one_each else posts(number)

    @cached_property
    def chapter(self) -> Chapter:
        """The range as a chapter: a sentence, two tables, and what has to be said."""
        return Chapter(
            key="more-or-fewer", title="More or fewer people", sentence=self._sentence, look=self.found.needed is None,
            tables=(self._numbers(), self._binding()), reasons=self.found.notes, wishes="balance",
        )  # fmt: skip

    @cached_property
    def figures(self) -> dict[str, Figure]:
        """Every figure of it by name, those too that others are made from."""
        return figures_below(self.chapter.figures())

    def figure(self, name: str) -> Figure:
        """Find a figure; UnknownFigureError names the nearest one."""
        if name not in self.figures:
            raise UnknownFigureError(name, list(self.figures))
        return self.figures[name]

    @property
    def _sentence(self) -> str:
        found, best = self.found, self.found.best
        numbers = [row.posts for row in found.rows]
        who = self.words(numbers[-1]).partition(" ")[2]
        if best is None or best.efficiency is None:
            return f"None of {numbers[0]} to {numbers[-1]} {who} can do it, whatever the takt."
        said = [self._keeps()]
        if best is found.needed:
            said.append(f"No other number leaves less of the time idle: {best.efficiency.short()} is work.")
        else:
            said.append(
                f"Most of the time is work with {self.words(best.posts)}: {best.efficiency.short()}, at a takt of {_short(best.takt)}."
            )
        return " ".join(said)

    def _keeps(self) -> str:
        """Which number keeps what is asked for."""
        found, needed = self.found, self.found.needed
        asked = f"the takt of {found.asked.short()}"
        if found.asked is found.customers:
            asked += " that customers pull at"
        if needed is None:
            last = min((row for row in found.rows if row.balance), key=lambda row: row.balance.takt if row.balance else 0.0)  # fmt: skip
            said = (
                f"None of these numbers keeps {asked}: {self.words(last.posts)} come nearest, with {_short(last.takt)}."
            )
        else:
            first = found.rows[0] is needed and needed.posts > 1
            verb = "keeps" if needed.posts == 1 else "keep"
            said = f"{self.words(needed.posts)} {verb} {asked}" + (
                "; whether fewer do is not asked here." if first else ", fewer do not."
            )
        if found.asked is not found.customers:
            other = found.for_customers
            said += f" Customers pull at {found.customers.short()}: " + (
                self._keeping_that(other) if other else "none of these numbers keeps that."
            )
        return said

    def _keeping_that(self, row: AtNumber) -> str:
        if row is self.found.rows[0] and row.posts > 1:
            return f"{self.words(row.posts)} keep that too, and perhaps fewer."
        return f"for that it takes {self.words(row.posts)}."

    def _numbers(self) -> PlanTable:
        planned = [row for row in self.found.rows if row.balance is not None]
        open_ones = not all(row.proven for row in planned)
        columns = ["shortest takt", "proven", "pieces a day", "share that is work", "load of the fullest post"]
        if open_ones:
            columns.insert(1, "none below")
        rows = []
        for row in self.found.rows:
            cells: list[Cell] = [None, "no plan", None, None, None]
            if row.balance is not None:
                cells = [row.takt, _proven(row), row.made, row.efficiency, row.fullest]
            if open_ones:
                cells.insert(1, row.at_least)
            rows.append(PlanRow(self.words(row.posts), tuple(cells), below=self._below(row)))
        notes = [
            "Load of the fullest post: its round over the takt that is asked for; above 100 % it does not keep it."
        ]
        if open_ones:
            notes.append(
                "Where a takt is not proven the search did not come to an end: the shortest lies between the two takts."
            )
        return PlanTable("Number after number", tuple(columns), tuple(rows), tuple(notes))

    def _below(self, row: AtNumber) -> str:
        """What is remarkable about a number."""
        found, said = self.found, list[str]()
        if row is found.needed:
            said.append("as many as the takt asks for")
        if row is found.for_customers and row is not found.needed:
            said.append("as many as customers ask for")
        if row is found.best:
            said.append("best efficiency")
        if row.balance is not None and row.used < row.posts:
            said.append(f"{row.used} of them do it already" if row.used else "")
        if found.most_wished is not None and row.posts > found.most_wished:
            said.append(f"more than the {found.most_wished} that are wished at most")
        said += row.more
        return "; ".join(said)

    def _binding(self) -> PlanTable:
        rows = tuple(
            PlanRow(self.words(row.posts), (" ".join((row.binds or f"{_capital(row.refused)}.", *row.costs)),))
            for row in self.found.rows
        )
        return PlanTable("What makes the takt so long", ("",), rows)


def _proven(row: AtNumber) -> str:
    return "yes" if row.proven else f"no, {100 * row.gap:.2g} % open"


def _short(takt: Figure | None) -> str:
    return "" if takt is None else takt.short()


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def told_range(plan: PullPlan, numbers: Sequence[int], *, seconds: float = 3.0) -> ToldRange:
    """What does each of these numbers of posts come to? Errors: BadPlanInput, as for the balance of the line."""
    try:
        known = plan.posts
    except NoSuchPlan:
        known = None
    return ToldRange(more_or_fewer(plan.flow, numbers, seconds=seconds, plan=known))


def usual_range(plan: PullPlan) -> tuple[int, int]:
    """From and up to which number of posts is looked where nobody says: around what the plan needs.

    Where the plan has no posts, around what the work alone asks for. Errors: BadPlanInput where there is nothing to share out.
    """
    try:
        needed = len(plan.posts.posts)
    except NoSuchPlan:
        asked = asked_of(plan.flow)
        room = Rounds(asked.elements.work, asked.conditions).room(up(asked.takt.value)) * TICK
        needed = max(1, math.ceil(asked.elements.work.total / max(room, TICK) - 1e-9))
    return max(1, needed - AROUND), needed + AROUND


def checked_range(fewest: int, most: int) -> range:
    """The numbers from `fewest` to `most`; BadPlanInput where these are no range."""
    if not 1 <= fewest <= most or most >= fewest + MOST_NUMBERS:
        raise BadPlanInput(
            f"{fewest} to {most} was read; allowed: two numbers from 1 on, the smaller one first, and up to {MOST_NUMBERS} together"
        )
    return range(fewest, most + 1)
