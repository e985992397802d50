"""Why not one post fewer? What adds up to so many posts, what a search ruled out, and which wish costs a post."""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace

from pullwright.pull.balance.bounds import best_bound, fullest, simple_bounds
from pullwright.pull.balance.hands import least_ticks
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.post_model import PostModel
from pullwright.pull.balance.rounds import Rounds, down
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.balance.wishes import Conditions, Wish, named, people, posts
from pullwright.pull.balance.work import TICK, Work

_MOST_WISHES = 12
"""So many wishes are dropped one by one to see what each of them costs; with more of them it would take long."""


def counted(rounds: Rounds, takt: int) -> list[tuple[int, str]]:
    """Bounds that anybody can add up: so many posts at least, and the sentence that says why. `takt` in ticks."""
    if takt not in rounds.counted:
        rounds.counted[takt] = list(_counted(rounds, takt))
    return rounds.counted[takt]


def _counted(rounds: Rounds, takt: int) -> Iterable[tuple[int, str]]:
    has, work = rounds.conditions, rounds.work
    weights, most = least_ticks(rounds), has.people_at_a_post
    total, seconds = sum(weights), takt * TICK
    each = "" if most == 1 else f" with {people(most)} at each"
    least = max(1, -(-total // (takt * most)))
    what = "takes" if rounds.z == 0 and rounds.draws is None else "takes, with what has to be kept free,"
    yield (
        least,
        f"the work of a piece {what} {total * TICK:.6g} s, and {posts(least - 1)}{each} "
        f"{'has' if least == 2 else 'have'} {(least - 1) * most * seconds:.6g} s in a takt of {seconds:.6g} s",
    )
    if most == 1 and max(weights) <= takt:
        # What holds for the plain problem holds with conditions; what rests on one place for each post not on a bent line.
        real = Plain.of(
            Work(tuple(replace(e, time=w * TICK) for e, w in zip(work.elements, weights, strict=True))), seconds
        )
        plain = real.at(fullest(real))
        for bound in simple_bounds(plain, real) if has.u_shaped else [best_bound(plain, real)]:
            yield bound.posts, bound.says
    for name, post in has.fixed:
        yield post, f"'{name}' stays at post {post}"
    for group in has.all_apart:
        distinct = list(dict.fromkeys(group))
        yield len(distinct), f"no two of {named(distinct)} are at one post"
    if len(has.zones) > 1:
        parts = [(zone, sum(weights[work.index[name]] for name in dict.fromkeys(names))) for zone, names in has.zones]
        need = [(zone, max(1, -(-part // (takt * most)))) for zone, part in parts]
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


def why_so_many(balance: WishedBalance, ruled_out: bool, *, seconds: float) -> tuple[str, ...]:
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
    if count > 1:
        said += cheaper_without(work, has, takt, count, seconds=seconds)
    return tuple(f"{one[0].upper()}{one[1:]}." for one in said)


def _between(low: int, high: int) -> str:
    return posts(low) if low == high else f"{low} to {posts(high)}"


def too_few(number: int) -> str:
    """Say that so many posts are not enough."""
    return f"{posts(number)} {'is' if number == 1 else 'are'} too few"


def cheaper_without(work: Work, has: Conditions, takt: int, count: int, *, seconds: float) -> list[str]:
    """Which wish costs a post? Each one is dropped alone, and one post fewer is looked for; where none does, two at once, and all of them."""
    wishes = [wish for wish in has.wishes(work) if wish.kind != "most"]
    if not wishes or len(wishes) > _MOST_WISHES:
        return []
    ends = time.monotonic() + seconds
    pairs = list(itertools.combinations(wishes, 2))
    left_to_ask = len(wishes) + len(pairs) + 1

    def would_do(dropped: Sequence[Wish]) -> bool:
        nonlocal left_to_ask
        left = ends - time.monotonic()
        asked = left > 0.02 and fits(
            work, has.without(dropped), takt, count - 1, seconds=max(left / left_to_ask, min(left, 0.2))
        )
        left_to_ask -= 1
        return bool(asked)

    alone = [wish for wish in wishes if would_do([wish])]
    if alone or len(wishes) < 2:
        return [f"without the wish that {wish.words}, {posts(count - 1)} would do" for wish in alone]
    if not would_do(wishes):
        return []
    pair = next((pair for pair in pairs if would_do(pair)), None)
    if pair is None:
        return [f"no two wishes alone cost a post; without any of them {posts(count - 1)} would do"]
    return [f"without the wishes that {pair[0].words} and that {pair[1].words}, {posts(count - 1)} would do"]


def fits(work: Work, has: Conditions, takt: int, count: int, *, seconds: float) -> bool | None:
    """Is there a plan with at most so many posts? None where the time was too short to know."""
    from pullwright.pull.balance.first_plan import first_plan

    rounds = Rounds(work, replace(has, most=count))
    if count < 1:
        return False
    if first_plan(rounds, takt, count, count) is not None:
        return True
    state = PostModel(rounds, count, takt, takt).solve(seconds).state
    return None if state == "open" else state == "found"
