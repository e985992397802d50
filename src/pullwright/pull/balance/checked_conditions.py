"""The one validator for balances under conditions: whatever made a balance, here it is held against every condition, from the start."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterable
from statistics import NormalDist

import numpy as np

from pullwright.pull.balance.rounds import quantile_above
from pullwright.pull.balance.rounds_at_posts import Round, WishedBalance
from pullwright.pull.balance.wishes import named, people, percent, posts

_HAIR = 1e-6
"""Sums of decimal numbers may be off by this much (s)."""


def checked(balance: WishedBalance) -> WishedBalance:
    """Give the balance back; ValueError with all that it breaks. An own search that gets here with a broken balance is at fault."""
    wrong = broken(balance)
    if wrong:
        raise ValueError("this is no balance: " + "; ".join(wrong))
    return balance


def broken(balance: WishedBalance) -> tuple[str, ...]:
    """What does this balance break? One sentence for each condition, wish or law that does not hold; empty where all of them do.

    Nothing here is taken from what made the balance: the length of each round is added up again from its elements, in its own order.
    """
    return tuple([*_whole(balance)] or [*_ordered(balance), *_wished(balance), *_crewed(balance), *_timed(balance)])


def _whole(balance: WishedBalance) -> Iterable[str]:
    count = Counter(name for post in balance.posts for name in post)
    for name in balance.work.names:
        if count[name] != 1:
            yield f"'{name}' is done {count[name]} times, and has to be done once"
    for name in count:
        if name not in balance.work.index:
            yield f"'{name}' is no element of the work"
    if tuple(one.elements for one in balance.rounds) != balance.posts:
        yield "the rounds are not those of the posts"


def _way(balance: WishedBalance) -> dict[str, tuple[int, int]]:
    """Where along the way of the piece each element is done: its place, and its number in the round there."""
    count = len(balance.posts)
    return {
        name: (2 * count - k if name in one.back else k + 1, number)
        for k, one in enumerate(balance.rounds)
        for number, name in enumerate(one.elements)
    }


def _ordered(balance: WishedBalance) -> Iterable[str]:
    way = _way(balance)
    several = balance.conditions.people_at_a_post > 1
    for element in balance.work.elements:
        for before in element.after:
            # With several people the schedule says what comes first: see `_timed`.
            if way[before][0] > way[element.name][0] or (
                way[before][0] == way[element.name][0] and not several and way[before] > way[element.name]
            ):
                yield f"'{before}' has to be done before '{element.name}'"
    if not balance.conditions.u_shaped and any(one.back for one in balance.rounds):
        yield "elements are done on the way back, and the line is not bent"


def _wished(balance: WishedBalance) -> Iterable[str]:
    at = {name: k + 1 for k, post in enumerate(balance.posts) for name in post}
    has, way = balance.conditions, _way(balance)
    for group in has.all_together:
        if len({at[name] for name in group}) > 1:
            yield f"{named(group)} are not at one post"
    for group in has.all_apart:
        for post, count in Counter(at[name] for name in group).items():
            if count > 1:
                here = named(name for name in group if at[name] == post)
                yield f"{here} are {'both' if count == 2 else 'all'} at post {post}"
    for name, post in has.fixed:
        if at[name] != post:
            yield f"'{name}' is at post {at[name]} and has to stay at post {post}"
    for left, right in has.left_of:
        if way[left][0] >= way[right][0]:
            yield f"'{left}' does not stay left of '{right}'"
    zone_of = {name: zone for zone, names in has.zones for name in names}
    for k, elements in enumerate(balance.posts):
        zones = list(dict.fromkeys(zone_of[name] for name in elements if name in zone_of))
        if len(zones) > 1:
            yield f"post {k + 1} works in the zones {named(zones)}"
    if has.most is not None and len(balance.posts) > has.most:
        yield f"{posts(len(balance.posts))} are used, and at most {has.most} are allowed"


def _crewed(balance: WishedBalance) -> Iterable[str]:
    has, work = balance.conditions, balance.work
    crews = {crew.name: crew for crew in has.filled_by(work)}
    used: Counter[str] = Counter()
    for k, one in enumerate(balance.rounds):
        if one.people > has.people_at_a_post:
            yield f"{people(one.people)} stand at post {k + 1}, and {has.people_at_a_post} may"
        if not crews or not one.elements:
            continue
        needs = {has.skill_of(work, work.index[name]): name for name in one.elements}
        if one.crew not in crews:
            if has.crews or any(needs):
                yield f"no crew fills post {k + 1}, which does {named(one.elements)}"
            continue
        used[one.crew] += one.people
        for skill, name in needs.items():
            if not crews[one.crew].can(skill):
                yield f"the crew '{one.crew}' at post {k + 1} cannot do '{name}', which needs the skill '{skill}'"
    for crew in crews.values():
        if crew.number is not None and used[crew.name] > crew.number:
            yield f"{people(used[crew.name])} of the crew '{crew.name}' are needed, and it has {crew.number}"


def _timed(balance: WishedBalance) -> Iterable[str]:
    for k, one in enumerate(balance.rounds):
        if balance.conditions.people_at_a_post > 1:
            yield from _scheduled(balance, k, one)
            continue
        length = round_length(balance, one)
        if length > _room(balance) + _HAIR:
            yield f"the round of post {k + 1} takes {length:.6g} s, and {_allowed(balance)}"
        if abs(length - one.length) > _HAIR + 1e-9 * length:
            yield f"the round of post {k + 1} takes {length:.6g} s, and {one.length:.6g} s is said"


def _room(balance: WishedBalance) -> float:
    """How long may a round be (s)?"""
    load = balance.conditions.load
    return balance.takt if load is None else balance.takt * load


def _allowed(balance: WishedBalance) -> str:
    load = balance.conditions.load
    if load is None or load >= 1:
        return f"the takt is {balance.takt:.6g} s"
    return f"no post is loaded above {percent(load)} of the takt, {_room(balance):.6g} s"


def round_length(balance: WishedBalance, one: Round) -> float:
    """How long does a round of one person take (s), in the order in which it stands?"""
    has, work = balance.conditions, balance.work
    elements = [work.elements[work.index[name]] for name in one.elements]
    way = 0.0
    if has.walking is not None and elements:
        places = [element.place for element in elements]
        for a, b in zip(places, [*places[1:], places[0]], strict=True):
            assert a is not None
            assert b is not None
            way += math.dist(a, b) / has.walking
    if has.draws is not None and elements:
        rows = np.array([has.draws[element.name] for element in elements])
        return quantile_above(rows.sum(axis=0), has.overrun or 0.0) + way
    mean = sum(element.time for element in elements)
    if has.overrun is None:
        return mean + way
    return mean + NormalDist().inv_cdf(1 - has.overrun) * math.sqrt(sum(e.deviation**2 for e in elements)) + way


def _scheduled(balance: WishedBalance, k: int, one: Round) -> Iterable[str]:
    times = {element.name: element.time for element in balance.work.elements}
    rows = list(zip(one.elements, one.starts, one.who, strict=True))
    begins = {name: start for name, start, _ in rows}
    for name, start, person in rows:
        if start < -_HAIR or start + times[name] > _room(balance) + _HAIR:
            yield f"'{name}' at post {k + 1} lasts to {start + times[name]:.6g} s, and {_allowed(balance)}"
        if not 0 <= person < one.people:
            yield f"'{name}' at post {k + 1} is done by person {person + 1} of {one.people}"
        for before in balance.work.elements[balance.work.index[name]].after:
            same = (before in one.back) == (name in one.back)
            if before in begins and same and begins[before] + times[before] > start + _HAIR:
                yield f"'{before}' has to be done before '{name}' begins"
    for person in range(one.people):
        own = sorted(
            (start, start + times[name], name) for name, start, who in rows if who == person and times[name] > 0
        )
        for (_, end, first), (start, _, then) in itertools.pairwise(own):
            if end > start + _HAIR:
                yield f"a person at post {k + 1} does {named([first, then])} at once"
