"""The nearest plans that do work, where all that is wished does not: with more posts, without the fewest wishes, with a longer takt."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.pull.balance.at_a_glance import most_posts, ruled_out
from pullwright.pull.balance.can_be import ONE_LOOK, Asking
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.post_model import PostModel
from pullwright.pull.balance.rounds import Rounds, up
from pullwright.pull.balance.smallest import smallest_correction, without_few
from pullwright.pull.balance.wishes import Kind, Wish, named, posts
from pullwright.pull.balance.with_conditions import as_found, by_halving, fewest, least_takt, longest_round
from pullwright.pull.balance.work import TICK

_FIRST: dict[Kind, int] = {"most": 0, "crew": 2, "skill": 3}
"""What is dropped sooner where it comes to the same: a number of posts, then what was wished, last of all who there is and what they can do."""
_QUICK = 1.0
"""Seconds (of effort) for a plan without some wishes, where the fewest were not found."""


def nearest(asking: Asking, binding: Sequence[Wish], takt: float) -> str:
    """What does work instead? One sentence; empty where nothing was found. `takt` (s)."""
    ways: list[str] = []
    ordered = sorted(asking.wishes, key=lambda wish: (_FIRST.get(wish.kind, 1), wish not in binding))
    dropped = smallest_correction(asking.possible, ordered, [binding])
    if not dropped:
        asking.effort = Effort(_QUICK)
        dropped = without_few(asking.possible, ordered)
    if dropped:
        ways.append(_without(asking, dropped))
        if len(dropped) == 1 and dropped[0].kind == "most":
            others = [wish for wish in ordered if wish in binding and wish not in dropped]
            other = next((wish for wish in others if asking.possible(set(ordered) - {wish})), None)
            ways += [_without(asking, [other])] if other is not None else []
    if (longer := _longer_takt(asking)) is not None:
        ways.append(f"with a takt of {longer:.6g} s it works")
    said = "; ".join(ways)
    return f"{said[0].upper()}{said[1:]}." if said else ""


def _without(asking: Asking, dropped: Sequence[Wish]) -> str:
    """What a plan comes to that does without these wishes."""
    answer = fewest(asking.rounds(wish for wish in asking.wishes if wish not in dropped), asking.takt, Effort(ONE_LOOK))
    count = len(answer.found.posts)
    short = [asking.has.crews[int(c)].name for wish in dropped if wish.kind == "crew" for c in wish.which]
    others = [wish for wish in dropped if wish.kind not in ("most", "crew")]
    more = any(wish.kind == "most" for wish in dropped) and count > 0
    parts = [f"with {posts(count)}"] if more else []
    parts += [f"with more people of {named(short)}"] if short else []
    if others:
        parts.append(f"without the wish that {' and that '.join(wish.words for wish in others)}")
    said = f"{' and '.join(parts)} it works"
    return f"{said} with {posts(count)}" if count and not more else said


def _longer_takt(asking: Asking) -> float | None:
    """A takt (s) with which all wishes hold, found by a search; None where no takt helps."""
    rounds = Rounds(asking.work, asking.has)
    count, top = most_posts(rounds), up(longest_round(rounds))
    if top <= asking.takt or ruled_out(rounds, top, count):
        return None
    low = max(asking.takt, least_takt(rounds, count))
    start = by_halving(rounds, count, low, top, mixed=False)
    found = PostModel(rounds, count, low, top if start is None else start[1]).solve(
        Effort(ONE_LOOK), hint=None if start is None else as_found(start[0])
    )
    if found.state == "found":
        return found.takt * TICK
    return None if start is None else start[1] * TICK
