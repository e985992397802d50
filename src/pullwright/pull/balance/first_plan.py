"""A balance at once: posts are filled one after another with what comes first by a simple rule, and every condition is kept on the way.

Nothing is proven here, and where conditions stand against one another no rule may find a plan that exists: the search comes after.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pullwright.pull.balance.crew_at_post import by_tails
from pullwright.pull.balance.rounds import Leg, Rounds
from pullwright.pull.balance.work import TICK

_SEED, MIXED = 11, 20
RULES = 4 + MIXED
"""So many rules there are, with those that have a little chance in them."""
_PAIR_TAKES, _SEVERAL = 7e-7, 10
"""What a rule takes for each pair of elements (s of an ordinary processor; measured), and how many times that where several people share a post."""
_HAIR = 1e-9


@dataclass
class _State:
    """What was put where so far."""

    post_of: dict[int, int] = field(default_factory=dict)
    done: tuple[set[int], set[int]] = field(default_factory=lambda: (set(), set()))
    posts: list[list[Leg]] = field(default_factory=list)
    crews: list[str] = field(default_factory=list)
    left: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class First:
    """Legs and the crew of each post, and the rule that found it."""

    posts: tuple[tuple[Leg, ...], ...]
    crews: tuple[str, ...]
    by: str


def rule_takes(rounds: Rounds) -> float:
    """How long one rule takes about (s of an ordinary processor)."""
    return len(rounds.times) ** 2 * _PAIR_TAKES * (_SEVERAL if rounds.conditions.people_at_a_post > 1 else 1)


def first_plan(
    rounds: Rounds, room: int, most: int | None = None, enough: int = 0, *, mixed: bool = True, tries: int = RULES
) -> First | None:
    """The balance with the fewest posts that a simple rule finds where a round has this room (ticks); None where none does.

    `most`: with up to so many posts; one with up to `enough` posts is not looked for any further; `mixed`: try
    rules with a little chance in them too, which takes longer; `tries`: so many rules at most.
    """
    best: First | None = None
    limit, laws = most, _Laws(rounds)
    for words, keys in itertools.islice(_rules(rounds, MIXED if mixed else 0), tries):
        found = _Filling(laws, room, keys).run(limit)
        if found is not None and (best is None or len(found.posts) < len(best.posts)):
            posts = tuple(tuple(post) for post in found.posts)
            best = First(posts, tuple(found.crews), words)
            limit = len(posts)
            if limit <= enough:
                break
    return best


def _rules(rounds: Rounds, mixed: int) -> Iterable[tuple[str, Sequence[float]]]:
    """Simple rules: the element with the highest key comes first (Helgeson & Birnie 1961 for positional weights)."""
    times = rounds.times
    weight = [times[i] + sum(times[k] for k in rounds.after[i]) for i in range(len(times))]
    yield "the most work after it first", weight
    yield "the longest element first", times
    yield "the most elements after it first", [float(len(rounds.after[i])) for i in range(len(times))]
    yield "in the order of the work", [-float(i) for i in range(len(times))]
    luck = random.Random(_SEED)  # noqa: S311  (a fixed seed: the same plan every time)
    for _ in range(mixed):
        yield "the most work after it first, mixed a little", [w * luck.uniform(0.5, 1.5) for w in weight]


class _Laws:
    """What every run of a rule has to keep."""

    def __init__(self, rounds: Rounds) -> None:
        self.rounds, self.has = rounds, rounds.conditions
        work, index = rounds.work, rounds.work.index
        self.blocks = blocks(rounds)
        self.apart = [{index[name] for name in group} for group in self.has.all_apart]
        self.zone = {index[name]: zone for zone, names in self.has.zones for name in names}
        self.fixed = {index[name]: post for name, post in self.has.fixed}
        # What has to be done before a block on the way there, and on the way back; what stays left of each element, or right of it.
        self.needs = {
            block: tuple(
                frozenset[int]().union(*(side[i] for i in block)) - set(block) for side in (rounds.before, rounds.after)
            )
            for block in self.blocks
        }
        self.beside: tuple[dict[int, list[int]], dict[int, list[int]]] = ({}, {})
        for left, right in self.has.left_of:
            self.beside[0].setdefault(index[right], []).append(index[left])
            self.beside[1].setdefault(index[left], []).append(index[right])
        self.skills = [self.has.skill_of(work, i) for i in range(len(work.elements))]
        self.crews = self.has.filled_by(work)
        self.breadth = {crew.name: sum(map(crew.can, set(self.skills))) for crew in self.crews}


class _Filling:
    """One run of one rule."""

    def __init__(self, laws: _Laws, room: int, keys: Sequence[float]) -> None:
        self.rounds, self.has, self.keys = laws.rounds, laws.has, keys
        self.room = room * TICK + _HAIR
        self.blocks, self.apart, self.zone, self.fixed = laws.blocks, laws.apart, laws.zone, laws.fixed
        self.needs, self.beside = laws.needs, laws.beside
        self.skills, self.crews, self.breadth = laws.skills, laws.crews, laws.breadth

    def run(self, most: int | None) -> _State | None:
        state = _State(left={c.name: float("inf") if c.number is None else c.number for c in self.crews})
        waiting = sorted(self.blocks, key=lambda block: -max(self.keys[i] for i in block))
        last_fixed = max(self.fixed.values(), default=0)
        while waiting:
            post = len(state.posts) + 1
            if most is not None and post > most:
                return None
            here: list[Leg] = []
            state.posts.append(here)
            while True:
                # What has to be here goes first, and nothing takes the room that it needs.
                held = [(i, 0) for block in waiting for i in block if self.fixed.get(i) == post] if self.fixed else []
                chosen = None
                at_once = {i for i, _ in held}
                for block in sorted(waiting, key=at_once.isdisjoint) if at_once else waiting:
                    legs = self._legs(state, block, post)
                    if legs is None:
                        continue
                    others = [leg for leg in held if leg[0] not in block]
                    if self._fits(state, [*here, *legs], others):
                        chosen = block, legs
                        break
                if chosen is None:
                    break
                block, legs = chosen
                waiting.remove(block)
                here += legs
                for i, leg in legs:
                    state.post_of[i] = post
                    state.done[leg].add(i)
            if any(self.fixed.get(i) == post for block in waiting for i in block) or (not here and post >= last_fixed):
                return None
            crew = self._crew(state, here)
            if crew is None:
                return None
            state.crews.append(crew)
            if here and crew in state.left:
                state.left[crew] -= self._people(here, int(min(state.left[crew], self.has.people_at_a_post)))
        return state

    def _legs(self, state: _State, block: tuple[int, ...], post: int) -> list[Leg] | None:
        """On which way can the elements of a block be done here now? None where they cannot."""
        if any(self.fixed.get(i, post) != post for i in block):
            return None
        for leg in (0, 1) if self.has.u_shaped else (0,):
            if self.needs[block][leg] <= state.done[leg] and all(self._earlier(state, i, leg, post) for i in block):
                return [(i, leg) for i in block]
        return None

    def _earlier(self, state: _State, i: int, leg: int, post: int) -> bool:
        """Is all that has to stay left of it (on the way back: right of it) at an earlier place?"""
        return all(k in state.done[leg] and state.post_of[k] < post for k in self.beside[leg].get(i, ()))

    def _fits(self, state: _State, legs: list[Leg], held: list[Leg]) -> bool:
        crew = self._crew(state, legs + held)
        if crew is None or not self._apart(legs + held):
            return False
        people = self.has.people_at_a_post
        for chosen in (legs, [*legs, *held]) if held else (legs,):
            if people > 1:
                people = int(min(people, state.left.get(crew, people)))
                if by_tails(self.rounds, chosen, people).ends > self.room:
                    return False
            elif self.rounds.busy(chosen) > self.room or self.rounds.length(chosen) > self.room:
                return False
        return True

    def _apart(self, legs: list[Leg]) -> bool:
        here = {i for i, _ in legs}
        zones = {self.zone[i] for i in here if i in self.zone}
        return len(zones) <= 1 and all(len(group & here) <= 1 for group in self.apart)

    def _crew(self, state: _State, legs: list[Leg]) -> str | None:
        """Who fills the post: of those who can, the crew that can do least else and has people left."""
        if not self.crews or not legs:
            return ""
        skills = {self.skills[i] for i, _ in legs}
        if not self.has.crews:
            needed = skills - {""}
            return None if len(needed) > 1 else next(iter(needed), "")
        able = [crew for crew in self.crews if all(map(crew.can, skills)) and state.left[crew.name] >= 1]
        best = min(able, key=lambda crew: (self.breadth[crew.name], -state.left[crew.name]), default=None)
        return None if best is None else best.name

    def _people(self, legs: list[Leg], most: int) -> int:
        return next(n for n in range(1, most + 1) if n == most or by_tails(self.rounds, legs, n).ends <= self.room)


def blocks(rounds: Rounds) -> list[tuple[int, ...]]:
    """Elements that are put at a post at once: those that stay together, and in a straight line what is done between them."""
    index, count = rounds.work.index, len(rounds.times)
    block_of = {i: {i} for i in range(count)}

    def join(names: Iterable[int]) -> None:
        whole: set[int] = set().union(*(block_of[i] for i in names))
        for i in whole:
            block_of[i] = whole

    for group in rounds.conditions.all_together:
        join(index[name] for name in group)
    moving = not rounds.conditions.u_shaped
    while moving:
        moving = False
        for block in {id(one): one for one in block_of.values()}.values():
            between = [
                k for k in range(count) if k not in block and rounds.before[k] & block and rounds.after[k] & block
            ]
            if between:
                join([*between, next(iter(block))])
                moving = True
                break
    return [tuple(sorted(one)) for one in {id(one): one for one in block_of.values()}.values()]
