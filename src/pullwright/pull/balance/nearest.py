"""The nearest plans that do work, where all that is wished does not: with more posts, without the fewest wishes, with a longer takt."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil

from pullwright.pull.balance.at_a_glance import most_posts, ruled_out
from pullwright.pull.balance.can_be import ONE_LOOK, Asking, can_be
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.post_model import Found, PostModel
from pullwright.pull.balance.rounds import Rounds, up
from pullwright.pull.balance.smallest import smallest_correction, without_few
from pullwright.pull.balance.wishes import Conditions, Kind, Wish, people, percent, posts
from pullwright.pull.balance.with_conditions import as_found, by_halving, fewest, least_room, longest_round
from pullwright.pull.balance.work import TICK

_FIRST: dict[Kind, int] = {"most": 0, "crew": 2, "skill": 3}
"""What is dropped sooner where it comes to the same: a number of posts, then what was wished, last of all who there is and what they can do."""
_QUICK = 1.0
"""Seconds (of effort) for a plan without some wishes, where the fewest were not found."""


def nearest(asking: Asking, binding: Sequence[Wish], takt: float) -> tuple[str, tuple[tuple[str, str], ...]]:
    """What does work instead? One sentence, empty where nothing was found; and what of it is a single wish, as it is typed. `takt` (s)."""
    ways: list[str] = []
    works: list[tuple[str, str]] = []
    ordered = sorted(asking.wishes, key=lambda wish: (_FIRST.get(wish.kind, 1), wish not in binding))
    dropped = smallest_correction(asking.possible, ordered, [binding])
    if not dropped:
        asking.effort = Effort(_QUICK)
        dropped = without_few(asking.possible, ordered)
    if dropped:
        said, count = _without(asking, dropped)
        ways.append(said)
        if len(dropped) == 1 and dropped[0].kind == "most":
            works.append(("balance.posts", str(count)))
            others = [wish for wish in ordered if wish in binding and wish not in dropped]
            other = next((wish for wish in others if asking.possible(set(ordered) - {wish})), None)
            ways += [_without(asking, [other])[0]] if other is not None else []
    if (longer := _longer_takt(asking)) is not None:
        ways.append(f"with a takt of {longer:.6g} s it works")
        works.append(("balance.takt", f"{ceil(longer * 100 - 1e-6) / 100:.10g} s"))
    said = "; ".join(ways)
    return f"{said[0].upper()}{said[1:]}." if said else "", tuple(works)


def _without(asking: Asking, dropped: Sequence[Wish]) -> tuple[str, int]:
    """What a plan comes to that does without these wishes, and its posts; of people and of loads it says how many, and how high, would do."""
    rounds = asking.rounds(wish for wish in asking.wishes if wish not in dropped)
    answer = fewest(rounds, asking.takt, Effort(ONE_LOOK))
    has, parts = rounds.conditions, []
    if short := [int(c) for wish in dropped if wish.kind == "crew" for c in wish.which]:
        has = _enough_people(asking, has, answer.found, short)
        parts += [
            f"{people(has.crews[c].number or 0)} of '{has.crews[c].name}' in place of {asking.has.crews[c].number}"
            for c in short
        ]
    if any(wish.kind == "load" for wish in dropped):
        has = _high_enough(asking, has)
        parts += [f"posts loaded up to {percent(has.load or 1.0)}"]
    if has is not rounds.conditions:
        answer = fewest(Rounds(asking.work, has), asking.takt, Effort(ONE_LOOK))
    count = len(answer.found.posts)
    more = any(wish.kind == "most" for wish in dropped) and count > 0
    parts = [*([posts(count)] if more else []), *parts]
    ways = [f"with {', '.join(parts[:-1])}{' and ' * (len(parts) > 1)}{parts[-1]}"] if parts else []
    if others := [wish for wish in dropped if wish.kind not in ("most", "crew", "load")]:
        ways.append(f"without the wish that {' and that '.join(wish.words for wish in others)}")
    said = f"{' and '.join(ways)} it works"
    return f"{said} with {posts(count)}" if count and not more else said, count


def _enough_people(asking: Asking, has: Conditions, found: Found, short: Sequence[int]) -> Conditions:
    """How many people of these crews would do? `has`: the wishes without their numbers, `found`: a plan that keeps them."""
    used = Counter[str]()
    for crew, schedule in zip(found.crews, found.schedules or (None,) * len(found.crews), strict=True):
        used[crew] += 1 if schedule is None else len(set(schedule.who))
    numbers = {c: max(used[has.crews[c].name], (asking.has.crews[c].number or 0) + 1) for c in short}
    for c in short:
        numbers[c] = _least(
            (asking.has.crews[c].number or 0) + 1,
            numbers[c],
            lambda n, c=c: _works(asking, _with_people(has, {**numbers, c: n})),  # type: ignore[misc]
        )
    return _with_people(has, numbers)


def _with_people(has: Conditions, numbers: dict[int, int]) -> Conditions:
    return replace(has, crews=tuple(replace(crew, number=numbers.get(c, crew.number)) for c, crew in enumerate(has.crews)))  # fmt: skip


def _high_enough(asking: Asking, has: Conditions) -> Conditions:
    """Up to which share of the takt, in whole per cent, do posts have to be loaded? `has`: the wishes without that one."""
    wished = asking.has.load or 1.0
    least = _least(min(100, int(100 * wished) + 1), 100, lambda p: _works(asking, replace(has, load=p / 100)))
    return replace(has, load=least / 100)


def _works(asking: Asking, has: Conditions) -> bool:
    rounds = Rounds(asking.work, has)
    return can_be(rounds, asking.takt, most_posts(rounds), Effort(ONE_LOOK)) is True


def _least(low: int, high: int, works: Callable[[int], bool]) -> int:
    """The least number from `low` to `high` that works, where `high` does, and all above one that does."""
    while low < high:
        middle = (low + high) // 2
        if works(middle):
            high = middle
        else:
            low = middle + 1
    return high


def _longer_takt(asking: Asking) -> float | None:
    """A takt (s) with which all wishes hold, found by a search; None where no takt helps."""
    rounds = Rounds(asking.work, asking.has)
    count, top = most_posts(rounds), up(longest_round(rounds))
    if rounds.takt_for(top) <= asking.takt or ruled_out(rounds, rounds.takt_for(top), count):
        return None
    low = max(rounds.room(asking.takt), least_room(rounds, count))
    look = Effort(ONE_LOOK)
    start = by_halving(rounds, count, low, top, look, mixed=False)
    found = PostModel(rounds, count, low, top if start is None else start[1]).solve(
        look, hint=None if start is None else as_found(start[0])
    )
    if found.state == "found":
        return rounds.takt_for(found.takt) * TICK
    return None if start is None else rounds.takt_for(start[1]) * TICK
