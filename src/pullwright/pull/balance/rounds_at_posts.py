"""A balance under conditions: what each post's round is made of, by whom, and how long it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.crew_at_post import Schedule, shortest
from pullwright.pull.balance.rounds import Leg, Rounds
from pullwright.pull.balance.wishes import Conditions


@dataclass(frozen=True)
class Round:
    """The round of one post.

    `elements`: in the order of the round; `back`: which of them are done on the way back of a bent line; `crew`: who fills the post, empty where
    anybody does; `starts` (s from the beginning of the round) and `who` (person 0, 1 ...) of each element. `work`, `walking`,
    `kept_free`, and `length` of the whole round: seconds. With several people `work` is theirs together and `length` ends with the last.
    """

    elements: tuple[str, ...]
    back: frozenset[str]
    crew: str
    people: int
    starts: tuple[float, ...]
    who: tuple[int, ...]
    work: float
    walking: float
    kept_free: float
    length: float


@dataclass(frozen=True)
class WishedBalance(Balance):
    """A balance that keeps conditions; `loads` are the lengths of the rounds (s), with walking and with what is kept free."""

    conditions: Conditions = field(default_factory=Conditions)
    rounds: tuple[Round, ...] = ()

    @property
    def loads(self) -> tuple[float, ...]:
        """How long the round of each post takes (s)."""
        return tuple(one.length for one in self.rounds)

    @property
    def people(self) -> int:
        """How many people stand at the posts."""
        return sum(one.people for one in self.rounds)

    @property
    def idle(self) -> str:
        """Say that posts have nothing to do, where a wish for a post of a certain number leaves some before it empty; else empty."""
        number = sum(not elements for elements in self.posts)
        if not number:
            return ""
        last = max(post for _, post in self.conditions.fixed) if self.conditions.fixed else len(self.posts)
        what = "post has" if number == 1 else "posts have"
        return f"{number} of these {what} nothing to do: they only stand there because of a wish for post {last}."

    @property
    def efficiency(self) -> float:
        """Which share of the people's time is work? Walking and what is kept free are not."""
        return self.work.total / (self.takt * self.people) if self.people and self.takt else 0.0


def round_of(
    rounds: Rounds, legs: Sequence[Leg], crew: str = "", schedule: Schedule | None = None, people: int = 1
) -> Round:
    """Put the elements of a post into a round; `people`: at most so many; `schedule` where one is known already."""
    names = rounds.work.names
    work = sum(rounds.times[i] for i, _ in legs)
    back = frozenset(names[i] for i, leg in legs if leg)
    if not legs:
        return Round((), back, "", 0, (), (), 0.0, 0.0, 0.0, 0.0)
    if rounds.conditions.people_at_a_post == 1:
        walk = rounds.walk(frozenset(legs))
        busy = rounds.busy(legs)
        starts, at, before = [], 0.0, walk.order[0][0]
        for i, _ in walk.order:
            at += rounds.way(before, i) if rounds.conditions.walking is not None else 0.0
            starts.append(at)
            at, before = at + rounds.times[i], i
        order = tuple(names[i] for i, _ in walk.order)
        return Round(order, back, crew, 1, tuple(starts), (0,) * len(order), work, walk.seconds, busy - work, busy + walk.seconds)  # fmt: skip
    found = schedule or shortest(rounds, sorted(legs), people)
    order = tuple(names[i] for i, _ in found.legs)
    return Round(order, back, crew, len(set(found.who)), found.starts, found.who, work, 0.0, 0.0, found.ends)
