"""An element taken to another post by hand: what does that break, and how long are the rounds then?"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from pullwright.pull.balance.checked_conditions import broken
from pullwright.pull.balance.rounds import Leg, Rounds
from pullwright.pull.balance.rounds_at_posts import Round, WishedBalance, round_of
from pullwright.pull.errors import BadPlanInput


@dataclass(frozen=True)
class Moved:
    """What comes of moving an element: the balance with it, and what that breaks, sentence by sentence (empty where it may be done).

    `proven` of the balance does not hold for it: at_least is kept from before, and nothing was searched.
    """

    balance: WishedBalance
    breaks: tuple[str, ...]

    @property
    def loads(self) -> tuple[float, ...]:
        """How long the round of each post takes then (s)."""
        return self.balance.loads


def moved(balance: WishedBalance, element: str, post: int) -> Moved:
    """What if this element is done at another post (counted from 1; one above the last adds a post)?

    On a bent line it goes where it breaks least: on the way there, or on the way back. Posts that are left empty at the end are taken away.
    Each post is filled again from a crew that can do all that is done there, the one that was there first of all.
    Errors: BadPlanInput for an element or a post that there is not.

    >>> from pullwright.pull.balance.with_conditions import balanced
    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 20.0), Element("glue", 30.0, after=("cut",)), Element("pack", 30.0, after=("glue",))])
    >>> plan = balanced(work, 60.0)
    >>> plan.posts
    (('cut', 'glue'), ('pack',))
    >>> moved(plan, "glue", 2).breaks, moved(plan, "glue", 2).loads
    ((), (20.0, 60.0))
    >>> moved(plan, "cut", 2).breaks
    ("'cut' has to be done before 'glue'",)
    """
    work = balance.work
    if element not in work.index:
        raise BadPlanInput(f"there is no element {element!r} in this balance")
    if not 1 <= post <= len(balance.posts) + 1:
        raise BadPlanInput(f"post {post} of {len(balance.posts)}; allowed: 1 to {len(balance.posts) + 1}")
    rounds = Rounds(work, balance.conditions)
    tried = [
        _put(rounds, balance, (work.index[element], leg), post)
        for leg in ((0, 1) if balance.conditions.u_shaped else (0,))
    ]
    return min(tried, key=lambda one: len(one.breaks))


def _put(rounds: Rounds, balance: WishedBalance, leg: Leg, post: int) -> Moved:
    index, name = rounds.work.index, rounds.work.names[leg[0]]
    legs = [[(index[one], int(one in old.back)) for one in old.elements if one != name] for old in balance.rounds]
    legs.append([])
    legs[post - 1].append(leg)
    while legs and not legs[-1]:
        legs.pop()
    touched = {post - 1, *(k for k, old in enumerate(balance.rounds) if name in old.elements)}
    used = Counter[str]()
    for k, old in enumerate(balance.rounds):
        if k not in touched:
            used[old.crew] += old.people
    made: list[Round] = []
    for k, one in enumerate(legs):
        if k in touched:
            again = _again(rounds, one, balance.rounds[k].crew if k < len(balance.rounds) else "", used)
            used[again.crew] += again.people
            made.append(again)
        else:
            made.append(balance.rounds[k])
    order = tuple(one.elements for one in made)
    after = replace(balance, posts=order, rounds=tuple(made), reasons=(), by="moved by hand")
    return Moved(after, broken(after))


def _again(rounds: Rounds, legs: list[Leg], was: str, used: Counter[str]) -> Round:
    """The round of a post whose elements are others than before: filled by whom it was, or by a crew that can and has people left."""
    has, work = rounds.conditions, rounds.work
    skills = {has.skill_of(work, i) for i, _ in legs}
    able = [crew for crew in has.filled_by(work) if all(map(crew.can, skills))]
    left = [crew.name for crew in able if crew.number is None or used[crew.name] < crew.number]
    names = ["", *left] if not has.crews and skills <= {""} else left or [crew.name for crew in able]
    crew = was if was in names or not names else names[0]
    return round_of(rounds, legs, crew, None, has.people_at_a_post)
