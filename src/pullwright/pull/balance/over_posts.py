"""Over a range of posts: the shortest takt that each number can keep, where no plan exists, and where efficiency is best."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pullwright.pull.balance.can_be import Asking
from pullwright.pull.balance.contradiction import clash
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.rounds import up
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.balance.wishes import Conditions, posts
from pullwright.pull.balance.with_conditions import any_takt, shortest_found, tightened, with_at_most
from pullwright.pull.balance.work import TICK, Work
from pullwright.pull.errors import NoSuchPlan

REFUSED = 0.5
"""Seconds (of effort) for why some posts are too few, whatever the takt."""


@dataclass(frozen=True)
class AtPosts:
    """What so many posts can do: the balance with the shortest takt that was found; None where there is none, and `refused` says why."""

    posts: int
    balance: WishedBalance | None
    refused: str = ""


def over_posts(
    work: Work,
    counts: Sequence[int],
    conditions: Conditions | None = None,
    *,
    seconds: float = 10.0,
    plan: WishedBalance | None = None,
) -> tuple[AtPosts, ...]:
    """Which is the shortest takt with each of these numbers of posts, every wish kept?

    Parameters: `counts`, numbers of posts, in rising order; `seconds`, shared out: what one number does not need, the others have. One row for each
    number; `plan`: a balance of the same work and wishes that is known already; what is known of one helps the next: more posts never need a longer takt, and what fewer are proven to need at least, they need too.
    Errors: BadPlanInput where something was typed wrong.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 20.0, skill="saw"), Element("glue", 30.0, after=("cut",), skill="glue")])
    >>> for row in over_posts(work, [1, 2]):
    ...     print(row.posts, row.refused or row.balance.takt)
    1 1 post is too few, whatever the takt: a trade of its own does what needs the skill 'saw'; a trade of its own does what needs the skill 'glue'
    2 30.0
    """
    rows: list[AtPosts] = []
    effort, known = Effort(seconds), None
    plan = None if plan is None else tightened(plan)
    for k, count in enumerate(counts):
        rounds, part = with_at_most(work, count, conditions), effort.part(effort.left / (len(counts) - k))
        if plan is not None and len(plan.posts) <= count and (known is None or plan.takt < known.takt):
            known = plan
        try:
            known = shortest_found(rounds, part, known)
            rows.append(AtPosts(count, known))
        except NoSuchPlan as error:
            rows.append(AtPosts(count, None, str(error)))
        effort.back(part)
    return tuple(_with_reasons(work, _with_bounds(rows), conditions))


def _with_reasons(work: Work, rows: list[AtPosts], conditions: Conditions | None) -> Iterable[AtPosts]:
    """Why there is no takt at all: looked for once, for the most posts that have none; that is enough for all fewer ones."""
    without = [row for row in rows if row.balance is None and not row.refused]
    if not without:
        return rows
    rounds = with_at_most(work, without[-1].posts, conditions)
    asking = Asking(work, up(any_takt(rounds)), rounds.conditions, Effort(REFUSED))
    said = [wish.words for wish in clash(asking) if wish.kind != "most"]
    because = f": {'; '.join(said)}" if said else ""
    most = without[-1]
    told = {
        row.posts: f"{_few(row.posts)}, as {posts(most.posts)} {'is' if most.posts == 1 else 'are'}" for row in without
    }
    told[most.posts] = f"{_few(most.posts)}, whatever the takt{because}"
    return [replace(row, refused=told[row.posts]) if row.posts in told else row for row in rows]


def _few(count: int) -> str:
    return f"{posts(count)} {'is' if count == 1 else 'are'} too few"


def _with_bounds(rows: list[AtPosts]) -> list[AtPosts]:
    """Fewer posts need at least what more posts need."""
    least, made = 0.0, list[AtPosts]()
    for row in reversed(rows):
        if row.balance is not None:
            least = max(least, row.balance.takt_at_least or 0.0)
            row = replace(row, balance=replace(row.balance, takt_at_least=min(least, row.balance.takt)))
        made.append(row)
    return made[::-1]


def most_efficient(rows: Sequence[AtPosts], longest: float | None = None) -> AtPosts | None:
    """Which row leaves the least of the people's time idle, up to a takt of `longest` (s)? None where there is none; of equals the one with fewer posts."""
    found = [
        row for row in rows if row.balance is not None and (longest is None or row.balance.takt <= longest + TICK / 2)
    ]
    return max(
        found, key=lambda row: (round(row.balance.efficiency, 9) if row.balance else 0.0, -row.posts), default=None
    )


def best_efficiency(
    work: Work, counts: Sequence[int], conditions: Conditions | None = None, *, longest: float, seconds: float = 10.0
) -> WishedBalance:
    """With how many of these posts, and which takt up to `longest` (s), is the largest share of the posts' time work?

    For each number of posts the shortest takt is looked for; efficiency is work / (takt x people). Errors: NoSuchPlan where none of
    them keeps the longest takt.
    """
    best = most_efficient(over_posts(work, counts, conditions, seconds=seconds), longest)
    if best is None or best.balance is None:
        raise NoSuchPlan(
            f"none of {min(counts)} to {max(counts)} posts keeps a takt of {longest:g} s; allow more posts or a longer takt"
        )
    return best.balance
