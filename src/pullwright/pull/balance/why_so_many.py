"""Why not one post fewer? What adds up to so many posts, what a search ruled out, and which wish costs a post."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from pullwright.pull.balance.can_be import can_be
from pullwright.pull.balance.counted import counted
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.rounds import Rounds, down
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.balance.wishes import Conditions, Wish, percent, posts
from pullwright.pull.balance.with_conditions import fewest
from pullwright.pull.balance.work import Work

_MOST_WISHES = 12
"""So many wishes are dropped one by one to see what each of them costs; with more of them it would take long."""


def why_so_many(balance: WishedBalance, ruled_out: bool, effort: Effort) -> tuple[str, ...]:
    """Why are there not fewer posts? One sentence after another; the last ones say what dropping a wish would bring."""
    work, has, takt = balance.work, balance.conditions, down(balance.takt)
    rounds, count = Rounds(work, has), len(balance.posts)
    said: list[str] = []
    bounds = [words for bound, words in counted(rounds, takt) if bound >= balance.at_least]
    if balance.at_least <= 1:
        said.append("no work is done without a post")
    elif not ruled_out and bounds:
        said.append(f"{too_few(balance.at_least - 1)}: {bounds[0]}")
    else:
        at_once = max(bound for bound, _ in counted(rounds, takt))
        because = next(words for bound, words in counted(rounds, takt) if bound == at_once)
        if at_once > 1:
            said.append(f"{too_few(at_once - 1)}: {because}")
        said.append(f"{too_few(balance.at_least - 1)}: a search over all plans that keep the wishes found none")
    if not balance.proven:
        said.append(
            f"the search did not come to an end: no plan with {_between(balance.at_least, count - 1)} was found, and none is ruled out"
        )
    if has.load is not None and (costs := _cost_of_load(rounds, takt, count, effort)):
        said.append(costs)
    if count > 1:
        said += cheaper_without(work, has, takt, count, effort)
    return tuple(f"{one[0].upper()}{one[1:].removesuffix('.')}." for one in said)


def _cost_of_load(rounds: Rounds, takt: int, count: int, effort: Effort) -> str:
    """How many posts does it cost that none of them may be full? Empty where that was not found out."""
    has = rounds.conditions
    wish = next(wish for wish in has.wishes(rounds.work) if wish.kind == "load")
    free = Rounds(rounds.work, has.without([wish]))
    part = effort.part(effort.left / 2)
    found = fewest(free, takt, part).found
    effort.back(part)
    return cost_of_load(has.load or 1.0, count, len(found.posts)) if found.posts else ""


def cost_of_load(load: float, count: int, without: int) -> str:
    """Say what it costs that no post is loaded above so much of the takt: `count` posts, and `without` the wish.

    >>> cost_of_load(0.9, 9, 7)
    'That no post is loaded above 90 % of the takt costs 2 posts: without that wish 7 posts would do.'
    """
    wish = f"That no post is loaded above {percent(load)} of the takt"
    if without >= count:
        return f"{wish} costs no post."
    return f"{wish} costs {posts(count - without)}: without that wish {posts(without)} would do."


def _between(low: int, high: int) -> str:
    return posts(low) if low == high else f"{low} to {posts(high)}"


def too_few(number: int) -> str:
    """Say that so many posts are not enough."""
    return f"{posts(number)} {'is' if number == 1 else 'are'} too few"


def cheaper_without(work: Work, has: Conditions, takt: int, count: int, effort: Effort) -> list[str]:
    """Which wish costs a post? Each one is dropped alone, and one post fewer is looked for; where none does, two at once, and all of them."""
    wishes = [wish for wish in has.wishes(work) if wish.kind != "most"]
    if not wishes or len(wishes) > _MOST_WISHES:
        return []

    def would_do(dropped: Sequence[Wish]) -> bool:
        return bool(can_be(Rounds(work, has.without(dropped)), takt, count - 1, effort))

    # Without any of them nothing is harder: where that does not help, no single one does.
    if not would_do(wishes):
        return []
    alone = [wish for wish in wishes if would_do([wish])]
    if alone or len(wishes) < 2:
        # What a lower load costs is told in posts (`cost_of_load`).
        told = [wish for wish in alone if wish.kind != "load"]
        return [f"without the wish that {wish.words}, {posts(count - 1)} would do" for wish in told]
    pair = next((pair for pair in itertools.combinations(wishes, 2) if would_do(pair)), None)
    if pair is None:
        return [f"no two wishes alone cost a post; without any of them {posts(count - 1)} would do"]
    return [f"without the wishes that {pair[0].words} and that {pair[1].words}, {posts(count - 1)} would do"]
