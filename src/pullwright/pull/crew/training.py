"""What to train next: what each lesson that could be given would do to the cover, to the pace, and to the smallest crew."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pullwright.pull.crew.bounds import Limits, full_first
from pullwright.pull.crew.cover import MOST_WAYS, Ways, one_away
from pullwright.pull.crew.skills import ROUNDING, Skills
from pullwright.pull.crew.smallest import fewest
from pullwright.pull.crew.tight import Tight
from pullwright.pull.errors import BadPlanInput

MOST_PAIRS, MOST_WORK = 400, 20_000_000
"""So many pairs of lessons are looked at, and fewer where one takes long (ways to be there x sets of crews); the others are said not to have been."""


@dataclass(frozen=True, slots=True)
class Worth:
    """How well people can keep a takt.

    `chance` that those who are there can; mean `share` of the demand that they can make; `one_away`: the mean of that share over the crews,
    each with one person away; `takt` (s): the quickest that all together can keep.
    """

    chance: float
    share: float
    one_away: float
    takt: float

    def better_than(self, other: Worth) -> bool:
        """Is anything of it better, by more than rounding?"""
        shares = ((self.chance, other.chance), (self.share, other.share), (self.one_away, other.one_away))
        return any(own > theirs + ROUNDING for own, theirs in shares) or self.takt < other.takt * (1 - ROUNDING)


@dataclass(frozen=True, slots=True)
class Lesson:
    """A task that people of a crew could learn, and how many of them would."""

    crew: str
    task: str
    people: int


@dataclass(frozen=True, slots=True)
class Trained:
    """Lessons, what they would be worth, and the smallest crew from today's people then (None where not even all of them are enough)."""

    lessons: tuple[Lesson, ...]
    worth: Worth
    smallest: int | None


@dataclass(frozen=True)
class Training:
    """What to train next at this takt (s).

    `today`, with today's smallest crew; `single`: every lesson that makes anything better, the best first; `together`: two lessons that
    bring the goal nearer of which neither does so alone, the best first; the goal is the share of the demand that can be made, and
    where that is all of it, the share with one person away. `pairs_left`: so many pairs were not looked at.
    """

    takt: float
    today: Worth
    smallest: int | None
    single: tuple[Trained, ...]
    together: tuple[Trained, ...]
    pairs_left: int

    @property
    def best(self) -> Trained | None:
        """What to train next: the best lesson that brings the goal nearer, else two that do so together, else the best one of the others."""
        nearer = [one for one in self.single if goal_of(one.worth) > goal_of(self.today)]
        return next(iter((*nearer, *self.together, *self.single)), None)


def goal_of(worth: Worth) -> tuple[float, float]:
    """What is to be raised: the share of the demand that can be made, then that with one person away."""
    return round(worth.share, 9), round(worth.one_away, 9) if worth.share >= 1 - ROUNDING else 0.0


def worth_of(skills: Skills, takt: float, seed: int = 1, drawn: bool | None = None) -> Worth:
    """How well can these people keep the takt (s)?"""
    limits = Limits(skills)
    ways = Ways(skills, limits.bounds, seed, drawn)
    times, absent = [task.time for task in skills.tasks], [crew.absent for crew in skills.hands]
    chance, share = (0.0, 0.0) if skills.nobody else ways.chance_and_share(times, absent, takt)
    people = [crew.people for crew in skills.hands]
    # Every person as likely to be the one who is away: a crew that was split by a lesson counts as before.
    away = one_away(skills, takt, limits)
    mean = sum(one * n for one, n in zip(away, people, strict=True)) / sum(people) if sum(people) else 0.0
    return Worth(chance, share, mean, limits.kept())


def training_of(skills: Skills, takt: float, people: int | None = 1, most_together: int = 5, seed: int = 1) -> Training:
    """Which lesson makes the takt (s) surer, or takes fewer people?

    Every missing pair of crew and task is tried: so many `people` of the crew learn it (None: all of them), and everything is worked out
    anew, exactly. Ranked by the chance to make the day's demand, then the share of it, then that share with one person away, then the
    quickest takt, then the smallest crew. Then pairs of lessons of which neither brings the goal nearer alone; no lesson ever makes anything worse.

    >>> from pullwright.pull.crew.skills import Hands, Task
    >>> skills = Skills.of(
    ...     [Task("saw", 50.0), Task("weld", 110.0)],
    ...     [Hands("A", 1, frozenset({"saw"})), Hands("B", 1, frozenset({"weld"}))],
    ... )
    >>> found = training_of(skills, 100.0)
    >>> [(one.lessons[0].crew, one.lessons[0].task, one.worth.takt) for one in found.single][0], found.today.takt
    (('A', 'weld', 80.0), 110.0)
    """
    if not takt > 0:
        raise BadPlanInput(f"a takt of {takt} s was read; allowed: a time above 0 s")
    drawn = _drawn(skills)

    def worth(lessons: tuple[Lesson, ...]) -> Worth:
        return worth_of(_after(skills, lessons), takt, seed, drawn)

    today, crew = worth(()), _smallest(skills, takt)
    lessons = [Lesson(name, task, _learning(skills, name, people)) for name, task in skills.missing()]
    ways = Ways(skills, seed=seed, drawn=drawn)
    tight = Tight(skills, takt, ways)
    tried = []
    for lesson in lessons:
        then = worth((lesson,)) if tight.may_help((lesson.crew, lesson.task)) else today
        tried.append(Trained((lesson,), then, _smallest(_after(skills, (lesson,)), takt, crew)))
    single = [one for one in tried if _helps(one, today, crew)]
    useless = [one.lessons[0] for one in tried if goal_of(one.worth) <= goal_of(today)]
    pairs = [
        pair
        for pair in (itertools.combinations(useless, 2) if goal_of(today) < (1.0, 1.0) else ())
        if tight.may_help(*((lesson.crew, lesson.task) for lesson in pair))
    ]
    looked_at = min(MOST_PAIRS, len(pairs), MOST_WORK // max(ways.size * len(ways.bounds), 1))
    together = [
        Trained(pair, then, None) for pair in pairs[:looked_at] if goal_of(then := worth(pair)) > goal_of(today)
    ]
    together.sort(key=_rank)
    together = [
        Trained(one.lessons, one.worth, _smallest(_after(skills, one.lessons), takt, crew))
        for one in together[:most_together]
    ]
    return Training(takt, today, crew, tuple(sorted(single, key=_rank)), tuple(together), len(pairs) - looked_at)


def _learning(skills: Skills, crew: str, people: int | None) -> int:
    there = skills.hands[skills.crews.index(crew)].people
    return there if people is None else min(people, there)


def _drawn(skills: Skills) -> bool:
    """Are lessons compared on days drawn by lot? Where two of them might lead to too many ways to be there; then all are, for they are compared.

    A lesson joins two groups of crews at most, and a crew that is split has less than twice as many ways to be there.
    """
    return 4 * math.prod(sorted(Ways(skills).sizes)[-3:]) > MOST_WAYS


def _after(skills: Skills, lessons: Sequence[Lesson]) -> Skills:
    """Lessons of one crew are given to other people of it as long as there are some."""
    for lesson in lessons:
        names = [name for name in skills.crews if name == lesson.crew or name.startswith(f"{lesson.crew}, also ")]
        open_to = [name for name in names if lesson.task not in skills.hands[skills.crews.index(name)].can]
        name = open_to[0]
        people = min(lesson.people, skills.hands[skills.crews.index(name)].people)
        skills = skills.taught(name, lesson.task, people)
    return skills


def _smallest(skills: Skills, takt: float, today: int | None = None) -> int | None:
    """The smallest crew out of these people; nobody need look where `today` it is as small as the work alone allows."""
    longest = max((crew.there for crew in skills.hands), default=0.0)
    if today is not None and longest > 0 and today <= math.ceil(skills.total / takt / longest - ROUNDING):
        return today
    return fewest(skills, takt, most=[crew.people for crew in skills.hands])


def _helps(one: Trained, today: Worth, crew: int | None) -> bool:
    fewer = one.smallest is not None and (crew is None or one.smallest < crew)
    return fewer or one.worth.better_than(today)


def _rank(one: Trained) -> tuple[float | int | str, ...]:
    worth = one.worth
    fewest = one.smallest if one.smallest is not None else 1 << 30
    takt = worth.takt if worth.takt < float("inf") else 1e300
    return (
        -round(worth.chance, 9), -round(worth.share, 9), -round(worth.one_away, 9), takt, fewest,
        *(word for lesson in one.lessons for word in (lesson.crew, lesson.task)),
    )  # fmt: skip


def taught_enough(skills: Skills) -> tuple[Skills, tuple[Lesson, ...]]:
    """Which crews must learn the tasks that nobody can do, so that people together are as quick as can be?

    Whole crews learn. Every way to give these tasks to crews is tried where there are few, else one task after another, the largest first.
    Result: the skills after that, and the lessons.
    """
    tasks = sorted(skills.nobody, key=lambda name: -next(task.time for task in skills.tasks if task.name == name))
    crews = [crew.name for crew in skills.hands if crew.people > 0]
    if not tasks or not crews:
        return skills, ()
    if len(crews) ** len(tasks) <= MOST_PAIRS:
        ways = [tuple(zip(who, tasks, strict=True)) for who in itertools.product(crews, repeat=len(tasks))]
        best = min(ways, key=lambda way: full_first(_all_learn(skills, way))[1])
    else:
        best = ()
        for task in tasks:
            best = min(
                ((*best, (crew, task)) for crew in crews),
                key=lambda way: full_first(_doable(_all_learn(skills, way)))[1],
            )
    return _all_learn(skills, best), tuple(
        Lesson(crew, task, skills.hands[skills.crews.index(crew)].people) for crew, task in best
    )


def _all_learn(skills: Skills, way: Sequence[tuple[str, str]]) -> Skills:
    for crew, task in way:
        skills = skills.taught(crew, task)
    return skills


def _doable(skills: Skills) -> Skills:
    """The same without the tasks that nobody can do yet."""
    tasks = tuple(task for task in skills.tasks if task.name not in skills.nobody)
    names = {task.name for task in tasks}
    return Skills(tasks, tuple(replace(crew, can=crew.can & names) for crew in skills.hands))
