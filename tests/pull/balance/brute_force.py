"""Every plan there is, tried one after another: slow, short, and written from the definitions alone."""

from __future__ import annotations

import itertools
import math
from statistics import NormalDist

from pullwright.pull.balance.wishes import Conditions
from pullwright.pull.balance.work import Work


def fewest_posts(work: Work, takt: float, has: Conditions, most: int) -> int | None:
    """The fewest posts of all plans that keep everything; None where none of up to `most` posts does."""
    return next((count for count in range(1, most + 1) if _any(work, takt, has, count)), None)


def shortest_takt(work: Work, has: Conditions, count: int, takts: list[float]) -> float | None:
    """The shortest of these takts for which there is a plan."""
    return next((takt for takt in sorted(takts) if _any(work, takt, has, count)), None)


def _any(work: Work, takt: float, has: Conditions, count: int) -> bool:
    if has.most is not None and count > has.most:
        return False
    places = range(1, (2 if has.u_shaped else 1) * count + 1)
    return any(
        _keeps(work, takt, has, count, dict(zip(work.names, plan, strict=True)))
        for plan in itertools.product(places, repeat=len(work.names))
    )


def _keeps(work: Work, takt: float, has: Conditions, count: int, place: dict[str, int]) -> bool:
    post = {name: p if p <= count else 2 * count + 1 - p for name, p in place.items()}
    posts = [[name for name in work.names if post[name] == k] for k in range(1, count + 1)]
    skill = {e.name: e.skill for e in work.elements}
    zone = {name: z for z, names in has.zones for name in names}
    return (
        all(place[before] <= place[e.name] for e in work.elements for before in e.after)
        and all(place[a] < place[b] for a, b in has.left_of)
        and all(len({post[name] for name in group}) == 1 for group in has.together)
        and all(len({post[name] for name in group}) == len(group) for group in has.apart)
        and all(post[name] == k for name, k in has.fixed)
        and all(len({zone[name] for name in names if name in zone}) <= 1 for names in posts)
        and (bool(has.crews) or all(len({skill[name] for name in names} - {""}) <= 1 for names in posts))
        and _manned(takt, work, has, place, posts, skill)
    )


def _manned(takt: float, work: Work, has: Conditions, place: dict[str, int], posts: list[list[str]], skill: dict[str, str]) -> bool:  # fmt: skip
    """Is there a way to fill the posts with crews, with as few people at each as it needs?"""
    takt *= 1.0 if has.load is None else has.load
    needs = []
    for names in posts:
        fits = [
            n
            for n in range(1, has.people_at_a_post + 1)
            if not names or _length(work, has, place, names, n) <= takt + 1e-9
        ]
        if not fits:
            return False
        needs.append(fits[0] if names else 0)
    if not has.crews:
        return True
    able = [
        [c for c, crew in enumerate(has.crews) if all(crew.can(skill[name]) for name in names)] if names else [-1]
        for names in posts
    ]
    for chosen in itertools.product(*able):
        used = [sum(n for c, n in zip(chosen, needs, strict=True) if c == k) for k in range(len(has.crews))]
        if all(crew.number is None or u <= crew.number for crew, u in zip(has.crews, used, strict=True)):
            return True
    return False


def _length(work: Work, has: Conditions, place: dict[str, int], names: list[str], people: int) -> float:
    """The shortest round with these elements, over all orders in which they can be done."""
    by_name = {e.name: e for e in work.elements}
    best = math.inf
    closed: dict[str, set[str]] = {}
    for e in work.elements:
        closed[e.name] = set(e.after).union(*(closed[b] for b in e.after))
    for order in itertools.permutations(names):
        if any(place[a] == place[b] and b in closed[a] for k, a in enumerate(order) for b in order[k + 1 :]):
            continue
        if people > 1 or has.people_at_a_post > 1:
            free, ends = [0.0] * people, {}
            for name in order:
                ready = max([0.0, *(ends[b] for b in closed[name] if b in ends and place[b] == place[name])])
                person = min(range(people), key=lambda one: max(free[one], ready))
                free[person] = ends[name] = max(free[person], ready) + by_name[name].time
            best = min(best, max(ends.values()))
            continue
        walk = 0.0
        if has.walking is not None:
            spots = [by_name[name].place for name in order]
            walk = sum(math.dist(a, b) for a, b in zip(spots, [*spots[1:], spots[0]], strict=True)) / has.walking
        if has.draws is not None:
            sums = sorted(sum(has.draws[name][d] for name in names) for d in range(len(has.draws[names[0]])))
            work_time = next(s for s in sums if sum(x > s for x in sums) <= has.overrun * len(sums) + 1e-9)
        else:
            work_time = sum(by_name[name].time for name in names)
            if has.overrun is not None:
                work_time += NormalDist().inv_cdf(1 - has.overrun) * math.sqrt(
                    sum(by_name[name].deviation ** 2 for name in names)
                )
        best = min(best, work_time + walk)
    return best
