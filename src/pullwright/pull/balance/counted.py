"""How many posts are needed at least, by adding up, where conditions hold: bounds that anybody can check."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from pullwright.pull.balance.bounds import Bound, best_bound, fullest, simple_bounds
from pullwright.pull.balance.hands import least_ticks
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.rounds import Rounds
from pullwright.pull.balance.wishes import named, people, percent, posts
from pullwright.pull.balance.work import TICK, Work


def counted(rounds: Rounds, takt: int) -> list[tuple[int, str]]:
    """Bounds that anybody can add up: so many posts at least, and the sentence that says why. `takt` in ticks."""
    if takt not in rounds.counted:
        rounds.counted[takt] = list(_counted(rounds, takt))
    return rounds.counted[takt]


def _counted(rounds: Rounds, takt: int) -> Iterable[tuple[int, str]]:
    has, work = rounds.conditions, rounds.work
    weights, most, room = least_ticks(rounds), has.people_at_a_post, rounds.room(takt)
    total, seconds = sum(weights), takt * TICK
    within = f"in a takt of {seconds:.6g} s"
    if has.load is not None:
        within = f"in {percent(has.load)} of a takt of {seconds:.6g} s"
    each = "" if most == 1 else f" with {people(most)} at each"
    least = max(1, -(-total // (max(room, 1) * most)))
    what = "takes" if rounds.z == 0 and rounds.draws is None else "takes, with what has to be kept free,"
    yield (
        least,
        f"the work of a piece {what} {total * TICK:.6g} s, and {posts(least - 1)}{each} "
        f"{'has' if least == 2 else 'have'} {(least - 1) * most * room * TICK:.6g} s {within}",
    )
    if most == 1 and max(weights) <= room:
        # What holds for the plain problem holds with conditions; what rests on one place for each post not on a bent line.
        for bound in _plain_bounds(work, tuple(weights), room, has.u_shaped):
            yield bound.posts, bound.says
    for wish in has.wishes(work):
        if wish.kind == "fixed":
            yield max(has.fixed[int(k)][1] for k in wish.which), wish.words
        if wish.kind == "apart":
            yield max(len(set(has.apart[int(k)])) for k in wish.which), wish.words
    for group in has.work_apart:
        distinct = list(dict.fromkeys(group))
        yield len(distinct), f"no two of {named(distinct)} are at one post"
    if len(has.zones) > 1:
        parts = [(zone, sum(weights[work.index[name]] for name in dict.fromkeys(names))) for zone, names in has.zones]
        need = [(zone, max(1, -(-part // (max(room, 1) * most)))) for zone, part in parts]
        said = ", ".join(f"'{zone}' needs {posts(number)}" for zone, number in need)
        yield sum(number for _, number in need), f"no post works in two zones: {said}"
    chain = _longest_chain(rounds)
    if chain:
        bent = has.u_shaped
        said = f"each of {named(chain)} is at an earlier {'place of the way' if bent else 'post'} than the next one"
        yield -(-len(chain) // 2) if bent else len(chain), said


def _longest_chain(rounds: Rounds) -> list[str]:
    """The longest run of elements that stay left of one another; empty where it is a circle."""
    follow: dict[str, list[str]] = {}
    for left, right in rounds.conditions.left_of:
        follow.setdefault(left, []).append(right)
    best: list[str] = []
    waiting = [[name] for name in follow]
    for _ in range(10_000):
        if not waiting:
            break
        chain = waiting.pop()
        if len(chain) > len(rounds.times):
            return []
        best = max(best, chain, key=len)
        waiting += [[*chain, name] for name in follow.get(chain[-1], []) if name not in chain]
    return best


@lru_cache(maxsize=32)
def _plain_bounds(work: Work, weights: tuple[int, ...], takt: int, bent: bool) -> tuple[Bound, ...]:
    """The bounds of the plain problem; wishes are dropped one after another, and most of them change nothing here."""
    timed = Work(tuple(replace(e, time=w * TICK) for e, w in zip(work.elements, weights, strict=True)))
    real = Plain.of(timed, takt * TICK)
    plain = real.at(fullest(real))
    return tuple(simple_bounds(plain, real)) if bent else (best_bound(plain, real),)


def least_posts(rounds: Rounds, takt: int) -> int:
    """So few posts are needed at least, by adding up: the work, fixed posts, what stays left of one another, what cannot share a post."""
    return max(bound for bound, _ in counted(rounds, takt))
