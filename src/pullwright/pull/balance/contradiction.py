"""Wishes that cannot hold together: the smallest set of them, and the nearest plan that does work.

Smallest: a set of wishes that cannot hold together has one wish at least in common with every set that has to be dropped for a plan
to exist. So the least set that meets all sets dropped so far is tried; where a plan keeps it, what that plan has to drop is one more of those
sets, and where none does, it is the answer (implicit hitting sets: Ignatiev, Previti, Liffiton & Marques-Silva 2015).
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from pullwright.pull.balance.first_plan import first_plan
from pullwright.pull.balance.post_model import PostModel
from pullwright.pull.balance.rounds import Rounds, down, up
from pullwright.pull.balance.wishes import Conditions, Wish, named, posts
from pullwright.pull.balance.work import TICK, Work
from pullwright.pull.errors import NoSuchPlan

CanHold = Callable[[Iterable[Wish]], bool | None]
_ONE_LOOK = 1.0
"""Seconds for one question whether some wishes can hold together; what is not known by then counts as if they could."""


@dataclass
class _Asking:
    """Can these wishes hold together? Each set is asked about once."""

    work: Work
    takt: int
    has: Conditions
    wishes: tuple[Wish, ...]
    ends: float

    def __post_init__(self) -> None:
        self._kept: dict[frozenset[Wish], bool | None] = {}

    def possible(self, kept: Iterable[Wish]) -> bool | None:
        """True, False, or None where it was not found out."""
        key = frozenset(kept)
        if key not in self._kept:
            has = self.has.without(wish for wish in self.wishes if wish not in key)
            left = min(_ONE_LOOK, self.ends - time.monotonic())
            self._kept[key] = _possible(self.work, has, self.takt, left)
        return self._kept[key]


def _possible(work: Work, has: Conditions, takt: int, seconds: float) -> bool | None:
    rounds = Rounds(work, has)
    last = max(len(rounds.times), *(post for _, post in has.fixed), 1)
    count = last if has.most is None else min(last, has.most)
    if first_plan(rounds, takt, count, count) is not None:
        return True
    if seconds <= 0:
        return None
    state = PostModel(rounds, count, takt, takt).solve(seconds).state
    return None if state == "open" else state == "found"


def contradiction(work: Work, takt: float, has: Conditions, *, seconds: float = 5.0) -> NoSuchPlan:
    """Why is there no plan, and what is the nearest one? `takt` (s). For work and wishes that are proven to have none together.

    The error that comes back has the smallest set of wishes that cannot hold together as `binding`, each as one sentence, and
    in `instead` what does work: more posts, fewer wishes, a longer takt.
    """
    ends = time.monotonic() + seconds
    ticks = down(takt)
    asking = _Asking(work, ticks, has, has.wishes(work), ends)
    if asking.possible(()) is False:
        return _too_long(work, has, takt)
    binding = smallest_conflict(asking.possible, asking.wishes, ends)
    said = tuple(wish.words for wish in binding)
    order = _order_against(Rounds(work, has), binding)
    message = f"no plan keeps a takt of {takt:.6g} s and this: {'; '.join(said)}"
    if order:
        message += f" (and in the work {order})"
    instead = _instead(asking, binding, takt)
    return NoSuchPlan(f"{message}. {instead}".strip(), said, instead)


def smallest_conflict(possible: CanHold, wishes: Sequence[Wish], ends: float = float("inf")) -> tuple[Wish, ...]:
    """The smallest set of wishes that cannot hold together, where all of them cannot. `possible` says True, False or None (not known).

    First a set from which no wish can be left out (wish by wish), then the smallest of all, as far as there is time (until `ends`, by the
    monotonic clock).
    """
    few = list(wishes)
    for wish in wishes:
        fewer = [one for one in few if one is not wish]
        if possible(fewer) is False:
            few = fewer
    dropped: list[frozenset[Wish]] = []
    while time.monotonic() < ends:
        core = _least_that_meets(dropped, wishes, len(few) - 1)
        if core is None:
            break
        if possible(core) is False:
            return tuple(core)
        kept = list(core)
        for wish in wishes:
            if wish not in kept and possible([*kept, wish]) is not False:
                kept.append(wish)
        gone = frozenset(wish for wish in wishes if wish not in kept)
        if not gone or gone in dropped:
            break
        dropped.append(gone)
    return tuple(few)


def _least_that_meets(dropped: list[frozenset[Wish]], wishes: Sequence[Wish], most: int) -> list[Wish] | None:
    """The smallest set of wishes that has one in common with each of these sets; None where none of up to `most` wishes does."""
    useful = [wish for wish in wishes if any(wish in gone for gone in dropped)]
    for size in range(most + 1):
        for chosen in itertools.islice(itertools.combinations(useful, size), 20_000):
            if all(gone & set(chosen) for gone in dropped):
                return list(chosen)
    return None


def _too_long(work: Work, has: Conditions, takt: float) -> NoSuchPlan:
    """No plan without any wish either: an element takes longer than the takt."""
    long = [element for element in work.elements if element.time > takt + TICK / 2]
    said = tuple(f"'{element.name}' takes {element.time:.6g} s" for element in long)
    longest = max((element.time for element in long), default=takt)
    instead = f"With a takt of {longest:.6g} s it works; or split {named(element.name for element in long)} into shorter elements."
    return NoSuchPlan(f"no post can do it in a takt of {takt:.6g} s: {'; '.join(said)}. {instead}", said, instead)


def _order_against(rounds: Rounds, binding: Sequence[Wish]) -> str:
    """What of the order of the work a wish for left and right stands against: "'a' comes before 'b'"."""
    names, index = rounds.work.names, rounds.work.index
    pairs = [
        rounds.conditions.left_of[wish.which]
        for wish in binding
        if isinstance(wish.which, int) and wish.kind == "left_of"
    ]
    ends = {name for pair in pairs for name in pair}
    against = [
        f"'{names[a]}' comes before '{names[b]}'"
        for b in sorted(index[name] for name in ends)
        for a in sorted(rounds.before[b])
        if names[a] in ends
    ]
    return " and ".join(against)


def _instead(asking: _Asking, binding: Sequence[Wish], takt: float) -> str:
    """The nearest plans that do work: with more posts, without the fewest wishes, with a longer takt."""
    ways: list[str] = []
    most = [wish for wish in binding if wish.kind == "most"]
    if most and (more := _more_posts(asking, most[0])) is not None:
        ways.append(f"with {posts(more)} it works")
    if (dropped := _fewest_dropped(asking, binding)) and not (ways and dropped == tuple(most)):
        ways.append(f"without the wish that {' and that '.join(wish.words for wish in dropped)} it works")
    if (longer := _longer_takt(asking, takt)) is not None:
        ways.append(f"with a takt of {longer:.6g} s it works")
    said = "; ".join(ways)
    return f"{said[0].upper()}{said[1:]}." if said else ""


def _more_posts(asking: _Asking, most: Wish) -> int | None:
    from pullwright.pull.balance.with_conditions import fewest

    left = asking.ends - time.monotonic()
    if left <= 0.05:
        return None
    answer = fewest(Rounds(asking.work, asking.has.without([most])), asking.takt, seconds=min(left / 2, 2 * _ONE_LOOK))
    return len(answer.found.posts) if answer.found.state == "found" else None


def _fewest_dropped(asking: _Asking, binding: Sequence[Wish]) -> tuple[Wish, ...]:
    """The fewest wishes without which a plan exists: one of those that cannot hold together is among them, wishes of other kinds before `most`."""
    ordered = sorted(binding, key=lambda wish: wish.kind == "most")
    others = [wish for wish in asking.wishes if wish not in binding]
    for size in range(1, len(asking.wishes) + 1):
        for chosen in itertools.combinations([*ordered, *others], size):
            if time.monotonic() > asking.ends:
                return ()
            if chosen[0] in binding and asking.possible(w for w in asking.wishes if w not in chosen):
                return chosen
    return ()


def _longer_takt(asking: _Asking, takt: float) -> float | None:
    """A takt with which all wishes hold, found by a search; None where no takt helps."""
    from pullwright.pull.balance.with_conditions import _longest

    rounds = Rounds(asking.work, asking.has)
    last = max(len(rounds.times), *(post for _, post in asking.has.fixed), 1)
    count = last if asking.has.most is None else min(last, asking.has.most)
    left = min(asking.ends - time.monotonic(), 2 * _ONE_LOOK)
    top = up(_longest(rounds))
    if left <= 0.05 or top <= asking.takt or _possible(asking.work, asking.has, top, left / 2) is False:
        return None
    found = PostModel(rounds, count, asking.takt, top).solve(left)
    return found.takt * TICK if found.state == "found" else None
