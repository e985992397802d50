"""Is there a plan at all? What can be seen at a glance first, then simple rules, and only then a search."""

from __future__ import annotations

from collections.abc import Iterable

from pullwright.pull.balance.at_a_glance import most_posts, ruled_out
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.first_plan import MIXED, RULES, first_plan, rule_takes
from pullwright.pull.balance.post_model import PostModel
from pullwright.pull.balance.rounds import Rounds
from pullwright.pull.balance.wishes import Conditions, Wish
from pullwright.pull.balance.work import Work

ONE_LOOK = 0.3
"""Seconds (of effort) for one question; what is not known by then counts as if it could be."""
_SMALL = 40
"""Up to so many posts the search is quicker than trying many rules."""
_ASKED = 0.005
"""What a question costs beside a search (s)."""


def can_be(rounds: Rounds, takt: int, count: int, effort: Effort) -> bool | None:
    """Is there a plan with at most so many posts for this takt (ticks)? None where the effort did not suffice to know."""
    if effort.left <= 0:
        return None
    effort.spend(_ASKED)
    if ruled_out(rounds, takt, count):
        return False
    rule, mixed = rule_takes(rounds), count > _SMALL
    if rule * (RULES - MIXED) > effort.left:
        return None
    room = rounds.room(takt)
    found = first_plan(rounds, room, count, count, mixed=mixed)
    effort.spend(rule * (1 if found is not None else RULES if mixed else RULES - MIXED))
    if found is not None:
        return True
    look = effort.part(ONE_LOOK)
    state = PostModel(rounds, count, room, room).solve(look).state if look.left > 0 else "open"
    effort.back(look)
    return None if state == "open" else state == "found"


class Asking:
    """Can some of these wishes hold together? Each set is asked about once."""

    def __init__(self, work: Work, takt: int, has: Conditions, effort: Effort) -> None:
        self.work, self.takt, self.has, self.effort = work, takt, has, effort
        self.wishes = has.wishes(work)
        self._kept: dict[frozenset[Wish], bool | None] = {}

    def rounds(self, kept: Iterable[Wish]) -> Rounds:
        """The rounds of the work with only these wishes."""
        keys = frozenset(kept)
        return Rounds(self.work, self.has.without(wish for wish in self.wishes if wish not in keys))

    def seen(self, kept: Iterable[Wish]) -> bool:
        """Can anybody see that they cannot hold together?"""
        rounds = self.rounds(kept)
        return ruled_out(rounds, self.takt, most_posts(rounds))

    def possible(self, kept: Iterable[Wish]) -> bool | None:
        """True, False, or None where it was not found out."""
        key = frozenset(kept)
        if key in self._kept:
            return self._kept[key]
        rounds = self.rounds(key)
        found = can_be(rounds, self.takt, most_posts(rounds), self.effort)
        if found is not None or self.effort.left > 0:
            # What is not known only because the effort is spent may be asked again with more of it.
            self._kept[key] = found
        return found
