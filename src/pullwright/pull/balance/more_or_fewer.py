"""With more or fewer people at a line: the shortest takt that each number of posts can keep, and what it comes to.

Every wish of the line holds for each number; how many posts there may be is the one that is asked about here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import inf

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.pull.balance.balance_figures import round_figure
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.of_line import Asked, LineBalance, asked_of, more_of_crews
from pullwright.pull.balance.over_posts import AtPosts, over_posts
from pullwright.pull.balance.rounds import Rounds, up
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.balance.why_so_long import SEARCHED, because, filled_with, longer_by_wishes, longest_post
from pullwright.pull.balance.wishes import posts
from pullwright.pull.balance.work import TICK

MOST_CUTS = 4
"""Elements that are longer than the takt are shared by posts that take turns; so many ways to share them are looked at."""
EXPLAINING = 1.0
"""Seconds (of effort) for what single wishes cost, all numbers of posts together."""


@dataclass(frozen=True)
class AtNumber:
    """What so many posts come to, each number a figure.

    `balance` is None where there is no plan, and `refused` says why; all figures are None then. `takt` (s): the shortest that was found;
    `at_least` (s): none below it can be kept. `made`: pieces a day at that takt. `people`, `efficiency` (share of their time that is work);
    `fullest`: the longest round over the takt that is asked for. `binds`: what makes the takt so long. `costs`: which wishes do.
    `more`: of which crews it takes more people than there are today.
    """

    posts: int
    balance: WishedBalance | None
    refused: str = ""
    takt: Figure | None = None
    at_least: Figure | None = None
    made: Figure | None = None
    people: Figure | None = None
    efficiency: Figure | None = None
    fullest: Figure | None = None
    binds: str = ""
    costs: tuple[str, ...] = ()
    more: tuple[str, ...] = ()

    @property
    def proven(self) -> bool:
        """Is it proven that no shorter takt can be kept?"""
        return self.balance is not None and self.balance.takt_proven

    @property
    def used(self) -> int:
        """So many posts have something to do: fewer than are there where more do not help."""
        return 0 if self.balance is None else sum(bool(elements) for elements in self.balance.posts)

    @property
    def gap(self) -> float:
        """By which share the takt might still be shorter; 0 where it is proven."""
        if self.balance is None or self.proven:
            return 0.0
        return 1 - (self.balance.takt_at_least or 0.0) / self.balance.takt


@dataclass(frozen=True)
class MoreOrFewer:
    """Number after number of posts. `asked`: the takt that the plan balances for (s); `customers`: that of the demand (s)."""

    rows: tuple[AtNumber, ...]
    asked: Figure
    customers: Figure
    most_wished: int | None
    notes: tuple[str, ...]

    @property
    def needed(self) -> AtNumber | None:
        """The fewest posts of the range that keep the takt that is asked for."""
        return self._keeping(self.asked)

    @property
    def for_customers(self) -> AtNumber | None:
        """The fewest posts of the range that keep the takt of the demand."""
        return self._keeping(self.customers)

    def _keeping(self, takt: Figure) -> AtNumber | None:
        return next((row for row in self.rows if row.balance and row.balance.takt <= takt.value + TICK), None)

    @property
    def best(self) -> AtNumber | None:
        """The row that leaves the least of the people's time idle; of equals the one with fewer posts."""
        found = [row for row in self.rows if row.balance is not None]
        return max(
            found, key=lambda row: (round(row.balance.efficiency, 6) if row.balance else 0.0, -row.posts), default=None
        )


def more_or_fewer(
    flow: Flow, counts: Sequence[int], *, seconds: float = 3.0, plan: LineBalance | None = None
) -> MoreOrFewer:
    """With so many posts, what is the shortest takt that this line can keep, and where is efficiency best?

    Parameters: `counts`, numbers of posts in rising order; `seconds`, shared by all of them; `plan`: the balance of the line, where it is
    known: no number is then told worse than that. People of the line file fill the posts as far as they reach; a
    number of posts that today's people cannot fill is worked out with as many as it takes, and says how many more they are.
    What is longer than a takt is shared by posts that take turns, as in the balance of the line.
    Errors: BadPlanInput, as for `balance_of`.
    """
    asked = asked_of(flow)
    found: dict[int, tuple[Asked, AtPosts]] = {}
    cuts = [asked, *(asked_of(flow, cut) for cut in _longer_cuts(asked))]
    for k, one in enumerate(cuts):
        # A longer cut can only help a number whose takt is longer than that cut.
        left = [n for n in counts if n not in found or _takt(found[n][1]) > _longest(one) + TICK]
        for row in _with_people(one, left, seconds / 2 ** min(k, 3), plan if k == 0 else None) if left else ():
            found[row.posts] = _better(found.get(row.posts), (one, row))
    effort = Effort(EXPLAINING)
    rows = tuple(_told(flow, *found[n], asked, effort.part(EXPLAINING / len(counts))) for n in counts)
    return MoreOrFewer(rows, asked.takt, flow.takt, asked.conditions.most, _notes(asked))


def _takt(row: AtPosts) -> float:
    return inf if row.balance is None else row.balance.takt


def _longest(asked: Asked) -> float:
    return max(element.time for element in asked.elements.work.elements)


def _better(one: tuple[Asked, AtPosts] | None, other: tuple[Asked, AtPosts]) -> tuple[Asked, AtPosts]:
    """The one with the shorter takt; what is proven of both holds."""
    if one is None or one[1].balance is None:
        return other
    if other[1].balance is None:
        return one
    best = min(one, other, key=lambda pair: _takt(pair[1]))
    least = min(pair[1].balance.takt_at_least or 0.0 for pair in (one, other) if pair[1].balance is not None)
    assert best[1].balance is not None
    return best[0], replace(best[1], balance=replace(best[1].balance, takt_at_least=least))


def _longer_cuts(asked: Asked) -> list[float]:
    """Takts above the one that is asked for, from which on fewer posts need to take turns at an element (s)."""
    cuts = {time / k for time, turns in asked.elements.turns.values() for k in range(1, turns)}
    return sorted(cut for cut in cuts if cut > asked.takt.value)[:MOST_CUTS]


def _with_people(asked: Asked, counts: Sequence[int], seconds: float, plan: LineBalance | None) -> Iterable[AtPosts]:
    """Rows with today's people as far as they reach, and with as many as it takes above that."""
    has, work = replace(asked.conditions, most=None), asked.elements.work
    there = sum(crew.number or 0 for crew in has.crews)
    limited = [n for n in counts if n <= there and any(crew.number is not None for crew in has.crews)]
    known = None if plan is None else plan.balance
    today = None if plan is None or plan.beyond else known
    part = seconds * len(limited) / len(counts)
    rows = {row.posts: row for row in over_posts(work, limited, has, seconds=part, plan=today)}
    free = replace(has, crews=tuple(replace(crew, number=None) for crew in has.crews))
    more = [n for n in counts if n not in rows or rows[n].balance is None]
    if known is not None:
        known = replace(known, conditions=free)
    for row in over_posts(work, more, free, seconds=seconds * len(more) / len(counts), plan=known):
        rows[row.posts] = row
    return [rows[n] for n in counts]


def _told(flow: Flow, own: Asked, row: AtPosts, asked: Asked, effort: Effort) -> AtNumber:
    balance = row.balance
    if balance is None:
        return AtNumber(row.posts, None, row.refused)
    times, tail = own.elements.times, f" / {posts(row.posts)}"
    rounds = Rounds(balance.work, balance.conditions)
    proven = "no shorter one can be kept" if balance.takt_proven else "not proven to be the shortest"
    full = round_figure(balance, longest_post(balance), times, f" of {row.posts}")
    load, said = balance.conditions.load, "the longest round"
    limit = (
        (given("highest load of a post", load, "share", Source("line file", "wished: highest load of a post")),)
        if load is not None
        else ()
    )
    takt = derive(
        f"shortest takt{tail}", lambda r, *share: r / share[0] if share else r, full, *limit, unit="s",
        formula=f"{said}{' / highest load of a post' if limit else ''}; {proven}",
    )  # fmt: skip
    least = balance.takt_at_least or 0.0
    binds = _binds(balance, because(rounds, row.posts, up(least)), least)
    people = given(
        f"people at the posts{tail}", float(balance.people), "persons", Source("computed", f"found by {balance.by}")
    )
    work = derive(
        f"work of a good unit{tail}", lambda *t: sum(t), *times.values(), unit="s", formula="sum of all elements"
    )
    return AtNumber(
        row.posts, balance, "", takt,
        given(f"least takt{tail}", least, "s", Source("computed", f"none below it can be kept: {because(rounds, row.posts, up(least))}")),
        derive(f"pieces a day{tail}", lambda d, c, t: d * c / t, flow.rates.demand, flow.takt, takt, unit=flow.rates.demand.unit, formula="demand of a day x takt of the demand / shortest takt"),
        people,
        derive(f"efficiency{tail}", lambda w, n, t: w / (n * t), work, people, takt, unit="share", formula="work of a good unit / (people at the posts x shortest takt)"),
        derive(f"load of the fullest post{tail}", lambda r, t: r / t, full, asked.takt, unit="share", formula="its round / takt"),
        f"{binds[0].upper()}{binds[1:]}.", longer_by_wishes(balance, rounds, effort) if balance.takt_proven else (),
        tuple(f"{used} of {name}, {used - now} more than today" for name, used, now in more_of_crews(flow, balance)),
    )  # fmt: skip


def _binds(balance: WishedBalance, why: str, least: float) -> str:
    """What makes the takt as long as it is; where the search came to no end, what is known."""
    if not balance.takt_proven:
        return (
            f"not proven to be the shortest: below {least:.4g} s nothing is possible ({why}), what is between is open"
        )
    if why == SEARCHED:
        return f"no other way to cut the work is shorter; post {longest_post(balance) + 1} is full with {filled_with(balance)}"
    return why


def _notes(asked: Asked) -> tuple[str, ...]:
    """What has to be said of all rows."""
    said = ["set-ups and carrying count with their share of a piece at today's demand, whatever the takt"]
    if asked.elements.turns:
        names = ", ".join(asked.elements.turns)
        said.append(
            f"posts take turns at what is longer than the takt ({names}); with a longer takt fewer of them have to"
        )
    return tuple(f"{one[0].upper()}{one[1:]}." for one in said)
