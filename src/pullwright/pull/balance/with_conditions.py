"""Balances that keep conditions: as few posts as can be for a takt, the shortest takt for so many posts, the best efficiency.

A simple rule gives a plan at once; then each number of posts below it is proven to be impossible, or a plan with it is found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pullwright.pull.balance.at_a_glance import most_posts, ruled_out
from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked_conditions import checked
from pullwright.pull.balance.counted import least_posts
from pullwright.pull.balance.crew_at_post import Schedule, shortest
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.first_plan import First, first_plan
from pullwright.pull.balance.hands import least_ticks, work_of_crews
from pullwright.pull.balance.post_model import NONE, OPEN, Found, PostModel
from pullwright.pull.balance.rounds import Leg, Rounds, down, up
from pullwright.pull.balance.rounds_at_posts import Round, WishedBalance, round_of
from pullwright.pull.balance.wishes import Conditions, posts
from pullwright.pull.balance.work import TICK, Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

REFUSAL, EXPLAINING = 1.5, 1.5
"""Seconds (of effort) for the smallest conflict, and for why there are not fewer posts."""


def balanced(
    work: Work, takt: float, conditions: Conditions | None = None, *, seconds: float = 10.0, explained: bool = True
) -> WishedBalance:
    """Which elements go to which post, so that each keeps the takt and every wish holds, at as few posts as can be?

    Parameters: `takt` (s) is what each post has for its round; `seconds` of searching at most, on an ordinary processor, counted in steps
    (`Effort`): the same answer on a slow one; `explained`: say why not one
    post fewer, and which wish costs a post (takes some searches more).
    Result: a balance that the validator has passed; `at_least` so few posts are proven to be needed. With several people at a post it
    has the fewest posts first, and of those the fewest people.
    Errors: BadPlanInput where something was typed wrong; NoSuchPlan with the smallest set of wishes that cannot hold together, and what does work.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 20.0), Element("glue", 30.0, after=("cut",)), Element("pack", 10.0, after=("glue",))])
    >>> balanced(work, 60.0).posts
    (('cut', 'glue', 'pack'),)
    >>> apart = balanced(work, 60.0, Conditions(apart=(("cut", "pack"),)))
    >>> len(apart.posts), apart.proven
    (2, True)
    """
    from pullwright.pull.balance.contradiction import contradiction

    has = (conditions or Conditions()).checked(work)
    ticks, effort = takt_ticks(takt), Effort(seconds)
    if not work.elements:
        return WishedBalance(work, takt, (), 0, (), "nothing to do", conditions=has)
    if has.plain(work):
        return _plain(work, takt, has, seconds)
    rounds = Rounds(work, has)
    answer = fewest(rounds, ticks, effort)
    if answer.found.state == "none":
        raise contradiction(work, takt, has, effort=Effort(REFUSAL))
    if answer.found.state == "open":
        raise not_found(seconds)
    return reasoned(rounds, takt, answer) if explained else laid_out(rounds, takt, answer)


def reasoned(rounds: Rounds, takt: float, answer: Answer) -> WishedBalance:
    """Put what a search found into rounds, with the reasons why there are not fewer posts."""
    from pullwright.pull.balance.why_so_many import why_so_many

    balance = laid_out(rounds, takt, answer)
    return replace(balance, reasons=why_so_many(balance, answer.ruled_out, Effort(EXPLAINING)))


def not_found(seconds: float) -> NoSuchPlan:
    """What is said where a search came to no end."""
    return NoSuchPlan(
        f"in {seconds:g} s of searching no plan was found, and none was ruled out; give it more time, or drop a wish"
    )


def _plain(work: Work, takt: float, has: Conditions, seconds: float) -> WishedBalance:
    """The plain problem has a search of its own."""
    from pullwright.pull.balance.fewest import fewest_posts

    return _with_rounds(fewest_posts(work, takt, seconds=seconds), takt, has)


def _with_rounds(found: Balance, takt: float, has: Conditions) -> WishedBalance:
    rounds = Rounds(found.work, has)
    trades = [crew.name for crew in has.filled_by(found.work)]  # of a plain problem, one that can do all of it, or none
    made = tuple(
        round_of(rounds, [(found.work.index[name], 0) for name in post], trades[0] if trades else "")
        for post in found.posts
    )
    order = tuple(one.elements for one in made)
    return checked(
        WishedBalance(
            found.work,
            takt,
            order,
            found.at_least,
            found.reasons,
            found.by,
            takt_at_least=found.takt_at_least,
            conditions=has,
            rounds=made,
        )
    )


@dataclass(frozen=True)
class Answer:
    """What a search for few posts came to: the plan, how few posts are proven to be needed, whether that took a search, and by what."""

    found: Found
    at_least: int
    ruled_out: bool
    by: str


def fewest(rounds: Rounds, takt: int, effort: Effort) -> Answer:
    """The fewest posts for a takt in ticks. `found.state`: "found", "none" (proven that no plan exists), or "open"."""
    last = most_posts(rounds)
    if ruled_out(rounds, takt, last):
        return Answer(NONE, last + 1, ruled_out=False, by="adding up")
    low = least_posts(rounds, takt)
    first = first_plan(rounds, takt, last, low)
    best, by = (OPEN, "") if first is None else (as_found(first), f"a simple rule ({first.by})")
    counted = low
    if first is None:
        # Is there a plan at all? With as many posts as elements nothing but the wishes can forbid it.
        half = effort.part(effort.left / 2)
        best = PostModel(rounds, last, takt, takt).solve(half)
        effort.back(half)
        by = "a search over all plans"
        if best.state != "found":
            return Answer(best, low, ruled_out=False, by=by)
    for count in range(low, len(best.posts)):
        if count >= len(best.posts) or effort.left <= 0:
            break
        if ruled_out(rounds, takt, count):
            low = count + 1
            continue
        # What is hard gets its share of the effort, and the next number is tried too.
        share = effort.part(max(effort.left / (len(best.posts) - count), min(effort.left, 0.5)))
        tried = PostModel(rounds, count, takt, takt).solve(share)
        effort.back(share)
        if tried.state == "none":
            low = count + 1
        elif tried.state == "found":
            best, by = tried, "a search over all plans"
            break
    low = min(low, len(best.posts))
    if rounds.conditions.people_at_a_post > 1 and effort.left > 0:
        fewer = PostModel(rounds, len(best.posts), takt, takt).solve(effort, fewest_people=True)
        best = fewer if fewer.state == "found" and len(fewer.posts) <= len(best.posts) else best
    return Answer(best, low, ruled_out=low > counted, by=by)


def shortest_takt(
    work: Work, count: int, conditions: Conditions | None = None, *, seconds: float = 10.0, high: float | None = None
) -> WishedBalance:
    """How short can the takt be with at most so many posts, every wish kept?

    Result: a balance with that `takt` (s), and in `takt_at_least` one that is proven to be impossible to undercut: where both are the same, there is
    no shorter takt (`takt_proven`). `high` (s): a takt up to which is looked. Errors: as for `balanced`.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 20.0), Element("glue", 30.0, after=("cut",)), Element("pack", 15.0, after=("glue",))])
    >>> shortest_takt(work, 2).takt
    45.0
    """
    if count < 1:
        raise BadPlanInput(f"{count} posts: work needs a post; allowed: 1 or more")
    has = (conditions or Conditions()).checked(work)
    has = replace(has, most=count if has.most is None else min(count, has.most))
    if not work.elements or not work.total:
        raise BadPlanInput(
            "there is no work to be shared out, so that there is no shortest takt; give elements with times"
        )
    if replace(has, most=None).plain(work):
        from pullwright.pull.balance import shortest

        found_plain = shortest.shortest_takt(work, has.most or count, seconds=seconds)
        return _with_rounds(found_plain, found_plain.takt, has)
    rounds, effort = Rounds(work, has), Effort(seconds)
    top = down(high) if high is not None else up(longest_round(rounds))
    low = least_takt(rounds, has.most or count)
    start = by_halving(rounds, has.most or count, low, top)
    if start is not None:
        top = start[1]
    model = PostModel(rounds, has.most or count, min(low, top), top)
    found = model.solve(effort, hint=None if start is None else as_found(start[0]))
    if found.state == "none" and start is None:
        from pullwright.pull.balance.contradiction import contradiction

        raise contradiction(work, top * TICK, has, effort=Effort(REFUSAL))
    if found.state != "found":
        if start is None:
            raise not_found(seconds)
        found = replace(as_found(start[0]), takt=top, at_least=max(low, found.at_least))
    bound = max(low, found.at_least)
    if model.low == model.high:
        bound = max(bound, min(low, top))
    proven = bound >= found.takt
    said = (
        f"No takt below {bound * TICK:.6g} s can be kept with {posts(has.most or count)}."
        if proven
        else f"A takt below {bound * TICK:.6g} s is proven to be impossible with {posts(has.most or count)}; between that and {found.takt * TICK:.6g} s the search did not come to an end."
    )
    answer = Answer(found, 0, ruled_out=False, by="a search over all plans")
    return replace(
        laid_out(rounds, found.takt * TICK, answer), reasons=(said,), takt_at_least=min(bound, found.takt) * TICK
    )


def best_efficiency(
    work: Work, counts: Sequence[int], conditions: Conditions | None = None, *, longest: float, seconds: float = 10.0
) -> WishedBalance:
    """With how many of these posts, and which takt up to `longest` (s), is the largest share of the posts' time work?

    For each number of posts the shortest takt is looked for; efficiency is work / (takt x people). Errors: NoSuchPlan where none of
    them keeps the longest takt.
    """
    found = [row for row in over_posts(work, counts, conditions, seconds=seconds) if row.takt <= longest + TICK / 2]
    if not found:
        raise NoSuchPlan(
            f"none of {min(counts)} to {max(counts)} posts keeps a takt of {longest:g} s; allow more posts or a longer takt"
        )
    return max(found, key=lambda one: (round(one.efficiency, 9), -len(one.posts)))


def over_posts(
    work: Work, counts: Sequence[int], conditions: Conditions | None = None, *, seconds: float = 10.0
) -> list[WishedBalance]:
    """The shortest takt for each number of posts; those with which no plan exists are left out."""
    rows: list[WishedBalance] = []
    for k, count in enumerate(counts):
        try:
            rows.append(shortest_takt(work, count, conditions, seconds=max(0.2, seconds / len(counts))))
        except NoSuchPlan:
            if k == len(counts) - 1 and not rows:
                raise
    return rows


def laid_out(rounds: Rounds, takt: float, answer: Answer) -> WishedBalance:
    """Put what a search found into rounds, and hold it against every condition."""
    found, has = answer.found, rounds.conditions
    schedules: Sequence[Schedule | None] = found.schedules or (None,) * len(found.posts)
    crews = found.crews or ("",) * len(found.posts)
    made = []
    for legs, crew, schedule in zip(found.posts, crews, schedules, strict=True):
        filled = crew if has.crews else next((s for i, _ in legs if (s := has.skill_of(rounds.work, i))), "")
        made.append(_round(rounds, legs, filled, schedule, found.takt or down(takt)))
    order = tuple(one.elements for one in made)
    return checked(
        WishedBalance(rounds.work, takt, order, answer.at_least, (), answer.by, conditions=has, rounds=tuple(made))
    )


def _round(rounds: Rounds, legs: tuple[Leg, ...], crew: str, schedule: Schedule | None, takt: int) -> Round:
    most = rounds.conditions.people_at_a_post
    for people in range(1, most if legs else 1):
        # Where fewer people keep the takt too, fewer stand there.
        fewer = shortest(rounds, sorted(legs), people, takt)
        if up(fewer.ends) <= takt:
            return round_of(rounds, legs, crew, fewer, people)
    if schedule is None and most > 1 and legs:
        schedule = shortest(rounds, sorted(legs), most, takt)
    return round_of(rounds, legs, crew, schedule, most)


def takt_ticks(takt: float) -> int:
    """A takt in whole ticks; BadPlanInput where it is no time."""
    if not 0 < takt < float("inf"):
        raise BadPlanInput(f"a takt of {takt} s; allowed: a time above 0 s")
    ticks = down(takt)
    if ticks < 1:
        raise BadPlanInput(f"a takt of {takt} s; allowed: {TICK:g} s or more")
    return ticks


def as_found(first: First) -> Found:
    """A plan of a simple rule as a search would say it."""
    return Found("found", first.posts, first.crews)


def longest_round(rounds: Rounds) -> float:
    """A takt that every round keeps, whatever is in it (s)."""
    way = 0.0
    if rounds.conditions.walking is not None:
        spots = {element.place: i for i, element in enumerate(rounds.work.elements)}
        widest = max(rounds.way(a, b) for a in spots.values() for b in spots.values())
        way = widest * len(rounds.times)
    return rounds.busy([(i, 0) for i in range(len(rounds.times))]) + way + TICK


def least_takt(rounds: Rounds, count: int) -> int:
    """No takt below so many ticks can be kept with so many posts, by adding up."""
    weights = least_ticks(rounds)
    crews = [-(-work // number) for work, number, _ in work_of_crews(rounds) if number]
    return max(1, *weights, -(-sum(weights) // (count * rounds.conditions.people_at_a_post)), *crews)


def by_halving(rounds: Rounds, count: int, low: int, high: int, *, mixed: bool = True) -> tuple[First, int] | None:
    """The shortest takt (ticks) for which a simple rule needs at most so many posts."""
    best: tuple[First, int] | None = None
    for _ in range(14):
        middle = (low + high) // 2 if best is not None else high
        found = first_plan(rounds, middle, count, count, mixed=mixed)
        if found is None:
            if best is None:
                return None
            low = middle + 1
        else:
            best, high = (found, middle), middle
        if low >= high:
            break
    return best
