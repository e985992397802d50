"""Balances that keep conditions: as few posts as can be for a takt, the shortest takt for so many posts, the best efficiency.

A simple rule gives a plan at once; then each number of posts below it is proven to be impossible, or a plan with it is found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from time import monotonic

from pullwright.pull.balance.at_a_glance import most_posts, ruled_out
from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked_conditions import checked
from pullwright.pull.balance.counted import least_posts
from pullwright.pull.balance.crew_at_post import Schedule, shortest
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.first_plan import MIXED, RULES, First, first_plan, rule_takes
from pullwright.pull.balance.hands import least_ticks, work_of_crews
from pullwright.pull.balance.post_model import NONE, OPEN, Found, PostModel
from pullwright.pull.balance.rounds import Leg, Rounds, down, up
from pullwright.pull.balance.rounds_at_posts import Round, WishedBalance, round_of
from pullwright.pull.balance.wishes import Conditions, percent
from pullwright.pull.balance.work import TICK, Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

REFUSAL, EXPLAINING = 1.5, 1.5
"""Seconds (of effort) for the smallest conflict, and for why there are not fewer posts."""
_NEAR_ENOUGH = 0.005
"""A simple rule is near enough to the shortest takt that it can find by this share: the search goes on from there."""


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
    rounds = Rounds(work, has)
    if has.plain_but_load(work):
        return _plain(rounds, takt, seconds)
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


def _plain(rounds: Rounds, takt: float, seconds: float) -> WishedBalance:
    """The plain problem has a search of its own; posts that may not be full have less time in it."""
    from pullwright.pull.balance.contradiction import contradiction
    from pullwright.pull.balance.fewest import fewest_posts
    from pullwright.pull.balance.why_so_many import cost_of_load

    work, has = rounds.work, rounds.conditions
    if has.load is None:
        return _with_rounds(fewest_posts(work, takt, seconds=seconds), takt, has)
    room = rounds.room(takt_ticks(takt))
    if max(up(time) for time in rounds.times) > room:
        raise contradiction(work, takt, has, effort=Effort(REFUSAL))
    found = fewest_posts(work, room * TICK, seconds=seconds)
    said = f"No post is loaded above {percent(has.load)} of the takt: {room * TICK:.6g} s of {takt:.6g} s."
    plain = fewest_posts(work, takt, seconds=seconds / 4)
    costs = cost_of_load(has.load, len(found.posts), len(plain.posts))
    return _with_rounds(replace(found, reasons=(said, *found.reasons, costs)), takt, has)


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
    room = rounds.room(takt)
    if ruled_out(rounds, takt, last):
        return Answer(NONE, last + 1, ruled_out=False, by="adding up")
    low = least_posts(rounds, takt)
    rule = rule_takes(rounds)
    tries = max(1, min(RULES, int(effort.left / 2 / rule))) if rule else RULES
    first = first_plan(rounds, room, last, low, tries=tries)
    effort.spend(rule * (tries if first is None or len(first.posts) > low else 1))
    best, by = (OPEN, "") if first is None else (as_found(first), f"a simple rule ({first.by})")
    counted = low
    if first is None:
        # Is there a plan at all? With as many posts as elements nothing but the wishes can forbid it.
        half = effort.part(effort.left / 2)
        best = PostModel(rounds, last, room, room).solve(half)
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
        tried = PostModel(rounds, count, room, room).solve(share)
        effort.back(share)
        if tried.state == "none":
            low = count + 1
        elif tried.state == "found":
            best, by = tried, "a search over all plans"
            break
    low = min(low, len(best.posts))
    if rounds.conditions.people_at_a_post > 1 and effort.left > 0:
        fewer = PostModel(rounds, len(best.posts), room, room).solve(effort, fewest_people=True)
        best = fewer if fewer.state == "found" and len(fewer.posts) <= len(best.posts) else best
    return Answer(best, low, ruled_out=low > counted, by=by)


def shortest_takt(
    work: Work,
    count: int,
    conditions: Conditions | None = None,
    *,
    seconds: float = 10.0,
    known: WishedBalance | None = None,
    explained: bool = True,
) -> WishedBalance:
    """How short can the takt be with at most so many posts, every wish kept?

    Parameters: `seconds` as for `balanced`; `known`: a balance of the same work and wishes with at most so many posts, such as that of one post
    fewer: the answer is no worse; `explained`: say what binds (takes some searches more).
    Result: a balance with that `takt` (s), and in `takt_at_least` one that is proven to be impossible to undercut: where both are the same, there is
    no shorter takt (`takt_proven`). Errors: as for `balanced`.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 20.0), Element("glue", 30.0, after=("cut",)), Element("pack", 15.0, after=("glue",))])
    >>> shortest_takt(work, 2).takt
    45.0
    >>> shortest_takt(work, 2, Conditions(load=0.9)).takt
    50.0
    """
    rounds = with_at_most(work, count, conditions)
    found = shortest_found(rounds, Effort(seconds), known)
    if found is None:
        from pullwright.pull.balance.contradiction import contradiction

        raise contradiction(work, any_takt(rounds), rounds.conditions, effort=Effort(REFUSAL))
    if not explained:
        return found
    from pullwright.pull.balance.why_so_long import why_so_long

    return replace(found, reasons=why_so_long(found, Effort(EXPLAINING)))


def with_at_most(work: Work, count: int, conditions: Conditions | None) -> Rounds:
    """The rounds of a work with at most so many posts. Errors: BadPlanInput where something was typed wrong, or there is no work."""
    if count < 1:
        raise BadPlanInput(f"{count} posts: work needs a post; allowed: 1 or more")
    has = (conditions or Conditions()).checked(work)
    if not work.elements or not work.total:
        raise BadPlanInput(
            "there is no work to be shared out, so that there is no shortest takt; give elements with times"
        )
    return Rounds(work, replace(has, most=count if has.most is None else min(count, has.most)))


def shortest_found(rounds: Rounds, effort: Effort, known: WishedBalance | None = None) -> WishedBalance | None:
    """The shortest takt that is found with this effort, without reasons; None where no plan exists, whatever the takt. See `shortest_takt`."""
    has, took = rounds.conditions, monotonic()
    if replace(has, most=None).plain_but_load(rounds.work):
        found = _shortest_plain(rounds, effort.left)
        effort.spend(monotonic() - took)
    else:
        made = _shortest(rounds, effort, known)
        if made is None:
            return None
        found = made
    if known is not None and found.takt > known.takt + TICK / 2:
        at_least = min(found.takt_at_least or 0.0, known.takt)
        return checked(replace(known, conditions=has, takt_at_least=at_least, reasons=()))
    return found


def _shortest_plain(rounds: Rounds, seconds: float) -> WishedBalance:
    """The plain problem has a search of its own; posts that may not be full ask for a longer takt."""
    from pullwright.pull.balance import shortest

    count = rounds.conditions.most or 1
    found = shortest.shortest_takt(rounds.work, count, seconds=max(0.0, seconds))
    takt = rounds.takt_for(up(found.takt)) * TICK
    at_least = rounds.takt_for(up(found.takt_at_least or 0.0)) * TICK
    return _with_rounds(replace(found, takt_at_least=min(at_least, takt)), takt, rounds.conditions)


def _shortest(rounds: Rounds, effort: Effort, known: WishedBalance | None) -> WishedBalance | None:
    """A model of all plans, from what a simple rule finds (or what is known) down to what adds up."""
    # More posts than there are elements, or people, are of no use.
    count, seconds = most_posts(rounds), effort.left
    top, low = up(longest_round(rounds)), least_room(rounds, count)
    if ruled_out(rounds, rounds.takt_for(top), count):
        return None
    best = None if known is None else _found_again(rounds, known)
    start = by_halving(rounds, count, low, top if best is None else min(top, best.takt), effort, mixed=best is None)
    if start is not None and (best is None or start[1] < best.takt):
        best = replace(as_found(start[0]), takt=start[1])
    if best is not None:
        top = best.takt
    model = PostModel(rounds, count, min(low, top), top)
    found = model.solve(effort, hint=best)
    if found.state == "none" and best is None:
        return None
    if found.state != "found":
        if best is None:
            raise not_found(seconds)
        # None at all below what is known: that is the shortest.
        found = replace(best, at_least=best.takt if found.state == "none" else max(low, found.at_least))
    bound = max(low, found.at_least)
    if model.low == model.high:
        bound = max(bound, min(low, top))
    takt, at_least = rounds.takt_for(found.takt), rounds.takt_for(min(bound, found.takt))
    answer = Answer(found, 0, ruled_out=False, by="a search over all plans")
    return replace(laid_out(rounds, takt * TICK, answer), takt_at_least=at_least * TICK)


def tightened(balance: WishedBalance) -> WishedBalance:
    """The same balance for the shortest takt that its own rounds keep."""
    rounds = Rounds(balance.work, balance.conditions)
    ticks = max((up(one.length) + len(one.elements) for one in balance.rounds), default=0)
    takt = rounds.takt_for(ticks) * TICK
    return checked(replace(balance, takt=takt, takt_at_least=0.0)) if 0 < takt < balance.takt else balance


def _found_again(rounds: Rounds, known: WishedBalance) -> Found:
    """A balance that is known, as a search would say it."""
    index = rounds.work.index
    legs = tuple(tuple((index[name], int(name in one.back)) for name in one.elements) for one in known.rounds)
    crews = tuple(one.crew for one in known.rounds)
    return Found("found", legs, crews, takt=rounds.room(up(known.takt)))


def laid_out(rounds: Rounds, takt: float, answer: Answer) -> WishedBalance:
    """Put what a search found into rounds, and hold it against every condition."""
    found, has = answer.found, rounds.conditions
    schedules: Sequence[Schedule | None] = found.schedules or (None,) * len(found.posts)
    crews = found.crews or ("",) * len(found.posts)
    made = []
    for legs, crew, schedule in zip(found.posts, crews, schedules, strict=True):
        filled = crew if has.crews else next((s for i, _ in legs if (s := has.skill_of(rounds.work, i))), "")
        made.append(_round(rounds, legs, filled, schedule, found.takt or rounds.room(down(takt))))
    order = tuple(one.elements for one in made)
    return checked(
        WishedBalance(rounds.work, takt, order, answer.at_least, (), answer.by, conditions=has, rounds=tuple(made))
    )


def _round(rounds: Rounds, legs: tuple[Leg, ...], crew: str, schedule: Schedule | None, room: int) -> Round:
    most = rounds.conditions.people_at_a_post
    for people in range(1, most if legs else 1):
        # Where fewer people keep the takt too, fewer stand there.
        fewer = shortest(rounds, sorted(legs), people, room)
        if up(fewer.ends) <= room:
            return round_of(rounds, legs, crew, fewer, people)
    if schedule is None and most > 1 and legs:
        schedule = shortest(rounds, sorted(legs), most, room)
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


def any_takt(rounds: Rounds) -> float:
    """A takt that every round keeps, whatever is in it, and however full a post may be (s)."""
    return rounds.takt_for(up(longest_round(rounds))) * TICK


def longest_round(rounds: Rounds) -> float:
    """No round takes longer than this, whatever is in it (s)."""
    way = 0.0
    if rounds.conditions.walking is not None:
        spots = {element.place: i for i, element in enumerate(rounds.work.elements)}
        widest = max(rounds.way(a, b) for a in spots.values() for b in spots.values())
        way = widest * len(rounds.times)
    return rounds.busy([(i, 0) for i in range(len(rounds.times))]) + way + TICK * len(rounds.times)


def least_room(rounds: Rounds, count: int) -> int:
    """A round needs so many ticks at least with so many posts, by adding up."""
    weights = least_ticks(rounds)
    crews = [-(-work // number) for work, number, _ in work_of_crews(rounds) if number]
    return max(1, *weights, -(-sum(weights) // (count * rounds.conditions.people_at_a_post)), *crews)


def by_halving(
    rounds: Rounds, count: int, low: int, high: int, effort: Effort, *, mixed: bool = True
) -> tuple[First, int] | None:
    """The least room of a round (ticks) for which a simple rule needs at most so many posts.

    From just above `low` upwards in growing steps until one works, then by halving; `mixed`: rules with a little chance in them too, which take
    long, where no other finds any up to `high`. There is one however little effort there is, where a rule finds one at all.
    """
    size, step = rule_takes(rounds), 0.01

    def tried(room: int, *, mixed: bool = False) -> tuple[First, int] | None:
        found = first_plan(rounds, room, count, count, mixed=mixed)
        effort.spend(size * (1 if found is not None else RULES if mixed else RULES - MIXED))
        if found is None:
            return None
        longest = max(_ticks(rounds, legs) for legs in found.posts)
        return found, min(room, max(longest, low)) if longest else room

    best, room = None, min(low, high)
    while best is None and room < high:
        low, room, step = room, min(high, int(low * (1 + step)) + 1), 3 * step
        best = tried(room)
    if best is None:
        best = tried(high, mixed=mixed)
    while best is not None and best[1] - low > best[1] * _NEAR_ENOUGH and effort.left > 0:
        middle = (low + best[1]) // 2
        better = tried(middle)
        if better is None:
            low = middle + 1
        else:
            best = better
    return best


def _ticks(rounds: Rounds, legs: tuple[Leg, ...]) -> int:
    """How long the round of one person is (ticks), each of its elements rounded up; 0 where several may share it."""
    return 0 if rounds.conditions.people_at_a_post > 1 or not legs else up(rounds.length(legs)) + len(legs)
