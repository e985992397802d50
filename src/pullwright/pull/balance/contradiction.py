"""Wishes that cannot hold together: the smallest set of them, and the nearest plan that does work."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pullwright.pull.balance.can_be import Asking
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.hands import least_ticks
from pullwright.pull.balance.nearest import nearest
from pullwright.pull.balance.rounds import Rounds, down
from pullwright.pull.balance.smallest import smallest_conflict
from pullwright.pull.balance.wishes import Conditions, Wish, named, percent
from pullwright.pull.balance.work import TICK, Work
from pullwright.pull.errors import NoSuchPlan

NEAREST = 1.0
"""Seconds (of effort) for the nearest plan."""


def contradiction(
    work: Work, takt: float, has: Conditions, *, effort: Effort, with_today: Conditions | None = None
) -> NoSuchPlan:
    """Why is there no plan, and what is the nearest one? `takt` (s). For work and wishes that are proven to have none together.

    The error that comes back has the smallest set of wishes that cannot hold together as `binding`, each as one sentence, and
    in `instead` what does work: more posts, fewer wishes, a longer takt. `with_today`: the same wishes with today's people as limits; the
    nearest plan is looked for within these first.
    """
    asking = Asking(work, down(takt), has, effort)
    if asking.possible(()) is False:
        return _too_long(work, has, takt)
    binding = clash(asking)
    said = tuple(wish.words for wish in binding)
    order = _order_against(Rounds(work, has), binding)
    message = f"no plan keeps a takt of {takt:.6g} s and this: {'; '.join(said)}"
    if order:
        message += f" (in the work, {order})"
    if fills := _fills(Rounds(work, has), down(takt), binding):
        message += f" ({fills})"
    instead, works = "", tuple[tuple[str, str], ...]()
    if with_today is not None:
        instead, works = nearest(Asking(work, down(takt), with_today, Effort(NEAREST)), binding, takt)
    if not instead:
        asking.effort = Effort(NEAREST)
        instead, works = nearest(asking, binding, takt)
    return NoSuchPlan(f"{message}. {instead}".strip(), said, instead, works)


def clash(asking: Asking) -> tuple[Wish, ...]:
    """The smallest set of wishes that cannot hold together; one that can be seen at a glance is not looked for any longer."""
    for wish in asking.wishes:
        if asking.seen([wish]):
            return (wish,)
    # What is typed is rather left in than who there is: crews and skills are left out first.
    ordered = sorted(asking.wishes, key=lambda wish: wish.kind not in ("skill", "crew"))
    few = smallest_conflict(asking.possible, ordered)
    return tuple(wish for wish in asking.wishes if wish in few)


def _too_long(work: Work, has: Conditions, takt: float) -> NoSuchPlan:
    """No plan without any wish either: an element takes longer than the takt."""
    long = [element for element in work.elements if element.time > takt + TICK / 2]
    said = tuple(f"'{element.name}' takes {element.time:.6g} s" for element in long)
    longest = max((element.time for element in long), default=takt)
    instead = f"With a takt of {longest:.6g} s it works; or split {named(element.name for element in long)} into shorter elements."
    return NoSuchPlan(f"no post can do it in a takt of {takt:.6g} s: {'; '.join(said)}. {instead}", said, instead)


def _fills(rounds: Rounds, takt: int, binding: Sequence[Wish]) -> str:
    """Where posts may not be full and an element alone is too long for that: which one, and up to which load it is allowed."""
    load = rounds.conditions.load
    if load is None or all(wish.kind != "load" for wish in binding):
        return ""
    weights = least_ticks(rounds)
    longest = max(range(len(weights)), key=weights.__getitem__)
    if weights[longest] <= rounds.room(takt):
        return ""
    share = math.ceil(1000 * weights[longest] / takt - 1e-6) / 1000
    return f"'{rounds.work.names[longest]}' alone takes {percent(share)} of it; allowed: a load of {percent(share)} or more"


def _order_against(rounds: Rounds, binding: Sequence[Wish]) -> str:
    """What of the order of the work stands against wishes for left and right: "'a' comes before 'b'". Short: two of them at most."""
    index = rounds.work.index
    wished = {typed.entries: typed.names for typed in rounds.conditions.typed if typed.kind == "left_of"}
    lefts: dict[str, set[int]] = {}
    rights: dict[str, set[int]] = {}
    for wish in binding:
        if wish.kind == "left_of":
            pairs = [rounds.conditions.left_of[int(k)] for k in wish.which]
            left, right = wished.get(tuple(int(k) for k in wish.which), pairs[0])
            lefts.setdefault(left, set()).update(index[a] for a, _ in pairs)
            rights.setdefault(right, set()).update(index[b] for _, b in pairs)
    against = [
        f"'{first}' comes before '{then}'"
        for first, some in rights.items()
        for then, others in lefts.items()
        if first != then and any(a in rounds.before[b] for a in some for b in others)
    ]
    return " and ".join(against[:2])
