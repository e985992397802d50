"""Elements at posts as a model for CP-SAT: one yes or no for each element and place, and every condition as a few rows.

Which elements go together is chosen here; how long a walk takes, and how long a round is in bad luck, is worked out for the rounds
that come back, and told to the model as a row that it broke (lazy cuts), until a plan comes back that breaks none.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pullwright.pull.balance.crew_at_post import Schedule, with_people
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.hands import least_ticks, too_few_people, work_of_crews
from pullwright.pull.balance.open_places import open_places, post_of, strict_arcs
from pullwright.pull.balance.rounds import Leg, Rounds, up
from pullwright.pull.balance.work import TICK

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

_SEED = 7
_ROW, _TERM = 6e-5, 4e-6
"""What it costs to write down one element at one place, and one of these in a row of the order of two elements (s of effort)."""


@dataclass(frozen=True)
class Found:
    """What a search says. `state`: "found" (with legs and crews by post), "none" (proven that there is none), or "open".

    `takt` in ticks and `at_least`: the takt (what a round has of it) that was found and the one that is proven to be impossible to undercut. `proven`: is the objective?
    """

    state: str
    posts: tuple[tuple[Leg, ...], ...] = ()
    crews: tuple[str, ...] = ()
    schedules: tuple[Schedule | None, ...] = ()
    takt: int = 0
    at_least: int = 0
    proven: bool = False


NONE, OPEN = Found("none"), Found("open")


class PostModel:
    """The model for at most `posts` posts and a takt between two numbers of ticks (the same number where it is given).

    A takt is here what a round has: where posts are loaded up to a share of the takt alone, that share of it (`Rounds.room`).
    """

    def __init__(self, rounds: Rounds, posts: int, low: int, high: int) -> None:
        self.rounds, self.posts, self.low, self.high = rounds, posts, low, high
        self.has, self.work = rounds.conditions, rounds.work
        self.people = self.has.people_at_a_post
        self.weights = least_ticks(rounds)
        self.possible = True
        found = open_places(rounds, posts, high * self.people, self.weights)
        if found is None or max(self.weights, default=0) > high or too_few_people(rounds, high):
            self.possible = False
            return
        self.windows = found
        self._built = False

    # --- the rows -----------------------------------------------------------------------------------------------

    def _build(self) -> None:
        from ortools.sat.python import cp_model

        self.model = model = cp_model.CpModel()
        self.x = [{place: model.new_bool_var("") for place in places} for places in self.windows]
        self.here: list[dict[int, list[Any]]] = [{} for _ in self.x]
        for own, here in zip(self.x, self.here, strict=True):
            model.add_exactly_one(own.values())
            for place, x in own.items():
                here.setdefault(post_of(place, self.posts), []).append(x)
        self.takt: Any = self.high if self.low == self.high else model.new_int_var(self.low, self.high, "takt")
        self.walk: list[Any] = [0] * (self.posts + 1)
        self._order()
        self._wished()
        self._crews()
        if self.has.walking is not None:
            self._walks()
        if self.people > 1:
            self._schedules()
        else:
            self._loads()

    def at(self, i: int, post: int) -> Any:
        """Is element `i` at this post? A sum of at most two yes or no."""
        return sum(self._own(i, post))

    def _own(self, i: int, post: int) -> list[Any]:
        return self.here[i].get(post, [])

    def _order(self) -> None:
        places = range(1, (2 if self.has.u_shaped else 1) * self.posts + 1)
        arcs = [(a, b, 0) for a, b in self._reduced()] + [(a, b, 1) for a, b in strict_arcs(self.rounds)]
        for a, b, step in arcs:
            if self.windows[a][-1] + step <= self.windows[b][0]:
                continue
            for place in places:
                if self.windows[b][0] <= place and self.windows[a][-1] > place - step:
                    then = [x for p, x in self.x[b].items() if p <= place]
                    self.model.add(sum(then) <= sum(x for p, x in self.x[a].items() if p <= place - step))

    def _reduced(self) -> list[tuple[int, int]]:
        """The order of the work without what follows from the rest."""
        before = self.rounds.before
        direct: dict[int, list[int]] = {}
        for a, b in dict.fromkeys(self.work.arcs):
            direct.setdefault(b, []).append(a)
        return [(a, b) for b, firsts in direct.items() for a in firsts if not any(a in before[c] for c in firsts)]

    def _wished(self) -> None:
        index, model = self.work.index, self.model
        every = range(1, self.posts + 1)
        for group in self.has.all_together:
            first, *others = (index[name] for name in dict.fromkeys(group))
            for post, i in itertools.product(every, others):
                model.add(self.at(first, post) == self.at(i, post))
        for group in self.has.all_apart:
            for post in every:
                model.add(sum(x for name in group for x in self._own(index[name], post)) <= 1)
        for post in every if len(self.has.zones) > 1 else ():
            in_zone = [model.new_bool_var("") for _ in self.has.zones]
            model.add_at_most_one(in_zone)
            for here, (_, names) in zip(in_zone, self.has.zones, strict=True):
                for name in names:
                    for x in self._own(index[name], post):
                        model.add_implication(x, here)

    def _crews(self) -> None:
        """Who fills each post, and how many of them: `self.filled[post][crew]`."""
        self.crews = self.has.filled_by(self.work)
        self.filled: list[list[Any]] = []
        self.hands: list[list[Any]] = []
        if not self.crews:
            return
        for post in range(1, self.posts + 1):
            filled = [self.model.new_bool_var("") for _ in self.crews]
            self.model.add_at_most_one(filled)
            hands: list[Any] = list(filled)
            if self.people > 1:
                hands = [self.model.new_int_var(0, self.people, "") for _ in self.crews]
                for one, number in zip(filled, hands, strict=True):
                    self.model.add(number <= self.people * one)
            for i in range(len(self.work.elements)):
                skill = self.has.skill_of(self.work, i)
                able = [one for one, crew in zip(filled, self.crews, strict=True) if crew.can(skill)]
                # Where no crew is named, only work that needs a skill needs one.
                if self.has.crews or skill:
                    for x in self._own(i, post):
                        self.model.add_bool_or([*able, x.negated()])
            self.filled.append(filled)
            self.hands.append(hands)
        for c, crew in enumerate(self.crews):
            if crew.number is not None:
                self.model.add(sum(hands[c] for hands in self.hands) <= crew.number)
        for work, _, crews in work_of_crews(self.rounds):
            if self.low == self.high and work > 0:
                needed = -(-work // self.high)
                self.model.add(sum(hands[c] for hands in self.hands for c in crews) >= needed)

    def _loads(self) -> None:
        z2 = [math.ceil((self.rounds.z * e.deviation / TICK) ** 2 - 1e-6) for e in self.work.elements]
        times = [up(t) for t in self.rounds.times]
        self.loads: list[Any] = []
        for post in range(1, self.posts + 1):
            terms = [(i, x) for i in range(len(times)) for x in self._own(i, post)]
            load = sum(self.weights[i] * x for i, x in terms) + self.walk[post]
            self.model.add(load <= self.takt)
            if self.rounds.z > 0 and any(z2):
                # z √(sum of the variances) ≤ what the mean times leave, squared on both sides.
                rest = self.model.new_int_var(0, self.high, "")
                square = self.model.new_int_var(0, self.high**2, "")
                self.model.add(rest == self.takt - sum(times[i] * x for i, x in terms) - self.walk[post])
                self.model.add_multiplication_equality(square, [rest, rest])
                self.model.add(sum(z2[i] * x for i, x in terms) <= square)

    def _schedules(self) -> None:
        """Several people at a post: when each element begins, never more at once than people, the order kept on the piece."""
        times = [up(t) for t in self.rounds.times]
        self.starts = [self.model.new_int_var(0, max(0, self.high - t), "") for t in times]
        for start, t in zip(self.starts, times, strict=True):
            self.model.add(start + t <= self.takt)
        self.there: list[Any] = []
        for post in range(1, self.posts + 1):
            terms = [(i, x) for i in range(len(times)) for x in self._own(i, post) if times[i] > 0]
            pieces = [
                self.model.new_optional_fixed_size_interval_var(self.starts[i], times[i], x, "") for i, x in terms
            ]
            number = self.model.new_int_var(0, self.people, "")
            self.model.add_cumulative(pieces, [1] * len(pieces), number)
            for i in range(len(times)):
                for x in self._own(i, post):
                    self.model.add(number >= x)
            if self.low == self.high:
                self.model.add(sum(times[i] * x for i, x in terms) <= self.high * number)
            else:
                self.model.add(sum(times[i] * x for i, x in terms) <= self.people * self.takt)
            if self.has.crews:
                self.model.add(number <= sum(self.hands[post - 1]))
            self.there.append(number)
        for a, b in self.work.arcs:
            for place, x in self.x[a].items():
                if (y := self.x[b].get(place)) is not None:
                    self.model.add(self.starts[b] >= self.starts[a] + times[a]).only_enforce_if([x, y])

    def _walks(self) -> None:
        """A walk is at least there and back between any two places of a round; more is told when it comes back (`_cut`)."""
        some: dict[Any, int] = {}
        for i, element in enumerate(self.work.elements):
            some.setdefault(element.place, i)
        for post in range(1, self.posts + 1):
            self.walk[post] = self.model.new_int_var(0, self.high, "")
            visited = {place: self.model.new_bool_var("") for place in some}
            for i, element in enumerate(self.work.elements):
                for x in self._own(i, post):
                    self.model.add_implication(x, visited[element.place])
            for a, b in itertools.combinations(some, 2):
                there_and_back = up(2 * self.rounds.way(some[a], some[b]))
                self.model.add(self.walk[post] >= there_and_back).only_enforce_if([visited[a], visited[b]])

    # --- the search ---------------------------------------------------------------------------------------------

    def solve(self, effort: Effort, *, fewest_people: bool = False, hint: Found | None = None) -> Found:
        """Look for a plan with this effort; with a takt that is open for the shortest one, with `fewest_people` for that."""
        from ortools.sat.python import cp_model

        if not self.possible:
            return NONE
        if not self._written(effort):
            return Found("open", at_least=self.low)
        if self.low < self.high:
            self.model.minimize(self.takt)
        elif fewest_people:
            self.model.minimize(sum(self.there))
        if hint is not None:
            self._hint(hint)
        best, at_least = OPEN, self.low
        while effort.left > 0:
            solver = cp_model.CpSolver()
            # Interleaved search gives the same answer whatever the number of workers.
            solver.parameters.num_workers = 1
            solver.parameters.random_seed = _SEED
            state = effort.solve(solver, self.model)
            if state == cp_model.INFEASIBLE:
                return best if best.state == "found" else NONE
            if self.low < self.high and state in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN):
                bound = solver.best_objective_bound
                at_least = max(at_least, math.ceil(bound - 1e-6) if math.isfinite(bound) else 0)
            if state not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                break
            found = self._read(solver, state == cp_model.OPTIMAL)
            if self._holds(found):
                return Found(**{**_fields(found), "at_least": at_least if self.low < self.high else self.high})
            if self.low < self.high:
                # It holds for a longer takt than it was made for, and may be the best so far.
                longest = max(up(self.rounds.length(legs)) for legs in found.posts)
                if longest <= self.high and (best.state != "found" or longest < best.takt):
                    best = Found(**{**_fields(found), "takt": longest, "proven": False})
            if not self._cut(found):
                break
        if best.state == "found":
            return Found(**{**_fields(best), "at_least": at_least})
        return Found("open", at_least=at_least)

    def _written(self, effort: Effort) -> bool:
        """Write the rows down; False where that alone would take all effort that is left."""
        if not self._built:
            wide = sum(
                max(0, min(self.windows[a][-1], self.windows[b][-1]) - self.windows[b][0] + 1) ** 2
                for a, b in self.work.arcs
            )
            effort.spend(_ROW * sum(map(len, self.windows)) + _TERM * wide)
            if effort.left <= 0:
                return False
            self._build()
            self._built = True
        return True

    def _hint(self, found: Found) -> None:
        for k, legs in enumerate(found.posts):
            for i, leg in legs:
                place = 2 * self.posts - k if leg else k + 1
                for own, x in self.x[i].items():
                    self.model.add_hint(x, own == place)

    def _read(self, solver: cp_model.CpSolver, proven: bool) -> Found:
        posts: list[list[Leg]] = [[] for _ in range(self.posts)]
        for i, own in enumerate(self.x):
            place = next(place for place, x in own.items() if solver.boolean_value(x))
            posts[post_of(place, self.posts) - 1].append((i, int(place > self.posts)))
        last = max(k for k, legs in enumerate(posts) if legs)
        # A post with nothing to do is left out where no element has to be at a post of that number.
        kept = [k for k, legs in enumerate(posts[: last + 1]) if legs or self.has.fixed]
        posts = [posts[k] for k in kept]
        crews = tuple(
            next(
                (crew.name for one, crew in zip(self.filled[k], self.crews, strict=True) if solver.boolean_value(one)),
                "",
            )
            for k in (kept if self.filled else ())
        ) or ("",) * len(posts)
        schedules: tuple[Schedule | None, ...] = (None,) * len(posts)
        if self.people > 1:
            schedules = tuple(
                with_people(self.rounds, {leg: solver.value(self.starts[leg[0]]) for leg in legs}, self.people)
                if legs
                else None
                for legs in posts
            )
        takt = self.high if self.low == self.high else solver.value(self.takt)
        return Found("found", tuple(map(tuple, posts)), crews, schedules, takt, 0, proven)

    def _holds(self, found: Found) -> bool:
        """Do all rounds keep the takt? Only where they are more than sums is that not known yet."""
        if self.people > 1 or (self.has.walking is None and self.has.draws is None):
            return True
        return all(self.rounds.length(legs) <= found.takt * TICK + 1e-9 for legs in found.posts if legs)

    def _cut(self, found: Found) -> bool:
        """Tell the model what it did not know of these rounds; False where there is nothing to tell."""
        told = False
        for legs in found.posts:
            if not legs or self.rounds.length(legs) <= found.takt * TICK + 1e-9:
                continue
            chosen = self._least(list(legs), found.takt)
            told = True
            for post in range(1, self.posts + 1):
                self._tell(chosen, post)
        return told

    def _tell(self, chosen: list[Leg], post: int) -> None:
        """All of these elements at this post make its round so long, whatever else is there."""
        ticks = up(self.rounds.length(chosen))
        if self.has.walking is None:
            # Without walking a round is as long on both ways of a bent line.
            missing = len(chosen) - sum(self.at(i, post) for i, _ in chosen)
            self.model.add(missing >= 1) if ticks > self.high else self.model.add(self.takt >= ticks - ticks * missing)
            return
        own: list[Any] = [self.x[i].get(2 * self.posts + 1 - post if leg else post) for i, leg in chosen]
        if any(x is None for x in own):
            return
        if ticks > self.high:
            self.model.add_bool_or([x.negated() for x in own])
        else:
            self.model.add(self.takt >= ticks).only_enforce_if(own)
        self.model.add(self.walk[post] >= up(self.rounds.walk(frozenset(chosen)).seconds)).only_enforce_if(own)

    def _least(self, legs: list[Leg], takt: int) -> list[Leg]:
        """As few of these elements as are still too long for the takt: the fewer, the more the model learns."""
        for leg in sorted(legs, key=lambda one: self.rounds.times[one[0]]):
            fewer = [one for one in legs if one != leg]
            if self.rounds.length(fewer) > takt * TICK + 1e-9:
                legs = fewer
        return legs


def _fields(found: Found) -> dict[str, Any]:
    return {name: getattr(found, name) for name in Found.__dataclass_fields__}
