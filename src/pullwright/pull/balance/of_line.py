"""The balance of a line: which post, that is which person's round, does which element of the work, at which station.

Machines stay where they are. What is shared out is what binds a person, for one good unit that leaves the line: the work of all steps, set-ups,
putting right, carrying. Posts are neighbours along the way: each one covers a stretch of it, so that pieces go forward from post to post;
on a bent line a post may cover a stretch where the way begins and one where it ends.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from pullwright.figure import Figure
from pullwright.flow import Flow
from pullwright.flow.crews import can_do
from pullwright.line.wishes import BalanceWishes
from pullwright.pull.balance.balance_figures import BalanceFigures, balance_figures
from pullwright.pull.balance.can_be import Asking
from pullwright.pull.balance.contradiction import clash, contradiction
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.line_crews import crew_changes
from pullwright.pull.balance.line_elements import LineElements, line_elements
from pullwright.pull.balance.moved import Moved
from pullwright.pull.balance.moved import moved as moved_by_hand
from pullwright.pull.balance.rounds import Rounds
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.balance.wishes import Conditions, Crew, Kind, Typed, people, posts
from pullwright.pull.balance.with_conditions import REFUSAL, balanced, fewest, not_found, reasoned, takt_ticks
from pullwright.pull.changes import Change
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.wished_takt import wished_takt

T = TypeVar("T")


@dataclass(frozen=True)
class Task:
    """One element at a post: where it is done, how long it takes for one good unit (s), and whether on the way back of a bent line."""

    name: str
    station: str
    time: Figure
    back: bool


@dataclass(frozen=True)
class LinePost:
    """One post of the line: who fills it (empty where anybody does), what is done there, the length of its round (s), and that over the takt."""

    number: int
    crew: str
    people: int
    tasks: tuple[Task, ...]
    round: Figure
    load: Figure

    @property
    def stations(self) -> tuple[str, ...]:
        """The stations of its round, in order."""
        return tuple(dict.fromkeys(task.station for task in self.tasks if task.station))


@dataclass(frozen=True)
class LineBalance:
    """How the work of a line is shared out among posts, and what follows from it.

    `figures`: takt, work, posts, people, efficiency, balance loss, rounds and loads. `reasons`: why not one post fewer. `beyond`: what today's crews cannot do of it, empty where they can. `notes`: how set-ups, carrying and the like count.
    `today`: the people of the line file and their load beside it. `changes`: what makes the crews of the line file fit.
    """

    balance: WishedBalance
    figures: BalanceFigures
    posts: tuple[LinePost, ...]
    elements: LineElements
    reasons: tuple[str, ...]
    beyond: tuple[str, ...]
    notes: tuple[str, ...]
    today: tuple[str, ...]
    changes: tuple[Change, ...]

    @property
    def proven(self) -> bool:
        """Is it proven that no balance of this line has fewer posts?"""
        return self.balance.proven

    @property
    def sentence(self) -> str:
        """What was found, as a foreman would say it."""
        count, sure = len(self.posts), "" if self.proven else f" ({posts(self.balance.at_least)} are not ruled out)"
        who = "" if self.balance.people == count else f", {people(self.balance.people)}"
        return f"{posts(count).capitalize()}{who} keep{'s' if count == 1 else ''} a takt of {self.figures.takt.short()}{sure}: {self.figures.efficiency.short()} of their time is work.{' ' * bool(self.balance.idle)}{self.balance.idle}"

    def moved(self, element: str, post: int) -> Moved:
        """What if somebody takes an element to another post? See `moved.moved`."""
        return moved_by_hand(self.balance, element, post)


def balance_of(flow: Flow, *, seconds: float = 10.0) -> LineBalance:
    """Which post does which element of this line, at as few posts as can be, with all that is wished in `plan.balance`?

    The takt is the wished one, or that of the demand. People of the line file fill the posts by what they can do; where they are too few
    for the takt, the balance says how many more it takes (`beyond`) rather than none.
    Errors: BadPlanInput where nothing binds a person, the takt is 0, or a place that walking needs is missing; NoSuchPlan with
    the smallest set of wishes that cannot hold together.
    """
    asked = asked_of(flow)
    work, has, takt = asked.elements.work, asked.conditions, asked.takt.value
    if all(crew.number is None for crew in has.crews):
        return _answer(flow, asked, balanced(work, takt, has, seconds=seconds), ())
    has.checked(work)
    ticks, effort = takt_ticks(takt), Effort(seconds)
    today = fewest(Rounds(work, has), ticks, effort)
    if today.found.state == "found":
        return _answer(flow, asked, reasoned(Rounds(work, has), takt, today), ())
    free = has.without(wish for wish in has.wishes(work) if wish.kind == "crew")
    enough = fewest(Rounds(work, free), ticks, effort)
    if enough.found.state == "none":
        raise contradiction(work, takt, free, effort=Effort(REFUSAL), with_today=has)
    if enough.found.state == "open":
        raise not_found(seconds)
    short = clash(Asking(work, ticks, has, Effort(REFUSAL))) if today.found.state == "none" else ()
    plan = reasoned(Rounds(work, free), takt, enough)
    return _answer(flow, asked, plan, _beyond(flow, plan, [wish.words for wish in short]))


@dataclass(frozen=True)
class Asked:
    """What a line asks of its balance: the takt (s), the elements, and the wishes with today's people as limits."""

    takt: Figure
    elements: LineElements
    conditions: Conditions


def asked_of(flow: Flow, cut_for: float | None = None) -> Asked:
    """What is to be shared out at this line, within which takt, and what is wished?

    `cut_for` (s): elements that are longer than this are shared by posts that take turns; than the takt, where nothing is said.
    Errors: BadPlanInput, as for `balance_of`.
    """
    line = flow.line
    wishes = line.plan.balance if line.plan is not None else BalanceWishes()
    takt = wished_takt(flow)
    made = line_elements(flow, takt.value if cut_for is None else cut_for)
    if not made.work.elements:
        raise BadPlanInput(
            "nothing at this line binds a person: there is nothing to share out; give manual, walking or watched time"
        )
    return Asked(takt, made, _conditions(flow, wishes, made))


def _conditions(flow: Flow, wishes: BalanceWishes, made: LineElements) -> Conditions:
    """The wishes of the line file with all elements that they mean."""
    line = flow.line

    def meant(name: str) -> tuple[str, ...]:
        found = made.of_name.get(name, ())
        if not found:
            made.notes.append(f"a wish names {name}, which binds nobody: it has no effect")
        return found

    def group(names: Sequence[str]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one for name in names for one in meant(name)))

    typed: list[Typed] = []

    def entries(kind: Kind, wished: Iterable[tuple[Sequence[str], Sequence[T]]]) -> tuple[T, ...]:
        """All entries of one kind, and which of them were typed as one wish under which names."""
        made: list[T] = []
        for names, own in wished:
            if own:
                typed.append(Typed(kind, tuple(range(len(made), len(made) + len(own))), tuple(names)))
                made += own
        return tuple(made)

    together = entries(
        "together", ((names, [whole] if len(whole := group(names)) > 1 else []) for names in wishes.together)
    )
    apart = entries("apart", ((names, _across([meant(name) for name in names])) for names in wishes.apart))
    fixed = entries(
        "fixed", (([one.element], [(name, one.post) for name in meant(one.element)]) for one in wishes.fixed)
    )
    left_of = entries(
        "left_of",
        (
            ([pair.element, pair.of], [(a, b) for a in meant(pair.element) for b in meant(pair.of)])
            for pair in wishes.left_of
        ),
    )
    crews = tuple(
        Crew(
            crew.name,
            crew.number,
            None if crew.skills is None else frozenset(step.name for step in line.steps if can_do(crew, step)),
        )
        for crew in line.people
    )
    return Conditions(
        together=together,
        apart=apart,
        fixed=fixed,
        left_of=left_of,
        zones=tuple((zone.name, group(zone.elements)) for zone in wishes.zones),
        crews=crews,
        people_at_a_post=wishes.people_at_a_post,
        u_shaped=wishes.u_shaped,
        walking=flow.givens.assumed("walking speed").value if wishes.walking else None,
        overrun=None if wishes.overrun is None else wishes.overrun.value,
        load=None if wishes.load is None else wishes.load.value,
        most=wishes.posts,
        # Of alternatives a piece needs one: only at one post is their swing known.
        work_together=tuple(made.alternatives) if wishes.overrun is not None else (),
        work_apart=tuple(made.apart),
        typed=tuple(typed),
        steps_as_skills=True,
    )


def _across(groups: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """What stays apart where steps are named: every element of the one from every element of the other."""
    if all(len(one) == 1 for one in groups):
        return [tuple(one for (one,) in groups)] if len(groups) > 1 else []
    pairs = [(a, b) for k, one in enumerate(groups) for other in groups[k + 1 :] for a in one for b in other]
    return [pair for pair in pairs if pair[0] != pair[1]]


def _beyond(flow: Flow, plan: WishedBalance, short: Sequence[str]) -> tuple[str, ...]:
    """How many more people than there are does the balance take, crew by crew?"""
    said = [
        f"today's people do not suffice ({'; '.join(short)})"
        if short
        else "no plan with today's people was found, and none is ruled out"
    ]
    said += [
        f"the crew '{name}' would need {people(used)}, {used - today} more than today"
        for name, used, today in more_of_crews(flow, plan)
    ]
    return tuple(said)


def more_of_crews(flow: Flow, plan: WishedBalance) -> list[tuple[str, int, int]]:
    """Of which crews does a balance take more people than there are today? Name, how many at the posts, how many today."""
    used = [sum(one.people for one in plan.rounds if one.crew == crew.name) for crew in flow.line.people]
    return [
        (crew.name, taken, crew.number)
        for crew, taken in zip(flow.line.people, used, strict=True)
        if taken > crew.number
    ]


def _answer(flow: Flow, asked: Asked, plan: WishedBalance, beyond: tuple[str, ...]) -> LineBalance:
    made = asked.elements
    figures = balance_figures(plan, asked.takt, made.times)
    stations = {element.name: element.station for element in made.work.elements}
    filled = tuple(
        LinePost(
            k + 1, one.crew, one.people,
            tuple(Task(name, stations[name], made.times[name], name in one.back) for name in one.elements), figures.rounds[k], figures.loads[k],
        )
        for k, one in enumerate(plan.rounds)
    )  # fmt: skip
    changes, rough = crew_changes(flow, plan, made)
    notes = tuple(dict.fromkeys([*made.notes, *_counted(flow, plan, made), *rough]))
    return LineBalance(plan, figures, filled, made, plan.reasons, beyond, notes, _today(flow, plan), changes)


def _counted(flow: Flow, plan: WishedBalance, made: LineElements) -> list[str]:
    """How set-ups and carrying count, and what they come to."""
    said = []
    for words, chosen in (
        (
            "set-ups count with their share",
            [figure for name, figure in made.times.items() if name.split(" [")[0].endswith("/ set-ups")],
        ),
        (
            "carrying counts with its share",
            [figure for name, figure in made.times.items() if name.startswith("carry ")],
        ),
    ):
        total = sum(figure.value for figure in chosen)
        if total > 0:
            share = total / plan.work.total
            said.append(
                f"{words} in every round, {total:.3g} s for each good unit ({100 * share:.2g} % of the work); the round into which one of them falls takes longer"
            )
    if len(flow.line.products) > 1:
        said.append("rounds are those of the mean mix of products: they need a levelled sequence")
    said += [
        f"the crew '{crew.name}' works in some shifts only, and is counted as if it were always there"
        for crew in flow.line.people
        if crew.shifts is not None and len(set(crew.shifts)) < len(flow.line.calendar.shifts)
    ]
    return said


def _today(flow: Flow, plan: WishedBalance) -> tuple[str, ...]:
    """What the crews of the line file come to beside the balance."""
    if flow.people.assumed:
        return ("the line file names no people: posts are filled by anybody",)
    now = sum(int(crew.number.value) for crew in flow.people.crews)
    said = [f"today {people(now)} work at this line, and the balance fills its posts with {people(plan.people)}"]
    for crew in flow.people.crews:
        used = sum(one.people for one in plan.rounds if one.crew == crew.name)
        said.append(
            f"{crew.name}: {people(int(crew.number.value))} today, loaded to {crew.load.short()} by the work at the steps; {used} at the posts"
        )
    return tuple(said)
