"""What is wished of a balance beside the takt: plain values for any work, and each wish as one sentence.

*Wishes* forbid something and can be dropped one by one: together, apart, fixed, left of, zones, skills, numbers of people, walking, overrun,
how full a post may be, at most so many posts. *Permissions* allow something: a bent line, several people at a post.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.balance.work import Work
from pullwright.pull.errors import BadPlanInput

T = TypeVar("T")
Kind = Literal["together", "apart", "fixed", "left_of", "zone", "skill", "crew", "walking", "overrun", "load", "most"]


@dataclass(frozen=True, slots=True)
class Crew:
    """People who can stand in for one another. `number`: how many there are; None where that is no limit. `skills`: None is everything."""

    name: str
    number: int | None = None
    skills: frozenset[str] | None = None

    def can(self, skill: str) -> bool:
        """Can these people do what needs this skill? Everybody can do what needs none."""
        return not skill or self.skills is None or skill in self.skills


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish that can be dropped, as it was typed: its kind, which entries of that kind (numbers, or names of skills), and the sentence."""

    kind: Kind
    which: tuple[int | str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Typed:
    """A wish that stands for several entries, or for names that were typed otherwise: which entries of its kind, and the names as typed.

    "weld left of saw" may mean each of three elements left of each of five: fifteen entries and one wish, that holds or is dropped as a whole.
    """

    kind: Kind
    entries: tuple[int, ...]
    names: tuple[str, ...]


@dataclass(frozen=True)
class Conditions:
    """What a balance has to keep beside the takt and the order of the work.

    - `together`: elements that stay at one post, list by list. `apart`: elements of which no two are at one post, list by list.
    - `fixed`: pairs of an element and its post, counted from 1 where the work begins; posts before it may stay empty.
    - `left_of`: pairs of elements of which the first is at an *earlier* post; the same post is not allowed (an order that
      allows the same post is one of the work: `Element.after`).
    - `zones`: pairs of a name and its elements; no post works in two zones, and elements without a zone go anywhere.
    - `crews`: who is there. Each post is filled from one crew that can do all that is done there, and no crew fills more places than
      it has people. Without crews every skill is a trade of its own: no post does what needs two different skills.
    - `people_at_a_post`: so many people may work on one piece at a post at once; within the takt each element gets a time and a person.
    - `u_shaped`: the line is bent, and a post stands at two places of it: an element is done on the way there or on the way
      back, on two different pieces (Miltenburg & Wijngaard 1994).
    - `walking`: the speed (m/s) with which the way between the places of the elements is walked, in the order of the round and back to
      its start; None where it is not counted.
    - `overrun`: the chance, at most, that a round takes longer than the takt (above 0, up to 0.5). Times are taken as independent and
      their sum as normal, unless `draws` gives equally likely times of each element (s), number by number of the same piece.
    - `load`: the highest load of a post, its round as a share of the takt (above 0, up to 1); with walking and with what is kept free for
      bad luck. None: the whole takt.
    - `most`: at most so many posts.
    """

    together: tuple[tuple[str, ...], ...] = ()
    apart: tuple[tuple[str, ...], ...] = ()
    fixed: tuple[tuple[str, int], ...] = ()
    left_of: tuple[tuple[str, str], ...] = ()
    zones: tuple[tuple[str, tuple[str, ...]], ...] = ()
    crews: tuple[Crew, ...] = ()
    people_at_a_post: int = 1
    u_shaped: bool = False
    walking: float | None = None
    overrun: float | None = None
    draws: dict[str, NDArray[np.float64]] | None = field(default=None, compare=False)
    load: float | None = None
    most: int | None = None
    work_together: tuple[tuple[str, ...], ...] = ()
    """Elements that the work itself holds at one post: no wish, and never dropped."""
    work_apart: tuple[tuple[str, ...], ...] = ()
    """Elements that the work itself keeps at different posts: no wish, and never dropped."""
    typed: tuple[Typed, ...] = ()
    """Wishes that stand for more than one entry above; an entry that is in none of them is a wish of its own."""
    steps_as_skills: bool = False
    """Are the skills the names of what is done? Then a sentence says "can do 'weld'" and not "can do what needs the skill"."""
    free_skills: frozenset[str] = frozenset()
    """Skills that are not asked for: what is left when the wish for one is dropped."""

    def checked(self, work: Work) -> Conditions:
        """Give the conditions back where they can be understood for this work; BadPlanInput says all that cannot."""
        wrong = list(_wrong(self, work))
        if wrong:
            raise BadPlanInput("\n".join(wrong))
        return self

    @property
    def all_together(self) -> tuple[tuple[str, ...], ...]:
        """All lists of elements at one post: wished, or of the work itself."""
        return self.together + self.work_together

    @property
    def all_apart(self) -> tuple[tuple[str, ...], ...]:
        """All lists of elements at different posts: wished, or of the work itself."""
        return self.apart + self.work_apart

    def skill_of(self, work: Work, i: int) -> str:
        """Which skill does element `i` ask for? Empty where anybody can do it."""
        skill = work.elements[i].skill
        return "" if skill in self.free_skills else skill

    def filled_by(self, work: Work) -> tuple[Crew, ...]:
        """Who can fill the posts: the crews; without any, one crew for each skill that is asked for, and none where there are none."""
        if self.crews:
            return self.crews
        skills = dict.fromkeys(self.skill_of(work, i) for i in range(len(work.elements)))
        return tuple(Crew(skill, None, frozenset([skill])) for skill in skills if skill)

    def wishes(self, work: Work) -> tuple[Wish, ...]:
        """All wishes that can be dropped, each with its sentence."""
        return tuple(_wishes(self, work))

    def plain(self, work: Work) -> bool:
        """Is there nothing beside the takt and the order of the work?"""
        of_work = self.work_together or self.work_apart
        return not (self.u_shaped or self.people_at_a_post > 1 or self.crews or of_work or self.wishes(work))

    def plain_but_load(self, work: Work) -> bool:
        """Is there nothing beside the takt, the order of the work, and how full a post may be?"""
        return replace(self, load=None).plain(work)

    def without(self, dropped: Iterable[Wish]) -> Conditions:
        """The same conditions without these wishes."""
        gone: dict[Kind, set[int | str]] = {}
        for wish in dropped:
            gone.setdefault(wish.kind, set()).update(wish.which)

        def left(kind: Kind, entries: tuple[T, ...]) -> tuple[T, ...]:
            return tuple(entry for k, entry in enumerate(entries) if k not in gone.get(kind, ()))

        typed = []
        for one in self.typed:
            off = gone.get(one.kind, set())
            # Entries move up where some before them are dropped.
            kept = tuple(k - sum(m in off for m in range(k)) for k in one.entries if k not in off)
            typed += [replace(one, entries=kept)] if kept else []
        crews = tuple(
            replace(crew, number=None) if c in gone.get("crew", ()) else crew for c, crew in enumerate(self.crews)
        )
        return replace(
            self,
            together=left("together", self.together),
            apart=left("apart", self.apart),
            fixed=left("fixed", self.fixed),
            left_of=left("left_of", self.left_of),
            zones=left("zone", self.zones),
            crews=crews,
            typed=tuple(typed),
            walking=None if "walking" in gone else self.walking,
            overrun=None if "overrun" in gone else self.overrun,
            draws=None if "overrun" in gone else self.draws,
            load=None if "load" in gone else self.load,
            most=None if "most" in gone else self.most,
            free_skills=self.free_skills | {str(skill) for skill in gone.get("skill", ())},
        )


def named(names: Iterable[str], between: str = "and") -> str:
    """Say names in a row.

    >>> named(["weld", "paint", "pack"])
    "'weld', 'paint' and 'pack'"
    """
    said = [f"'{name}'" for name in names]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} {between} {said[-1]}"


def _entries(
    has: Conditions, kind: Kind, entries: Iterable[Iterable[str]]
) -> Iterable[tuple[tuple[int, ...], tuple[str, ...]]]:
    """The wishes of one kind: the numbers of their entries, and the names that were typed."""
    wished = {one.entries: one.names for one in has.typed if one.kind == kind}
    covered = {k for own in wished for k in own}
    wished |= {(k,): tuple(names) for k, names in enumerate(entries) if k not in covered}
    return sorted(wished.items())


def _wishes(has: Conditions, work: Work) -> Iterable[Wish]:
    for own, names in _entries(has, "together", has.together):
        yield Wish("together", own, f"{named(names)} stay at one post")
    for own, names in _entries(has, "apart", has.apart):
        said = f"{named(names)} stay apart" if len(names) == 2 else f"no two of {named(names)} are at one post"
        yield Wish("apart", own, said)
    for own, (element,) in _entries(has, "fixed", ((element,) for element, _ in has.fixed)):
        yield Wish("fixed", own, f"'{element}' stays at post {has.fixed[own[0]][1]}")
    for own, (left, right) in _entries(has, "left_of", has.left_of):
        yield Wish("left_of", own, f"'{left}' stays left of '{right}'")
    if len(has.zones) == 2:
        # Without either of them there is nothing left to keep apart: that is one wish.
        yield Wish("zone", (0,), f"no post works in the zones {named(zone for zone, _ in has.zones)}")
    for k, (zone, _) in enumerate(has.zones if len(has.zones) > 2 else ()):
        yield Wish("zone", (k,), f"no post works in the zone '{zone}' and in another one")
    yield from _of_skills(has, work)
    for c, crew in enumerate(has.crews):
        if crew.number is not None:
            yield Wish("crew", (c,), f"the crew '{crew.name}' has {people(crew.number)}")
    if has.walking is not None:
        yield Wish("walking", (0,), "the way between the elements of a post is counted")
    if has.overrun is not None:
        yield Wish("overrun", (0,), f"at most {has.overrun:.4g} of the rounds take longer than the takt")
    if has.load is not None:
        yield Wish("load", (0,), f"no post is loaded above {percent(has.load)} of the takt")
    if has.most is not None:
        yield Wish("most", (0,), f"at most {posts(has.most)}")


def _of_skills(has: Conditions, work: Work) -> Iterable[Wish]:
    """Who can do what: one wish for all that the same crews can do; without crews one for each trade."""
    together: dict[tuple[str, ...], list[str]] = {}
    for skill in dict.fromkeys(has.skill_of(work, i) for i in range(len(work.elements))):
        if not skill or all(crew.can(skill) for crew in has.filled_by(work)):
            continue
        if not has.crews:
            yield Wish("skill", (skill,), f"a trade of its own does what needs the skill '{skill}'")
            continue
        together.setdefault(tuple(crew.name for crew in has.crews if crew.can(skill)), []).append(skill)
    for able, skills in together.items():
        needs = "" if has.steps_as_skills else f"what needs the skill{'s' if len(skills) > 1 else ''} "
        who = f"only {named(able)} can" if able else "nobody can"
        yield Wish("skill", tuple(skills), f"{who} do {needs}{named(skills)}")


def people(number: int) -> str:
    """Say a number of people."""
    return "1 person" if number == 1 else f"{number} people"


def posts(number: int) -> str:
    """Say a number of posts."""
    return "1 post" if number == 1 else f"{number} posts"


def percent(share: float) -> str:
    """Say a share.

    >>> percent(0.9), percent(0.875)
    ('90 %', '87.5 %')
    """
    return f"{100 * share:.4g} %"


def _wrong(has: Conditions, work: Work) -> Iterable[str]:
    known = work.index
    asked: list[tuple[str, str]] = [
        *(("together", name) for group in has.all_together for name in group),
        *(("apart", name) for group in has.all_apart for name in group),
        *(("fixed", name) for name, _ in has.fixed),
        *(("left of", name) for pair in has.left_of for name in pair),
        *(("zone " + repr(zone), name) for zone, names in has.zones for name in names),
    ]
    for where, name in asked:
        if name not in known:
            yield f"{where}: there is no element {name!r}; allowed: {_few(work.names)}"
    for left, right in has.left_of:
        if left == right:
            yield f"left of: {left!r} cannot stay left of itself; name two elements"
    for name, post in has.fixed:
        if post < 1:
            yield f"fixed: {name!r} at post {post}; allowed: 1 (where the work begins) or more"
    zone_of: dict[str, str] = {}
    for zone, names in has.zones:
        for name in names:
            if zone_of.setdefault(name, zone) != zone:
                yield f"zones: {name!r} stands in {zone_of[name]!r} and in {zone!r}; an element has one zone"
    if len({crew.name for crew in has.crews}) < len(has.crews):
        yield "crews: two of them have the same name; rename one"
    for crew in has.crews:
        if crew.number is not None and crew.number < 0:
            yield f"crews: {crew.name!r} has {crew.number} people; allowed: 0 or more"
    if has.load is not None and not 0 < has.load <= 1:
        yield f"a load of {percent(has.load)} of the takt at most; allowed: above 0 %, up to 100 %"
    if has.most is not None and has.most < 1:
        yield f"at most {has.most} posts: work needs a post; allowed: 1 or more"
    if has.people_at_a_post < 1:
        yield f"{has.people_at_a_post} people at a post; allowed: 1 or more"
    yield from _wrong_rounds(has, work)


def _wrong_rounds(has: Conditions, work: Work) -> Iterable[str]:
    if has.people_at_a_post > 1 and (has.walking is not None or has.overrun is not None):
        what = "walking is" if has.walking is not None else "a chance of overrun is"
        yield f"{what} worked out for one person at a post, and {has.people_at_a_post} are allowed; leave one of the two out"
    if has.walking is not None:
        if not 0 < has.walking < float("inf"):
            yield f"walking at {has.walking} m/s; allowed: a speed above 0"
        lost = [element.name for element in work.elements if element.place is None]
        if lost:
            yield f"walking is counted, and nobody has said where {_few(lost)} {'is' if len(lost) == 1 else 'are'} done; give a place (x, y)"
    if has.overrun is not None and not 0 < has.overrun <= 0.5:
        yield f"an overrun in {has.overrun} of the rounds; allowed: above 0, up to 0.5 (50 %)"
    if has.draws is not None:
        if has.overrun is None:
            yield "draws are given and no chance of overrun: say how often a round may take longer than the takt"
        missing = [name for name in work.names if name not in has.draws]
        if missing:
            yield f"draws: none for {_few(missing)}"
        shapes = {np.shape(draws) for draws in has.draws.values()}
        if len(shapes) > 1 or any(len(shape) != 1 or shape[0] < 1 for shape in shapes):
            yield "draws: every element needs a row of the same length"
        elif any(not np.all(np.isfinite(draws)) or np.any(draws < 0) for draws in has.draws.values()):
            yield "draws: times from 0 s on, all of them finite"


def _few(names: Iterable[str]) -> str:
    listed = list(names)
    return (
        named(listed)
        if len(listed) <= 6
        else f"{named(listed[:6], ',').replace(' , ', ', ')} and {len(listed) - 6} more"
    )
