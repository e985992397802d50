"""The fewest posts for a takt, and why not one fewer."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.bounds import Bound, best_bound, fullest
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.rules import best_by_rules
from pullwright.pull.balance.work import Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

SEARCH_SHARE = 0.6
"""The search has this share of the seconds; a solver has the rest, where the search comes to no end."""


def fewest_posts(
    work: Work, takt: float, *, seconds: float = 60.0, first_answer: Callable[[Balance], None] | None = None
) -> Balance:
    """With how few posts can the work keep the takt, and who does what?

    `takt` (s): the time that each post has for its round. `seconds`: how long may be looked (of the clock, without the time
    that it takes once to compile the search). `first_answer` is called with a balance within about a second, and again with each better one.

    The answer has the fewest posts, with the reason why not one fewer; or, where `seconds` were too few, the best balance found, how many posts
    are needed at least, and the gap in words. BadPlanInput for a takt or seconds that are none; NoSuchPlan where an element is longer than the takt.

    Sources: bounds as in `bounds`, rules as in `rules`; search: Sewell & Jacobson 2012, Morrison, Sewell & Jacobson 2014; CP-SAT for what is left.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 30.0), Element("drill", 40.0, ("cut",)), Element("glue", 20.0, ("cut",)), Element("pack", 10.0, ("drill", "glue"))])
    >>> balance = fewest_posts(work, 50.0)
    >>> balance.posts, balance.proven
    ((('cut', 'glue'), ('drill', 'pack')), True)
    >>> print(balance.reasons[0])
    1 post is too few: the work of one piece is 100 s, and 1 post of 50 s has 50 s.
    """
    if not 0 < takt < float("inf"):
        raise BadPlanInput(f"the takt is {takt} s; allowed: a time above 0 s")
    if not seconds >= 0:
        raise BadPlanInput(f"{seconds} s to look for a balance; allowed: from 0 s on")
    until = monotonic() + seconds
    if not work.elements:
        return Balance(work, takt, (), 0, ("there is nothing to do",), "nothing")
    real = Plain.of(work, takt)
    refuse_longer(real, takt)
    plain = real.at(fullest(real))
    bound = best_bound(plain, real)
    posts, by = best_by_rules(plain, bound.posts)
    if len(posts) > bound.posts:
        told = _open_gap(bound, len(posts), "it has only been looked at by simple rules so far")
        if first_answer:
            first_answer(checked(Balance(work, takt, plain.names(posts), bound.posts, told, by)))
        return _searched(plain, takt, bound, posts, by, until, first_answer)
    return checked(Balance(work, takt, plain.names(posts), bound.posts, _closed(bound), by))


def refuse_longer(plain: Plain, takt: float) -> None:
    """NoSuchPlan where an element takes longer than the takt: it names them, and the takt or the people that it would need."""
    longer = sorted(plain.places[i] for i, time in enumerate(plain.times) if time > plain.takt)
    if not longer:
        return
    elements = [plain.work.elements[place] for place in longer]
    said = tuple(f"{one.name} takes {one.time:.12g} s, and the takt is {takt:.12g} s" for one in elements)
    most = max(plain.times)
    people = -(-most // plain.takt) if plain.takt else 0
    instead = f"a takt of {round(most * plain.unit, 3):.12g} s works"
    if people:
        instead += f"; or {people} people side by side at the longest element, each with a piece of their own"
    raise NoSuchPlan("no post can keep the takt: " + "; ".join(said), said, instead)


def _searched(
    plain: Plain, takt: float, bound: Bound, posts: list[list[int]], by: str, until: float, tell: Callable[[Balance], None] | None
) -> Balance:  # fmt: skip
    from pullwright.pull.balance.both_ends import BothEnds, two_cores

    gone = 0

    def told(reasons: tuple[str, ...], at_least: int) -> Balance:
        return checked(Balance(plain.work, takt, plain.names(posts), at_least, reasons, by, part_plans=gone))

    left = until - monotonic()
    if left <= 0:
        return told(_open_gap(bound, len(posts), "there was no time to search"), bound.posts)
    with two_cores() as pool:
        until = monotonic() + left
        search = BothEnds(plain, len(posts) - 1, bound.posts)
        search_until = until - (1 - SEARCH_SHARE) * left
        while not search.over and monotonic() < search_until:
            better = search.go_on(pool, search_until - monotonic())
            gone = search.part_plans
            if better:
                posts, by = search.posts or posts, "the search post by post"
                if tell and search.target >= bound.posts:
                    tell(told(_open_gap(bound, len(posts), "the search goes on"), bound.posts))
    if len(posts) == bound.posts:
        return told(_closed(bound), bound.posts)
    if search.impossible:
        return told((_none_found(gone, len(posts) - 1), *_closed(bound)), len(posts))
    while (left := until - monotonic()) > 0.5:
        from pullwright.pull.balance.solver import solve

        solved = solve(plain, len(posts) - 1, left)
        if solved.impossible:
            proof = f"{_few(len(posts) - 1)}: a solver (CP-SAT) has proven that there is no such balance."
            return told((proof, *_closed(bound)), len(posts))
        if solved.posts is None:
            break
        posts, by = solved.posts, "a solver (CP-SAT)"
        if len(posts) == bound.posts:
            return told(_closed(bound), bound.posts)
    tried = f"the time was over after {gone} part-plans"
    return told(_open_gap(bound, len(posts), tried), bound.posts)


def _closed(bound: Bound) -> tuple[str, ...]:
    """Why fewer posts than the bound asks for are too few."""
    return (f"{_few(bound.posts - 1)}: {bound.says}.",) if bound.posts > 1 else ("No work is done without a post.",)


def _none_found(part_plans: int, posts: int) -> str:
    return f"{_few(posts)}: a search through {part_plans} part-plans, from which nothing that matters was left out, found no such balance."


def _few(posts: int) -> str:
    return "1 post is too few" if posts == 1 else f"{posts} posts are too few"


def _open_gap(bound: Bound, posts: int, why: str) -> tuple[str, ...]:
    """What is not known: whether one of the numbers of posts in between is enough."""
    between = f"{bound.posts}" if posts - 1 == bound.posts else f"{bound.posts} to {posts - 1}"
    gap = posts - bound.posts
    share = f"{gap} of {posts} posts, {100 * gap / posts:.0f} %"
    return (f"It is not proven that {between} posts are too few: {why}; the gap is {share}.", *_closed(bound))
